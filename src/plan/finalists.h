#pragma once

#include <optional>
#include <vector>

#include "plan/device_study.h"
#include "plan/make_sure.h"
#include "plan/search.h"

namespace lastreach {

// Candidates of one search in the race to be the plan. Each that could still win is made sure in the draws;
// the winner is then tried in fresh ones by the caller, who tells when it failed there.
//
// To win is to need the least water, or at most `simpler_within` more with the fewest runs a day. A candidate
// that cannot win with what it may still cost is dropped after the few draws that show it, and asked again
// should the winner fail.
class Finalists {
 public:
  Finalists(DeviceStudy& study, const StartRules& rules, const Search& search);

  // Asks a candidate if it could win, else keeps it for when the winner fails.
  // REQUIRES: candidates come with rising water.
  void Enter(const Candidate& candidate);

  // Of those with about the least water the one with the fewest runs a day; the least water if there are
  // several. None if nobody is sure.
  const Candidate* Winner() const;
  // The winner was not sure in fresh draws: it goes back longer, and those it beat are asked again. Each time
  // by twice as many steps as the time before: what longer runs help little would take hundreds of steps
  // else. Where two of one kind (days and number of starts) and as much water were not sure, the others of it
  // are not asked either.
  void LengthenWinner();
  // How many steps shorter than the winner was not sure in fresh draws; 0 if that was never asked.
  int StepsFromUnsure() const;

 private:
  struct Entry {
    Candidate at_corner;
    std::vector<DateWindow> windows;
    FamilyRecord record;
    std::optional<Candidate> sure;
    int last_steps = 0;             // added when it was last lengthened
    double unsure_m3_per_day = -1;  // the water with which it last was not sure in fresh draws
    bool is_out = false;            // failed in fresh draws as long as it may run
  };
  void Ask(Entry& entry);
  void Lengthen(Entry& entry, int steps);
  double LeastWater() const;
  // The most a candidate may need if it is to beat those that are sure.
  double MostWorthHaving(const Candidate& candidate) const;
  size_t WinnerIndex() const;  // size of entries_ if there is none

  DeviceStudy& study_;
  const StartRules& rules_;
  const Search& search_;
  std::vector<Entry> entries_;
};

}  // namespace lastreach
