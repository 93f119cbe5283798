#include "plan/tree_shape.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "quality/steady_bound.h"

namespace lastreach {
namespace {

// The pipes met so far, by the names of all pipes from the main to them.
using PipesByWay = std::map<std::vector<std::string>, std::vector<size_t>>;

TreeShape::Stretch StretchOf(const BranchSegment& segment, const Kinetics& kinetics) {
  return {{},
          segment.volume_m3(),
          segment.bulk_per_s + LeastWallRate_per_s(segment, kinetics),
          segment.tap_demand_m3_per_s};
}

void TakeTheMilder(TreeShape::Stretch& kept, const TreeShape::Stretch& other) {
  kept.volume_m3 = std::min(kept.volume_m3, other.volume_m3);
  kept.loss_per_s = std::min(kept.loss_per_s, other.loss_per_s);
  kept.tap_m3_per_s = std::max(kept.tap_m3_per_s, other.tap_m3_per_s);
}

// The same where the pipe was cut into another number of stretches: all its draw goes to its end, where it
// helps most.
void TakeTheMilderOfPipe(TreeShape& shape, const std::vector<size_t>& kept,
                         const std::vector<TreeShape::Stretch>& other) {
  TreeShape::Stretch all_kept, all_other;
  double least_loss = other.front().loss_per_s;
  const auto add = [&least_loss](TreeShape::Stretch& sum, const TreeShape::Stretch& part) {
    sum.volume_m3 += part.volume_m3;
    sum.tap_m3_per_s += part.tap_m3_per_s;
    least_loss = std::min(least_loss, part.loss_per_s);
  };
  for (const size_t s : kept) add(all_kept, shape.stretches[s]);
  for (const TreeShape::Stretch& part : other) add(all_other, part);
  const double shrink = std::min(1.0, all_other.volume_m3 / all_kept.volume_m3);
  for (const size_t s : kept) {
    shape.stretches[s].volume_m3 *= shrink;
    shape.stretches[s].loss_per_s = least_loss;
    shape.stretches[s].tap_m3_per_s = 0;
  }
  shape.stretches[kept.back()].tap_m3_per_s = std::max(all_kept.tap_m3_per_s, all_other.tap_m3_per_s);
}

void AddReach(const TreeReach& reach, PipesByWay& pipes, TreeShape& shape) {
  const std::vector<BranchSegment>& segments = reach.model.branch.segments;
  std::vector<std::string> way;
  std::optional<size_t> before;
  size_t first = 0;
  for (size_t p = 0; p < reach.model.last_segment.size(); ++p) {
    const size_t last = reach.model.last_segment[p];
    way.push_back(p < reach.pipe_ids.size() ? reach.pipe_ids[p] : std::string());
    std::vector<TreeShape::Stretch> parts;
    for (size_t j = first; j <= last; ++j) parts.push_back(StretchOf(segments[j], reach.model.kinetics));
    const auto [at, is_new] = pipes.try_emplace(way);
    std::vector<size_t>& known = at->second;
    if (is_new) {
      for (TreeShape::Stretch& part : parts) {
        part.before = before;
        before = shape.stretches.size();
        known.push_back(shape.stretches.size());
        shape.stretches.push_back(part);
      }
    } else if (known.size() == parts.size()) {
      for (size_t k = 0; k < parts.size(); ++k) TakeTheMilder(shape.stretches[known[k]], parts[k]);
    } else {
      TakeTheMilderOfPipe(shape, known, parts);
    }
    before = known.back();
    const size_t judged = reach.model.judged.back();
    if (first <= judged && judged <= last) {
      const size_t k = std::min(judged - first, known.size() - 1);
      shape.ends.push_back({known[k], std::log(reach.model.upstream_mg_per_l / reach.target_mg_per_l)});
    }
    first = last + 1;
  }
}

struct Block {
  double volume_m3;
  double draw_m3_per_s;
  bool DenserThan(const Block& other) const {
    return draw_m3_per_s * other.volume_m3 > other.draw_m3_per_s * volume_m3;
  }
};

}  // namespace

std::vector<double> TreeShape::DemandBeyond() const {
  std::vector<double> beyond(stretches.size(), 0);
  for (size_t s = stretches.size(); s-- > 0;) {
    beyond[s] += stretches[s].tap_m3_per_s;
    if (stretches[s].before) beyond[*stretches[s].before] += beyond[s];
  }
  return beyond;
}

std::vector<size_t> TreeShape::WayTo(const End& end) const {
  std::vector<size_t> way;
  for (std::optional<size_t> s = end.stretch; s; s = stretches[*s].before) way.push_back(*s);
  return way;
}

std::vector<size_t> TreeShape::Below(size_t top, std::span<const size_t> to_ends) const {
  std::vector<size_t> members;
  for (const size_t e : to_ends) {
    std::vector<size_t> way = WayTo(ends[e]);
    const auto at = std::find(way.begin(), way.end(), top);
    if (at != way.end()) members.insert(members.end(), way.begin(), at + 1);
  }
  std::sort(members.begin(), members.end());
  members.erase(std::unique(members.begin(), members.end()), members.end());
  return members;
}

TreeShape ShapeOf(const std::vector<TreeReach>& reaches) {
  TreeShape shape;
  PipesByWay pipes;
  for (const TreeReach& reach : reaches) AddReach(reach, pipes, shape);
  return shape;
}

// A front that has passed some taps leaves behind it a set of taps closed under going downstream, and ahead
// of it at least the members' volume below each of those. The best such sets for all volumes at once follow
// by putting a tap together with what lies below it wherever it draws more for its volume. SOURCE: Horn, SIAM
// J. Appl. Math. 23(2), 189-202, 1972 (from memory), of jobs that must wait for others.
std::vector<DemandCorner> MostDrawAhead(const TreeShape& shape, std::span<const size_t> members) {
  const std::vector<double> beyond = shape.DemandBeyond();
  std::vector<char> is_member(shape.stretches.size(), 0);
  for (const size_t s : members) is_member[s] = 1;
  std::vector<std::vector<Block>> blocks(shape.stretches.size());
  std::vector<Block> own(shape.stretches.size(), Block{0, 0});
  for (size_t s = shape.stretches.size(); s-- > 0;) {
    const TreeShape::Stretch& stretch = shape.stretches[s];
    own[s].draw_m3_per_s += stretch.tap_m3_per_s;
    if (is_member[s] != 0) {
      Block block = own[s];
      std::vector<Block>& below = blocks[s];
      while (!below.empty() && !below.back().DenserThan(block)) {
        block.volume_m3 += below.back().volume_m3;
        block.draw_m3_per_s += below.back().draw_m3_per_s;
        below.pop_back();
      }
      // One of nothing would be as dense as any other.
      if (block.volume_m3 > 0 || block.draw_m3_per_s > 0) below.push_back(block);
    }
    if (!stretch.before) continue;
    const size_t before = *stretch.before;
    if (is_member[s] == 0) {
      own[before].draw_m3_per_s += beyond[s];
      continue;
    }
    own[before].volume_m3 += stretch.volume_m3;
    std::vector<Block> merged;
    std::merge(blocks[before].begin(), blocks[before].end(), blocks[s].begin(), blocks[s].end(),
               std::back_inserter(merged), [](const Block& a, const Block& b) { return a.DenserThan(b); });
    blocks[before] = std::move(merged);
  }
  DemandCorner corner;
  std::vector<DemandCorner> corners;
  for (const Block& block : blocks[members.front()]) {
    corner.volume_m3 += block.volume_m3;
    corner.demand_m3_per_s += block.draw_m3_per_s;
    if (corners.empty() && block.volume_m3 > 0) corners.push_back({0, 0});
    corners.push_back(corner);
  }
  corner.volume_m3 += shape.stretches[members.front()].volume_m3;
  corners.push_back(corner);
  return corners;
}

}  // namespace lastreach
