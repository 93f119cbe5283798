#include <algorithm>
#include <cmath>
#include <limits>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

// Links that are nearer to settled than this share of what is allowed keep their slopes of before.
constexpr double kShareLeft = 0.3;
// More links than these cost as much as all.
constexpr double kForgotten_m3_per_s = 1e-13;
constexpr size_t kMostLinks = 2500;
// As long as they are so few, it does not pay to factor anew.
constexpr size_t kFewLinks = 150;

}  // namespace

bool CoreNewton::CanFollow() const {
  return has_factor_ && balanced_ && !begins_flat_ && holding_.empty() &&
         std::all_of(core_.valves.begin(), core_.valves.end(),
                     [](const CoreValve& valve) { return valve.state != ValveState::kHolding; });
}

// Nodes that owe mass owe it to the whole core at once, by the old factor.
bool CoreNewton::Follow(const CoreChange& change) {
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
  balanced_ = laws_are_current_ = false;
  const bool settled = OpenPatch(change) && SettleWithPatch();
  owing_.clear();
  if (settled) {
    for (const uint32_t node : patch_->nodes()) {
      if (std::abs(missing_m3_per_s_[node]) > kForgotten_m3_per_s)
        owing_.push_back(node);
      else
        missing_m3_per_s_[node] = 0;
    }
    balanced_ = laws_are_current_ = true;
  } else {
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
    for (const uint32_t node : owing_) {
      sent_m3_per_s_[node] += missing_m3_per_s_[node];
      missing_m3_per_s_[node] = 0;
    }
    for (const uint32_t node : patch_->nodes()) risen_m_[node] = answer_m_[node];
    patch_->Rise(answer_m_);
  }
  std::fill(answer_m_.begin(), answer_m_.end(), 0);
  return is_small;
}

// Links that would miss their laws if they answered such heads by their slopes of before, and of those the
// ones that only miss them for these slopes being old: the bend of the law is that of a power not far from
// the square.
CoreNewton::Bends CoreNewton::WouldBend(size_t link) const {
  const CoreLink& ends = core_.links[link];
  const double drive_m = std::abs(answer_m_[ends.from] - answer_m_[ends.to]);
  const double moved = factored_m2_per_s_[link] * drive_m;
  const double all = std::abs(core_.flow_m3_per_s[link]) + moved;
  const double slope = slope_s_per_m2_[link];
  const double allowed_m =
      kShareLeft * std::min(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s * slope);
  const double stale_m = drive_m * std::abs(factored_m2_per_s_[link] * slope - 1);
  const double bent = 0.5 * drive_m * moved;
  if (!((stale_m - allowed_m) * all + bent > 0)) return Bends::kNot;
  return bent > allowed_m * all ? Bends::kByLaw : Bends::kForOldSlope;
}

// False where there are too many.
bool CoreNewton::FindBent() {
  bent_.clear();
  size_t by_law = 0;
  for (uint32_t i = 0; i < core_.Chains(); ++i) {
    const Bends bends = WouldBend(i);
    if (bends == Bends::kNot) continue;
    bent_.push_back(i);
    by_law += bends == Bends::kByLaw ? 1 : 0;
  }
  slopes_are_old_ = bent_.size() > kFewLinks && by_law < bent_.size() / 2;
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    const bool bends =
        role_[i] == Role::kOut ? factored_m2_per_s_[i] != 0 : IsOff(i) || WouldBend(i) != Bends::kNot;
    if (bends) bent_.push_back(static_cast<uint32_t>(i));
  }
  return bent_.size() <= kMostLinks;
}

void CoreNewton::LayOutPatch() {
  patch_->LayOut(drive_m_, factored_m2_per_s_);
  matrix_.FindReach(patch_->nodes(), reach_);
}

