#include "together/stagger.h"

#include <algorithm>
#include <chrono>
#include <numeric>

#include "together/device_groups.h"
#include "together/stagger_conflict.h"
#include "together/stagger_group.h"

namespace lastreach {
namespace {

// Devices that all together take less than this share of what a place has to spare are taken to have nothing
// to do with it until a solve says otherwise.
constexpr double kUnfelt = 0.1;
constexpr int kMerges = 20;

bool MayBind(const SharedLimit& limit) {
  const double sum = std::accumulate(limit.need.begin(), limit.need.end(), 0.0);
  return sum > *std::min_element(limit.room.begin(), limit.room.end()) + kNeedTolerance;
}

class Staggerer {
 public:
  Staggerer(const std::vector<TogetherDevice>& devices, const std::vector<MostAtOnce>& limits,
            PressureJudge* judge, const StaggerOptions& options, const std::vector<NotTogether>& conflicts)
      : devices_(devices),
        options_(options),
        groups_(devices.size()),
        presses_(devices.size(), 0),
        system_{&devices,
                &options,
                judge,
                false,
                {},
                TableOf(devices, judge, options),
                LimitsAtOnce(devices, limits, conflicts),
                {}},
        solved_(devices.size()) {
    for (const SharedLimit& limit : system_.limits) {
      if (MayBind(limit)) groups_.JoinAll([&](size_t d) { return limit.need[d] > 0; });
    }
    if (judge != nullptr && judge->devices() > 0) JoinByPressure(*judge);
  }

  StaggerAnswer Answer() {
    for (int merge = 0; merge < kMerges; ++merge) {
      SolveGroups();
      if (!MergeBroken()) break;
    }
    return Report();
  }

 private:
  struct Solved {
    std::vector<size_t> who;  // empty: not yet
    GroupAnswer answer;
    ClockCare care = ClockCare::kAllRight;
  };

  // Places that hold with every device open that may be never bind. Those that do not join who presses them.
  void JoinByPressure(PressureJudge& judge) {
    const std::vector<OpenSet> open = MayBeOpen(system_.table, judge.moments());
    for (size_t state = 0; state < judge.states(); ++state) {
      if (open[state].empty()) continue;
      const std::vector<uint32_t> places = judge.PlacesShort(state, open[state]);
      system_.judged = system_.judged || !places.empty();
      if (!places.empty()) system_.states.push_back(state);
      for (const uint32_t place : places) {
        const double unfelt_m = kUnfelt * judge.Spare_m(state)[place] / static_cast<double>(devices_.size());
        const auto felt = [&](size_t d) {
          return judge.Drop_m(state, static_cast<uint32_t>(d))[place] > unfelt_m;
        };
        groups_.JoinAll(felt);
        for (const uint32_t d : open[state]) presses_[d] = presses_[d] != 0 || felt(d) ? 1 : 0;
      }
    }
    if (!system_.judged) return;
    std::vector<std::string> codes;
    for (const TogetherDevice& device : devices_) codes.push_back(device.code);
    system_.pressure.emplace(judge, codes, options_.exact_up_to);
  }

  void SolveGroups() {
    for (const std::vector<size_t>& who : groups_.All()) {
      Solved& solved = solved_[who.front()];
      if (solved.who == who) continue;
      solved = Choose(who);
      summary_.rounds += solved.answer.rounds;
    }
  }

  Solved Choose(const std::vector<size_t>& who) {
    const bool presses = std::any_of(who.begin(), who.end(), [&](size_t d) { return presses_[d] != 0; });
    const bool judged = system_.judged;
    system_.judged = judged && presses;
    if (system_.judged) system_.pressure->AddFirst(who, system_.states, system_.limits);
    Solved solved{who, {}, ClockCare::kAllRight};
    for (const ClockCare care :
         {ClockCare::kAllMayBeWrong, ClockCare::kAnyOneMayBeWrong, ClockCare::kAllRight}) {
      if (care > options_.least_care) break;
      solved.care = care;
      solved.answer = ChooseForGroup(system_, who, care);
      if (!solved.answer.way.empty()) break;
    }
    system_.judged = judged;
    return solved;
  }

  // All groups together, solved: whether groups that seemed apart were found not to be.
  bool MergeBroken() {
    if (!system_.judged) return false;
    std::vector<size_t> who;
    std::vector<uint32_t> way;
    ClockCare care = ClockCare::kAllMayBeWrong;
    for (const std::vector<size_t>& group : groups_.All()) {
      const Solved& solved = solved_[group.front()];
      if (solved.answer.way.empty()) continue;
      who.insert(who.end(), group.begin(), group.end());
      way.insert(way.end(), solved.answer.way.begin(), solved.answer.way.end());
      care = std::max(care, solved.care);
    }
    const Shares shares = SharesOf(devices_.size(), who, way);
    const std::vector<BrokenSet> broken =
        FindBroken(*system_.judge, MeetingsOf(system_.table, system_.judge->moments(), shares, care), 1);
    broken_ = !broken.empty();
    if (!broken_) return false;
    const OpenSet set = SmallestBreaking(*system_.judge, broken.front()).open;
    bool changed = false;
    for (const uint32_t d : set) {
      changed = changed || presses_[d] == 0 || groups_.RootOf(d) != groups_.RootOf(set.front());
      presses_[d] = 1;
      groups_.Join(d, set.front());
    }
    solved_[groups_.RootOf(set.front())].who.clear();
    return changed;
  }

