#pragma once

#include <optional>

#include "plan/search.h"
#include "plan/sureness.h"

namespace lastreach {

// Moves all programmes' minutes up or down together, a step of the form at a time, to the fewest that hold in
// `sureness` of the judge's draws, then shortens them one by one as far as that lasts; none if no length the
// rules allow does.
//
// More minutes never let the water get older, so what holds stays held as steps are added, and the fewest are
// found by doubling and halving.
std::optional<Candidate> MakeSure(const Candidate& candidate, const StartRules& rules, const Search& search,
                                  SurenessJudge& judge, const std::vector<DateWindow>& windows,
                                  double sureness);
// The same, if that needs no more than `most_m3_per_day`; what would is given up as soon as that shows. With
// several programmes a step more than that is tried, since one by one they may give it back. `record`: what
// is known of the candidate's minutes, and is added to.
std::optional<Candidate> MakeSure(const Candidate& candidate, const StartRules& rules, const Search& search,
                                  SurenessJudge& judge, const std::vector<DateWindow>& windows,
                                  double sureness, FamilyRecord& record, double most_m3_per_day);

// The candidate with every programme `steps` steps longer; none where form, limits or spacing forbid it.
std::optional<Candidate> Lengthened(const Candidate& candidate, int steps, const StartRules& rules,
                                    const Search& search);

}  // namespace lastreach
