#include "import/unit_guess.h"

#include <algorithm>
#include <cstdio>

#include "import/cell_words.h"

namespace lastreach {
namespace {

// The numbers of a column that have no unit of their own, and whether some cell has one.
struct BareNumbers {
  std::vector<double> values;
  std::vector<UnitFamily> families;  // of the cells that do have a unit
};

BareNumbers NumbersOf(const Table& table, const ColumnChoice& choice) {
  BareNumbers numbers;
  for (const TableRow& row : table.rows) {
    if (choice.column >= row.cells.size() || row.cells.size() > table.headings.size()) continue;
    if (SaysUnknown(row.cells[choice.column])) continue;
    std::string cell = row.cells[choice.column];
    if (!cell.empty() && cell[0] == '<') cell.erase(0, 1);
    const auto number = ParseNumber(UnitBehind(choice.dimension, cell), choice.decimal_mark);
    if (!number.ok() || number->value <= 0) continue;
    if (const auto unit = FindUnit(choice.dimension, number->rest)) {
      numbers.families.push_back(unit->family);
    } else {
      numbers.values.push_back(number->value);
    }
  }
  return numbers;
}

std::string FirstValues(const std::vector<double>& values) {
  std::string text;
  for (size_t i = 0; i < std::min<size_t>(3, values.size()); ++i) {
    char number[32];
    std::snprintf(number, sizeof number, "%s%g", i == 0 ? "" : ", ", values[i]);
    text += number;
  }
  return text;
}

double MedianOf(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

// Votes of the columns whose unit is written.
std::optional<UnitFamily> FamilyOf(const Preview& preview, const std::vector<BareNumbers>& numbers) {
  int us = 0;
  int metric = 0;
  for (size_t i = 0; i < preview.columns.size(); ++i) {
    const ColumnChoice& choice = preview.columns[i];
    // Chlorine is in mg/L on both sides of the ocean.
    if (choice.dimension == Dimension::kConcentration) continue;
    if (choice.unit) ++(choice.unit->family == UnitFamily::kUs ? us : metric);
    for (const UnitFamily family : numbers[i].families) ++(family == UnitFamily::kUs ? us : metric);
  }
  if (us == metric) return std::nullopt;
  return us > metric ? UnitFamily::kUs : UnitFamily::kMetric;
}

void Take(ColumnChoice& choice, const char* unit, std::string why, double confidence) {
  choice.unit = FindUnit(choice.dimension, unit);
  choice.unit_why = std::move(why);
  choice.confidence = std::min(choice.confidence, confidence);
}

// What the values alone say, where they say anything.
void GuessFromValues(TableKind kind, ColumnChoice& choice, const std::vector<double>& values) {
  const std::string shown = "values " + FirstValues(values) + " look like ";
  const double middle = MedianOf(values);
  // By-products are limited to less than 0.1 mg/L, and laboratories do not read less than 0.5 ug/L.
  if (kind == TableKind::kByproducts && choice.dimension == Dimension::kConcentration) {
    return middle < 0.3 ? Take(choice, "mg/L", shown + "mg/L", 0.9)
                        : Take(choice, "ug/L", shown + "ug/L", 0.9);
  }
  if (choice.dimension == Dimension::kConcentration) Take(choice, "mg/L", "the usual unit", 0.95);
  if (choice.dimension == Dimension::kDiameter && middle <= 36) Take(choice, "in", shown + "inches", 0.9);
  if (choice.dimension == Dimension::kDiameter && middle >= 40)
    Take(choice, "mm", shown + "millimetres", 0.9);
  if (choice.dimension == Dimension::kTemperature && middle > 40) Take(choice, "F", shown + "degrees F", 0.9);
  if (choice.dimension == Dimension::kTemperature && middle <= 30)
    Take(choice, "C", shown + "degrees C", 0.9);
}

void GuessFromFamily(ColumnChoice& choice, UnitFamily family) {
  const bool us = family == UnitFamily::kUs;
  const std::string why = std::string("the other columns are in ") + (us ? "US" : "metric") + " units";
  switch (choice.dimension) {
    case Dimension::kLength:
      return Take(choice, us ? "ft" : "m", why, 0.7);
    case Dimension::kDiameter:
      return Take(choice, us ? "in" : "mm", why, 0.7);
    case Dimension::kFlow:
      return Take(choice, us ? "gpm" : "L/s", why, 0.7);
    case Dimension::kTemperature:
      return Take(choice, us ? "F" : "C", why, 0.7);
    case Dimension::kMass:
      return Take(choice, us ? "lb" : "kg", why, 0.7);
    case Dimension::kVolume:
    case Dimension::kUse:
    case Dimension::kPressure:
    case Dimension::kConcentration:
    case Dimension::kNone:
      return;
  }
}

// One dial is read twice, or two of one place: where one column has its unit, so has the other.
void ShareDialUnits(Preview& preview) {
  const auto is_dial = [](const ColumnChoice& choice) {
    return choice.field == "meter_before" || choice.field == "meter_after" || choice.field == "new_meter" ||
           (choice.field == "total" && choice.dimension == Dimension::kVolume);
  };
  for (ColumnChoice& choice : preview.columns) {
    if (choice.unit || !is_dial(choice)) continue;
    for (const ColumnChoice& other : preview.columns) {
      if (choice.unit || !other.unit || !is_dial(other)) continue;
      choice.unit = other.unit;
      choice.unit_why = "as in '" + other.heading + "'";
    }
  }
}

}  // namespace

Status GuessUnits(const Table& table, Preview& preview) {
  std::vector<BareNumbers> numbers;
  for (const ColumnChoice& choice : preview.columns) {
    numbers.push_back(choice.dimension == Dimension::kNone ? BareNumbers() : NumbersOf(table, choice));
  }
  for (size_t i = 0; i < preview.columns.size(); ++i) {
    ColumnChoice& choice = preview.columns[i];
    if (!choice.unit && !numbers[i].values.empty()) GuessFromValues(preview.kind, choice, numbers[i].values);
  }
  ShareDialUnits(preview);
  const auto family = FamilyOf(preview, numbers);
  // Reads may give the unit in a column of its own, row by row.
  const bool unit_column = preview.Find("unit") != nullptr;
  for (size_t i = 0; i < preview.columns.size(); ++i) {
    ColumnChoice& choice = preview.columns[i];
    if (choice.dimension == Dimension::kNone || choice.unit) continue;
    if (numbers[i].values.empty() || unit_column) continue;
    if (family) GuessFromFamily(choice, *family);
    if (!choice.unit && choice.dimension == Dimension::kFlow && MedianOf(numbers[i].values) >= 20) {
      Take(choice, "gpm", "values " + FirstValues(numbers[i].values) + " look like gpm", 0.6);
    }
    if (!choice.unit) {
      return BadInput("the unit of this column is not known; write it in the heading, as in '" +
                          choice.heading + " (" +
                          UnitNames(choice.dimension).substr(0, UnitNames(choice.dimension).find(',')) +
                          ")', or under [units] in a columns file",
                      {table.file, table.heading_line, choice.heading, FirstValues(numbers[i].values)});
    }
  }
  return Ok();
}

}  // namespace lastreach
