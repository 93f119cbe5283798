#include "import/row_reader.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "import/cell_words.h"

namespace lastreach {
namespace {

// Names of the SI units above in messages.
std::string_view SiName(Dimension dimension) {
  switch (dimension) {
    case Dimension::kLength:
    case Dimension::kDiameter:
    case Dimension::kPressure:
      return "m";
    case Dimension::kFlow:
    case Dimension::kUse:
      return "m3/s";
    case Dimension::kVolume:
      return "m3";
    case Dimension::kConcentration:
      return "mg/L";
    case Dimension::kTemperature:
      return "C";
    case Dimension::kMass:
      return "kg";
    case Dimension::kNone:
      return "";
  }
  return "";
}

std::string Brief(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", value);
  return text;
}

}  // namespace

RejectedRow RowReader::Listing(std::string_view field, const std::string& reason) const {
  const ColumnChoice* column = ColumnOf(field);
  return {row_.line, column == nullptr ? "" : column->heading, Text(field), reason, AsWritten(row_)};
}

void RowReader::Reject(std::string_view field, const std::string& reason) {
  if (!rejected_) result_.rejected.push_back(Listing(field, reason));
  rejected_ = true;
}

void RowReader::RejectAs(RejectedRow listing) {
  listing.original = AsWritten(row_);
  if (!rejected_) result_.rejected.push_back(std::move(listing));
  rejected_ = true;
}

void RowReader::LeaveOut(std::string_view field, const std::string& reason) {
  result_.left_out.push_back(Listing(field, reason));
}

void RowReader::Note(const std::string& text) {
  result_.notes.push_back("line " + std::to_string(row_.line) + ": " + text);
}

std::string RowReader::Text(std::string_view field) const {
  const ColumnChoice* column = ColumnOf(field);
  if (column == nullptr || column->column >= row_.cells.size()) return "";
  return Trimmed(row_.cells[column->column]);
}

std::string RowReader::Known(std::string_view field) const {
  std::string text = Text(field);
  return SaysUnknown(text) ? "" : text;
}

std::string RowReader::Written(std::string_view field) const {
  const std::string text = Text(field);
  const ColumnChoice* column = ColumnOf(field);
  if (column == nullptr || !column->unit || text.empty()) return text;
  const auto number = ParseNumber(text, column->decimal_mark);
  return number.ok() && number->rest.empty() ? text + " " + column->unit->name : text;
}

std::string RowReader::Who() const {
  std::string who = Known("who");
  return who.empty() ? context_.who : who;
}

Origin RowReader::OriginOf(bool about, const std::string& note) const {
  return {about ? OriginKind::kEstimated : OriginKind::kTyped, Who(), context_.when, note};
}

std::optional<MeasuredCell> RowReader::Measure(std::string_view field, const Bounds& bounds) {
  const std::string text = Known(field);
  if (text.empty()) return std::nullopt;
  const ColumnChoice& column = *ColumnOf(field);
  const auto number = ParseNumber(UnitBehind(column.dimension, text), column.decimal_mark);
  const auto out = [&](const std::string& reason) {
    LeaveOut(field, reason);
    return std::nullopt;
  };
  if (!number.ok()) return out(number.error().message);
  std::optional<Unit> unit = column.unit;
  bool about = number->about;
  if (!number->rest.empty()) {
    std::string rest = number->rest;
    unit = FindUnit(column.dimension, rest);
    // "300 ft approx" and "300 ft?" have the word behind the unit.
    while (!unit && !rest.empty() && (rest.back() == '?' || rest.back() == '.')) {
      about = about || rest.back() == '?';
      rest.pop_back();
      unit = FindUnit(column.dimension, rest);
    }
    if (!unit) return out("'" + number->rest + "' is no unit here; there are " + UnitNames(column.dimension));
  }
  if (!unit) return out("the number has no unit");
  if (number->value == 0 && bounds.zero_is_unknown) return out("0 is taken as not known");
  const double si = number->value * unit->factor + unit->offset;
  if (si < bounds.least || si > bounds.most) {
    return out("this is not between " + Brief(bounds.least) + " and " + Brief(bounds.most) + " " +
               std::string(SiName(column.dimension)));
  }
  return MeasuredCell{si, OriginOf(about, "written " + Written(field))};
}

std::optional<Sourced<int>> RowReader::Count(std::string_view field, int most) {
  const std::string text = Known(field);
  if (text.empty()) return std::nullopt;
  const auto number = ParseCount(text);
  if (!number.ok() || number->value > most) {
    LeaveOut(field, number.ok() ? "this is more than " + std::to_string(most) : number.error().message);
    return std::nullopt;
  }
  return Sourced<int>{static_cast<int>(number->value),
                      OriginOf(number->about, number->about ? "written " + text : "")};
}

std::optional<double> RowReader::Number(std::string_view field, double least, double most) {
  const std::string text = Known(field);
  if (text.empty()) return std::nullopt;
  const auto number = ParseNumber(text, ColumnOf(field)->decimal_mark);
  if (!number.ok() || !number->rest.empty()) {
    LeaveOut(field, "this is not a number");
    return std::nullopt;
  }
  if (number->value < least || number->value > most) {
    LeaveOut(field, "this is not between " + Brief(least) + " and " + Brief(most));
    return std::nullopt;
  }
  return number->value;
}

Result<ParsedDay> RowReader::AnyDay(std::string_view field) const {
  const ColumnChoice* column = ColumnOf(field);
  const std::string text = Known(field);
  if (column == nullptr || text.empty()) return BadInput("the date is missing");
  return ParseDay(text, column->date_order);
}

Result<ParsedDay> RowReader::Day(std::string_view field) const {
  auto day = AnyDay(field);
  if (!day.ok()) return day;
  // Somebody east of the program's clock may be a day ahead.
  const LocalTime now = context_.zone.ToLocal(context_.when);
  const Date tomorrow = AddDays(Date(std::chrono::floor<std::chrono::days>(now)), 1);
  if (day->day > tomorrow) return BadInput("the date is in the future");
  if (day->day < std::chrono::year(1990) / 1 / 1) return BadInput("the date is before 1990");
  return day;
}

std::string LooseCode(std::string_view code) {
  std::string loose;
  for (const char c : code) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80 && std::isalnum(byte) == 0) continue;
    // A zero at the start of a number tells nothing.
    const bool in_number = !loose.empty() && std::isdigit(static_cast<unsigned char>(loose.back())) != 0;
    if (c == '0' && !in_number) continue;
    loose += static_cast<char>(std::tolower(byte));
  }
  return loose;
}

