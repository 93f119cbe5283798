#include "month/month_report.h"

#include <cmath>

namespace lastreach {

double MonthReport::metered_m3() const {
  double sum_m3 = 0;
  for (const MonthPoint& point : points) sum_m3 += point.water.metered_m3;
  return sum_m3;
}

double MonthReport::estimated_m3() const {
  double sum_m3 = 0;
  for (const MonthPoint& point : points) sum_m3 += point.water.estimated_m3;
  return sum_m3;
}

double MonthReport::sd_m3() const {
  double variance = 0;
  for (const MonthPoint& point : points) variance += point.water.sd_m3() * point.water.sd_m3();
  return std::sqrt(variance);
}

std::string_view ToText(ExceptionKind kind) {
  switch (kind) {
    case ExceptionKind::kBelowLimit:
      return "below limit";
    case ExceptionKind::kNoRead:
      return "no read";
    case ExceptionKind::kDialFell:
      return "dial fell";
    case ExceptionKind::kUnlikeSettings:
      return "unlike settings";
    case ExceptionKind::kSettingsOverdue:
      return "settings overdue";
    case ExceptionKind::kNothingKnown:
      return "nothing known";
  }
  return "nothing known";
}

}  // namespace lastreach
