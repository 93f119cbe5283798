#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <vector>

#include "plan/tree_member.h"

namespace lastreach {

// Looks for settings of all devices of a tree at once with the least water, such that every reach holds.
//
// More minutes of any device never make any reach of the tree staler (as within one reach:
// theory/planning.md, section 4), so what holds is an upward set: minutes are bisected, and what one device
// gives up another must make up for. From each of several starting points, in turn and until a round saves
// less than 1 %:
//   each device in turn is turned off, or set to the kind of days and starts with the least water that leaves
//   every reach holding, kinds being the best of its own reach alone and beside the others, and those shifted
//   in time; each pair trades: one a few steps longer, the other as much shorter as then holds.
// The starting points are the devices as planned alone, taken up in every order of who yields first; the
// split of water that constant flows would need least of (joint_bleed.h), which shows who should carry the
// trunk; and that split run by one device after the other, evenly round the day.
//
// DETERMINISM: no randomness. COST: some thousand judgements of all reaches. THREADS: one object, one thread.
class TreeSearch {
 public:
  using Choices = std::vector<Candidate>;                // one a member
  using HoldsAll = std::function<bool(const Choices&)>;  // whether every reach holds

  // REQUIRES: members outlive the search. `simpler_within` as PlanOptions.
  TreeSearch(const std::vector<std::unique_ptr<TreeMember>>& members, const PlanOptions& options);

  // The least found at the corners; empty where not even the most minutes of every kind tried hold.
  Choices Best();

  // Whether every reach holds at its corner.
  bool HoldsAtCorners(const Choices& choices) const;
  // The settings of each, as if keyed long ago.
  std::vector<TimerSettings> Steady(const Choices& choices) const;
  // Windows that hold the worst moment of any of the day patterns chosen.
  std::vector<DateWindow> Windows(const Choices& choices) const;

  // Shortens one device after the other as far as `holds` allows, then trades between pairs.
  void Trim(Choices& choices, const HoldsAll& holds, bool trade) const;
  // What is made small: the water, and where a simpler plan is worth it the runs.
  double Score(const Choices& choices) const;
  static double Water(const Choices& choices);

 private:
  std::vector<Choices> StartingPoints();
  void Descend(Choices& choices, std::span<const size_t> order);
  bool Rechoose(Choices& choices, size_t member);
  std::vector<Candidate> KindsOf(const Choices& choices, size_t member) const;
  // As much as a device can be keyed to run, the first start so late.
  Candidate Fullest(size_t member, int first_min) const;
  // All devices as full as can be, their starts shifted against each other until all hold or none helps.
  std::optional<Choices> FullestThatHolds() const;
  // So many runs a day of each, one device after the other.
  std::optional<Choices> Staggered(int runs, int first_min, bool backward) const;
  void AddStaggered(std::span<const double> share, std::vector<Choices>& starts) const;
  double Shortfall(const Choices& choices) const;
  // The fewest minutes of one member's kind with which all hold, if that scores below `most_score`.
  bool Shorten(Choices& choices, size_t member, const HoldsAll& holds, double most_score) const;
  bool Trade(Choices& choices, const HoldsAll& holds) const;
  // All members' minutes in the proportion given, as few as hold.
  bool Scale(Choices& choices, std::span<const double> water_share) const;

  const std::vector<std::unique_ptr<TreeMember>>& members_;
  const PlanOptions& options_;
  std::vector<std::vector<Candidate>> own_kinds_;
  // What was judged before: descents from different points meet. And who failed last, to be asked first.
  mutable std::map<std::vector<int>, bool> judged_;
  mutable size_t failed_last_ = 0;
  double runs_alone_per_day_ = 0;
};

}  // namespace lastreach
