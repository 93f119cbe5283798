#include "evidence/flush_curve.h"

#include <algorithm>

namespace lastreach {
namespace {

// The flow at a moment, from readings that told it.
class FlowThroughTime {
 public:
  FlowThroughTime(const TestFlush& flush, const std::optional<MeasuredFlow>& flow) {
    for (const FlushReading& reading : flush.readings) {
      if (reading.flow) told_.push_back({reading.after.seconds(), reading.flow->cubic_metres_per_second()});
    }
    if (told_.empty() && flow) told_.push_back({0, flow->flow_m3_per_s});
  }
  bool known() const { return !told_.empty(); }

  // Integral from the opening.
  double Volume_m3(double until_s) const {
    double volume = told_.front().flow * std::min(until_s, told_.front().at_s);
    for (std::size_t i = 1; i < told_.size(); ++i) {
      const Told& before = told_[i - 1];
      const double span = std::min(until_s, told_[i].at_s) - before.at_s;
      if (span <= 0) break;
      const double slope = (told_[i].flow - before.flow) / (told_[i].at_s - before.at_s);
      volume += span * (before.flow + slope * span / 2);
    }
    return volume + told_.back().flow * std::max(0.0, until_s - told_.back().at_s);
  }

 private:
  struct Told {
    double at_s, flow;
  };
  std::vector<Told> told_;
};

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

// The most points that lie within one kit's error of each other, the end points among them.
std::size_t MostAlike(const std::vector<double>& values, double kit) {
  constexpr double kRounding = 1e-9;  // 0.6 and 0.5 are 0.1 apart
  const double low_end = std::min(values.front(), values.back());
  const double high_end = std::max(values.front(), values.back());
  if (high_end - low_end > kit + kRounding) return 0;
  std::size_t most = 0;
  for (const double low : values) {
    if (low > low_end || high_end > low + kit + kRounding) continue;
    most = std::max(most, static_cast<std::size_t>(std::count_if(values.begin(), values.end(), [&](double v) {
                      return v >= low && v <= low + kit + kRounding;
                    })));
  }
  return most;
}

}  // namespace

std::vector<CurvePoint> CurveOf(const TestFlush& flush, const std::optional<MeasuredFlow>& flow) {
  const FlowThroughTime flows(flush, flow);
  std::vector<CurvePoint> curve;
  for (const FlushReading& reading : flush.readings) {
    if (!reading.residual) continue;
    CurvePoint point;
    point.after_s = reading.after.seconds();
    if (flows.known()) point.volume_m3 = flows.Volume_m3(point.after_s);
    point.mg_per_l = reading.residual->milligrams_per_litre();
    point.below_detection = reading.below_detection;
    curve.push_back(point);
  }
  return curve;
}

std::optional<Plateau> FindPlateau(const std::vector<CurvePoint>& curve, double kit_mg_per_l,
                                   std::size_t least) {
  std::optional<Plateau> longest;
  std::vector<double> values;
  for (std::size_t first = curve.size(); first-- > 0;) {
    values.insert(values.begin(), curve[first].mg_per_l);
    if (values.size() < least) continue;
    if (MostAlike(values, kit_mg_per_l) < values.size() - values.size() / 5) continue;
    longest = Plateau{first, Median(values),
                      std::all_of(curve.begin() + static_cast<std::ptrdiff_t>(first), curve.end(),
                                  [](const CurvePoint& point) { return point.below_detection; })};
  }
  return longest;
}

}  // namespace lastreach
