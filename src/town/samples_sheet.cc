#include <algorithm>
#include <cmath>

#include "town/habits.h"
#include "town/log_sheets.h"
#include "town/seeded.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

constexpr int kWeeks = 13;
constexpr double kKitScatter_mg_per_l = 0.06;  // inside the +-0.1 mg/L of a field kit

enum class Person { kKb, kRm };

// One grab before it is written down.
struct Grab {
  Date date;
  int minute = 0;
  const TownEnd* end = nullptr;
  double residual_mg_per_l = 0;
  int temperature_c = 0;
  Person by = Person::kKb;
};

bool IsChloramine(const TownEnd& end) { return SupplyZoneOf(end) == kHighTank; }

// What a hand-flushed end holds weeks after its last flush: less where nobody lives.
double HandEndResidual_mg_per_l(const TownEnd& end) {
  const double most = IsChloramine(end) ? 2.0 : 0.9;
  return most * (0.1 + 0.12 * end.services);
}

double TrueResidual_mg_per_l(const TownEnd& end, Date date, int minute) {
  if (end.code[0] == 'H') return std::min(HandEndResidual_mg_per_l(end), IsChloramine(end) ? 1.8 : 0.8);
  const auto& habits = Habits();
  const auto found =
      std::find_if(habits.begin(), habits.end(), [&](const Habit& habit) { return habit.code == end.code; });
  return Residual_mg_per_l(*found, date, minute);
}

// Nineteen grabs a week: K.B. on Tuesday and Wednesday mornings at devices, R.M. on Thursday and Friday
// afternoons at both kinds.
std::vector<Grab> Grabs(Seeded& seeded) {
  std::vector<Grab> grabs;
  size_t device = 0, hand = 0;
  for (int week = 0; week < kWeeks; ++week) {
    for (int day = 1; day <= 4; ++day) {
      const Date date = AddDays(std::chrono::year(2026) / 6 / 1, 7 * week + day);
      int minute = (day <= 2 ? 8 : 12) * 60 + seeded.Whole(0, 30);
      for (int i = 0; i < (day == 4 ? 4 : 5); ++i) {
        const bool at_hand = day >= 3 && i % 2 == 1;
        const TownEnd& end =
            at_hand ? HandEnds()[hand++ % HandEnds().size()] : Devices()[device++ % Devices().size()];
        const double noise = kKitScatter_mg_per_l * seeded.Bell();
        grabs.push_back({date, minute, &end, std::max(0.0, TrueResidual_mg_per_l(end, date, minute) + noise),
                         21 + week / 3 + seeded.Whole(0, 2), day <= 2 ? Person::kKb : Person::kRm});
        minute += seeded.Whole(25, 70);
      }
    }
  }
  return grabs;
}

// "7/14/26 2:15 pm"
std::string MonthFirst(Date date, int minute) {
  const int hour = minute / 60;
  const int shown = hour % 12 == 0 ? 12 : hour % 12;
  return std::to_string(static_cast<unsigned>(date.month())) + "/" +
         std::to_string(static_cast<unsigned>(date.day())) + "/" +
         std::to_string(static_cast<int>(date.year()) % 100) + " " + std::to_string(shown) +
         (minute % 60 < 10 ? ":0" : ":") + std::to_string(minute % 60) + (hour < 12 ? " am" : " pm");
}

// Each person's own words for nothing found, for a pair of readings, and for free or total.
SheetRow Written(const Grab& grab, size_t number) {
  const bool total = IsChloramine(*grab.end);
  const bool kb = grab.by == Person::kKb;
  std::string reading = Digits(grab.residual_mg_per_l, kb ? 2 : 1);
  std::string kind = total ? "T" : "F";
  if (kb && grab.residual_mg_per_l < 0.05) {
    reading = "ND";
  } else if (!kb && grab.residual_mg_per_l < 0.1) {
    reading = "<0.1";
  } else if (!kb && number % 23 == 0 && !total) {
    reading += "/" + Digits(grab.residual_mg_per_l + 0.3, 1);
    kind = "F/T";
  } else if (number % 19 == 0) {
    reading += kind;
    kind = "";
  } else if (number % 5 == 0) {
    kind = "";
  }
  const std::string temperature =
      kb                ? std::to_string(grab.temperature_c) + " C"
      : number % 4 == 0 ? ""
                        : std::to_string(static_cast<int>(std::lround(grab.temperature_c * 1.8 + 32)));
  const std::string when =
      kb ? FormatDate(grab.date) + " " + FormatTimeOfDay(grab.minute) : MonthFirst(grab.date, grab.minute);
  return {when, grab.end->code, reading, kind, temperature, kb ? "KB" : "RM", ""};
}

