#pragma once

#include <cstddef>
#include <vector>

namespace lastreach {

// The least water a year of all devices together against the visits a year spent on changing settings.
//
//   W(v) = min over v_1 + ... + v_n <= v of  W_1(v_1) + ... + W_n(v_n)
//
// by taking in one device after the other (min-plus convolution). Exact; W never rises, but need not be
// convex: two changes may save much where one saves nothing.
class VisitFrontier {
 public:
  // [device][visits] least water with at most so many [m3], never rising; kMayNotStand (change_table.h) where
  // so few will not do. REQUIRES: no device's list is empty, and each ends with a finite amount.
  // COST: devices x all visits x visits of a device.
  explicit VisitFrontier(const std::vector<std::vector<double>>& least_m3);

  int most_visits() const { return static_cast<int>(water_m3_.size()) - 1; }
  int fewest_visits() const;  // that will do at all
  double water_m3(int visits) const { return water_m3_[static_cast<size_t>(visits)]; }
  // What a further visit saves [m3], water_m3(visits - 1) - water_m3(visits). REQUIRES: visits >= 1.
  double SavedByVisit_m3(int visits) const;

  // How many visits of so many each device gets, in their order.
  std::vector<int> Split(int visits) const;

  // The fewest visits of those up to `most_visits` for which water and visits together cost least, a visit
  // being worth so much water: beyond it no number of further visits saves their worth.
  int WorthTheVisits(double worth_m3_a_visit, int most_visits) const;

 private:
  std::vector<double> water_m3_;
  std::vector<std::vector<int>> own_;  // [device][visits so far] what the device takes of them
};

}  // namespace lastreach
