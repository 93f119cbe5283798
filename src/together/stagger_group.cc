#include "together/stagger_group.h"

#include <algorithm>
#include <numeric>

#include "together/greedy_start.h"
#include "together/programme_rows.h"

namespace lastreach {
namespace {

constexpr int kGreedyRounds = 30;
constexpr size_t kLearntAtOnce = 8;  // sets that break, in one round of choosing

std::vector<uint32_t> AllLimits(const StaggerSystem& system) {
  std::vector<uint32_t> all(system.limits.size());
  std::iota(all.begin(), all.end(), 0U);
  return all;
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
    ProgrammeRows rows(system_, who_, care_, WhichRoom::kProven);
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
    ProgrammeRows rows(system_, who_, care_, exact ? WhichRoom::kProven : WhichRoom::kKept);
    RelaxedChoice relaxed(cost_);
    const bool possible = CloseRelaxed(relaxed, rows, system_, who_, AllLimits(system_));
    answer_.rows = rows.rows().size();
    if (!possible) {
      answer_.impossible = RoomIsProven() && answer_.way.empty();
      return;
    }
    for (int round = 0; round < system_.options->rounds && !system_.IsOutOfTime(); ++round) {
      ++answer_.rounds;
      ChoiceProgramme programme{cost_, rows.rows()};
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
      answer_.rows = rows.rows().size();
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

}  // namespace lastreach