bool CoreNewton::SettleWithPatch() {
  constexpr int kMostRounds = 4;
  constexpr size_t kMostMore = 500;
  for (int round = 0; round < kMostRounds; ++round) {
    ++outcome_.iterations;
    const bool settled = SettlePatch();
    Spread();
    if (!settled) return false;
    EvaluateChains(0, core_.flow_m3_per_s, loss_m_, slope_s_per_m2_);
    EvaluateSpecials();
    bent_.clear();
    for (uint32_t i = 0; i < core_.links.size(); ++i) {
      if (IsOff(i)) bent_.push_back(i);
    }
    if (bent_.empty()) return true;
    if (bent_.size() > kMostMore) return false;
    for (const uint32_t link : bent_) patch_->AddLink(link);
    LayOutPatch();
  }
  return false;
}

// Steps inside, and what they leave missing on the rim sent into the whole, in turn.
bool CoreNewton::SettlePatch() {
  constexpr int kMostTurns = 12;
  constexpr double kMissing_m3_per_s = 1e-10;
  double before = std::numeric_limits<double>::infinity();
  for (int turn = 0; turn < kMostTurns; ++turn) {
    const double missing = patch_->WorstMissing_m3_per_s();
    if (missing <= kMissing_m3_per_s) {
      if (IsPatchSettled()) return true;
    } else if (turn > 0) {
      if (missing > before / 2) return false;
      before = missing;
      SendWithin();
    }
    if (!StepInside()) return false;
  }
  return false;
}

bool CoreNewton::StepInside() {
  constexpr int kMostSteps = 4;
  constexpr double kShareOfMissing = 0.2;
  const double tolerance = options_.flow_tolerance_m3_per_s;
  double move = patch_->WorstMove_m3_per_s();
  for (int step = 0; step < kMostSteps; ++step) {
    if (!patch_->Step(move > kShareLeft * tolerance, move > tolerance)) return false;
    move = patch_->WorstMove_m3_per_s();
    if (move < kShareOfMissing * patch_->WorstMissing_m3_per_s() || IsPatchSettled()) break;
  }
  return true;
}

bool CoreNewton::IsPatchSettled() const {
  return patch_->IsSettled(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s, kShareLeft);
}

void CoreNewton::SendWithin() {
  const Stopwatch watch(outcome_.backsolve_s);
  for (const uint32_t node : patch_->nodes()) {
    answer_m_[node] = missing_m3_per_s_[node];
    sent_m3_per_s_[node] += missing_m3_per_s_[node];
    missing_m3_per_s_[node] = 0;
  }
  matrix_.SolveWithin(reach_, answer_m_);
  for (const uint32_t node : patch_->nodes()) risen_m_[node] += answer_m_[node];
  patch_->Rise(answer_m_);
  for (const uint32_t front : reach_) {
    const auto [begin, end] = matrix_.Columns(front);
    std::fill(answer_m_.begin() + begin, answer_m_.begin() + end, 0);
  }
}

// Everything that was sent, and what is still missing, reaches all nodes and links.
void CoreNewton::Spread() {
  const Stopwatch watch(outcome_.backsolve_s);
  for (const uint32_t node : patch_->nodes()) {
    answer_m_[node] = sent_m3_per_s_[node] + missing_m3_per_s_[node];
    sent_m3_per_s_[node] = missing_m3_per_s_[node] = 0;
  }
  matrix_.SolveFrom(reach_, {answer_m_.data(), core_.unknowns});
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double drive = answer_m_[core_.links[i].from] - answer_m_[core_.links[i].to];
    drive_m_[i] += drive;
    core_.flow_m3_per_s[i] += factored_m2_per_s_[i] * drive;
  }
  for (const uint32_t node : patch_->nodes()) {
    answer_m_[node] -= risen_m_[node];
    risen_m_[node] = 0;
  }
  patch_->Rise(answer_m_);
  patch_->Give(core_.flow_m3_per_s, drive_m_);
  for (const uint32_t node : patch_->nodes()) answer_m_[node] = 0;
  for (size_t i = 0; i < core_.unknowns; ++i) core_.head_m[i] += answer_m_[i];
  std::fill(answer_m_.begin(), answer_m_.end(), 0);
}

}  // namespace lastreach
