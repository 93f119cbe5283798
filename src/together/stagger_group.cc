#include "together/stagger_group.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "together/greedy_start.h"

namespace lastreach {
namespace {

constexpr int kRelaxedRounds = 60;
constexpr int kGreedyRounds = 30;
constexpr size_t kLearntAtOnce = 8;  // sets that break, in one round of choosing
constexpr double kShareIgnored = 1e-9;

// Rows of a programme over some devices, each minute of each limit once.
class Rows {
 public:
  Rows(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care, WhichRoom which)
      : system_(system), who_(who), care_(care), which_(which) {}

  // Adds those that the shares break; how many were new.
  size_t Add(const Shares& shares, const std::vector<uint32_t>& limits) {
    const size_t before = rows.size();
    for (const uint32_t limit : limits) {
      for (const OverUse& use : FindOverUse(system_.table, system_.limits, limit, shares, care_, which_)) {
        if (!keys_.emplace(use.limit, use.regime, use.minute, use.wrong).second) continue;
        uses_.push_back(use);
        rows.push_back(RowOf(system_, who_, care_, use, which_));
      }
    }
    return rows.size() - before;
  }
  // Room may have been lessened since; whether any was.
  bool Refresh() {
    bool any = false;
    for (size_t i = 0; i < rows.size(); ++i) {
      const double most = RoomAt(system_.limits[uses_[i].limit], which_, uses_[i].minute);
      any = any || most != rows[i].most;
      rows[i].most = most;
    }
    return any;
  }
  std::vector<ChoiceProgramme::Row> rows;

 private:
  const StaggerSystem& system_;
  const std::vector<size_t>& who_;
  ClockCare care_;
  WhichRoom which_;
  std::vector<OverUse> uses_;  // size rows
  std::set<std::tuple<uint32_t, int, int, int>> keys_;
};

std::vector<uint32_t> AllLimits(const StaggerSystem& system) {
  std::vector<uint32_t> all(system.limits.size());
  std::iota(all.begin(), all.end(), 0U);
  return all;
}

Shares RelaxedShares(const RelaxedChoice& relaxed, const StaggerSystem& system,
                     const std::vector<size_t>& who) {
  Shares shares(system.devices->size());
  for (size_t i = 0; i < who.size(); ++i) {
    for (uint32_t k = 0; k < system.table.ways(who[i]); ++k) {
      const double share = relaxed.Share(i, k);
      if (share > kShareIgnored) shares[who[i]].emplace_back(k, share);
    }
  }
  return shares;
}

// Rows added until the relaxed programme keeps every minute of the limits; false if nothing does.
bool CloseRelaxed(RelaxedChoice& relaxed, Rows& rows, const StaggerSystem& system,
                  const std::vector<size_t>& who, const std::vector<uint32_t>& limits) {
  for (const ChoiceProgramme::Row& row : rows.rows) relaxed.Add(row);
  for (int round = 0; round < kRelaxedRounds; ++round) {
    if (!relaxed.Solve()) return false;
    const size_t before = rows.rows.size();
    if (rows.Add(RelaxedShares(relaxed, system, who), limits) == 0) return true;
    for (size_t i = before; i < rows.rows.size(); ++i) relaxed.Add(rows.rows[i]);
  }
  return relaxed.Solve();
}

double CostOf(const std::vector<std::vector<double>>& cost, const std::vector<uint32_t>& way) {
  double sum = 0;
  for (size_t i = 0; i < way.size(); ++i) sum += cost[i][way[i]];
  return sum;
}

// The loop of one group; `answer` holds the best choice that was judged and found to keep everything.
class GroupChooser {
 public:
  GroupChooser(StaggerSystem& system, const std::vector<size_t>& who, ClockCare care)
      : system_(system), who_(who), care_(care), cost_(CostsOf(system, who)) {}

  GroupAnswer Choose() {
    StartGreedily();
    if (!Bound() || IsGoodEnough()) return answer_;
    ChooseBest();
    return answer_;
  }

 private:
  void StartGreedily() {
    for (int round = 0; round < kGreedyRounds; ++round) {
      const auto way = GreedyStart(system_.table, system_.limits, who_, cost_, care_);
      if (!way) return;
      ++answer_.rounds;
      if (JudgeAndLearn(system_, who_, *way, care_) == 0) return Keep(*way);
    }
  }

  void Keep(const std::vector<uint32_t>& way) {
    const double cost = CostOf(cost_, way);
    if (!answer_.way.empty() && cost >= answer_.cost) return;
    answer_.way = way;
    answer_.cost = cost;
  }

  // By the relaxed programme over what is proven; false if it is impossible.
  bool Bound() {
    RelaxedChoice relaxed(cost_);
    Rows rows(system_, who_, care_, WhichRoom::kProven);
    answer_.impossible = !CloseRelaxed(relaxed, rows, system_, who_, AllLimits(system_));
    if (answer_.impossible) return false;
    answer_.bound = relaxed.cost();
    return true;
  }

  bool IsGoodEnough() const {
    return !answer_.way.empty() && answer_.cost <= answer_.bound + system_.options->gap * answer_.cost + 1e-9;
  }

  // What is planned with is no less than what there is.
  bool RoomIsProven() const {
    return who_.size() <= system_.options->exact_up_to || !system_.pressure || !system_.pressure->lessened();
  }

