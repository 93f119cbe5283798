#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "core/civil_time.h"
#include "core/ids.h"

namespace lastreach {

// What can go wrong with one device in the invented year.
enum class TroubleKind {
  kDeadBattery,    // no run from a day in July on
  kStuckOpen,      // from a Friday's run until somebody shuts it on Monday
  kClockHourOut,   // set an hour wrong at a visit
  kHalfDayOut,     // starts keyed for the afternoon in place of the night
  kPercentLeft,    // 150 % after the hot spell, though the card says 100 %
  kMeterUnit,      // the new meter counts in another unit than is written
  kClosedValve,    // shut in the main upstream: the water comes the long way round
  kNitrification,  // sets in
  kMapDiameter,    // the main is narrower than the map says
  kDribble,        // the valve no longer closes tight
  kDoubleKeyed,    // one person keyed the season into the minutes, another into the percentage
  kForgottenBurn,  // the weeks of free chlorine are over, their setting still stands
};
inline constexpr std::array<TroubleKind, 12> kEveryTrouble = {
    TroubleKind::kDeadBattery, TroubleKind::kStuckOpen,     TroubleKind::kClockHourOut,
    TroubleKind::kHalfDayOut,  TroubleKind::kPercentLeft,   TroubleKind::kMeterUnit,
    TroubleKind::kClosedValve, TroubleKind::kNitrification, TroubleKind::kMapDiameter,
    TroubleKind::kDribble,     TroubleKind::kDoubleKeyed,   TroubleKind::kForgottenBurn};

// The records from which the people of the town could know.
enum class ToldBy { kMeterReads, kFoundAtVisit, kTestFlush, kZoneSamples, kRevertDate };

// One entry of the answer key.
struct Trouble {
  TroubleKind kind = TroubleKind::kDeadBattery;
  PointCode point;
  Date since;
  std::optional<Date> until;  // when it was put right; none: it was not, that year
  Date told_from;             // the first day on which a record exists that could tell
  double size = 0;            // a percentage, a factor of the reads, a flow in gpm; 0 where there is none
};

std::string_view ToText(TroubleKind kind);  // "dead battery", ...
std::string_view ToText(ToldBy by);         // "meter reads", ...
ToldBy ToldByOf(TroubleKind kind);

}  // namespace lastreach
