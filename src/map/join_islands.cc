#include <algorithm>

#include "map/joiner.h"

namespace lastreach {

double Joiner::IslandReach_m() const {
  return options_.island_reach_m.value_or(std::clamp(3 * model_.tolerance_m(), 5.0, 25.0));
}

// An island may lie nearest to another island, so one round is not enough.
void Joiner::BringInIslands() {
  while (JoinIslandsOnce()) {
  }
}

bool Joiner::JoinIslandsOnce() {
  const double reach_m = IslandReach_m();
  std::vector<uint32_t> parts(part_.size());
  for (uint32_t line = 0; line < parts.size(); ++line) parts[line] = PartOf(line);
  auto nearnesses = NearIslands(noding_, grid_, parts, fed_, std::max(reach_m, GapModel::kLook_m));
  const auto is_free_end = [&](LinePlace place) { return HasFreeEndNear(place, 0); };
  // A free end is the likelier place to join: one half-way along a line must be nearer by half.
  const auto rank = [&](const Nearness& n) {
    return n.gap_m * (is_free_end(n.first) || is_free_end(n.second) ? 1 : 1.5);
  };
  std::stable_sort(nearnesses.begin(), nearnesses.end(),
                   [&](const Nearness& a, const Nearness& b) { return rank(a) < rank(b); });
  bool any = false;
  for (const Nearness& near : nearnesses) any = JoinIsland(near, reach_m) || any;
  return any;
}

bool Joiner::JoinIsland(const Nearness& near, double reach_m) {
  const uint32_t a = near.first.line;
  const uint32_t b = near.second.line;
  if (PartOf(a) == PartOf(b) || (Fed(a) && Fed(b))) return false;
  const DrawnMain& first = MainOf(a);
  const DrawnMain& second = MainOf(b);
  Repair repair{"",
                RepairKind::kIsland,
                plane_.From(near.first_at),
                plane_.From(near.second_at),
                first.key,
                second.key,
                near.gap_m,
                0,
                false,
                "",
                {}};
  repair.decision = decisions_.Find(RepairKind::kIsland, near.first_at, first.key, second.key);
  // A scrap no longer than the gap before it is hardly a main.
  const bool scrap = length_m_[PartOf(Fed(a) ? b : a)] < near.gap_m;
  repair.confidence = scrap ? 0.3 : 0.95 - 0.4 * std::min(near.gap_m / reach_m, 2.0);
  repair.why =
      scrap ? "nothing feeds it, but it is no longer than the gap" : "nothing feeds it but across this gap";
  const bool near_enough = near.gap_m <= reach_m;
  repair.made = near_enough && !scrap;
  if (repair.decision == Decision::kAccepted) repair.made = near_enough;
  if (repair.decision == Decision::kLocked) repair.made = true;
  if (repair.decision == Decision::kRefused) repair.made = false;
  if (!repair.made && (!near_enough && !repair.decision)) return false;
  if (!repair.made && !islands_offered_.try_emplace(std::minmax(a, b), near.gap_m).second) return false;
  if (repair.made) {
    const uint32_t one = noding_.NodeAt(a, near.first.along_m);
    Join(a, one, b, noding_.NodeAt(b, near.second.along_m));
  }
  repairs_.push_back(std::move(repair));
  return repairs_.back().made;
}

}  // namespace lastreach