  void ChooseBest() {
    const bool exact = who_.size() <= system_.options->exact_up_to;
    Rows rows(system_, who_, care_, exact ? WhichRoom::kProven : WhichRoom::kKept);
    RelaxedChoice relaxed(cost_);
    const bool possible = CloseRelaxed(relaxed, rows, system_, who_, AllLimits(system_));
    answer_.rows = rows.rows.size();
    if (!possible) {
      answer_.impossible = RoomIsProven() && answer_.way.empty();
      return;
    }
    for (int round = 0; round < system_.options->rounds; ++round) {
      ++answer_.rounds;
      ChoiceProgramme programme{cost_, rows.rows};
      const std::optional<std::vector<uint32_t>> start =
          answer_.way.empty() ? std::nullopt : std::optional(answer_.way);
      const Choice choice = SolveChoice(programme, start,
                                        {.nodes = system_.options->nodes,
                                         .seconds = system_.options->seconds,
                                         .gap = system_.options->gap});
      if (choice.status == ChoiceStatus::kImpossible) {
        answer_.impossible = RoomIsProven() && answer_.way.empty();
        return;
      }
      if (RoomIsProven()) answer_.bound = std::max(answer_.bound, choice.bound);
      if (choice.way.empty() || (choice.way == answer_.way && choice.status == ChoiceStatus::kStopped))
        return;
      const size_t new_rows =
          rows.Add(SharesOf(system_.devices->size(), who_, choice.way), AllLimits(system_));
      answer_.rows = rows.rows.size();
      if (new_rows > 0) continue;
      if (JudgeAndLearn(system_, who_, choice.way, care_) == 0) {
        Keep(choice.way);
        return;
      }
      rows.Refresh();
      rows.Add(SharesOf(system_.devices->size(), who_, choice.way), AllLimits(system_));
    }
  }

  StaggerSystem& system_;
  const std::vector<size_t>& who_;
  ClockCare care_;
  std::vector<std::vector<double>> cost_;
  GroupAnswer answer_;
};

}  // namespace

size_t JudgeAndLearn(StaggerSystem& system, const std::vector<size_t>& who, const std::vector<uint32_t>& way,
                     ClockCare care) {
  if (!system.judged) return 0;
  const Shares shares = SharesOf(system.devices->size(), who, way);
  const std::vector<BrokenSet> broken = FindBroken(
      *system.judge, MeetingsOf(system.table, system.judge->moments(), shares, care), kLearntAtOnce);
  for (const BrokenSet& each : broken) system.pressure->Learn(each, who.size(), system.limits);
  return broken.size();
}

GroupAnswer ChooseForGroup(StaggerSystem& system, const std::vector<size_t>& who, ClockCare care) {
  return GroupChooser(system, who, care).Choose();
}

ChoiceProgramme::Row RowOf(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care,
                           const OverUse& use, WhichRoom which) {
  ChoiceProgramme::Row row;
  const SharedLimit& limit = system.limits[use.limit];
  row.most = RoomAt(limit, which, use.minute);
  for (uint32_t i = 0; i < who.size(); ++i) {
    const double need = limit.need[who[i]];
    if (need == 0) continue;
    const bool may_be_wrong = care == ClockCare::kAllMayBeWrong || use.wrong == static_cast<int>(who[i]);
    for (uint32_t k = 0; k < system.table.ways(who[i]); ++k) {
      const OpenTimes& times = system.table.At(may_be_wrong, use.regime, who[i], k);
      if (IsOpenAt(times, use.minute)) row.terms.push_back({i, k, need});
    }
  }
  return row;
}

bool CannotAllRun(const StaggerSystem& system, const std::vector<size_t>& who,
                  const std::vector<uint32_t>& limits, ClockCare care) {
  const std::vector<std::vector<double>> cost(CostsOf(system, who));
  Rows rows(system, who, care, WhichRoom::kProven);
  RelaxedChoice relaxed(cost);
  if (!CloseRelaxed(relaxed, rows, system, who, limits)) return true;
  for (int round = 0; round < system.options->rounds; ++round) {
    const Choice choice =
        SolveChoice({cost, rows.rows}, std::nullopt,
                    {.nodes = system.options->nodes, .seconds = system.options->seconds, .gap = 1});
    if (choice.status == ChoiceStatus::kImpossible) return true;
    if (choice.way.empty()) return false;
    if (rows.Add(SharesOf(system.devices->size(), who, choice.way), limits) == 0) return false;
  }
  return false;
}

std::vector<std::vector<double>> CostsOf(const StaggerSystem& system, const std::vector<size_t>& who) {
  std::vector<std::vector<double>> cost;
  for (const size_t d : who) {
    cost.emplace_back();
    for (const RunningWay& way : (*system.devices)[d].ways) {
      cost.back().push_back(way.water_m3_per_day +
                            (way.is_wished ? 0 : system.options->move_costs_m3_per_day));
    }
  }
  return cost;
}

Shares SharesOf(size_t devices, const std::vector<size_t>& who, const std::vector<uint32_t>& way) {
  Shares shares(devices);
  for (size_t i = 0; i < who.size(); ++i) shares[who[i]] = {{way[i], 1.0}};
  return shares;
}

}  // namespace lastreach
