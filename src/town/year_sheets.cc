#include "town/year_sheets.h"

#include <array>

#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

// Month, and for each zone the warmest week, the use as times the average and the residual in the mains. The
// use of twelve months averages 1; July and August are as warm as zones.csv has the worst week.
constexpr std::array<std::array<const char*, 7>, 12> kMonths = {{
    {"January", "4 C", "0.78", "1.3", "46 F", "0.74", "2.5"},
    {"February", "5 C", "0.78", "1.3", "47 F", "0.74", "2.5"},
    {"March", "9 C", "0.84", "1.3", "51 F", "0.80", ""},
    {"April", "14 C", "0.95", "1.2", "57 F", "0.92", "2.4"},
    {"May", "19 C", "1.08", "1.2", "64 F", "1.10", ""},
    {"June", "23 C", "1.22", "1.1", "71 F", "1.28", "2.3"},
    {"July", "25.5 C", "1.34", "1.1", "76 F", "1.42", "2.2"},
    {"August", "26 C", "1.30", "1.1", "77 F", "1.36", "2.2"},
    {"September", "22 C", "1.10", "1.1", "72 F", "1.10", "2.2"},
    {"October", "16 C", "0.93", "1.2", "64 F", "0.90", "2.3"},
    {"November", "10 C", "0.85", "1.2", "about 55 F", "0.83", ""},
    {"December", "5 C", "0.83", "1.3", "48 F", "0.81", "2.5"},
}};

}  // namespace

std::string TemperaturesSheet() {
  std::vector<SheetRow> rows = {
      {"Zone", "Month", "Warmest week", "Use (times average)", "Upstream residual (mg/L)", "Source"}};
  for (const auto& month : kMonths)
    rows.push_back({kMillrace, month[0], month[1], month[2], month[3], "plant log 2023 to 2025"});
  for (const auto& month : kMonths)
    rows.push_back({kHighTank, month[0], month[4], month[5], month[6], "neighbour's monthly letter"});
  return CsvText(rows);
}

std::string TripsSheet() {
  return CsvText({{"Point or zone", "When", "Why"},
                  {"all", "monthly", "meter reads, first of the month"},
                  {"D13", "monthly", "tablets"},
                  {"D08", "May", "battery"},
                  {"D16", "May", "battery"},
                  {"D18", "May", "battery"},
                  {"D23", "May", "battery"},
                  {"Millrace", "April, October", "start-up and winterising"},
                  {"High Tank", "2027-04-14", "hydrants with the fire department"}});
}

std::string PricesSheet() {
  return CsvText({{"What", "Price", "Per", "Source"},
                  {"water", "$4.85", "1000 gal", "clerk: power, chemicals and bought water, January 2026"},
                  {"visit", "$65", "", "clerk: one person, one hour, one truck"}});
}

}  // namespace lastreach
