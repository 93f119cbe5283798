#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "ledger/limits.h"
#include "ledger/reach.h"
#include "ledger/records.h"
#include "month/detection.h"
#include "month/running_average.h"

namespace lastreach {

// One look at the residual at one place and time: of the analytes read together the one by which the zone is
// held.
struct ResidualReading {
  PointCode point;
  std::string zone;
  Date day;
  std::optional<int> minute_of_day;
  Analyte analyte = Analyte::kFreeChlorine;
  double mg_per_l = 0;  // 0 if below detection
  bool below_detection = false;
  bool undetected = false;  // no residual of any kind was detected in it
  std::optional<double> limit_mg_per_l;
  bool below_limit = false;
  std::string original;
  std::string who;
};

// What a point's readings are held against.
struct HeldAgainst {
  Disinfectant disinfectant = Disinfectant::kFreeChlorine;
  std::optional<double> limit_mg_per_l;
};

// The samples of one point, in order of time, as readings; ammonia and nitrite are none. Those of the same
// day and minute are one reading, the second of an analyte a second reading. A zone of free chlorine goes by
// free, then total, then monochloramine; one of chloramine by total, then monochloramine, then free. Below
// detection is below any limit.
std::vector<ResidualReading> ReadingsOf(const std::vector<Sample>& samples, const std::string& zone,
                                        const HeldAgainst& against);

// The least residual that binds the point: the highest of the limits on it, else the zone's target.
std::optional<double> LeastResidualOf(const FlushPoint& point, const std::vector<Limit>& limits,
                                      const SupplyZone* zone);

// A month of readings, of one zone or of all.
struct ResidualSummary {
  std::string zone;  // empty: all of them
  int readings = 0;
  std::optional<ResidualReading> lowest;  // the first of equals
  double mean_mg_per_l = 0;               // below detection counts as 0; meaningless without readings
  int with_limit = 0;
  int below_limit = 0;
  DetectionCounts detection;         // bacteria are not in the records: b, d and e are 0
  DetectionCounts detection_before;  // the month before
  bool over_in_both = false;
  // Of the twelve months to the last quarter that is over.
  std::optional<AverageOf> year;
};

// Of those of `zone`, or of all for an empty one. `readings` reach back thirteen months at least.
ResidualSummary SummariseReadings(const std::vector<ResidualReading>& readings, const std::string& zone,
                                  std::chrono::year_month month);

bool IsInMonth(Date day, std::chrono::year_month month);

}  // namespace lastreach
