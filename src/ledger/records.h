#pragma once

#include <optional>
#include <string>

#include "calendar/settings.h"
#include "core/civil_time.h"
#include "core/ids.h"
#include "core/origin.h"
#include "core/quantity.h"

namespace lastreach {

// Three different truths about one timer, never merged. The words are stored: never change them.
enum class SettingsKind {
  kPlanned,  // what should be keyed
  kAsLeft,   // what was keyed, read back at the end of a visit
  kAsFound,  // what stood there at the start of a visit
};

// One entry about a timer's settings. Entries are only ever added.
struct SettingsRecord {
  SettingsId id;
  PointCode point;
  SettingsKind kind = SettingsKind::kPlanned;
  TimerSettings settings;
  Instant recorded;
  std::string who;
  std::string why;
  std::optional<Date> revert_by;          // for settings meant to be temporary
  std::optional<int> clock_fast_minutes;  // how far the device's clock stood off, where somebody looked
  friend bool operator==(const SettingsRecord&, const SettingsRecord&) = default;
};

// The first three are residuals as Cl2; ammonia and nitrite are as N.
enum class Analyte { kFreeChlorine, kTotalChlorine, kMonochloramine, kFreeAmmonia, kNitrite };

// One reading. What was written is kept beside what it was taken to mean.
struct Sample {
  SampleId id;
  PointCode point;
  Date day;
  std::optional<int> minute_of_day;  // local; none when the sheet gives no time
  Analyte analyte = Analyte::kFreeChlorine;
  Concentration residual;  // the reading, whatever the analyte; the detection limit if below_detection
  bool below_detection = false;
  std::string original;  // as written: "<0.1", "ND", "0.6T"
  std::optional<Temperature> temperature;
  std::string who;
  std::string notes;
  friend bool operator==(const Sample&, const Sample&) = default;
};

struct MeterRead {
  MeterReadId id;
  PointCode point;
  Date day;
  std::optional<int> minute_of_day;
  Volume total;          // on the dial
  std::string original;  // as written, with its unit
  std::string who;
  bool is_estimate = false;              // nobody stood before the dial
  std::optional<Volume> new_meter_at{};  // where the meter was changed: what the new one showed then
  friend bool operator==(const MeterRead&, const MeterRead&) = default;
};

// Somebody stood at the point.
struct Visit {
  VisitId id;
  PointCode point;
  Instant arrived;
  std::string who;
  std::string why;
  std::string notes;
  bool new_battery = false;
  bool dechlorination_refilled = false;
  friend bool operator==(const Visit&, const Visit&) = default;
};

std::string_view ToText(SettingsKind kind);  // "planned", "as-left", "as-found"
// "free chlorine", "total chlorine", "monochloramine", "free ammonia", "nitrite"
std::string_view ToText(Analyte analyte);
constexpr bool IsResidual(Analyte analyte) { return analyte <= Analyte::kMonochloramine; }
Result<SettingsKind> ParseSettingsKind(std::string_view text);
Result<Analyte> ParseAnalyte(std::string_view text);

}  // namespace lastreach
