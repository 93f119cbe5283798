#include "map/tolerance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

constexpr double kAlone_m = 12;  // beyond this only true dead ends are seen
constexpr double kTimesBackground = 3;
constexpr double kCrowdBegins_m = 3;
constexpr size_t kFewGaps = 12;
constexpr size_t kSteps = 600;

long CountBetween(const std::vector<double>& sorted, double from, double to) {
  return std::lower_bound(sorted.begin(), sorted.end(), to) -
         std::lower_bound(sorted.begin(), sorted.end(), from);
}

std::string Metres(double metres) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), metres < 10 ? "%.2g m" : "%.0f m", metres);
  return text.data();
}

}  // namespace

GapModel::GapModel(std::vector<double> gaps_m, std::optional<double> set) : gaps_m_(std::move(gaps_m)) {
  std::sort(gaps_m_.begin(), gaps_m_.end());
  background_per_m_ =
      static_cast<double>(CountBetween(gaps_m_, kAlone_m, kLook_m) + 1) / (kLook_m - kAlone_m);
  const auto short_ones = static_cast<size_t>(CountBetween(gaps_m_, 0, kMost_m));
  if (set) {
    tolerance_m_ = *set;
    why_ = "set by hand";
  } else if (short_ones < kFewGaps) {
    tolerance_m_ = kFewData_m;
    why_ = "only " + std::to_string(short_ones) + " free ends lie within " + Metres(kMost_m) +
           " of another line, too few to choose from";
  } else {
    tolerance_m_ = kLeast_m;
    // The crowd of ends that fall short is one crowd: what comes after a thin stretch is something else.
    bool in_crowd = false;
    for (double at_m = kLeast_m; at_m <= kMost_m; at_m += 0.1) {
      const bool crowded = Ends_per_m(at_m) >= kTimesBackground * background_per_m_;
      if (crowded) tolerance_m_ = at_m;
      if (!crowded && (in_crowd || at_m > kCrowdBegins_m)) break;
      in_crowd = in_crowd || crowded;
    }
    tolerance_m_ = std::round(tolerance_m_ * 10) / 10;
    std::array<char, 48> rate{};
    std::snprintf(rate.data(), rate.size(), "%.2g a metre", background_per_m_);
    why_ = std::to_string(CountBetween(gaps_m_, 0, tolerance_m_)) + " of " + std::to_string(short_ones) +
           " free ends within " + Metres(kMost_m) +
           " of another line lie closer than this, far more than the " + rate.data() +
           " that true dead ends alone would make";
  }
  chance_.resize(kSteps + 1);
  for (size_t i = kSteps + 1; i-- > 0;) {
    const double at_m = kLook_m * static_cast<double>(i) / kSteps;
    const double seen = Ends_per_m(std::max(at_m, 0.05));
    const double here = seen > 0 ? std::clamp(1 - background_per_m_ / seen, 0.0, 0.98) : 0;
    // Within the tolerance the doubt that is left is about the single place, not about the distance.
    const double floor = at_m <= tolerance_m_ ? 0.65 : 0;
    chance_[i] = std::max({here, floor, i < kSteps ? chance_[i + 1] : 0});
  }
}

double GapModel::Ends_per_m(double at_m) const {
  // A narrow window tells where the crowd ends; a wide one is needed where there are few to see.
  for (const double factor : {1.25, 1.5}) {
    const long count = CountBetween(gaps_m_, at_m / factor, at_m * factor);
    const long enough = factor < 1.5 ? 8 : 3;
    if (count >= enough) return static_cast<double>(count) / (at_m * factor - at_m / factor);
  }
  return 0;
}

double GapModel::Chance(double gap_m) const {
  const double step = std::clamp(gap_m / kLook_m, 0.0, 1.0) * kSteps;
  return chance_[static_cast<size_t>(step)];
}

}  // namespace lastreach