bool IsSummaryWord(std::string_view text) {
  static constexpr std::array<std::string_view, 14> kWords = {
      "total", "totals", "average", "avg",     "mean",     "sum",         "min",
      "max",   "count",  "minimum", "maximum", "subtotal", "grand total", "median"};
  return std::find(kWords.begin(), kWords.end(), Plainly(text)) != kWords.end();
}

PointFinder::PointFinder(const std::vector<FlushPoint>& points) {
  for (const FlushPoint& point : points) {
    by_code_.emplace(point.code.text(), point.code);
    by_loose_code_[LooseCode(point.code.text())].push_back(point.code);
    if (const std::string place = Plainly(point.place); !place.empty())
      by_place_[place].push_back(point.code);
  }
}

std::optional<PointFinder::Found> PointFinder::FindByCode(const std::string& text) const {
  if (const auto exact = by_code_.find(text); exact != by_code_.end()) return Found{exact->second, ""};
  const auto loose = by_loose_code_.find(LooseCode(text));
  if (loose == by_loose_code_.end() || loose->second.size() > 1) return std::nullopt;
  return Found{loose->second[0], "'" + text + "' was read as " + loose->second[0].text()};
}

Result<PointFinder::Found> PointFinder::Find(const std::string& text) const {
  if (const auto found = FindByCode(text)) return *found;
  if (by_loose_code_.count(LooseCode(text)) > 0) return NotFound("more than one flush point could be meant");
  if (const auto place = by_place_.find(Plainly(text)); place != by_place_.end()) {
    if (place->second.size() > 1) return NotFound("more than one flush point stands there");
    return Found{place->second[0], "'" + text + "' is the place of " + place->second[0].text()};
  }
  return NotFound("the project has no such flush point");
}

}  // namespace lastreach
