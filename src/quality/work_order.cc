#include "quality/work_order.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace lastreach {
namespace {

int8_t SignOf(double flow) { return static_cast<int8_t>((flow > 0) - (flow < 0)); }

}  // namespace

WorkOrder::WorkOrder(uint32_t nodes, std::vector<uint32_t> from, std::vector<uint32_t> to,
                     std::vector<double> volume_m3)
    : from_(std::move(from)), to_(std::move(to)), volume_(std::move(volume_m3)) {
  const auto links = static_cast<uint32_t>(from_.size());
  arc_start_.assign(nodes + 1, 0);
  for (uint32_t l = 0; l < links; ++l) {
    ++arc_start_[from_[l] + 1];
    ++arc_start_[to_[l] + 1];
  }
  std::partial_sum(arc_start_.begin(), arc_start_.end(), arc_start_.begin());
  arcs_.resize(2 * std::size_t{links});
  std::vector<uint32_t> next(arc_start_.begin(), arc_start_.end() - 1);
  for (uint32_t l = 0; l < links; ++l) {
    arcs_[next[from_[l]]++] = {l, to_[l]};
    arcs_[next[to_[l]]++] = {l, from_[l]};
  }
  turn_.assign(links, 0);
  placed_.assign(links, 0);
  order_.resize(nodes);
  std::iota(order_.begin(), order_.end(), 0u);
  position_ = order_;
  came_by_.resize(nodes);
  mark_.assign(nodes, 0);
}

void WorkOrder::Follow(std::span<double> flow) {
  changed_.clear();
  const auto links = static_cast<uint32_t>(from_.size());
  for (uint32_t l = 0; l < links; ++l) {
    if (SignOf(flow[l]) != turn_[l] && from_[l] != to_[l]) changed_.push_back(l);
  }
  if (changed_.empty() && ring_list_.empty()) return;
  // What was left out may fit again now that others have turned.
  changed_.insert(changed_.end(), late_list_.begin(), late_list_.end());
  changed_.insert(changed_.end(), ring_list_.begin(), ring_list_.end());
  std::sort(changed_.begin(), changed_.end());
  changed_.erase(std::unique(changed_.begin(), changed_.end()), changed_.end());
  late_list_.clear();
  ring_list_.clear();
  if (!is_built_ || !Mend(flow)) Rebuild(flow);
  is_built_ = true;
}

// Places what has changed, link by link. False where making the order anew is less work than that.
bool WorkOrder::Mend(std::span<double> flow) {
  const std::size_t most = (order_.size() + from_.size()) / 10 + 64;
  if (changed_.size() > most / 4) return false;
  for (const uint32_t l : changed_) {
    placed_[l] = 0;
    turn_[l] = SignOf(flow[l]);
  }
  nodes_seen_ = 0;
  for (const uint32_t l : changed_) {
    if (turn_[l] != 0) Place(l, flow);
    if (nodes_seen_ > most) return false;
  }
  return true;
}

// All at once: nodes with nothing above them first, each followed by those it sets free, so that neighbours
// stay together. Where rings hold all the rest back, one is broken.
void WorkOrder::Rebuild(std::span<double> flow) {
  const auto nodes = static_cast<uint32_t>(order_.size());
  const auto links = static_cast<uint32_t>(from_.size());
  late_list_.clear();
  waits_.assign(nodes, 0);
  for (uint32_t l = 0; l < links; ++l) {
    turn_[l] = from_[l] == to_[l] ? int8_t{0} : SignOf(flow[l]);
    placed_[l] = turn_[l] != 0 ? 1 : 0;
    if (turn_[l] != 0) ++waits_[Lower(l)];
  }
  order_.clear();
  for (uint32_t start = 0; start < nodes; ++start) {
    if (waits_[start] == 0) PutFrom(start);
  }
  for (uint32_t node = 0; node < nodes; ++node) {
    while (waits_[node] != kPut) {
      FindRingAbove(node);
      const uint32_t left_out = BreakRing(flow);
      const uint32_t below = Lower(left_out);
      turn_[left_out] = SignOf(flow[left_out]);
      if (--waits_[below] == 0) PutFrom(below);
    }
  }
  for (uint32_t i = 0; i < nodes; ++i) position_[order_[i]] = i;
}

// Puts a node that waits for nothing at the end of the order, and after it those it sets free.
void WorkOrder::PutFrom(uint32_t start) {
  stack_.assign(1, start);
  while (!stack_.empty()) {
    const uint32_t node = stack_.back();
    stack_.pop_back();
    waits_[node] = kPut;
    order_.push_back(node);
    for (uint32_t a = arc_start_[node]; a < arc_start_[node + 1]; ++a) {
      const Arc arc = arcs_[a];
      if (Leads(arc.link, node, true) && --waits_[arc.other] == 0) stack_.push_back(arc.other);
    }
  }
}

