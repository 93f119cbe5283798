#include "hydraulics/core_patch.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

constexpr double kPower = 1.852;

}  // namespace

CorePatch::CorePatch(const Core& core, std::vector<double>& head, std::vector<double>& missing)
    : core_(core),
      head_m_(head),
      missing_m3_per_s_(missing),
      first_(core.head_m.size() + 1),
      place_(core.head_m.size(), Place::kOutside),
      number_(core.head_m.size()) {
  for (const CoreLink& link : core.links) {
    ++first_[link.from + 1];
    ++first_[link.to + 1];
  }
  for (size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
  link_at_.resize(first_.back());
  std::vector<uint32_t> next(first_.begin(), first_.end() - 1);
  for (uint32_t i = 0; i < core.links.size(); ++i) {
    link_at_[next[core.links[i].from]++] = i;
    link_at_[next[core.links[i].to]++] = i;
  }
}

void CorePatch::AddNode(uint32_t node) {
  if (node >= core_.unknowns || place_[node] == Place::kInside) return;
  if (place_[node] == Place::kOutside) nodes_.push_back(node);
  place_[node] = Place::kInside;
}

void CorePatch::AddLink(uint32_t link) {
  AddNode(core_.links[link].from);
  AddNode(core_.links[link].to);
}

void CorePatch::Clear() {
  for (const uint32_t node : nodes_) place_[node] = Place::kOutside;
  nodes_.clear();
  inside_ = 0;
}

// Nodes inside stand in the order in which the whole is eliminated, which keeps a part of it sparse too.
void CorePatch::FindRim() {
  const auto rim = std::partition(nodes_.begin(), nodes_.end(),
                                  [&](uint32_t node) { return place_[node] == Place::kInside; });
  for (auto node = rim; node != nodes_.end(); ++node) place_[*node] = Place::kOutside;
  nodes_.erase(rim, nodes_.end());
  std::sort(nodes_.begin(), nodes_.end());
  inside_ = nodes_.size();
  links_.clear();
  for (size_t k = 0; k < inside_; ++k) {
    const uint32_t node = nodes_[k];
    for (uint32_t at = first_[node]; at < first_[node + 1]; ++at) {
      const CoreLink& link = core_.links[link_at_[at]];
      const uint32_t other = link.from == node ? link.to : link.from;
      if (other == node || (place_[other] == Place::kInside && other < node)) continue;
      links_.push_back(link_at_[at]);
      if (other >= core_.unknowns || place_[other] != Place::kOutside) continue;
      place_[other] = Place::kRim;
      nodes_.push_back(other);
    }
  }
  for (uint32_t k = 0; k < nodes_.size(); ++k) number_[nodes_[k]] = k;
}

void CorePatch::AddMember(uint32_t link, double drive, double before) {
  Member member;
  member.link = link;
  member.before_m2_per_s = before;
  member.flow_m3_per_s = core_.flow_m3_per_s[link];
  member.drive_m = drive;
  member.row_begin = static_cast<uint32_t>(drawn_m3_per_s_.size());
  if (link >= core_.Chains()) {
    member.law = &core_.LawOf(link);
  } else {
    double drawn = 0;
    for (uint32_t row = core_.row_begin[link]; row < core_.row_begin[link + 1]; ++row) {
      pipes_.Add(core_.pipes, row);
      drawn_m3_per_s_.push_back(core_.drawn_m3_per_s[row]);
      member.friction += core_.pipes.Friction(row);
      drawn += core_.pipes.Friction(row) * core_.drawn_m3_per_s[row];
    }
    if (member.friction > 0) member.middle_m3_per_s = drawn / member.friction;
  }
  member.row_end = static_cast<uint32_t>(drawn_m3_per_s_.size());
  members_.push_back(member);
}

void CorePatch::LayOut(std::span<const double> drive, std::span<const double> before) {
  FindRim();
  members_.clear();
  pipes_.Clear();
  drawn_m3_per_s_.clear();
  ends_.clear();
  const auto number = [&](uint32_t node) {
    return node < core_.unknowns ? number_[node] : static_cast<uint32_t>(nodes_.size());
  };
  for (const uint32_t link : links_) {
    AddMember(link, drive[link], before[link]);
    ends_.emplace_back(number(core_.links[link].from), number(core_.links[link].to));
  }
  for (auto* column : {&row_flow_m3_per_s_, &row_loss_m_, &row_slope_s_per_m2_}) {
    column->resize(drawn_m3_per_s_.size());
  }
  conductance_m2_per_s_.resize(members_.size());
  step_m_.resize(nodes_.size() + 1);
  matrix_.LayOut(static_cast<uint32_t>(inside_), ends_);
  has_factor_ = false;
  Evaluate();
}

void CorePatch::Evaluate() {
  for (const Member& member : members_) {
    for (uint32_t row = member.row_begin; row < member.row_end; ++row) {
      row_flow_m3_per_s_[row] = member.flow_m3_per_s - drawn_m3_per_s_[row];
    }
  }
  pipes_.Evaluate(row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_);
  for (Member& member : members_) {
    member.loss_m = member.slope_s_per_m2 = 0;
    for (uint32_t row = member.row_begin; row < member.row_end; ++row) {
      member.loss_m += row_loss_m_[row];
      member.slope_s_per_m2 += row_slope_s_per_m2_[row];
    }
    if (member.law == nullptr || member.IsOut()) continue;
    const LossAndSlope loss = LossOf(*member.law, member.flow_m3_per_s);
    member.loss_m = loss.head_m;
    member.slope_s_per_m2 = loss.slope_s_per_m2;
  }
}

void CorePatch::Rise(std::span<const double> rise) {
  for (const uint32_t node : nodes_) head_m_[node] += rise[node];
  for (Member& member : members_) {
    const CoreLink& link = core_.links[member.link];
    const double drive = rise[link.from] - rise[link.to];
    const double flow = member.Conductance() * drive;
    member.drive_m += drive;
    member.flow_m3_per_s += flow;
    const double missing = member.before_m2_per_s * drive - flow;
    missing_m3_per_s_[link.from] += missing;
    missing_m3_per_s_[link.to] -= missing;
  }
  Evaluate();
}

// As in core_chords.cc, for one pipe alone.
double CorePatch::ChordOf(const Member& member) const {
  constexpr double kApart = 0.02;
  constexpr double kLeastDrive_m = 1e-6;
  const double slope = 1 / member.slope_s_per_m2;
  if (pipes_.kind() != HeadLoss::kHazenWilliams || member.row_end - member.row_begin != 1) return slope;
  if (std::abs(member.drive_m) <= kLeastDrive_m || !(member.friction > 0)) return slope;
  const double size = std::pow(std::abs(member.drive_m) / member.friction, 1 / kPower);
  const double driven = member.middle_m3_per_s + std::copysign(size, member.drive_m);
  const double off = member.flow_m3_per_s - driven;
  if (std::abs(off) <= kApart * std::abs(member.flow_m3_per_s)) return slope;
  const double chord = (member.loss_m - member.drive_m) / off;
  return chord > kLeastSlope_s_per_m2 ? 1 / chord : slope;
}

bool CorePatch::Step(bool sharp, bool first) {
  if (sharp || !has_factor_) {
    for (size_t i = 0; i < members_.size(); ++i) {
      const Member& member = members_[i];
      conductance_m2_per_s_[i] = member.IsOut() ? 0 : first ? ChordOf(member) : 1 / member.slope_s_per_m2;
    }
    has_factor_ = matrix_.Factor(conductance_m2_per_s_);
    if (!has_factor_) return false;
  }
  for (size_t k = 0; k < inside_; ++k) step_m_[k] = missing_m3_per_s_[nodes_[k]];
  for (size_t i = 0; i < members_.size(); ++i) {
    const double flow = conductance_m2_per_s_[i] * members_[i].Residual_m();
    step_m_[ends_[i].first] -= flow;
    step_m_[ends_[i].second] += flow;
  }
  matrix_.Solve({step_m_.data(), inside_});
  std::fill(step_m_.begin() + static_cast<std::ptrdiff_t>(inside_), step_m_.end(), 0);
  for (size_t k = 0; k < inside_; ++k) {
    head_m_[nodes_[k]] += step_m_[k];
    missing_m3_per_s_[nodes_[k]] = 0;
  }
  for (size_t i = 0; i < members_.size(); ++i) {
    Member& member = members_[i];
    const auto [from, to] = ends_[i];
    const double drive = step_m_[from] - step_m_[to];
    const double flow = conductance_m2_per_s_[i] * (member.Residual_m() + drive);
    member.drive_m += drive;
    member.flow_m3_per_s += flow;
    if (from >= inside_) missing_m3_per_s_[core_.links[member.link].from] -= flow;
    if (to >= inside_) missing_m3_per_s_[core_.links[member.link].to] += flow;
  }
  Evaluate();
  return true;
}

double CorePatch::WorstMissing_m3_per_s() const {
  double worst = 0;
  for (const uint32_t node : nodes_) worst = std::max(worst, std::abs(missing_m3_per_s_[node]));
  return worst;
}

double CorePatch::WorstMove_m3_per_s() const {
  double worst = 0;
  for (const Member& member : members_) {
    if (!member.IsOut()) worst = std::max(worst, std::abs(member.Residual_m() / member.slope_s_per_m2));
  }
  return worst;
}

bool CorePatch::IsSettled(double head_m, double flow_m3_per_s, double share) const {
  constexpr double kRounding_m = 1e-12;
  return std::all_of(members_.begin(), members_.end(), [&](const Member& member) {
    const double allowed =
        share * std::min(head_m, std::max(kRounding_m, flow_m3_per_s * member.slope_s_per_m2));
    return std::abs(member.Residual_m()) <= allowed;
  });
}

void CorePatch::Give(std::span<double> flow, std::span<double> drive) const {
  for (const Member& member : members_) {
    flow[member.link] = member.flow_m3_per_s;
    drive[member.link] = member.drive_m;
  }
}

}  // namespace lastreach
