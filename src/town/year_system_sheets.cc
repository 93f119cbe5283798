// What the laboratory and the plant write, and the answer key.
#include <algorithm>

#include "ledger/months.h"
#include "town/dirty_year_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {

std::string YearByproductsSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Date", "Site", "TTHM (ug/L)", "HAA5 (ug/L)"}};
  for (const ByproductResult& result : year.byproducts) {
    if (result.byproduct == Byproduct::kTotalTrihalomethanes) {
      rows.push_back({FormatDate(result.day), result.site, result.original, ""});
    } else {
      rows.back()[3] = result.original;
    }
  }
  return CsvText(rows);
}

std::string YearProductionSheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Month", "Volume (kgal)"}};
  for (const SuppliedMonth& month : year.supplied) {
    rows.push_back({std::string(MonthWord(month.month)) + " " + std::to_string(month.year),
                    Digits(month.supplied.gallons() / 1000, 0)});
  }
  return CsvText(rows);
}

std::string YearKeySheet(const DirtyYear& year) {
  std::vector<SheetRow> rows = {{"Point", "Trouble", "Since", "Until", "Told by", "From"}};
  for (const Trouble& trouble : year.troubles) {
    rows.push_back({trouble.point.text(), std::string(ToText(trouble.kind)), FormatDate(trouble.since),
                    trouble.until ? FormatDate(*trouble.until) : "",
                    std::string(ToText(ToldByOf(trouble.kind))), FormatDate(trouble.told_from)});
  }
  return CsvText(rows);
}

std::string YearReadme() {
  return R"(The invented town, the year 2025
================================
Nothing here is real. It is a year of the same streets and boxes as in the folder beside it, another tale of
them: what K.B. and R.M. wrote down from January to December, and what went wrong without anybody saying so.
KEY.csv is the answer: do not look before you have asked the program. The same sheets come out every time.

devices.csv, ends.csv, timers.csv, zones.csv   24 devices, 12 ends flushed by hand
settings.csv      what was found in the boxes and left in them: four seasons, and looks between
visits.csv        who went where, and why
reads.csv         every meter once a month, some weekly in summer, each in the unit of its dial. Two figures
                  left out, two figures swapped and estimates happen, as they do
samples.csv       residuals every other week; ammonia and nitrite where the water is chloramine
flow-tests.csv    the flow of each device by drum, in spring
test-flushes.csv  one flush of each device with readings until they were flat
runs.csv          what was flushed by hand, the test flushes too
byproducts.csv    four sites, four quarters
production.csv    what went into the system, by month

Twelve troubles, each at one device: a battery that died in July; a valve stuck open over a weekend; a clock an
hour out; starts keyed for the afternoon; 150 % left after the hot spell; a new meter read in the wrong unit; a
valve closed upstream; nitrification; a diameter that is wrong on the map; a valve that dribbles; a season that
two people keyed; a setting of the free-chlorine weeks that nobody took back.
)";
}

}  // namespace lastreach
