#include <algorithm>
#include <queue>
#include <set>

#include "map/joiner.h"

namespace lastreach {
namespace {

// A doubtful joint is worth a person's look from here on.
constexpr double kWorthALook = 0.1;

std::vector<double> Distances_m(const std::vector<EndGap>& gaps) {
  std::vector<double> distances_m;
  for (const EndGap& gap : gaps) distances_m.push_back(gap.gap_m);
  return distances_m;
}

}  // namespace

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

}  // namespace lastreach
