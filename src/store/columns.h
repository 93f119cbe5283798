#pragma once

#include <cstdio>
#include <cstdlib>
#include <optional>
#include <string>

#include "core/civil_time.h"
#include "core/origin.h"
#include "core/quantity.h"
#include "core/result.h"
#include "store/database.h"

namespace lastreach {

// How the ledger's values become columns and come back. Times are UTC as GeoPackage writes them,
// 2026-07-01T05:10:00.000Z, dates 2026-07-01.
Value TimeValue(Instant instant);
Result<Instant> ReadTime(const Row& row, const std::string& column);
Value DateValue(const std::optional<Date>& date);
Result<Date> ReadDate(const Row& row, const std::string& column);
Value IntValue(const std::optional<int>& number);
std::optional<int> ReadInt(const Row& row, const std::string& column);
Value RealValue(const std::optional<double>& number);
std::optional<double> ReadReal(const Row& row, const std::string& column);
std::string TextOf(std::string_view word);

// The shortest decimal number that gives the same quantity back, so that 0.4 mg/L stands in the file as 0.4
// whatever the quantity holds inside. If none does, the number as it is, at most one last bit off.
template <typename Quantity, typename Build, typename Read>
double ShortestNumber(const Quantity& quantity, Build build, Read read) {
  const double exact = read(quantity);
  for (int digits = 6; digits < 17; ++digits) {
    char text[40];
    std::snprintf(text, sizeof text, "%.*g", digits, exact);
    const double shorter = std::strtod(text, nullptr);
    if (build(shorter) == quantity) return shorter;
  }
  return exact;
}

// Each unit that a column is in: how to build the quantity from it and how to read it.
// The names of the columns end in the unit, and are stored: never change them.
inline constexpr auto kLitresPerSecond =
    std::pair(&Flow::LitresPerSecond, [](Flow flow) { return flow.litres_per_second(); });
inline constexpr auto kMetres = std::pair(&Length::Metres, [](Length length) { return length.metres(); });
inline constexpr auto kMillimetres =
    std::pair(&Diameter::Millimetres, [](Diameter width) { return width.millimetres(); });
inline constexpr auto kMilligramsPerLitre =
    std::pair(&Concentration::MilligramsPerLitre, [](Concentration c) { return c.milligrams_per_litre(); });
inline constexpr auto kCelsius =
    std::pair(&Temperature::Celsius, [](Temperature temperature) { return temperature.celsius(); });
inline constexpr auto kCubicMetres =
    std::pair(&Volume::CubicMetres, [](Volume volume) { return volume.cubic_metres(); });
inline constexpr auto kMetresOfWater =
    std::pair(&Pressure::MetresOfWater, [](Pressure pressure) { return pressure.metres_of_water(); });
inline constexpr auto kMicrogramsPerLitre =
    std::pair(&Concentration::MicrogramsPerLitre, [](Concentration c) { return c.micrograms_per_litre(); });
inline constexpr auto kMinutes = std::pair(&Duration::Minutes, [](Duration time) { return time.minutes(); });
inline constexpr auto kPlain = std::pair([](double x) { return x; }, [](double x) { return x; });

template <typename Quantity, typename Unit>
Value NumberValue(const Quantity& quantity, const Unit& unit) {
  return ShortestNumber(quantity, unit.first, unit.second);
}
template <typename Quantity, typename Unit>
Value NumberValue(const std::optional<Quantity>& quantity, const Unit& unit) {
  return quantity ? NumberValue(*quantity, unit) : Value();
}

// None where the column is empty.
template <typename Unit>
auto ReadQuantity(const Row& row, const std::string& name, const Unit& unit)
    -> std::optional<decltype(unit.first(0.0))> {
  if (row.IsNull(name)) return std::nullopt;
  return unit.first(row.Number(name));
}

// Adds the five columns of a number and its origin: name, name_origin, name_by, name_when, name_note.
void AddOrigin(Columns& columns, const std::string& name, const Origin* origin);
Result<Origin> ReadOrigin(const Row& row, const std::string& name);

template <typename T, typename Unit>
void AddSourced(Columns& columns, const std::string& name, const std::optional<Sourced<T>>& sourced,
                const Unit& unit) {
  columns.emplace_back(name, sourced ? NumberValue(sourced->value, unit) : Value());
  AddOrigin(columns, name, sourced ? &sourced->origin : nullptr);
}

template <typename Unit>
auto ReadSourced(const Row& row, const std::string& name, const Unit& unit)
    -> Result<std::optional<Sourced<decltype(unit.first(0.0))>>> {
  using Quantity = decltype(unit.first(0.0));
  if (row.IsNull(name)) return std::optional<Sourced<Quantity>>();
  const Result<Origin> origin = ReadOrigin(row, name);
  if (!origin.ok()) return origin.error();
  return std::optional<Sourced<Quantity>>({unit.first(row.Number(name)), *origin});
}

}  // namespace lastreach