// Up against the water, each node waiting for one not put yet, until one comes again. Links of the ring found
// go to ring_.
void WorkOrder::FindRingAbove(uint32_t node) {
  ++mark_now_;
  ring_.clear();
  while (mark_[node] != mark_now_) {
    mark_[node] = mark_now_;
    for (uint32_t a = arc_start_[node]; a < arc_start_[node + 1]; ++a) {
      const Arc arc = arcs_[a];
      if (!Leads(arc.link, node, false) || waits_[arc.other] == kPut) continue;
      ring_.push_back(arc.link);
      node = arc.other;
      break;
    }
  }
  const auto begins =
      std::find_if(ring_.begin(), ring_.end(), [&](uint32_t link) { return Lower(link) == node; });
  ring_.erase(ring_.begin(), begins);
}

void WorkOrder::Place(uint32_t link, std::span<double> flow) {
  while (position_[Upper(link)] > position_[Lower(link)]) {
    below_.clear();
    if (Reaches(Lower(link), Upper(link), below_)) {
      ring_.assign(1, link);
      for (uint32_t node = Upper(link); node != Lower(link); node = Upper(ring_.back())) {
        ring_.push_back(came_by_[node]);
      }
      const uint32_t left_out = BreakRing(flow);
      turn_[left_out] = SignOf(flow[left_out]);
      if (left_out == link) return;
      continue;
    }
    above_.clear();
    CollectAbove(Upper(link), position_[Lower(link)], above_);
    Reorder();
    ++repairs_;
  }
  placed_[link] = 1;
}

// Whether water gets from `start` to `goal` by links the order heeds; `seen` are the nodes it gets to that
// stand before `goal`.
bool WorkOrder::Reaches(uint32_t start, uint32_t goal, std::vector<uint32_t>& seen) {
  ++mark_now_;
  const uint32_t ceiling = position_[goal];
  stack_.assign(1, start);
  mark_[start] = mark_now_;
  while (!stack_.empty()) {
    const uint32_t node = stack_.back();
    stack_.pop_back();
    seen.push_back(node);
    ++nodes_seen_;
    for (uint32_t a = arc_start_[node]; a < arc_start_[node + 1]; ++a) {
      const Arc arc = arcs_[a];
      if (!Leads(arc.link, node, true) || mark_[arc.other] == mark_now_) continue;
      if (position_[arc.other] > ceiling) continue;
      mark_[arc.other] = mark_now_;
      came_by_[arc.other] = arc.link;
      if (arc.other == goal) return true;
      stack_.push_back(arc.other);
    }
  }
  return false;
}

void WorkOrder::CollectAbove(uint32_t start, uint32_t floor, std::vector<uint32_t>& seen) {
  ++mark_now_;
  stack_.assign(1, start);
  mark_[start] = mark_now_;
  while (!stack_.empty()) {
    const uint32_t node = stack_.back();
    stack_.pop_back();
    seen.push_back(node);
    ++nodes_seen_;
    for (uint32_t a = arc_start_[node]; a < arc_start_[node + 1]; ++a) {
      const Arc arc = arcs_[a];
      if (!Leads(arc.link, node, false) || mark_[arc.other] == mark_now_) continue;
      if (position_[arc.other] < floor) continue;
      mark_[arc.other] = mark_now_;
      stack_.push_back(arc.other);
    }
  }
}

// Leaves a link of ring_ out of the order, and says which.
uint32_t WorkOrder::BreakRing(std::span<double> flow) {
  const auto passing_s = [&](uint32_t l) { return volume_[l] / std::abs(flow[l]); };
  const uint32_t slowest = *std::max_element(
      ring_.begin(), ring_.end(), [&](uint32_t a, uint32_t b) { return passing_s(a) < passing_s(b); });
  if (volume_[slowest] > 0) {
    placed_[slowest] = 0;
    late_list_.push_back(slowest);
    return slowest;
  }
  const uint32_t least = *std::min_element(ring_.begin(), ring_.end(), [&](uint32_t a, uint32_t b) {
    return std::abs(flow[a]) < std::abs(flow[b]);
  });
  const double round = std::abs(flow[least]);
  for (const uint32_t l : ring_) flow[l] -= turn_[l] * round;
  flow[least] = 0;
  placed_[least] = 0;
  ring_list_.insert(ring_list_.end(), ring_.begin(), ring_.end());
  return least;
}

// Nodes above the link come before those below it, in the places both had.
void WorkOrder::Reorder() {
  const auto by_position = [this](uint32_t a, uint32_t b) { return position_[a] < position_[b]; };
  std::sort(above_.begin(), above_.end(), by_position);
  std::sort(below_.begin(), below_.end(), by_position);
  above_.insert(above_.end(), below_.begin(), below_.end());
  slots_.clear();
  for (const uint32_t node : above_) slots_.push_back(position_[node]);
  std::sort(slots_.begin(), slots_.end());
  for (std::size_t i = 0; i < above_.size(); ++i) {
    position_[above_[i]] = slots_[i];
    order_[slots_[i]] = above_[i];
  }
}

}  // namespace lastreach
