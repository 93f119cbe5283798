#include "map/joiner.h"

#include <algorithm>
#include <cmath>
#include <queue>
#include <set>

#include "map/gaps.h"
#include "map/islands.h"

namespace lastreach {
namespace {

constexpr double kSquare_m = 40;
// A source or tank this near to a main feeds it.
constexpr double kFeeds_m = 30;
constexpr double kSureEnough = 0.5;
// A doubtful joint is worth a person's look from here on.
constexpr double kWorthALook = 0.1;

std::vector<double> Distances_m(const std::vector<EndGap>& gaps) {
  std::vector<double> distances_m;
  for (const EndGap& gap : gaps) distances_m.push_back(gap.gap_m);
  return distances_m;
}

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

void Joiner::CloseGaps() {
  const auto gaps = FindGaps(noding_, grid_, GapModel::kLook_m);
  model_ = GapModel(Distances_m(gaps), options_.tolerance_m);
  const auto later = [](const EndGap& a, const EndGap& b) {
    return std::tuple(a.gap_m, a.from.x_m, a.from.y_m) > std::tuple(b.gap_m, b.from.x_m, b.from.y_m);
  };
  std::priority_queue queue(later, gaps);
  while (!queue.empty()) {
    const EndGap seen = queue.top();
    queue.pop();
    if (noding_.Degree(seen.node) != 1) continue;  // joined meanwhile, from the other side
    // What was joined meanwhile may have made this gap one not worth closing, or moved the nearest place.
    const auto gap = FindGap(noding_, grid_, noding_.Root(seen.node), GapModel::kLook_m);
    if (!gap) continue;
    if (gap->gap_m > seen.gap_m + options_.same_point_m) {
      queue.push(*gap);
      continue;
    }
    CloseGap(*gap);
  }
}

void Joiner::CloseGap(const EndGap& gap) {
  Repair repair = ProposalFor(gap);
  repair.made = gap.gap_m <= model_.tolerance_m() && repair.confidence >= kSureEnough;
  if (repair.decision == Decision::kAccepted) repair.made = repair.made || IsProposed(repair);
  if (repair.decision == Decision::kLocked) repair.made = true;
  if (repair.decision == Decision::kRefused) repair.made = false;
  if (!repair.made) {
    gaps_left_.push_back(gap);
    return;
  }
  const uint32_t to = gap.to_node ? *gap.to_node : noding_.NodeAt(gap.to.line, gap.to.along_m);
  Join(gap.line, gap.node, gap.to.line, to);
  repairs_.push_back(std::move(repair));
}

Repair Joiner::ProposalFor(const EndGap& gap) const {
  const DrawnMain& first = MainOf(gap.line);
  const DrawnMain& second = MainOf(gap.to.line);
  const bool unfed = PartOf(gap.line) != PartOf(gap.to.line) && !(Fed(gap.line) && Fed(gap.to.line));
  const Belief belief = BelieveGap(gap, first, second, things_, {model_.Chance(gap.gap_m), unfed});
  Repair repair;
  repair.kind = gap.to_node ? RepairKind::kEndToEnd : RepairKind::kEndToLine;
  repair.at = plane_.From(gap.from);
  repair.other = plane_.From(gap.to_at);
  repair.first = first.key;
  repair.second = second.key;
  repair.gap_m = gap.gap_m;
  repair.confidence = belief.chance;
  repair.why = belief.why;
  repair.decision = decisions_.Find(repair.kind, gap.from, first.key, second.key);
  return repair;
}

bool Joiner::IsProposed(const Repair& repair) const {
  return repair.gap_m <= 2 * model_.tolerance_m() && repair.confidence >= kWorthALook;
}

// After all else: what an island or a crossing has brought to water needs its gap no more.
void Joiner::OfferGapsLeft() {
  std::set<std::pair<uint32_t, uint32_t>> seen;  // two ends that face each other are one gap
  for (const EndGap& left : gaps_left_) {
    if (noding_.Degree(left.node) != 1) continue;
    const auto now = FindGap(noding_, grid_, noding_.Root(left.node), GapModel::kLook_m);
    if (!now) continue;
    const EndGap& gap = *now;
    if (gap.to_node && !seen.insert(std::minmax(gap.node, *gap.to_node)).second) continue;
    const auto island = islands_offered_.find(std::minmax(gap.line, gap.to.line));
    if (island != islands_offered_.end() && std::abs(island->second - gap.gap_m) < options_.same_point_m) {
      continue;  // the same gap, said already
    }
    Repair repair = ProposalFor(gap);
    if (IsProposed(repair) || repair.decision) repairs_.push_back(std::move(repair));
  }
}

bool Joiner::HasFreeEndNear(LinePlace place, double within_m) const {
  const auto cuts = noding_.CutsOf(place.line);
  return (place.along_m <= within_m && noding_.Degree(cuts.front().node) == 1) ||
         (noding_.lines()[place.line].length_m() - place.along_m <= within_m &&
          noding_.Degree(cuts.back().node) == 1);
}

// Whether a node was drawn as one: no line runs through it without a point of its own there.
bool Joiner::WasDrawn(uint32_t node) const {
  for (const LinePlace& place : noding_.PlacesOf(node)) {
    const auto& along_m = noding_.lines()[place.line].along_m;
    const auto after =
        std::lower_bound(along_m.begin(), along_m.end(), place.along_m - options_.same_point_m);
    if (after == along_m.end() || *after > place.along_m + options_.same_point_m) return false;
  }
  return true;
}

// What share of this drawing's plain crossings are joints in the ground.
//   s: share of joints of three and more that were drawn as such
//   n: joints of four that were drawn;  c: plain crossings
//   p: share of all places where two lines cross that are joints: n / s of n + c where s is near 1, which
//      tells; and nine in ten where it is not (streets cross mains far more often than mains pass mains:
//      common practice, no source)
//   share = p (1 - s) / (p (1 - s) + 1 - p), Bayes' rule
double Joiner::ShareOfCrossingsJoined(size_t plain) const {
  constexpr double kMostlyJoined = 0.9;
  double drawn = 1;
  double joints = 2;
  double drawn_fours = 0;
  for (uint32_t node = 0; node < noding_.node_count(); ++node) {
    if (noding_.Root(node) != node || noding_.Degree(node) < 3) continue;
    joints += 1;
    if (!WasDrawn(node)) continue;
    drawn += 1;
    if (noding_.Degree(node) >= 4) drawn_fours += 1;
  }
  const double s = drawn / joints;
  const double told = std::min((drawn_fours + 1) / s / (drawn_fours + static_cast<double>(plain) + 1), 0.95);
  const double p = s * told + (1 - s) * kMostlyJoined;
  return p * (1 - s) / (p * (1 - s) + 1 - p);
}

void Joiner::JudgeCrossings() {
  const double tolerance_m = model_.tolerance_m();
  const auto crossings = FindCrossings(noding_, grid_, 1.5 * tolerance_m);
  const double share = ShareOfCrossingsJoined(crossings.size());
  std::vector<bool> done(crossings.size(), false);
  // Twice: what the first pass joins may be all that fed a line the second asks about.
  for (const bool last : {false, true}) {
    for (size_t i = 0; i < crossings.size(); ++i) {
      if (done[i]) continue;
      const LineCrossing& crossing = crossings[i];
      const uint32_t a = crossing.first.line;
      const uint32_t b = crossing.second.line;
      const DrawnMain& first = MainOf(a);
      const DrawnMain& second = MainOf(b);
      const bool unfed = last && PartOf(a) != PartOf(b) && !(Fed(a) && Fed(b));
      const double beyond_m = std::max(2 * tolerance_m, 2.0);
      const bool end_beyond =
          HasFreeEndNear(crossing.first, beyond_m) || HasFreeEndNear(crossing.second, beyond_m);
      const Belief belief = BelieveCrossing(crossing, first, second, things_, {share, unfed, end_beyond});
      const auto decision = decisions_.Find(RepairKind::kCrossing, crossing.at, first.key, second.key);
      const bool made = decision ? *decision != Decision::kRefused : belief.chance >= kSureEnough;
      if (!made && !last) continue;
      done[i] = true;
      if (made) {
        const uint32_t one = noding_.NodeAt(a, crossing.first.along_m);
        Join(a, one, b, noding_.NodeAt(b, crossing.second.along_m));
      }
      const Position at = plane_.From(crossing.at);
      repairs_.push_back({"", RepairKind::kCrossing, at, at, first.key, second.key, 0, belief.chance, made,
                          belief.why, decision});
    }
  }
}

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
