#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace lastreach {

// A short length of water that moves as one.
struct WaterCell {
  double volume_m3 = 0;
  double mg_per_l = 0;
  double age_s = 0;      // the mean
  double sheared_m = 0;  // see ShearedLength_m in dispersion.h
};

// The cells of one segment, kept in order from the outlet to the inlet. Cells are of one volume but for the
// one that is filling at the inlet and the one that is leaving.
class CellColumn {
 public:
  CellColumn(double volume_m3, double cell_m3, const WaterCell& of) : cell_m3_(cell_m3) {
    PushIn({volume_m3, of.mg_per_l, of.age_s, of.sheared_m});
  }

  std::span<const WaterCell> cells() const { return {cells_.data() + first_, cells_.size() - first_}; }
  std::span<WaterCell> cells() { return {cells_.data() + first_, cells_.size() - first_}; }
  const WaterCell& outlet() const { return cells_[first_]; }

  // Water in at the inlet: into the filling cell as far as there is room, then into new ones.
  void PushIn(WaterCell water) {
    while (water.volume_m3 > 0) {
      if (cells_.size() == first_ || cells_.back().volume_m3 >= cell_m3_) {
        cells_.push_back({0, water.mg_per_l, water.age_s, water.sheared_m});
      }
      WaterCell& filling = cells_.back();
      const double room_m3 = cell_m3_ - filling.volume_m3;
      const bool all = water.volume_m3 <= room_m3;
      const double part_m3 = all ? water.volume_m3 : room_m3;
      const double share = part_m3 / (filling.volume_m3 + part_m3);
      filling.mg_per_l += share * (water.mg_per_l - filling.mg_per_l);
      filling.age_s += share * (water.age_s - filling.age_s);
      filling.sheared_m += share * (water.sheared_m - filling.sheared_m);
      filling.volume_m3 = all ? filling.volume_m3 + part_m3 : cell_m3_;
      water.volume_m3 = all ? 0 : water.volume_m3 - room_m3;
    }
  }

  // Takes `volume_m3` out at the outlet and hands it on cell by cell. At least one cell is left.
  template <typename Receive>
  void TakeOut(double volume_m3, const Receive& receive) {
    while (volume_m3 > 0) {
      WaterCell& leaving = cells_[first_];
      if (leaving.volume_m3 > volume_m3 || first_ + 1 == cells_.size()) {
        receive(WaterCell{volume_m3, leaving.mg_per_l, leaving.age_s, leaving.sheared_m});
        leaving.volume_m3 -= volume_m3;
        break;
      }
      volume_m3 -= leaving.volume_m3;
      receive(leaving);
      ++first_;
    }
    if (first_ > cells_.size() / 2 + 16) {
      cells_.erase(cells_.begin(), cells_.begin() + static_cast<std::ptrdiff_t>(first_));
      first_ = 0;
    }
  }

 private:
  double cell_m3_;
  std::size_t first_ = 0;
  std::vector<WaterCell> cells_;
};

}  // namespace lastreach
