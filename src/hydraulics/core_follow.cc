#include <algorithm>
#include <cmath>
#include <limits>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

// Links that are nearer to settled than this share of what is allowed keep their slopes of before.
constexpr double kShareLeft = 0.3;
// More links in the patch than these cost as much as all.
constexpr size_t kMostLinks = 1500;
// So few may all be in the patch, and it does not pay to factor anew for them.
constexpr size_t kFewLinks = 300;
constexpr double kForgotten_m3_per_s = 1e-13;
constexpr double kNoFlow_m3_per_s = 1e-300;

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
  sent_from_.clear();
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
      kShareLeft * std::min(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s * slope);
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
  slopes_are_old_ = strongly_bent_.size() > kFewLinks && by_law < strongly_bent_.size() / 4;
  for (uint32_t i = static_cast<uint32_t>(core_.Chains()); i < core_.links.size(); ++i) {
    if (IsOff(i)) strongly_bent_.push_back(i);
  }
  if (bent_.size() > kFewLinks) bent_.clear();
  bent_.insert(bent_.end(), strongly_bent_.begin(), strongly_bent_.end());
  return bent_.size() <= kMostLinks;
}

void CoreNewton::LayOutPatch() {
  patch_->LayOut(drive_m_, factored_m2_per_s_);
  matrix_.FindReach(patch_->nodes(), reach_);
}

bool CoreNewton::SettleWithPatch() {
  constexpr int kMostRounds = 5;
  size_t before = core_.links.size();
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
    if (round > 0 && bent_.size() > kFewLinks && bent_.size() > before / 2) return false;
    before = bent_.size();
    Correct();
  }
  return false;
}

// Links off their laws: few, or far off, they come into the patch; of others, what they are off is answered
// as before.
void CoreNewton::Correct() {
  constexpr double kFarOff = 0.2;
  constexpr size_t kFew = 20;
  const bool are_few = bent_.size() <= kFew;
  bool is_more = false;
  for (const uint32_t link : bent_) {
    const double off = std::abs(Residual_m(link)) / slope_s_per_m2_[link];
    if (!are_few && off < kFarOff * std::abs(core_.flow_m3_per_s[link])) continue;
    patch_->AddLink(link);
    is_more = true;
  }
  if (is_more) LayOutPatch();
  if (are_few) return;
  for (uint32_t i = 0; i < core_.links.size(); ++i) {
    const double residual_m = Residual_m(i);
    const double allowed_m =
        std::min(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s * slope_s_per_m2_[i]);
    if (std::abs(residual_m) <= kShareLeft * allowed_m || patch_->Holds(i)) continue;
    const double flow = factored_m2_per_s_[i] * residual_m;
    core_.flow_m3_per_s[i] += flow;
    for (const auto& [node, more] :
         {std::pair(core_.links[i].from, -flow), std::pair(core_.links[i].to, flow)}) {
      if (node >= core_.unknowns) continue;
      missing_m3_per_s_[node] += more;
      owing_.push_back(node);
    }
  }
  AnswerWithin();
}

// What is owed, as far as it is felt in the patch.
void CoreNewton::AnswerWithin() {
  const Stopwatch watch(outcome_.backsolve_s);
  owing_.insert(owing_.end(), patch_->nodes().begin(), patch_->nodes().end());
  matrix_.FindReach(owing_, far_reach_);
  for (const uint32_t node : owing_) {
    answer_m_[node] += missing_m3_per_s_[node];
    Send(node);
  }
  matrix_.SolveWithin(far_reach_, answer_m_);
  for (const uint32_t node : patch_->nodes()) risen_m_[node] += answer_m_[node];
  patch_->Rise(answer_m_);
  ClearAnswer(far_reach_);
  owing_.clear();
}

void CoreNewton::Send(uint32_t node) {
  sent_m3_per_s_[node] += missing_m3_per_s_[node];
  missing_m3_per_s_[node] = 0;
  sent_from_.push_back(node);
}

void CoreNewton::ClearAnswer(std::span<const uint32_t> reach) {
  for (const uint32_t front : reach) {
    const auto [begin, end] = matrix_.Columns(front);
    std::fill(answer_m_.begin() + begin, answer_m_.begin() + end, 0);
  }
}

// Steps inside, and what they leave missing on the rim sent into the whole, in turn.
bool CoreNewton::SettlePatch() {
  constexpr int kMostTurns = 12;
  constexpr double kMissing_m3_per_s = 1e-9;
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
    Send(node);
  }
  matrix_.SolveWithin(reach_, answer_m_);
  for (const uint32_t node : patch_->nodes()) risen_m_[node] += answer_m_[node];
  patch_->Rise(answer_m_);
  ClearAnswer(reach_);
}

// Everything that was sent, and what is still missing, reaches all nodes and links.
void CoreNewton::Spread() {
  const Stopwatch watch(outcome_.backsolve_s);
  for (const uint32_t node : patch_->nodes()) Send(node);
  matrix_.FindReach(sent_from_, far_reach_);
  for (const uint32_t node : sent_from_) {
    answer_m_[node] += sent_m3_per_s_[node];
    sent_m3_per_s_[node] = 0;
  }
  sent_from_.clear();
  matrix_.SolveFrom(far_reach_, {answer_m_.data(), core_.unknowns});
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
