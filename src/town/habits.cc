#include "town/habits.h"

#include <cmath>

namespace lastreach {
namespace {

using std::chrono::day;
using std::chrono::month;
using std::chrono::year;

constexpr Date On(unsigned m, unsigned d) { return year(2026) / month(m) / day(d); }

constexpr int kReadAt_min = 10 * 60;
constexpr int kLongestLook_days = 21;

// D22 stuck open on Thursday night's run and ran until a neighbour called on Saturday.
constexpr Date kStuckFrom = On(7, 16);
constexpr double kStuckHours = 54;

// What is keyed on a date: the start-up's setting or the latest change up to then.
Habit::Change KeyedOn(const Habit& habit, Date date) {
  Habit::Change keyed = {habit.first_day, habit.minutes, habit.weekday_bits};
  for (const Habit::Change& change : habit.changes) {
    if (DayNumber(date) >= DayNumber(change.from)) keyed = change;
  }
  return keyed;
}

bool IsRunDay(const Habit& habit, Date date) {
  if (habit.days == Habit::Days::kNever || DayNumber(date) < DayNumber(habit.first_day)) return false;
  const unsigned of_month = static_cast<unsigned>(date.day());
  switch (habit.days) {
    case Habit::Days::kOdd:
      return of_month % 2 == 1;
    case Habit::Days::kEven:
      return of_month % 2 == 0;
    case Habit::Days::kEveryN:
      return (DayNumber(date) - DayNumber(habit.first_day)) % habit.every_n == 0;
    default: {
      const unsigned monday_based = std::chrono::weekday(std::chrono::sys_days(date)).iso_encoding() - 1;
      return (KeyedOn(habit, date).weekday_bits >> monday_based & 1U) != 0;
    }
  }
}

}  // namespace

const std::vector<Habit>& Habits() {
  using Days = Habit::Days;
  constexpr unsigned kDaily = 0x7F;
  // Columns: code, flow [gpm], starts, days, weekdays, every n, minutes, changes, first day, fresh, decay.
  static const std::vector<Habit> kHabits = {
      {"D01", 60, {120, 840}, Days::kNever, kDaily, 1, 25, {}, On(4, 13), 0.12, 0.02},
      {"D02", 55, {120, 172, 224}, Days::kWeekdays, kDaily, 1, 40, {{On(6, 2), 52}}, On(4, 13), 1.0, 0.62},
      {"D03", 45, {180}, Days::kOdd, kDaily, 1, 20, {}, On(4, 14), 0.9, 0.60},
      {"D04", 47.6, {180}, Days::kEven, kDaily, 1, 20, {}, On(4, 14), 0.9, 0.60},
      {"D05", 60, {450}, Days::kWeekdays, kDaily, 1, 40, {}, On(4, 15), 1.0, 0.61},
      {"D06",
       70,
       {210},
       Days::kWeekdays,
       kDaily,
       1,
       30,
       {{On(5, 18), 36}, {On(7, 6), 54}},
       On(4, 16),
       1.0,
       0.66},
      {"D07", 50, {915}, Days::kWeekdays, kDaily, 1, 30, {}, On(4, 17), 1.0, 0.62},
      {"D08", 40, {180}, Days::kEveryN, kDaily, 3, 30, {}, On(5, 20), 1.0, 0.58},
      {"D09", 55, {180}, Days::kWeekdays, 0x1F, 1, 30, {}, On(4, 14), 1.0, 0.60},
      {"D10", 80, {120}, Days::kWeekdays, kDaily, 1, 30, {}, On(4, 15), 1.1, 0.60},
      {"D11", 65, {120, 840}, Days::kWeekdays, kDaily, 1, 40, {}, On(4, 15), 0.3, 0.50},
      {"D12", 60, {240}, Days::kWeekdays, kDaily, 1, 20, {}, On(4, 16), 0.75, 0.15},
      {"D13", 35, {300}, Days::kWeekdays, kDaily, 1, 45, {}, On(4, 17), 1.0, 0.66},
      {"D14", 45, {120, 840}, Days::kWeekdays, kDaily, 1, 45, {}, On(4, 17), 0.35, 0.55},
      {"D15", 62, {150, 570}, Days::kWeekdays, kDaily, 1, 30, {}, On(4, 16), 0.9, 0.60},
      {"D16", 79, {180}, Days::kOdd, kDaily, 1, 20, {}, On(4, 13), 1.0, 0.62},
      {"D17", 70, {180}, Days::kWeekdays, 0x09, 1, 15, {{On(5, 25), 30}}, On(4, 14), 1.9, 0.12},
      {"D18", 39.6, {210}, Days::kEveryN, kDaily, 3, 35, {}, On(5, 4), 2.0, 0.12},
      {"D19", 60, {180}, Days::kWeekdays, 0x15, 1, 30, {}, On(4, 15), 2.0, 0.13},
      {"D20", 40, {120}, Days::kWeekdays, 0x22, 1, 30, {}, On(4, 16), 1.7, 0.15},
      {"D21", 50, {300}, Days::kWeekdays, 0x4A, 1, 25, {{On(6, 11), 0}}, On(4, 17), 1.9, 0.13},
      {"D22", 45, {240}, Days::kWeekdays, 0x09, 1, 20, {}, On(4, 17), 1.9, 0.12},
      {"D23", 55, {150}, Days::kEven, kDaily, 1, 25, {}, On(4, 13), 2.0, 0.12},
      {"D24", 20, {120}, Days::kWeekdays, 0x55, 1, 15, {}, On(4, 14), 1.9, 0.16},
  };
  return kHabits;
}

int MinutesOn(const Habit& habit, Date date) {
  return IsRunDay(habit, date) ? KeyedOn(habit, date).minutes : 0;
}

double GallonsBefore(const Habit& habit, Date date) {
  double gallons = 0;
  for (Date each = On(1, 1); std::chrono::sys_days(each) <= std::chrono::sys_days(date);
       each = AddDays(each, 1)) {
    for (const int start : habit.starts_min) {
      if (each == date && start >= kReadAt_min) break;
      gallons += MinutesOn(habit, each) * habit.flow_gpm;
    }
  }
  if (habit.code == "D22" && std::chrono::sys_days(date) > std::chrono::sys_days(kStuckFrom)) {
    gallons += kStuckHours * 60 * habit.flow_gpm;
  }
  return gallons;
}

double HoursSinceRun(const Habit& habit, Date date, int minute) {
  for (int back = 0; back < kLongestLook_days; ++back) {
    if (MinutesOn(habit, AddDays(date, -back)) == 0) continue;
    for (size_t i = habit.starts_min.size(); i-- > 0;) {
      const int since_min = back * 1440 + minute - habit.starts_min[i];
      if (since_min >= 0) return since_min / 60.0;
    }
  }
  return kLongestLook_days * 24.0;
}

double Residual_mg_per_l(const Habit& habit, Date date, int minute) {
  return habit.fresh_mg_per_l * std::exp(-habit.decay_per_day * HoursSinceRun(habit, date, minute) / 24);
}

}  // namespace lastreach
