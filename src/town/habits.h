#pragma once

#include <string>
#include <vector>

#include "core/civil_time.h"

namespace lastreach {

// What a device really does through 2026, whatever the sheets say; samples and meter reads are drawn from it.
// This is invented data and kept simple: the runs of a night count on the date they start, and a run is taken
// to bring the end to `fresh_mg_per_l` at once.
struct Habit {
  enum class Days { kNever, kWeekdays, kOdd, kEven, kEveryN };
  struct Change {
    Date from;
    int minutes = 0;  // 0 stops the device
    unsigned weekday_bits = 0x7F;
  };

  std::string code;
  double flow_gpm = 0;
  std::vector<int> starts_min;  // local time in summer, in order, minutes of the day
  Days days = Days::kWeekdays;
  unsigned weekday_bits = 0x7F;  // bit 0 is Monday
  int every_n = 1;
  int minutes = 0;              // effective, from the spring start-up on
  std::vector<Change> changes;  // later ones, in order
  Date first_day;               // spring start-up, or the day its count began
  double fresh_mg_per_l = 0;    // at the end, just after a run
  double decay_per_day = 0;     // of the end's water in summer
};

// D01 to D24 in order.
const std::vector<Habit>& Habits();

int MinutesOn(const Habit& habit, Date date);  // effective minutes of each run, 0 on days without runs

// Gallons drawn from the meter since the year began up to 10:00 on `date`.
double GallonsBefore(const Habit& habit, Date date);

// Hours from the last run's start, at most 21 days. REQUIRES: 0 <= minute < 1440.
double HoursSinceRun(const Habit& habit, Date date, int minute);

// fresh x exp(-decay x days since the run). [mg/L]
double Residual_mg_per_l(const Habit& habit, Date date, int minute);

}  // namespace lastreach
