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

// The candidate with every programme `steps` steps longer; none where form, limits or spacing forbid it.
std::optional<Candidate> Lengthened(const Candidate& candidate, int steps, const StartRules& rules,
                                    const Search& search);

}  // namespace lastreach
