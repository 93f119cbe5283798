#include "town/device_visits.h"

#include <algorithm>
#include <cmath>

#include "town/season_settings.h"
#include "town/seeded.h"

namespace lastreach {
namespace {

constexpr int kHalfDay_min = 12 * 60;

Date On(unsigned month, int day) {
  return AddDays(std::chrono::year(kDirtyYear) / std::chrono::month(month) / 1, day - 1);
}

// The visits of one device, being made.
struct Making {
  Seeded seeded;
  const DeviceBasis& basis;
  const Zone& zone;
  DeviceVisits made;

  Instant Morning(Date day) {
    const int minute = 8 * 60 + 5 * seeded.Whole(0, 90);
    return zone.FirstInstant(Midnight(day) + std::chrono::minutes(minute));
  }
  BoxVisit& Keyed(Date day, const char* why, TimerSettings settings) {
    BoxVisit visit;
    visit.at = Morning(day);
    visit.who = seeded.Whole(0, 1) == 0 ? "KB" : "RM";
    visit.why = why;
    visit.written = settings;
    visit.keyed = std::move(settings);
    visit.left_fast_min = seeded.Whole(-1, 1);
    made.visits.push_back(std::move(visit));
    return made.visits.back();
  }
  void Season(Date day, KeyedSeason season, const char* why) {
    Keyed(day, why, SeasonSettings(basis, season, day));
  }
  BoxVisit* On(Date day) {
    for (BoxVisit& visit : made.visits) {
      if (Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(visit.at))} == day) return &visit;
    }
    return nullptr;
  }
  void Settle(TroubleKind kind, Date since, std::optional<Date> until, Date told_from, double size) {
    made.trouble = Trouble{kind, basis.point.code, since, until, told_from, size};
  }
};

TimerSettings Louder(TimerSettings settings, double minutes_factor, int percent) {
  for (Programme& programme : settings.programmes) {
    programme.minutes = static_cast<int>(std::lround(programme.minutes * minutes_factor));
  }
  settings.percent = percent;
  return settings;
}

Date NextFriday(Date day) {
  while (std::chrono::weekday(std::chrono::sys_days(day)) != std::chrono::Friday) day = AddDays(day, 1);
  return day;
}

// The days on which things were done in the ordinary course.
struct Ordinary {
  Date spring, summer, look, fall, winter;
};

void KeyWrong(Making& make, TroubleKind kind, const Ordinary& days) {
  BoxVisit& summer = *make.On(days.summer);
  if (kind == TroubleKind::kClockHourOut) {
    summer.left_fast_min = make.seeded.Whole(0, 1) == 0 ? 60 : -60;
  } else {
    for (Programme& programme : summer.keyed->programmes) {
      for (int& start : programme.starts_min) start = (start + kHalfDay_min) % (2 * kHalfDay_min);
    }
  }
  const double size = kind == TroubleKind::kClockHourOut ? summer.left_fast_min : kHalfDay_min;
  BoxVisit& look = *make.On(days.look);
  look.why = "call about water in the street at an odd hour";
  look.written = look.keyed = *make.On(days.summer)->written;
  look.left_fast_min = 0;
  make.Settle(kind, days.summer, days.look, days.look, size);
}

void LeavePercent(Making& make, const Ordinary& days) {
  const TimerSettings summer = *make.On(days.summer)->written;
  const Date hot = On(6, make.seeded.Whole(16, 30));
  const Date back = AddDays(hot, make.seeded.Whole(8, 11));
  BoxVisit& up = make.Keyed(hot, "hot spell, up by half", Louder(summer, 1, 150));
  up.revert_by = AddDays(hot, 10);
  make.Keyed(back, "hot spell over, back to 100", summer).keyed = Louder(summer, 1, 150);
  make.made.visits.back().wrote_found = false;
  make.Settle(TroubleKind::kPercentLeft, back, days.fall, back, 150);
}

// R.M. puts the summer into the minutes and says nothing; K.B. puts it into the percentage some days later.
void KeyTwice(Making& make, const Ordinary& days) {
  BoxVisit& first = *make.On(days.summer);
  const TimerSettings card = *first.written;
  first.keyed = Louder(card, 1.4, 100);
  first.written.reset();
  first.wrote_found = false;
  const Date second_day = AddDays(days.summer, make.seeded.Whole(2, 5));
  BoxVisit& second = make.Keyed(second_day, "summer step-up", Louder(card, 1, 140));
  second.keyed = Louder(card, 1.4, 140);
  second.wrote_found = false;
  make.Settle(TroubleKind::kDoubleKeyed, second_day, days.fall, second_day, 196);
}

void ForgetBurn(Making& make, const Ordinary& days) {
  const Date burn = On(6, make.seeded.Whole(14, 28));
  const Date revert = AddDays(burn, 21);
  const bool has_percent = make.basis.form.percent_scope == PercentScope::kAll;
  const TimerSettings summer = *make.On(days.summer)->written;
  const int most = make.basis.form.minutes_max.value_or(90);
  const double factor = std::min(2.0, static_cast<double>(most) / make.basis.minutes);
  const TimerSettings loud = has_percent ? Louder(summer, 1, 200) : Louder(summer, factor, 100);
  make.Keyed(burn, "weeks of free chlorine", loud).revert_by = revert;
  make.Settle(TroubleKind::kForgottenBurn, revert, days.fall, AddDays(revert, 1), 0);
}

