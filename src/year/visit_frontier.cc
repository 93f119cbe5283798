#include "year/visit_frontier.h"

#include <algorithm>

#include "year/change_table.h"

namespace lastreach {

VisitFrontier::VisitFrontier(const std::vector<std::vector<double>>& least_m3) : water_m3_{0.0} {
  for (const std::vector<double>& device : least_m3) {
    std::vector<double> sum(water_m3_.size() + device.size() - 1, kMayNotStand);
    std::vector<int> own(sum.size(), 0);
    for (size_t before = 0; before < water_m3_.size(); ++before) {
      for (size_t v = 0; v < device.size(); ++v) {
        const double water = water_m3_[before] + device[v];
        if (!(water < sum[before + v])) continue;
        sum[before + v] = water;
        own[before + v] = static_cast<int>(v);
      }
    }
    water_m3_ = std::move(sum);
    own_.push_back(std::move(own));
  }
}

int VisitFrontier::fewest_visits() const {
  const auto first =
      std::find_if(water_m3_.begin(), water_m3_.end(), [](double w) { return w < kMayNotStand; });
  return static_cast<int>(first - water_m3_.begin());
}

double VisitFrontier::SavedByVisit_m3(int visits) const { return water_m3(visits - 1) - water_m3(visits); }

std::vector<int> VisitFrontier::Split(int visits) const {
  std::vector<int> split(own_.size());
  for (size_t device = own_.size(); device-- > 0;) {
    split[device] = own_[device][static_cast<size_t>(visits)];
    visits -= split[device];
  }
  return split;
}

int VisitFrontier::WorthTheVisits(double worth_m3_a_visit, int most_visits) const {
  int best = fewest_visits();
  for (int v = best + 1; v <= std::min(most_visits, this->most_visits()); ++v) {
    if (water_m3(v) + worth_m3_a_visit * v < water_m3(best) + worth_m3_a_visit * best) best = v;
  }
  return best;
}

}  // namespace lastreach
