#pragma once

#include <map>
#include <optional>
#include <string>

#include "import/import.h"
#include "import/pending_flush.h"
#include "import/row_reader.h"
#include "import/warm_weeks.h"

namespace lastreach {

// What the project and the rows before have shown, to find the same thing twice.
struct SeenRows {
  explicit SeenRows(const ImportContext& context);

  // False, and the row rejected, if `key` has been seen.
  bool IsNew(const std::string& key, const std::string& what, std::string_view field, RowReader& row);
  // "... is in line 7 already"; line 0 is the project.
  static std::string Before(const std::string& what, int line);
  // The zone of the project that is meant, as it is spelt there.
  std::optional<std::string> ZoneNamed(std::string_view text) const;

  PointFinder points;
  std::vector<std::string> zones;             // of the project
  std::map<std::string, int> line_of;         // by code, or by reading
  std::map<std::string, size_t> reach_of;     // index into the result's reaches, by point
  std::map<std::string, size_t> services_of;  // index into the result's services, by point and pipe
  std::map<std::string, std::vector<DayTemperature>> temperatures;  // dated ones, by zone
  std::map<std::string, PendingFlush> flushes;                      // by point and day
};

// One reading is the same as another if these are equal.
std::string KeyOf(const Sample& sample);
std::string KeyOf(const MeterRead& read);

// One for each kind: reads the row and adds to the result, unless it rejects the row.
void ImportDevice(RowReader& row, TableKind kind, SeenRows& seen, ImportResult& result);
void ImportReachPipe(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportServices(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportSample(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportMeterRead(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportController(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportLimit(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportZone(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportSettings(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportTemperature(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportTrip(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportPrice(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportRun(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportFlowTest(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportFlushReading(RowReader& row, SeenRows& seen);
void ImportVisit(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportByproducts(RowReader& row, SeenRows& seen, ImportResult& result);
void ImportProduction(RowReader& row, SeenRows& seen, ImportResult& result);

// After the last row: what the dated temperatures of a sheet say of each month.
void FindWarmestWeeks(const SeenRows& seen, const ImportContext& context, ImportResult& result);

// After the last row: the test flushes that the readings of a sheet belong to. A reading that is found to
// be before the opening is rejected after all.
void FinishTestFlushes(const SeenRows& seen, const ImportContext& context, ImportResult& result);

// The settings in the programme columns of a row; none if there are none, or if one cell is at fault, which
// is then listed: half of a timer's settings would be worse than none.
std::optional<TimerSettings> ReadTimer(RowReader& row);
bool HasTimerCells(const RowReader& row);

// A day, and the local time of it where the row tells.
struct RowMoment {
  Date day;
  std::optional<int> minute_of_day;
};

// The point a row speaks of, and its moment. None, and the row rejected, if it cannot be told.
std::optional<PointCode> RequirePoint(RowReader& row, const SeenRows& seen);
std::optional<RowMoment> RequireMoment(RowReader& row);
// Without a time of day, noon: the least wrong.
Instant InstantOf(const RowMoment& moment, const Zone& zone);
std::optional<Instant> RequireInstant(RowReader& row);

// Whom a row is about: as the scope says; without a scope the subject tells. False, and the row rejected, if
// neither can be made out.
bool ReadScope(RowReader& row, const SeenRows& seen, LimitScope& scope, std::string& subject);

// A cell that does not parse is left out and listed.
template <typename T>
std::optional<T> Optional(RowReader& row, const char* field, Result<T> (*parse)(std::string_view)) {
  const std::string text = row.Known(field);
  if (text.empty()) return std::nullopt;
  Result<T> value = parse(text);
  if (value.ok()) return std::move(*value);
  row.LeaveOut(field, value.error().message);
  return std::nullopt;
}

// A cell as a quantity with its origin. `scale` takes the SI of MeasuredCell to what `build` wants.
template <typename T>
std::optional<Sourced<T>> As(const std::optional<MeasuredCell>& cell, T (*build)(double), double scale = 1) {
  if (!cell) return std::nullopt;
  return Sourced<T>{build(cell->si * scale), cell->origin};
}

// Bounds beyond which a number is a slip of the pen. Common practice, no source.
inline constexpr RowReader::Bounds kLengths{0.1, 50000, true};      // m
inline constexpr RowReader::Bounds kDiameters{0.01, 3, true};       // m
inline constexpr RowReader::Bounds kFlows{1e-6, 0.5, true};         // m3/s, of a device
inline constexpr RowReader::Bounds kDemands{0, 10, false};          // m3/s
inline constexpr RowReader::Bounds kResiduals{0, 10, false};        // mg/L
inline constexpr RowReader::Bounds kWaterCelsius{-0.5, 45, false};  // C
inline constexpr RowReader::Bounds kRunVolumes{0.001, 1e5, true};   // m3
inline constexpr RowReader::Bounds kTurns{1, 1e9, true};            // m3
inline constexpr RowReader::Bounds kCharges{0.01, 1000, true};      // kg
inline constexpr RowReader::Bounds kDials{0, 1e9, false};           // m3
inline constexpr RowReader::Bounds kOutletHeads{0, 150, false};     // m of water

}  // namespace lastreach
