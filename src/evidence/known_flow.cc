#include <cmath>
#include <cstdlib>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

constexpr double kAgeing_per_year = 0.05;
constexpr double kDaysPerYear = 365.25;

double DeviationOf(OriginKind kind) {
  switch (kind) {
    case OriginKind::kMeasured:
      return 0.05;
    case OriginKind::kTyped:
      return 0.15;
    case OriginKind::kEstimated:
      return 0.20;
    case OriginKind::kAssumed:
      break;
  }
  return 0.30;
}

}  // namespace

double RelativeSdOf(MeasuredBy by) {
  switch (by) {
    case MeasuredBy::kMeter:
      return 0.02;
    case MeasuredBy::kDrum:
      return 0.05;
    case MeasuredBy::kPitot:
      return 0.10;
    case MeasuredBy::kEstimate:
      break;
  }
  return 0.25;
}

std::optional<KnownFlow> FlowOn(const PointRecords& records, Date day) {
  const FlowTest* test = nullptr;
  for (const FlowTest& each : records.flow_tests) {
    if (test == nullptr || DayNumber(each.day) <= DayNumber(day)) test = &each;
  }
  KnownFlow known;
  if (test != nullptr) {
    const double years = std::abs(DayNumber(day) - DayNumber(test->day)) / kDaysPerYear;
    known.flow_m3_per_s = test->flow.cubic_metres_per_second();
    known.relative_sd = std::hypot(test->accuracy.value_or(RelativeSdOf(test->by)), kAgeing_per_year * years);
    known.tested = test->day;
    known.source = "flow test by " + std::string(ToText(test->by)) + " on " + FormatDate(test->day);
  } else if (records.point.flow) {
    known.flow_m3_per_s = records.point.flow->value.cubic_metres_per_second();
    known.relative_sd = DeviationOf(records.point.flow->origin.kind);
    known.source = Describe(records.point.flow->origin);
  }
  if (!(known.flow_m3_per_s > 0)) return std::nullopt;
  return known;
}

}  // namespace lastreach
