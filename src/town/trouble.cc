#include "town/trouble.h"

namespace lastreach {

std::string_view ToText(TroubleKind kind) {
  switch (kind) {
    case TroubleKind::kDeadBattery:
      return "dead battery";
    case TroubleKind::kStuckOpen:
      return "stuck open over a weekend";
    case TroubleKind::kClockHourOut:
      return "clock an hour out";
    case TroubleKind::kHalfDayOut:
      return "AM and PM swapped";
    case TroubleKind::kPercentLeft:
      return "percentage left at 150";
    case TroubleKind::kMeterUnit:
      return "wrong unit of the meter";
    case TroubleKind::kClosedValve:
      return "closed valve upstream";
    case TroubleKind::kNitrification:
      return "nitrification";
    case TroubleKind::kMapDiameter:
      return "wrong diameter on the map";
    case TroubleKind::kDribble:
      return "dribbling valve";
    case TroubleKind::kDoubleKeyed:
      return "season keyed twice";
    case TroubleKind::kForgottenBurn:
      return "setting of the free-chlorine weeks forgotten";
  }
  return "";
}

std::string_view ToText(ToldBy by) {
  switch (by) {
    case ToldBy::kMeterReads:
      return "meter reads";
    case ToldBy::kFoundAtVisit:
      return "clock and starts as found";
    case ToldBy::kTestFlush:
      return "test flush";
    case ToldBy::kZoneSamples:
      return "samples of the zone";
    case ToldBy::kRevertDate:
      return "date to put it back";
  }
  return "";
}

ToldBy ToldByOf(TroubleKind kind) {
  switch (kind) {
    case TroubleKind::kClockHourOut:
    case TroubleKind::kHalfDayOut:
      return ToldBy::kFoundAtVisit;
    case TroubleKind::kClosedValve:
    case TroubleKind::kMapDiameter:
      return ToldBy::kTestFlush;
    case TroubleKind::kNitrification:
      return ToldBy::kZoneSamples;
    case TroubleKind::kForgottenBurn:
      return ToldBy::kRevertDate;
    default:
      return ToldBy::kMeterReads;
  }
}

}  // namespace lastreach
