// Readings of the devices' meters.
#include <cctype>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

struct Dial {
  Volume total;
  std::string original;
  bool is_estimate = false;
};

// A number on a dial: "12345", "12345 E", "about 12345", "12345 x100 gal". The unit stands in the cell, in a
// column of its own, or in the heading.
Result<Dial> ReadDial(const RowReader& row, const char* field) {
  const std::string text = row.Known(field);
  const ColumnChoice& column = *row.ColumnOf(field);
  auto number = ParseNumber(text, column.decimal_mark);
  if (!number.ok()) return number.error();
  Dial dial;
  dial.is_estimate = number->about;
  for (const char* mark : {"e", "est", "estimated", "(e)", "(est)", "est."}) {
    const std::string lower = Lower(number->rest);
    const size_t length = std::string_view(mark).size();
    if (!lower.ends_with(mark) || (lower.size() > length && std::isalpha(static_cast<unsigned char>(
                                                                lower[lower.size() - length - 1])) != 0))
      continue;
    dial.is_estimate = true;
    number->rest = Trimmed(number->rest.substr(0, number->rest.size() - length));
    break;
  }
  std::optional<Unit> unit = column.unit;
  std::string said = number->rest;
  if (said.empty()) said = row.Known("unit");
  if (!said.empty()) unit = FindUnit(Dimension::kVolume, said);
  if (!unit) {
    return BadInput(said.empty()
                        ? "the reading has no unit"
                        : "'" + said + "' is no unit here; there are " + UnitNames(Dimension::kVolume));
  }
  if (number->value < 0) return BadInput("a meter does not show negative numbers");
  dial.total = Volume::CubicMetres(number->value * unit->factor);
  dial.original = number->rest.empty() ? text + " " + unit->name : text;
  return dial;
}

}  // namespace

void ImportMeterRead(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto moment = RequireMoment(row);
  if (!moment) return;
  const std::string text = row.Known("total");
  if (text.empty()) return row.Reject("total", "there is no meter reading in this row");
  auto dial = ReadDial(row, "total");
  if (!dial.ok()) return row.Reject("total", dial.error().message);
  MeterRead read;
  read.point = *point;
  read.day = moment->day;
  read.minute_of_day = moment->minute_of_day;
  read.total = dial->total;
  read.original = dial->original;
  read.who = row.Who();
  read.is_estimate = Optional(row, "estimated", ReadEstimated).value_or(dial->is_estimate);
  if (!row.Known("new_meter").empty()) {
    const auto shown = ReadDial(row, "new_meter");
    if (shown.ok()) read.new_meter_at = shown->total;
    if (!shown.ok()) row.LeaveOut("new_meter", shown.error().message);
  }
  if (!seen.IsNew(KeyOf(read), "this reading", "", row)) return;
  result.reads.push_back(std::move(read));
}

}  // namespace lastreach