  StaggerAnswer Report() {
    StaggerAnswer answer;
    answer.way.resize(devices_.size());
    answer.care_of.assign(devices_.size(), options_.least_care);
    answer.care = ClockCare::kAllMayBeWrong;
    for (const std::vector<size_t>& group : groups_.All()) {
      const Solved& solved = solved_[group.front()];
      ++summary_.groups;
      summary_.largest_group = std::max(summary_.largest_group, group.size());
      summary_.rows += solved.answer.rows;
      if (solved.answer.way.empty()) {
        answer.conflicts.push_back(
            ExplainConflict(system_, group, options_.least_care, solved.answer.impossible));
        continue;
      }
      answer.care = std::max(answer.care, solved.care);
      for (size_t i = 0; i < group.size(); ++i) {
        const RunningWay& way = devices_[group[i]].ways[solved.answer.way[i]];
        answer.way[group[i]] = solved.answer.way[i];
        answer.care_of[group[i]] = solved.care;
        answer.water_m3_per_day += way.water_m3_per_day;
        answer.moved += way.is_wished ? 0 : 1;
      }
      // The bound is on water and moves; no choice moves more than all that have something to move from.
      answer.bound_m3_per_day += std::max(0.0, solved.answer.bound - MostMoves(group));
    }
    if (broken_) {
      answer.way.assign(devices_.size(), std::nullopt);
      answer.conflicts.push_back({{"all devices"}, {"pressure, all groups of devices together"}, false});
    }
    if (system_.pressure) {
      summary_.places = system_.pressure->places();
      summary_.sets = system_.pressure->sets();
      summary_.lessened = system_.pressure->lessened();
    }
    if (system_.judge != nullptr) {
      for (const std::string& words : system_.judge->ShortWithoutDevices()) answer.cautions.push_back(words);
      for (const std::string& words : system_.judge->moments().assumed) answer.cautions.push_back(words);
    }
    answer.summary = summary_;
    return answer;
  }

  double MostMoves(const std::vector<size_t>& group) const {
    double moves = 0;
    for (const size_t d : group) {
      const auto& ways = devices_[d].ways;
      const bool any =
          std::any_of(ways.begin(), ways.end(), [](const RunningWay& way) { return !way.is_wished; });
      if (any) moves += options_.move_costs_m3_per_day;
    }
    return moves;
  }

  const std::vector<TogetherDevice>& devices_;
  const StaggerOptions& options_;
  DeviceGroups groups_;
  std::vector<char> presses_;  // by device
  bool broken_ = false;        // what was chosen, all groups together, as last judged
  StaggerSystem system_;
  std::vector<Solved> solved_;  // by the first device of a group
  StaggerSummary summary_;
};

}  // namespace

Result<StaggerAnswer> Stagger(const std::vector<TogetherDevice>& devices,
                              const std::vector<MostAtOnce>& limits, PressureJudge* judge,
                              const StaggerOptions& options, const std::vector<NotTogether>& conflicts) {
  const auto start = std::chrono::steady_clock::now();
  for (const TogetherDevice& device : devices) {
    if (device.ways.empty()) return BadRequest("device " + device.code + " has no way to run");
  }
  if (judge != nullptr && judge->devices() != devices.size()) {
    return Internal("pressure is judged for other devices than are to be staggered");
  }
  if (devices.empty()) return StaggerAnswer{};
  StaggerAnswer answer = Staggerer(devices, limits, judge, options, conflicts).Answer();
  answer.summary.total_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return answer;
}

Result<bool> KeepsTogether(const std::vector<TogetherDevice>& devices,
                           const std::vector<std::optional<uint32_t>>& way,
                           const std::vector<MostAtOnce>& limits, PressureJudge* judge, ClockCare care,
                           const StaggerOptions& options, const std::vector<NotTogether>& conflicts) {
  if (judge != nullptr && judge->devices() != devices.size()) {
    return Internal("pressure is judged for other devices than run");
  }
  const Shares shares = SharesOf(way);
  const TimeTable table = TableOf(devices, judge, options);
  const std::vector<SharedLimit> shared = LimitsAtOnce(devices, limits, conflicts);
  for (uint32_t l = 0; l < shared.size(); ++l) {
    if (!FindOverUse(table, shared, l, shares, care, WhichRoom::kProven).empty()) return false;
  }
  if (judge == nullptr) return true;
  return FindBroken(*judge, MeetingsOf(table, judge->moments(), shares, care), 1).empty();
}

}  // namespace lastreach
