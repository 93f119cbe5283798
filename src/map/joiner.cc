#include "map/joiner.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr double kSquare_m = 40;
// A source or tank this near to a main feeds it.
constexpr double kFeeds_m = 30;

}  // namespace

Joiner::Joiner(const Drawing& drawing, const Plane& plane, std::vector<FlatLine> lines,
               const std::vector<RepairDecision>& decisions, const JoinOptions& options)
    : drawing_(drawing),
      plane_(plane),
      options_(options),
      grid_(lines, kSquare_m),
      noding_(std::move(lines), grid_, options.same_point_m),
      things_(drawing.things, plane),
      decisions_(decisions, plane),
      model_({}, options.tolerance_m) {
  FindFedParts();
}

void Joiner::FindFedParts() {
  const auto parts = noding_.Parts();
  std::vector<uint32_t> first_of;
  part_.resize(parts.size());
  for (uint32_t line = 0; line < parts.size(); ++line) {
    if (parts[line] == first_of.size()) first_of.push_back(line);
    part_[line] = first_of[parts[line]];
  }
  parts_before_ = static_cast<int>(first_of.size());
  fed_.assign(parts.size(), false);
  length_m_.assign(parts.size(), 0);
  for (uint32_t line = 0; line < parts.size(); ++line) {
    length_m_[part_[line]] += noding_.lines()[line].length_m();
  }
  bool any = false;
  for (const DrawnThing& thing : drawing_.things) {
    if (thing.kind != ThingKind::kSource && thing.kind != ThingKind::kTank) continue;
    const PlanePoint p = plane_.To(thing.at);
    double nearest_m = kFeeds_m;
    std::optional<uint32_t> nearest;
    grid_.Near(p, kFeeds_m, [&](SegmentRef segment) {
      const FlatLine& line = noding_.lines()[segment.line];
      const double at_m =
          NearestOnSegment(p, line.points[segment.first], line.points[segment.first + 1]).distance_m;
      if (at_m > nearest_m) return;
      nearest_m = at_m;
      nearest = segment.line;
    });
    if (!nearest) continue;
    fed_[PartOf(*nearest)] = true;
    any = true;
  }
  // With no source on the map the largest part is taken to be the one that is fed.
  if (!any && !length_m_.empty()) {
    fed_[static_cast<size_t>(std::max_element(length_m_.begin(), length_m_.end()) - length_m_.begin())] =
        true;
  }
}

uint32_t Joiner::PartOf(uint32_t line) const {
  while (part_[line] != line) line = part_[line] = part_[part_[line]];
  return line;
}

void Joiner::Join(uint32_t line_a, uint32_t node_a, uint32_t line_b, uint32_t node_b) {
  noding_.Merge(node_a, node_b);
  const uint32_t a = PartOf(line_a);
  const uint32_t b = PartOf(line_b);
  if (a == b) return;
  const uint32_t stays = std::min(a, b);
  const uint32_t goes = std::max(a, b);
  part_[goes] = stays;
  fed_[stays] = fed_[stays] || fed_[goes];
  length_m_[stays] += length_m_[goes];
}

std::vector<Repair> Joiner::TakeRepairs() {
  std::stable_sort(repairs_.begin(), repairs_.end(), [](const Repair& a, const Repair& b) {
    return std::tuple(a.kind, a.at.longitude_deg, a.at.latitude_deg) <
           std::tuple(b.kind, b.at.longitude_deg, b.at.latitude_deg);
  });
  for (size_t i = 0; i < repairs_.size(); ++i) repairs_[i].id = "R" + std::to_string(i + 1);
  return std::move(repairs_);
}

JoinSummary Joiner::Summary() const {
  JoinSummary summary;
  summary.tolerance_m = model_.tolerance_m();
  summary.tolerance_why = model_.why();
  summary.island_reach_m = IslandReach_m();
  summary.parts_before = parts_before_;
  for (uint32_t line = 0; line < part_.size(); ++line) {
    summary.drawn_m += noding_.lines()[line].length_m();
    if (PartOf(line) != line) continue;
    ++summary.parts;
    summary.largest_part_m = std::max(summary.largest_part_m, length_m_[line]);
  }
  for (const Repair& repair : repairs_) ++(repair.made ? summary.repairs_made : summary.repairs_offered);
  return summary;
}

}  // namespace lastreach
