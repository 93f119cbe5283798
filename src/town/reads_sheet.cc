#include <array>
#include <cmath>

#include "town/habits.h"
#include "town/log_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {
namespace {

struct Meter {
  const char* code;
  const char* serial;
  const char* unit;  // as written beside the read
  double unit_gal;   // gallons of one unit
  double start_gal;  // on the dial on New Year's Day
  int decimals;      // of the dial
};

constexpr std::array<Meter, 16> kMeters = {{
    {"D01", "MB-1107", "gal", 1, 512340, 0},
    {"D02", "MB-1112", "kgal", 1000, 1833400, 1},
    {"D03", "MB-1093", "gal", 1, 274110, 0},
    {"D05", "MB-1120", "x100 gal", 100, 905500, 0},
    {"D06", "MB-1088", "kgal", 1000, 2210700, 1},
    {"D07", "MB-1131", "gal", 1, 431900, 0},
    {"D09", "MB-1099", "gal", 1, 688020, 0},
    {"D10", "MB-1140", "x100 gal", 100, 1402300, 0},
    {"D11", "MB-1075", "kgal", 1000, 3120900, 1},
    {"D12", "MB-1144", "gal", 1, 96400, 0},
    {"D13", "MB-1102", "gal", 1, 533770, 0},
    {"D15", "MB-1066", "x100 gal", 100, 1175800, 0},
    {"D16", "MB-1151", "gal", 1, 61280, 0},
    {"D17", "GT-201", "gal", 1, 847600, 0},
    {"D21", "GT-198", "gal", 1, 319450, 0},
    {"D22", "GT-215", "x100 gal", 100, 244900, 0},
}};

// D19's meter is left out: its lid was under a parked trailer at every round.

constexpr std::array<Date, 6> kRounds = {
    std::chrono::year(2026) / 3 / 2, std::chrono::year(2026) / 4 / 1, std::chrono::year(2026) / 5 / 1,
    std::chrono::year(2026) / 6 / 1, std::chrono::year(2026) / 7 / 1, std::chrono::year(2026) / 8 / 3,
};
// D06 got a new meter between the June and the July round.
constexpr Date kNewMeter = std::chrono::year(2026) / 6 / 17;

std::string Dial(double gallons, const Meter& meter) {
  const double scale = std::pow(10, meter.decimals) / meter.unit_gal;
  return Digits(std::floor(gallons * scale) / std::pow(10, meter.decimals), meter.decimals);
}

// R.M. reads in the months that are even.
std::string Written(Date date) {
  const unsigned month = static_cast<unsigned>(date.month());
  if (month % 2 == 1) return FormatDate(date);
  return std::to_string(month) + "/" + std::to_string(static_cast<unsigned>(date.day())) + "/26";
}

SheetRow Read(const Habit& habit, const Meter& meter, Date date) {
  const std::string who = static_cast<unsigned>(date.month()) % 2 == 1 ? "KB" : "RM";
  const bool after_swap = habit.code == "D06" && DayNumber(date) > DayNumber(kNewMeter);
  const double gallons = after_swap ? GallonsBefore(habit, date) - GallonsBefore(habit, kNewMeter)
                                    : meter.start_gal + GallonsBefore(habit, date);
  SheetRow row = {
      Written(date), habit.code, after_swap ? "MB-1160" : meter.serial, Dial(gallons, meter), meter.unit,
      who,           ""};
  const int month = static_cast<int>(static_cast<unsigned>(date.month()));
  // The dial's last two figures are painted on; this once nobody wrote them.
  if (habit.code == "D17" && month == 7) row[3] = row[3].substr(0, row[3].size() - 2);
  if (habit.code == "D09" && month == 7) {
    row[3] = Dial(meter.start_gal + GallonsBefore(habit, kRounds[3]) + 40000, meter);
    row[6] = "est, pit under water";
  }
  if (habit.code == "D12" && month == 5) row[4] = "";
  return row;
}

}  // namespace

std::string ReadsSheet() {
  std::vector<SheetRow> rows = {{"Date", "Device", "Meter no.", "Read", "Unit", "By", "Notes"}};
  for (const Date round : kRounds) {
    for (const Meter& meter : kMeters) {
      for (const Habit& habit : Habits()) {
        if (habit.code != meter.code) continue;
        if (habit.code == "D06" && round == kRounds[4]) {
          const double out_gal = meter.start_gal + GallonsBefore(habit, kNewMeter);
          rows.push_back(
              {"6/17/26", "D06", meter.serial, Dial(out_gal, meter), meter.unit, "RM", "old meter out"});
          rows.push_back(
              {"6/17/26", "D06", "MB-1160", "0.0", meter.unit, "RM", "new meter in, starts at zero"});
        }
        rows.push_back(Read(habit, meter, round));
      }
    }
  }
  return "\xEF\xBB\xBF" + CsvText(rows, "\r\n");
}

}  // namespace lastreach