void Befall(Making& make, TroubleKind kind, const Ordinary& days) {
  DeviceVisits& made = make.made;
  Seeded& seeded = make.seeded;
  switch (kind) {
    case TroubleKind::kDeadBattery:
      made.dead_from = On(7, seeded.Whole(1, 26));
      make.On(days.fall)->new_battery = true;
      make.On(days.fall)->wrote_found = false;
      make.On(days.fall)->notes = "display blank, new battery";
      make.Settle(kind, *made.dead_from, days.fall, *made.dead_from, 0);
      break;
    case TroubleKind::kStuckOpen: {
      made.stuck_on = NextFriday(On(6, seeded.Whole(14, 70)));
      made.stuck_until = make.Morning(AddDays(*made.stuck_on, 3));
      BoxVisit shut;
      shut.at = *made.stuck_until;
      shut.who = "RM";
      shut.why = "caller, water running";
      shut.notes = "tapped the valve, it shut";
      made.visits.push_back(shut);
      make.Settle(kind, *made.stuck_on, AddDays(*made.stuck_on, 3), *made.stuck_on, 0);
      break;
    }
    case TroubleKind::kClockHourOut:
    case TroubleKind::kHalfDayOut:
      KeyWrong(make, kind, days);
      break;
    case TroubleKind::kPercentLeft:
      LeavePercent(make, days);
      break;
    case TroubleKind::kMeterUnit:
      made.new_meter_on = On(6, seeded.Whole(5, 50));
      made.read_factor = seeded.Whole(0, 1) == 0 ? 0.1 : 10;
      make.Settle(kind, *made.new_meter_on, std::nullopt, *made.new_meter_on, made.read_factor);
      break;
    case TroubleKind::kClosedValve:
      made.closed_from = On(5, seeded.Whole(1, 80));
      made.test_flush_on = AddDays(*made.closed_from, seeded.Whole(5, 25));
      made.mended_on = days.fall;
      make.Settle(kind, *made.closed_from, days.fall, made.test_flush_on, 0);
      break;
    case TroubleKind::kNitrification:
      made.nitrifies_from = On(6, seeded.Whole(5, 40));
      make.Settle(kind, *made.nitrifies_from, std::nullopt, *made.nitrifies_from, 0);
      break;
    case TroubleKind::kMapDiameter:
      made.true_diameter_factor = seeded.Whole(0, 1) == 0 ? 4.0 / 6 : 8.0 / 6;
      make.Settle(kind, On(1, 1), std::nullopt, made.test_flush_on, made.true_diameter_factor);
      break;
    case TroubleKind::kDribble:
      made.dribbles_from = On(5, seeded.Whole(1, 80));
      made.dribble_gpm = 0.35 + 0.55 * seeded.Unit();
      made.mended_on = days.fall;
      make.Settle(kind, *made.dribbles_from, days.fall, *made.dribbles_from, made.dribble_gpm);
      break;
    case TroubleKind::kDoubleKeyed:
      KeyTwice(make, days);
      break;
    case TroubleKind::kForgottenBurn:
      ForgetBurn(make, days);
      break;
  }
}

// A look at the box in July would have found what only the reads are meant to tell.
bool LeavesTheLook(std::optional<TroubleKind> kind) {
  if (!kind) return true;
  const ToldBy by = ToldByOf(*kind);
  return by == ToldBy::kFoundAtVisit || by == ToldBy::kZoneSamples || by == ToldBy::kTestFlush;
}

}  // namespace

bool CanHave(const DeviceBasis& basis, TroubleKind kind) {
  switch (kind) {
    case TroubleKind::kNitrification:
    case TroubleKind::kForgottenBurn:
      return basis.is_chloramine;
    case TroubleKind::kPercentLeft:
    case TroubleKind::kDoubleKeyed:
      return basis.meter && basis.form.percent_scope == PercentScope::kAll;
    case TroubleKind::kMapDiameter:
      // A front shows only where the water at the end is less than that of the main.
      return basis.reach.pipes.size() == 1 && !basis.is_chloramine;
    case TroubleKind::kClockHourOut:
    case TroubleKind::kHalfDayOut:
    case TroubleKind::kClosedValve:
      return true;
    default:
      return basis.meter.has_value();
  }
}

DeviceVisits MakeDeviceVisits(uint64_t seed, const DeviceBasis& basis, std::optional<TroubleKind> trouble,
                              const Zone& zone) {
  Making make{Seeded(seed), basis, zone, {}};
  Seeded& seeded = make.seeded;
  const Ordinary days = {On(4, seeded.Whole(8, 19)), On(6, seeded.Whole(2, 9)), On(7, seeded.Whole(7, 30)),
                         On(9, seeded.Whole(8, 19)), On(11, seeded.Whole(3, 12))};
  make.Season(On(1, 2), KeyedSeason::kWinter, "start of the year");
  make.Season(days.spring, KeyedSeason::kSpring, "spring start-up");
  make.Season(days.summer, KeyedSeason::kSummer, "summer step-up");
  make.Season(days.fall, KeyedSeason::kFall, "step-down");
  make.Season(days.winter, KeyedSeason::kWinter, "winter setting");
  make.made.test_flush_on = On(5, seeded.Whole(5, 110));
  if (LeavesTheLook(trouble)) {
    BoxVisit look;
    look.at = make.Morning(days.look);
    look.who = "KB";
    look.why = "look at the box";
    look.left_fast_min = seeded.Whole(-2, 2);
    make.made.visits.push_back(look);
  }
  if (trouble) Befall(make, *trouble, days);
  std::sort(make.made.visits.begin(), make.made.visits.end(),
            [](const BoxVisit& a, const BoxVisit& b) { return a.at < b.at; });
  return make.made;
}

}  // namespace lastreach
