#include "plan/tree_search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "plan/joint_bleed.h"
#include "plan/tree_shape.h"

namespace lastreach {
namespace {

constexpr size_t kKinds = 5;
constexpr double kWorthARound = 0.01;
constexpr int kMostRounds = 6;
constexpr int kMostShifts = 12;
constexpr int kMostStaggered = 3;
constexpr size_t kStaggeredKept = 3;
constexpr size_t kMostKinds = 40;

int StepsToFewest(const TreeMember& member, const Candidate& choice) {
  int steps = 0;
  while (member.Moved(choice, steps - 1)) --steps;
  return steps;
}
int StepsToMost(const TreeMember& member, const Candidate& choice) {
  int steps = 0;
  while (member.Moved(choice, steps + 1)) ++steps;
  return steps;
}

// The fewest steps that bring a choice to so much water, or as near as can be.
int StepsToWater(const TreeMember& member, const Candidate& choice, double water_m3_per_day) {
  int low = StepsToFewest(member, choice);
  int high = StepsToMost(member, choice);
  while (low < high) {
    const int middle = low + (high - low) / 2;
    const bool enough = member.Moved(choice, middle)->water_m3_per_day >= water_m3_per_day * (1 - 1e-9);
    (enough ? high : low) = enough ? middle : middle + 1;
  }
  return low;
}

// All that tells choices apart.
std::vector<int> KeyOf(const std::vector<Candidate>& choices) {
  std::vector<int> key;
  for (const Candidate& choice : choices) {
    key.push_back(-1 - static_cast<int>(choice.days.index()));
    if (const auto* weekdays = std::get_if<Weekdays>(&choice.days))
      key.push_back(static_cast<int>(weekdays->bits));
    if (const auto* every = std::get_if<EveryNDays>(&choice.days)) key.push_back(every->n);
    for (const Candidate::Block& block : choice.programmes) {
      key.push_back(-10 - block.minutes);
      key.insert(key.end(), block.starts_min.begin(), block.starts_min.end());
    }
  }
  return key;
}

}  // namespace

TreeSearch::TreeSearch(const std::vector<std::unique_ptr<TreeMember>>& members, const PlanOptions& options)
    : members_(members), options_(options) {}

std::vector<TimerSettings> TreeSearch::Steady(const Choices& choices) const {
  std::vector<TimerSettings> settings;
  for (size_t i = 0; i < members_.size(); ++i) settings.push_back(members_[i]->SteadySettingsOf(choices[i]));
  return settings;
}

std::vector<DateWindow> TreeSearch::Windows(const Choices& choices) const {
  std::vector<DateWindow> windows;
  const auto add = [&](const DayPattern& days) {
    for (const DateWindow& window : WindowsToJudge(days, options_.zone, {options_.from, options_.to})) {
      const bool known = std::any_of(windows.begin(), windows.end(), [&](const DateWindow& other) {
        return other.from <= window.from && window.to <= other.to;
      });
      if (!known) windows.push_back(window);
    }
  };
  // The longest first, so that shorter ones inside it are seen to be.
  std::vector<DayPattern> patterns{DayPattern(kEveryWeekday)};
  for (const Candidate& choice : choices) {
    if (!choice.programmes.empty()) patterns.push_back(choice.days);
  }
  for (size_t p = patterns.size(); p-- > 0;) add(patterns[p]);
  return windows;
}

bool TreeSearch::HoldsAtCorners(const Choices& choices) const {
  const auto [at, is_new] = judged_.try_emplace(KeyOf(choices), true);
  if (!is_new) return at->second;
  const std::vector<TimerSettings> settings = Steady(choices);
  const std::vector<DateWindow> windows = Windows(choices);
  for (size_t k = 0; k < members_.size(); ++k) {
    const size_t i = (failed_last_ + k) % members_.size();
    if (members_[i]->HoldsAtCorner(settings, windows)) continue;
    failed_last_ = i;
    return at->second = false;
  }
  return true;
}

double TreeSearch::Water(const Choices& choices) {
  double water = 0;
  for (const Candidate& choice : choices) water += choice.water_m3_per_day;
  return water;
}

double TreeSearch::Score(const Choices& choices) const {
  double runs = 0;
  for (const Candidate& choice : choices) runs += choice.runs_per_day;
  const double more_runs = runs_alone_per_day_ > 0 ? runs / runs_alone_per_day_ : 0;
  return Water(choices) * (1 + options_.simpler_within * more_runs);
}

bool TreeSearch::Shorten(Choices& choices, size_t member, const HoldsAll& holds, double most_score) const {
  const TreeMember& device = *members_[member];
  const Candidate kind = choices[member];
  const auto with = [&](int steps) {
    Choices tried = choices;
    tried[member] = *device.Moved(kind, steps);
    return tried;
  };
  if (!device.Moved(kind, 0)) return false;
  int failing = StepsToFewest(device, kind) - 1;
  int holding = StepsToMost(device, kind);
  // From the longest that is worth it.
  while (holding > failing && Score(with(holding)) >= most_score) --holding;
  if (holding <= failing || !holds(with(holding))) return false;
  while (holding - failing > 1) {
    const int middle = failing + (holding - failing) / 2;
    (holds(with(middle)) ? holding : failing) = middle;
  }
  choices = with(holding);
  return true;
}

bool TreeSearch::Trade(Choices& choices, const HoldsAll& holds) const {
  bool traded = false;
  for (size_t giver = 0; giver < members_.size(); ++giver) {
    for (size_t taker = 0; taker < members_.size(); ++taker) {
      if (giver == taker || choices[taker].programmes.empty()) continue;
      for (const int steps : {1, 2, 4, 8, 16}) {
        const auto longer = members_[giver]->Moved(choices[giver], steps);
        if (!longer) break;
        Choices tried = choices;
        tried[giver] = *longer;
        if (!Shorten(tried, taker, holds, Score(choices) * (1 - 1e-9))) continue;
        for (size_t third = 0; third < members_.size(); ++third) {
          if (third != giver && third != taker) Shorten(tried, third, holds, Score(tried) * (1 + 1e-9));
        }
        choices = std::move(tried);
        traded = true;
      }
    }
  }
  return traded;
}

void TreeSearch::Trim(Choices& choices, const HoldsAll& holds, bool trade) const {
  for (size_t i = 0; i < members_.size(); ++i) Shorten(choices, i, holds, Score(choices) * (1 + 1e-9));
  for (int round = 0; trade && round < kMostRounds && Trade(choices, holds); ++round) {
  }
}

std::vector<Candidate> TreeSearch::KindsOf(const Choices& choices, size_t member) const {
  std::vector<Candidate> kinds = own_kinds_[member];
  const std::vector<Candidate> beside = members_[member]->Kinds(Steady(choices), kKinds);
  kinds.insert(kinds.end(), beside.begin(), beside.end());
  // One that cannot hold its own reach even so may still help its neighbours to.
  const int most_starts = beside.empty() ? members_[member]->rules().most_starts() : 0;
  for (int starts = 1; starts <= most_starts; ++starts) {
    if (const auto spread = members_[member]->Spread(starts, 0)) kinds.push_back(*spread);
  }
  // The same at other times of the day: what suits the reach alone may suit its neighbours better later.
  const int step = members_[member]->rules().start_step();
  const int shift_min = std::max(step, 1440 / kMostShifts / step * step);
  const size_t unshifted = kinds.size();
  for (size_t k = 0; k < unshifted; ++k) {
    for (int by_min = shift_min; by_min < 1440; by_min += shift_min) {
      if (const auto shifted = members_[member]->Shifted(kinds[k], by_min)) kinds.push_back(*shifted);
    }
  }
  const auto same_structure = [](const Candidate& a, const Candidate& b) {
    return a.days == b.days && a.programmes.size() == b.programmes.size() &&
           std::equal(a.programmes.begin(), a.programmes.end(), b.programmes.begin(),
                      [](const auto& x, const auto& y) { return x.starts_min == y.starts_min; });
  };
  std::vector<Candidate> distinct;
  for (Candidate& kind : kinds) {
    const bool known = std::any_of(distinct.begin(), distinct.end(),
                                   [&](const Candidate& other) { return same_structure(kind, other); });
    if (!known && distinct.size() < kMostKinds) distinct.push_back(std::move(kind));
  }
  return distinct;
}

Candidate TreeSearch::Fullest(size_t member, int first_min) const {
  const TreeMember& device = *members_[member];
  Candidate fullest;
  for (int starts = device.rules().most_starts(); starts > 0; --starts) {
    const auto spread = device.Spread(starts, first_min);
    if (!spread) continue;
    const Candidate longest = *device.Moved(*spread, StepsToMost(device, *spread));
    if (longest.water_m3_per_day > fullest.water_m3_per_day) fullest = longest;
  }
  return fullest;
}

double TreeSearch::Shortfall(const Choices& choices) const {
  const std::vector<TimerSettings> settings = Steady(choices);
  const std::vector<DateWindow> windows = Windows(choices);
  double sum = 0;
  for (const auto& member : members_) sum += member->ShortfallAtCorner(settings, windows);
  return sum;
}

std::optional<TreeSearch::Choices> TreeSearch::FullestThatHolds() const {
  const int shift_min = 1440 / kMostShifts;
  Choices choices;
  for (size_t i = 0; i < members_.size(); ++i)
    choices.push_back(Fullest(i, static_cast<int>(1440 * i / members_.size())));
  double shortfall = Shortfall(choices);
  for (bool better = true; better && shortfall > 0;) {
    better = false;
    for (size_t i = 0; i < members_.size(); ++i) {
      for (int first_min = 0; first_min < 1440 && shortfall > 0; first_min += shift_min) {
        Choices tried = choices;
        tried[i] = Fullest(i, first_min);
        const double left = Shortfall(tried);
        if (left >= shortfall * (1 - 1e-6)) continue;
        shortfall = left;
        choices = std::move(tried);
        better = true;
      }
    }
  }
  if (HoldsAtCorners(choices)) return choices;
  return std::nullopt;
}

bool TreeSearch::Rechoose(Choices& choices, size_t member) {
  const HoldsAll holds = [this](const Choices& tried) { return HoldsAtCorners(tried); };
  Choices best = choices;
  const auto take_if_better = [&](Choices tried) {
    if (Score(tried) < Score(best) * (1 - 1e-9)) best = std::move(tried);
  };
  Choices off = choices;
  off[member] = TreeMember::Off();
  if (holds(off)) {
    take_if_better(off);
  } else {
    for (const Candidate& kind : KindsOf(choices, member)) {
      Choices tried = choices;
      tried[member] = kind;
      if (Shorten(tried, member, holds, Score(best) * (1 - 1e-9))) take_if_better(tried);
      // With as much water as now or more it may spare the others some.
      tried[member] = *members_[member]->Moved(
          kind, StepsToWater(*members_[member], kind, choices[member].water_m3_per_day));
      if (!holds(tried)) continue;
      Trim(tried, holds, false);
      take_if_better(std::move(tried));
    }
  }
  const bool better = Score(best) < Score(choices) * (1 - 1e-9);
  choices = std::move(best);
  return better;
}

void TreeSearch::Descend(Choices& choices, std::span<const size_t> order) {
  const HoldsAll holds = [this](const Choices& tried) { return HoldsAtCorners(tried); };
  for (int round = 0; round < kMostRounds; ++round) {
    if (options_.ShouldStop()) return;
    const double before = Score(choices);
    for (const size_t member : order) Rechoose(choices, member);
    Trim(choices, holds, true);
    if (Score(choices) > before * (1 - kWorthARound)) break;
  }
}

bool TreeSearch::Scale(Choices& choices, std::span<const double> water_share) const {
  const Choices kinds = choices;
  const auto at = [&](double water) {
    Choices scaled = kinds;
    for (size_t i = 0; i < kinds.size(); ++i) {
      if (kinds[i].programmes.empty()) continue;
      if (water_share[i] < 0.02) {
        scaled[i] = TreeMember::Off();
        continue;
      }
      scaled[i] = *members_[i]->Moved(kinds[i], StepsToWater(*members_[i], kinds[i], water * water_share[i]));
    }
    return scaled;
  };
  double low = 0;
  double high = std::max(Water(kinds), 1e-6);
  for (int doubling = 0; !HoldsAtCorners(at(high)); ++doubling) {
    if (doubling == 6) return false;
    low = high;
    high *= 2;
  }
  for (int halving = 0; halving < 10; ++halving) {
    const double middle = (low + high) / 2;
    (HoldsAtCorners(at(middle)) ? high : low) = middle;
  }
  choices = at(high);
  return true;
}

std::vector<TreeSearch::Choices> TreeSearch::StartingPoints() {
  std::vector<TimerSettings> nobody(members_.size());
  for (TimerSettings& settings : nobody) settings.on = false;
  Choices alone;
  std::vector<TreeReach> reaches;
  for (const auto& member : members_) {
    own_kinds_.push_back(member->Kinds(nobody, kKinds));
    alone.push_back(own_kinds_.back().empty() ? Fullest(alone.size(), 0) : own_kinds_.back().front());
    runs_alone_per_day_ += alone.back().runs_per_day;
    reaches.push_back({ModelReach(member->numbers(), member->corner()), member->facts().pipe_ids,
                       member->numbers().target_mg_per_l});
  }
  std::vector<Choices> starts;
  if (HoldsAtCorners(alone)) {
    starts.push_back(alone);
  } else if (const auto fullest = FullestThatHolds()) {
    starts.push_back(*fullest);
  }
  std::vector<double> share(members_.size(), 1.0 / static_cast<double>(members_.size()));
  const auto bleed = SolveJointBleed(ShapeOf(reaches));
  if (bleed && bleed->total_m3_per_s > 0) {
    share = bleed->flow_m3_per_s;
    for (double& part : share) part /= bleed->total_m3_per_s;
    Choices split = alone;
    if (Scale(split, share)) starts.push_back(split);
  }
  AddStaggered(share, starts);
  return starts;
}

// Only the most promising are worth a descent.
void TreeSearch::AddStaggered(std::span<const double> share, std::vector<Choices>& starts) const {
  const HoldsAll holds = [this](const Choices& tried) { return HoldsAtCorners(tried); };
  std::vector<std::pair<double, Choices>> trimmed;
  for (int runs = 1; runs <= kMostStaggered; ++runs) {
    const int apart_min = 1440 / runs / static_cast<int>(members_.size());
    for (const int first_min : {0, apart_min / 2}) {
      for (const bool backward : {false, true}) {
        std::optional<Choices> staggered = Staggered(runs, first_min, backward);
        if (!staggered || !Scale(*staggered, share)) continue;
        Trim(*staggered, holds, true);
        trimmed.emplace_back(Score(*staggered), std::move(*staggered));
      }
    }
  }
  std::stable_sort(trimmed.begin(), trimmed.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  for (size_t k = 0; k < std::min(kStaggeredKept, trimmed.size()); ++k)
    starts.push_back(std::move(trimmed[k].second));
}

std::optional<TreeSearch::Choices> TreeSearch::Staggered(int runs, int first_min, bool backward) const {
  Choices choices;
  const int apart_min = 1440 / runs / static_cast<int>(members_.size());
  for (size_t i = 0; i < members_.size(); ++i) {
    const size_t turn = backward ? members_.size() - 1 - i : i;
    const auto spread = members_[i]->Spread(std::min(runs, members_[i]->rules().most_starts()),
                                            first_min + static_cast<int>(turn) * apart_min);
    if (!spread) return std::nullopt;
    choices.push_back(*members_[i]->Moved(*spread, StepsToMost(*members_[i], *spread)));
  }
  return choices;
}

TreeSearch::Choices TreeSearch::Best() {
  own_kinds_.clear();
  runs_alone_per_day_ = 0;
  Choices best;
  double least = std::numeric_limits<double>::infinity();
  bool first_point = true;
  for (const Choices& start : StartingPoints()) {
    if (!best.empty() && options_.ShouldStop()) break;
    std::vector<size_t> order(members_.size());
    std::iota(order.begin(), order.end(), size_t{0});
    // Who yields first matters where all begin with what they need alone.
    const size_t orders = std::exchange(first_point, false) ? order.size() : 1;
    for (size_t first = 0; first < orders; ++first) {
      Choices choices = start;
      Descend(choices, order);
      if (Score(choices) < least) {
        least = Score(choices);
        best = choices;
      }
      std::rotate(order.begin(), order.begin() + 1, order.end());
    }
  }
  return best;
}

}  // namespace lastreach
