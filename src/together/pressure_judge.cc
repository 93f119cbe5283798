#include "together/pressure_judge.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <limits>
#include <map>
#include <numeric>

#include "network/plain_tables.h"
#include "together/known_sets.h"
#include "together/set_solvers.h"

namespace lastreach {
namespace {

constexpr double kHoldsWithin_m = 1e-3;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

double SecondsSince(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

bool JudgedSet::Holds() const { return solved && least_spare_m >= -kHoldsWithin_m; }

class PressureJudge::Impl {
 public:
  static Result<std::unique_ptr<Impl>> Make(const Network& network, std::vector<DrawingPoint> devices,
                                            std::vector<LeastPressureThere> limits,
                                            const PressureOptions& options) {
    const auto start = std::chrono::steady_clock::now();
    Result<PressureMoments> moments = MomentsOf(network);
    if (!moments.ok()) return moments.error();
    auto impl = std::make_unique<Impl>();
    impl->moments = *std::move(moments);
    impl->devices = std::move(devices);
    impl->limits = std::move(limits);
    impl->options = options;
    Result<SetSolvers> solvers = SetSolvers::Make(impl->moments, impl->devices, options.solvers);
    if (!solvers.ok()) return solvers.error();
    impl->solvers.emplace(*std::move(solvers));
    impl->FindPlaces();
    if (Status base = impl->SolveBase(); !base.ok()) return base.error();
    impl->GroupStates();
    impl->summary.prepare_s = SecondsSince(start);
    return impl;
  }

  JudgedSet Judge(size_t state, const OpenSet& open) { return JudgeAll({{state, open}}).front(); }

  std::vector<JudgedSet> JudgeAll(const std::vector<Question>& questions) {
    const auto start = std::chrono::steady_clock::now();
    std::vector<JudgedSet> answers(questions.size());
    std::map<std::pair<size_t, OpenSet>, size_t> asked;  // place in `afresh`
    std::vector<Question> afresh;
    std::vector<std::optional<size_t>> from(questions.size());
    for (size_t i = 0; i < questions.size(); ++i) {
      if (const JudgedSet* known = known_[questions[i].state].Find(questions[i].open)) {
        answers[i] = *known;
        continue;
      }
      const auto [first, added] = asked.try_emplace({questions[i].state, questions[i].open}, afresh.size());
      from[i] = first->second;
      if (added) afresh.push_back(questions[i]);
    }
    std::vector<JudgedSet> solved(afresh.size());
    solvers->Solve(afresh,
                   [&](size_t i, const SteadyState* state) { solved[i] = Judged(state, afresh[i].state); });
    for (size_t i = 0; i < afresh.size(); ++i) known_[afresh[i].state].Add(afresh[i].open, solved[i]);
    for (size_t i = 0; i < questions.size(); ++i) {
      if (from[i]) answers[i] = solved[*from[i]];
    }
    summary.solves += afresh.size();
    summary.reused += questions.size() - afresh.size();
    summary.solve_s += SecondsSince(start);
    return answers;
  }

  std::vector<uint32_t> PlacesShort(size_t state, const OpenSet& open) {
    std::vector<uint32_t> found;
    solvers->Solve({{state, open}}, [&](size_t, const SteadyState* answer) {
      known_[state].Add(open, Judged(answer, state));
      for (uint32_t place = 0; place < places.size(); ++place) {
        if (spare_m[state][place] == kInfinity) continue;
        const bool holds =
            answer != nullptr && answer->head_m[At(places[place])] - Floor_m(place) >= -kHoldsWithin_m;
        if (!holds) found.push_back(place);
      }
    });
    ++summary.solves;
    return found;
  }

  std::span<const float> Drop_m(size_t state, uint32_t device) {
    std::vector<std::vector<float>>& drops = drop_m[drop_state[state]];
    if (drops.empty()) FindDrops(drop_state[state], drops);
    return drops[device];
  }

  std::vector<std::string> ShortWithoutDevices() const {
    std::vector<std::string> words;
    for (size_t place = 0; place < places.size(); ++place) {
      if (shortest_m[place] >= -kHoldsWithin_m) continue;
      const LeastPressureThere& limit = limits[limit_of[place]];
      char text[160];
      std::snprintf(text, sizeof text,
                    ": %.1f m with no device open, limit %.1f m (source: ", limit.least_m + shortest_m[place],
                    limit.least_m);
      words.push_back(moments.network[places[place]].id + text + limit.source + ")");
    }
    return words;
  }

  PressureMoments moments;
  std::vector<DrawingPoint> devices;
  std::vector<LeastPressureThere> limits;
  PressureOptions options;
  std::optional<SetSolvers> solvers;
  std::vector<NodeIndex> places;
  std::vector<uint32_t> limit_of;            // size places
  std::vector<std::vector<double>> head_m;   // by state, size places: no device open
  std::vector<std::vector<double>> spare_m;  // by state, size places
  std::vector<double> shortest_m;            // size places: least over the states, with no device open
  std::vector<size_t> drop_state;            // size states
  std::map<size_t, std::vector<std::vector<float>>> drop_m;  // by drop state, then device
  PressureJudgeSummary summary;

 private:
  std::vector<KnownSets> known_;  // by state

  double Floor_m(size_t place) const {
    return moments.network[places[place]].elevation_m->value + limits[limit_of[place]].least_m;
  }

  // Customers' nodes, each with the strictest limit that covers it.
  void FindPlaces() {
    const std::vector<double> demand_m3_per_s = DemandAtNodes(moments.network);
    for (size_t i = 0; i < moments.network.nodes.size(); ++i) {
      const Node& node = moments.network.nodes[i];
      if (!(demand_m3_per_s[i] > 0) || node.kind != NodeKind::kJunction || !node.elevation_m) continue;
      std::optional<uint32_t> strictest;
      for (uint32_t k = 0; k < limits.size(); ++k) {
        if (!limits[k].zone.empty() && limits[k].zone != node.zone) continue;
        if (!strictest || limits[k].least_m > limits[*strictest].least_m) strictest = k;
      }
      if (!strictest) continue;
      places.push_back(NodeIndex(static_cast<uint32_t>(i)));
      limit_of.push_back(*strictest);
    }
  }

  Status SolveBase() {
    shortest_m.assign(places.size(), kInfinity);
    known_.resize(moments.states.size());
    for (size_t s = 0; s < moments.states.size(); ++s) {
      bool settled = false;
      solvers->Solve({{s, {}}}, [&](size_t, const SteadyState* state) {
        settled = state != nullptr;
        if (settled) TakeBase(*state);
      });
      ++summary.solves;
      if (!settled) return BadInput("with no device open the network's flows cannot be settled");
    }
    return Ok();
  }

  void TakeBase(const SteadyState& state) {
    std::vector<double>& heads = head_m.emplace_back();
    std::vector<double>& spare = spare_m.emplace_back();
    for (size_t place = 0; place < places.size(); ++place) {
      const double head = state.head_m[At(places[place])];
      const double over_m = head - Floor_m(place);
      heads.push_back(head);
      shortest_m[place] = std::min(shortest_m[place], std::isnan(over_m) ? -kInfinity : over_m);
      spare.push_back(over_m >= -kHoldsWithin_m ? std::max(over_m, 0.0) : kInfinity);
    }
  }

  // Neighbours in demand share the drops of the one with the least.
  void GroupStates() {
    std::vector<double> demand(moments.states.size());
    for (size_t i = 0; i < demand.size(); ++i) {
      const std::vector<double>& of = moments.states[i].demand_m3_per_s;
      demand[i] = std::accumulate(of.begin(), of.end(), 0.0);
    }
    std::vector<size_t> order(demand.size());
    std::iota(order.begin(), order.end(), size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) { return demand[a] < demand[b]; });
    drop_state.resize(order.size());
    const size_t groups = std::min(order.size(), static_cast<size_t>(std::max(1, options.drop_states)));
    for (size_t i = 0; i < order.size(); ++i) {
      const size_t group = i * groups / order.size();
      drop_state[order[i]] = order[(group * order.size() + groups - 1) / groups];
    }
  }

  JudgedSet Judged(const SteadyState* answer, size_t state) const {
    if (answer == nullptr) return {.solved = false, .least_spare_m = -kInfinity, .place = 0};
    JudgedSet judged{.solved = true, .least_spare_m = kInfinity, .place = 0};
    for (size_t place = 0; place < places.size(); ++place) {
      if (spare_m[state][place] == kInfinity) continue;
      const double over_m = answer->head_m[At(places[place])] - Floor_m(place);
      if (over_m >= judged.least_spare_m) continue;
      judged.least_spare_m = over_m;
      judged.place = static_cast<uint32_t>(place);
    }
    return judged;
  }

  void FindDrops(size_t state, std::vector<std::vector<float>>& drops) {
    const auto start = std::chrono::steady_clock::now();
    drops.assign(devices.size(), std::vector<float>(places.size(), 0));
    std::vector<Question> alone;
    for (uint32_t d = 0; d < devices.size(); ++d) alone.push_back({state, {d}});
    solvers->Solve(alone, [&](size_t d, const SteadyState* answer) {
      for (size_t place = 0; answer != nullptr && place < places.size(); ++place) {
        const double drop = head_m[state][place] - answer->head_m[At(places[place])];
        drops[d][place] = static_cast<float>(std::max(0.0, drop));
      }
    });
    summary.solves += devices.size();
    summary.solve_s += SecondsSince(start);
  }
};

PressureJudge::PressureJudge(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
PressureJudge::~PressureJudge() = default;
PressureJudge::PressureJudge(PressureJudge&&) noexcept = default;
PressureJudge& PressureJudge::operator=(PressureJudge&&) noexcept = default;

Result<PressureJudge> PressureJudge::Make(const Network& network, std::vector<DrawingPoint> devices,
                                          std::vector<LeastPressureThere> limits,
                                          const PressureOptions& options) {
  auto impl = Impl::Make(network, std::move(devices), std::move(limits), options);
  if (!impl.ok()) return impl.error();
  return PressureJudge(*std::move(impl));
}

const PressureMoments& PressureJudge::moments() const { return impl_->moments; }
size_t PressureJudge::states() const { return impl_->moments.states.size(); }
size_t PressureJudge::devices() const { return impl_->devices.size(); }
const std::vector<NodeIndex>& PressureJudge::places() const { return impl_->places; }
const LeastPressureThere& PressureJudge::LimitOf(uint32_t place) const {
  return impl_->limits[impl_->limit_of[place]];
}
std::span<const double> PressureJudge::Spare_m(size_t state) const { return impl_->spare_m[state]; }
std::vector<std::string> PressureJudge::ShortWithoutDevices() const { return impl_->ShortWithoutDevices(); }
JudgedSet PressureJudge::Judge(size_t state, const OpenSet& open) { return impl_->Judge(state, open); }
std::vector<JudgedSet> PressureJudge::JudgeAll(const std::vector<Question>& questions) {
  return impl_->JudgeAll(questions);
}
size_t PressureJudge::DropStateOf(size_t state) const { return impl_->drop_state[state]; }
std::vector<uint32_t> PressureJudge::PlacesShort(size_t state, const OpenSet& open) {
  return impl_->PlacesShort(state, open);
}
std::span<const float> PressureJudge::Drop_m(size_t state, uint32_t device) {
  return impl_->Drop_m(state, device);
}
const PressureJudgeSummary& PressureJudge::summary() const { return impl_->summary; }

}  // namespace lastreach
