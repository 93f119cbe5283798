#include <algorithm>
#include <set>

#include "ends/fault_finder.h"

namespace lastreach {

// Looked for in the drawing, as a joint that the line was given elsewhere cuts it in the network.
void FaultFinder::FindLinesThatMayBeNoMain() {
  constexpr double kClear_m = 0.5;
  for (const DrawnMain& main : records_.drawing.mains) {
    const bool is_trunk = main.diameter && main.diameter->value.metres() >= options_.trunk_m;
    if (is_trunk || main.status != MainStatus::kInUse) continue;
    std::set<FeatureKey> passed;
    double longest_m = 0;
    for (size_t k = 1; k < main.line.size(); ++k) {
      const PlanePoint from = near_.plane().To(main.line[k - 1]);
      const PlanePoint to = near_.plane().To(main.line[k]);
      const double length_m = Distance_m(from, to);
      if (length_m <= options_.long_straight_m) continue;
      longest_m = std::max(longest_m, length_m);
      for (const LinkIndex link : near_.PassedOver(from, to, kClear_m)) {
        const auto& other = network_[link].main;
        if (other && *other != main.key) passed.insert(*other);
      }
    }
    if (passed.size() < static_cast<size_t>(options_.passes_over)) continue;
    Fault& fault = Add(FaultKind::kMaybeNoMain, Weight(0, longest_m), 0.5,
                       Metres(longest_m) + " dead straight over " +
                           Counted(static_cast<int>(passed.size()), "other main") +
                           " without a joint: perhaps a stray point, a trial line or a note",
                       "see what it is: mend the line, or take it off the layer of mains if it is none");
    fault.at = main.line.front();
    fault.where = main.key.layer + " " + main.key.key;
    fault.features = {main.key};
  }
}

}  // namespace lastreach