constexpr size_t kWhen = 0, kSite = 1, kReading = 2, kKind = 3, kComment = 6;

// The street of a row's site with two letters the wrong way round.
std::string MisspeltStreet(const SheetRow& row) {
  for (const TownEnd& end : Devices()) {
    if (end.code != row[kSite]) continue;
    std::string street = end.street;
    std::swap(street[2], street[3]);
    return street;
  }
  return row[kSite] + "?";
}

std::string WithPointAs(std::string reading, const char* mark) {
  const size_t point = reading.find('.');
  return point == std::string::npos ? reading : reading.replace(point, 1, mark);
}

// The mess that no rule makes: each slip stands at a row of its own. Rows by K.B. have an hour after a blank.
void Spoil(std::vector<SheetRow>& rows) {
  const auto from = [&rows](size_t first, auto wanted) -> SheetRow& {
    return *std::find_if(rows.begin() + static_cast<std::ptrdiff_t>(first), rows.end(), wanted);
  };
  const auto at_device = [](const SheetRow& row) { return row[kSite][0] == 'D'; };
  const auto by_kb = [](const SheetRow& row) { return row[kWhen].find('-') != std::string::npos; };
  const auto total = [](const SheetRow& row) { return row[kKind] == "T"; };
  const auto number = [](const SheetRow& row) {
    return row[kReading].find_first_not_of("0123456789.") == std::string::npos;
  };
  const auto nothing_found = [](const SheetRow& row) {
    return row[kReading] == "ND" || row[kReading] == "<0.1";
  };

  rows[12][kReading] = "";
  rows[12][kComment] = "kit battery flat";
  SheetRow& misspelt = from(40, at_device);
  misspelt[kSite] = MisspeltStreet(misspelt);
  from(57, number)[kReading] += " (after 10 min running)";
  rows[71][kComment] = "musty, called it in";
  SheetRow& no_time = from(88, by_kb);
  no_time[kWhen] = no_time[kWhen].substr(0, no_time[kWhen].find(' '));
  no_time[kComment] = "forgot the time";
  rows[103][kReading] = "see notebook";
  rows[120][kSite] = "";
  rows[120][kComment] = "end by the grain bins?";
  SheetRow& comma = from(139, number);
  comma[kReading] = WithPointAs(comma[kReading], ",");
  from(150, total)[kKind] = "mono";
  SheetRow& no_point = from(166, number);
  no_point[kReading] = WithPointAs(no_point[kReading], "");
  no_point[kComment] = "typed in the truck";
  rows[181][kSite] += " ";
  rows[181][kComment] = "cap was loose\nput a new chain on";
  from(190, nothing_found)[kReading] = "n.d.";
  const SheetRow twice = rows[160];
  rows.insert(rows.begin() + 205, twice);
}

}  // namespace

std::string SamplesSheet() {
  Seeded seeded(20260601);
  std::vector<SheetRow> rows;
  const std::vector<Grab> grabs = Grabs(seeded);
  for (size_t i = 0; i < grabs.size(); ++i) rows.push_back(Written(grabs[i], i));
  Spoil(rows);
  // The night the clocks went forward there was no half past two.
  rows.insert(rows.begin(), {"2026-03-08 02:30", "D12", "0.71", "F", "9 C", "KB", "night call, brown water"});
  rows.insert(rows.begin(),
              {"Date/Time", "Site", "Residual (mg/L)", "Free/Total", "Temp (F)", "Sampler", "Comments"});
  return CsvText(rows);
}

}  // namespace lastreach
