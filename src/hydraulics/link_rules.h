#pragma once

#include <vector>

#include "core/result.h"
#include "hydraulics/tank_levels.h"
#include "network/network.h"

namespace lastreach {

// The rules of a network as time goes on: what opens and shuts links by itself.
//
//   1. A rule by level fires when the level passes its mark: falls to it from above, rises to it from below.
//      It fires again only after the level has been on the other side. At second 0 a level at or beyond the
//      mark has just passed it.
//   2. A rule by hour fires every day at that hour; 24 is 0 of the next day. A link that such rules both open
//      and shut begins as the last of them in a day left it.
//   3. Of two rules at one moment both fire, in their order: the last wins.
//   4. Every link not of kind closed begins open, but for what 1 and 2 say.
class LinkRules {
 public:
  // Adds the marks of the rules to `tanks`. ERROR: kBadInput naming the link of a rule whose link is closed
  // for good, whose tank has no levels, or which has not exactly one condition.
  static Result<LinkRules> Make(const Network& network, std::vector<LevelTank>& tanks);

  // Fires what is due at `second`. Gives whether any link changed. REQUIRES: called in order of time, at
  // every time NextHour_s names and whenever a tank has come to a mark.
  bool Fire(double second, const std::vector<LevelTank>& tanks);
  // Size links, or empty where no link has a rule.
  const std::vector<char>& shut() const { return shut_; }
  // When a rule by hour fires next after `second`; infinity if there is none.
  double NextHour_s(double second) const;

 private:
  enum class On { kFalls, kRises, kHour };
  struct Rule {
    LinkIndex link{};
    bool opens = true;
    On on = On::kHour;
    size_t tank = 0;  // in the list of tanks
    double mark = 0;  // level [m] or second of the day
    bool is_beyond = false;
  };
  bool IsDue(Rule& rule, double second, const std::vector<LevelTank>& tanks) const;
  void BeginAfterADay();

  std::vector<Rule> rules_;
  std::vector<char> shut_;
};

}  // namespace lastreach
