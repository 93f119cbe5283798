// By-products of disinfection, and what was supplied in each month.
#include <array>

#include "import/cell_words.h"
#include "import/month_words.h"
#include "import/reading.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Beyond this the unit is wrong: mg/L read as ug/L, or the other way about. Common practice, no source.
constexpr Concentration kMostByproduct = Concentration::MicrogramsPerLitre(1000);

struct WrittenByproduct {
  Byproduct byproduct = Byproduct::kTotalTrihalomethanes;
  std::string field;
};

// Which columns of the row hold what. The row is rejected if it says that it measures something else.
std::vector<WrittenByproduct> CellsIn(RowReader& row) {
  std::vector<WrittenByproduct> cells;
  if (!row.Known("tthm").empty()) cells.push_back({Byproduct::kTotalTrihalomethanes, "tthm"});
  if (!row.Known("haa5").empty()) cells.push_back({Byproduct::kHaloaceticAcids5, "haa5"});
  if (row.Known("result").empty()) return cells;
  const auto byproduct = ReadByproduct(row.Known("analyte"));
  if (byproduct.ok()) cells.push_back({*byproduct, "result"});
  if (!byproduct.ok()) row.Reject("analyte", byproduct.error().message);
  return cells;
}

Result<ByproductResult> ParseResult(const RowReader& row, const std::string& field) {
  const ColumnChoice& column = *row.ColumnOf(field);
  std::string text = row.Known(field);
  ByproductResult result;
  result.original = row.Written(field);
  result.below_detection = TakeBelow(text);
  if (SaysNotDetected(Plainly(text))) {
    result.below_detection = true;
    result.value = row.context().byproduct_detection_limit;
    return result;
  }
  const auto number = ParseNumber(text, column.decimal_mark);
  if (!number.ok()) return number.error();
  auto unit = column.unit;
  if (!number->rest.empty()) unit = FindUnit(Dimension::kConcentration, number->rest);
  if (!unit) return BadInput("the number has no unit; there are " + UnitNames(Dimension::kConcentration));
  if (number->value < 0) return BadInput("a concentration cannot be negative");
  result.value = Concentration::MilligramsPerLitre(number->value * unit->factor);
  if (result.value > kMostByproduct) return BadInput("this is above 1 mg/L; is the unit right?");
  return result;
}

std::string KeyOfResult(const ByproductResult& result) {
  return result.site + "\n" + FormatDate(result.day) + "\n" + std::string(ToText(result.byproduct));
}

}  // namespace

void ImportByproducts(RowReader& row, SeenRows& seen, ImportResult& result) {
  const std::string site = row.Known("site");
  if (site.empty()) return row.Reject("site", "the site is missing");
  if (IsSummaryWord(site)) return row.Reject("site", "this looks like a line that sums up the others");
  const auto day = row.Day("date");
  if (!day.ok()) return row.Reject("date", day.error().message);
  const std::vector<WrittenByproduct> cells = CellsIn(row);
  if (row.rejected()) return;
  if (cells.empty()) return row.Reject("", "there is no result in this row");
  std::vector<ByproductResult> fresh;
  std::vector<std::pair<std::string, std::string>> faults;
  for (const WrittenByproduct& cell : cells) {
    auto parsed = ParseResult(row, cell.field);
    if (parsed.ok()) {
      parsed->site = site;
      parsed->day = day->day;
      parsed->byproduct = cell.byproduct;
      const auto [there, added] = seen.line_of.emplace(KeyOfResult(*parsed), row.line());
      if (added) fresh.push_back(*parsed);
      if (!added) faults.emplace_back(cell.field, SeenRows::Before("this result", there->second));
    } else {
      faults.emplace_back(cell.field, parsed.error().message);
    }
  }
  if (fresh.empty()) return row.Reject(faults[0].first, faults[0].second);
  for (const auto& [field, reason] : faults) row.LeaveOut(field, reason);
  if (!day->note.empty()) row.Note(day->note);
  result.byproducts.insert(result.byproducts.end(), fresh.begin(), fresh.end());
}

void ImportProduction(RowReader& row, SeenRows& seen, ImportResult& result) {
  const std::string text = row.Known("month");
  if (text.empty()) return row.Reject("month", "the month is missing");
  if (IsSummaryWord(text)) return row.Reject("month", "this looks like a line that sums up the others");
  auto month = ParseYearMonth(text);
  if (const std::string year = row.Known("year"); !month.ok() && !year.empty())
    month = ParseYearMonth(text + " " + year);
  if (!month.ok()) return row.Reject("month", month.error().message);
  const LocalTime now = row.context().zone.ToLocal(row.context().when);
  const std::chrono::year_month_day today{std::chrono::floor<std::chrono::days>(now)};
  const auto [year, number] = *month;
  if (year * 12 + number >
      static_cast<int>(today.year()) * 12 + static_cast<int>(static_cast<unsigned>(today.month())))
    return row.Reject("month", "the month is in the future");
  const size_t listed = result.left_out.size();
  const auto supplied = row.Measure("supplied", {0, 1e9, true});
  if (!supplied) {
    return row.Reject("supplied", result.left_out.size() > listed ? result.left_out[listed].reason
                                                                  : "there is no volume in this row");
  }
  if (!seen.IsNew(std::to_string(year) + "-" + std::to_string(number), "the month", "month", row)) return;
  result.supplied.push_back({year, number, Volume::CubicMetres(supplied->si)});
}

}  // namespace lastreach
