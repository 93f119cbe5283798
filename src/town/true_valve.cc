#include "town/true_valve.h"

#include <algorithm>

namespace lastreach {
namespace {

double Volume_m3(const ValveOpening& opening, Instant until) {
  const Instant end = std::min(opening.end, until);
  return end <= opening.begin ? 0
                              : opening.flow_m3_per_s * static_cast<double>((end - opening.begin).count());
}

}  // namespace

TrueValve::TrueValve(std::vector<ValveOpening> runs, std::vector<ValveOpening> leaks)
    : leaks_(std::move(leaks)) {
  std::stable_sort(runs.begin(), runs.end(),
                   [](const ValveOpening& a, const ValveOpening& b) { return a.begin < b.begin; });
  double total_m3 = 0;
  for (ValveOpening run : runs) {
    if (!runs_.empty()) run.begin = std::max(run.begin, runs_.back().end);
    if (run.end <= run.begin) continue;
    before_m3_.push_back(total_m3);
    total_m3 += Volume_m3(run, run.end);
    runs_.push_back(run);
  }
}

double TrueValve::VolumeBefore_m3(Instant moment) const {
  double volume_m3 = 0;
  for (const ValveOpening& leak : leaks_) volume_m3 += Volume_m3(leak, moment);
  const auto after = std::upper_bound(runs_.begin(), runs_.end(), moment,
                                      [](Instant at, const ValveOpening& run) { return at < run.begin; });
  if (after == runs_.begin()) return volume_m3;
  const auto last = static_cast<size_t>(after - runs_.begin()) - 1;
  return volume_m3 + before_m3_[last] + Volume_m3(runs_[last], moment);
}

}  // namespace lastreach
