#include <algorithm>
#include <cmath>
#include <limits>

#include "hydraulics/core_newton.h"

namespace lastreach {

void CoreNewton::LayOutPatch() {
  patch_->LayOut(drive_m_, factored_m2_per_s_);
  matrix_.FindReach(patch_->nodes(), reach_);
}

bool CoreNewton::SettleWithPatch() {
  constexpr int kMostRounds = 5;
  constexpr size_t kFew = 100;
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
    if (round > 0 && bent_.size() > kFew && bent_.size() > before / 2) return false;
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
    if (std::abs(residual_m) <= kNearlySettled * allowed_m || patch_->Holds(i)) continue;
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
  constexpr double kMissing_m3_per_s = 5e-10;
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
    if (!patch_->Step(move > kNearlySettled * tolerance, move > tolerance)) return false;
    move = patch_->WorstMove_m3_per_s();
    if (move < kShareOfMissing * patch_->WorstMissing_m3_per_s() || IsPatchSettled()) break;
  }
  return true;
}

bool CoreNewton::IsPatchSettled() const {
  return patch_->IsSettled(options_.head_tolerance_m, options_.flow_tolerance_m3_per_s, kNearlySettled);
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

void CoreNewton::MoveLinksByAnswer() {
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double drive = answer_m_[core_.links[i].from] - answer_m_[core_.links[i].to];
    drive_m_[i] += drive;
    core_.flow_m3_per_s[i] += factored_m2_per_s_[i] * drive;
  }
}

void CoreNewton::MoveHeadsByAnswer() {
  for (size_t i = 0; i < core_.unknowns; ++i) core_.head_m[i] += answer_m_[i];
  std::fill(answer_m_.begin(), answer_m_.end(), 0);
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
  MoveLinksByAnswer();
  for (const uint32_t node : patch_->nodes()) {
    answer_m_[node] -= risen_m_[node];
    risen_m_[node] = 0;
  }
  patch_->Rise(answer_m_);
  patch_->Give(core_.flow_m3_per_s, drive_m_);
  for (const uint32_t node : patch_->nodes()) answer_m_[node] = 0;
  MoveHeadsByAnswer();
}

}  // namespace lastreach
