#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

// More links in the patch than these, or than such a share of all, cost as much as all.
constexpr size_t kMostLinks = 1500;
constexpr size_t kMostOfAll = 40;
// So few may all be in the patch, and it does not pay to factor anew for them.
constexpr size_t kFewLinks = 300;
constexpr size_t kAlwaysFew = 64;
constexpr double kForgotten_m3_per_s = 1e-13;
constexpr double kNoFlow_m3_per_s = 1e-300;

size_t MostLinks(const Core& core) {
  return std::max(kAlwaysFew, std::min(kMostLinks, core.links.size() / kMostOfAll));
}

}  // namespace

bool CoreNewton::CanFollow() const {
  return has_factor_ && balanced_ && !begins_flat_ && holding_.empty() &&
         std::all_of(core_.valves.begin(), core_.valves.end(),
                     [](const CoreValve& valve) { return valve.state != ValveState::kHolding; });
}

// Nodes that owe mass owe it to the whole core at once, by the old factor.
void CoreNewton::TakeIn(const CoreChange& change) {
  ReadValves();
  if (!patch_) MakePatch();
  if (!laws_are_current_) {
    Drives(core_.head_m, drive_m_);
    EvaluateChains(0, core_.flow_m3_per_s, loss_m_, slope_s_per_m2_);
  }
  EvaluateSpecials();  // pushes have moved since
  if (core_.pipes.kind() == HeadLoss::kHazenWilliams) {
    for (const uint32_t link : change.links) {
      if (link < core_.Chains()) FindMiddle(link);
    }
  }
  for (const CoreChange::Drawn& drawn : change.drawn) {
    missing_m3_per_s_[drawn.node] -= drawn.more_m3_per_s;
    owing_.push_back(drawn.node);
  }
}

bool CoreNewton::Follow(const CoreChange& change) {
  TakeIn(change);
  balanced_ = laws_are_current_ = false;
  const bool settled =
      options_.followed_head_error_m > 0 ? SettleNearly() : OpenPatch(change) && SettleWithPatch();
  sent_from_.clear();
  if (settled && outcome_.head_error_bound_m < 0) {
    owing_.clear();
    for (const uint32_t node : patch_->nodes()) {
      if (std::abs(missing_m3_per_s_[node]) > kForgotten_m3_per_s)
        owing_.push_back(node);
      else
        missing_m3_per_s_[node] = 0;
    }
  }
  balanced_ = laws_are_current_ = settled;
  if (!settled) {
    owing_.clear();
    for (auto* column : {&missing_m3_per_s_, &sent_m3_per_s_, &risen_m_}) {
      std::fill(column->begin(), column->end(), 0);
    }
  }
  patch_->Clear();
  return settled;
}

void CoreNewton::MakePatch() {
  for (auto* column : {&missing_m3_per_s_, &sent_m3_per_s_, &risen_m_, &answer_m_}) {
    column->assign(core_.head_m.size(), 0);
  }
  patch_.emplace(core_, core_.head_m, missing_m3_per_s_);
}

void CoreNewton::EvaluateSpecials() {
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (role_[i] != Role::kLaw) continue;
    const LossAndSlope loss = LossOf(core_.LawOf(i), core_.flow_m3_per_s[i]);
    loss_m_[i] = loss.head_m;
    slope_s_per_m2_[i] = loss.slope_s_per_m2;
  }
}

// What is owed reaches all nodes as the whole would answer by its slopes of before.
void CoreNewton::AnswerAsBefore() {
  const Stopwatch watch(outcome_.backsolve_s);
  std::fill(answer_m_.begin(), answer_m_.end(), 0);
  for (const uint32_t node : owing_) answer_m_[node] = missing_m3_per_s_[node];
  matrix_.FindReach(owing_, reach_);
  matrix_.SolveFrom(reach_, {answer_m_.data(), core_.unknowns});
}

bool CoreNewton::FactorAsTheyAre() {
  const Stopwatch watch(outcome_.factor_s);
  ++outcome_.factorisations;
  for (size_t i = 0; i < core_.links.size(); ++i) {
    factored_m2_per_s_[i] = role_[i] == Role::kOut ? 0 : 1 / slope_s_per_m2_[i];
  }
  has_factor_ = matrix_.Factor(factored_m2_per_s_);
  return has_factor_;
}

// The patch: links that changed, and those whose laws bend too much on the way that the whole would answer by
// its slopes of before. False where that is too much of it.
bool CoreNewton::OpenPatch(const CoreChange& change) {
  AnswerAsBefore();
  bool is_small = FindBent();
  if (slopes_are_old_) {
    if (!FactorAsTheyAre()) return false;
    AnswerAsBefore();
    is_small = FindBent();
  }
  if (is_small) {
    for (const CoreChange::Drawn& drawn : change.drawn) patch_->AddNode(drawn.node);
    for (const uint32_t link : change.links) patch_->AddLink(link);
    for (const uint32_t link : bent_) patch_->AddLink(link);
    LayOutPatch();
    for (const uint32_t node : owing_) Send(node);
    for (const uint32_t node : patch_->nodes()) risen_m_[node] = answer_m_[node];
    patch_->Rise(answer_m_);
  }
  std::fill(answer_m_.begin(), answer_m_.end(), 0);
  return is_small;
}

// What would be off if a link answered such heads by its slope of before, as a share of what moves: for the
// slope being old, and for the bend of its law, a power not far from the square.
CoreNewton::Bend CoreNewton::WouldBend(size_t link) const {
  const CoreLink& ends = core_.links[link];
  const double drive_m = std::abs(answer_m_[ends.from] - answer_m_[ends.to]);
  const double moved = factored_m2_per_s_[link] * drive_m;
  const double slope = slope_s_per_m2_[link];
  const double allowed_m =
      kNearlySettled * std::min(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s * slope);
  const double by_law = 0.5 * moved / (std::abs(core_.flow_m3_per_s[link]) + moved + kNoFlow_m3_per_s);
  const double by_age = std::abs(factored_m2_per_s_[link] * slope - 1);
  const double off_m = drive_m * (by_law + by_age);
  return {off_m > allowed_m, off_m * (by_law + by_age) > allowed_m, drive_m * by_law * by_law > allowed_m};
}

// Where there are many, only those go into the patch that would not settle by one more answer as before.
// False where there are too many.
bool CoreNewton::FindBent() {
  bent_.clear();
  strongly_bent_.clear();
  size_t by_law = 0;
  for (uint32_t i = 0; i < core_.links.size(); ++i) {
    if (role_[i] == Role::kOut) {
      if (factored_m2_per_s_[i] != 0) strongly_bent_.push_back(i);
      continue;
    }
    const Bend bend = WouldBend(i);
    if (bend.is_strong) strongly_bent_.push_back(i);
    if (bend.is_there) bent_.push_back(i);
    by_law += bend.is_by_law ? 1 : 0;
  }
  const size_t most = MostLinks(core_), few = std::min(most, kFewLinks);
  slopes_are_old_ = strongly_bent_.size() > few && by_law < strongly_bent_.size() / 4;
  for (uint32_t i = static_cast<uint32_t>(core_.Chains()); i < core_.links.size(); ++i) {
    if (IsOff(i)) strongly_bent_.push_back(i);
  }
  if (bent_.size() > few) bent_.clear();
  bent_.insert(bent_.end(), strongly_bent_.begin(), strongly_bent_.end());
  return bent_.size() <= most;
}

}  // namespace lastreach
