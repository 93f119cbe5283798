#pragma once

#include "evidence/fit_facts.h"

namespace lastreach {

// Fits the numbers of one supply zone to everything read at its points: the likeliest, with planning's own
// middles and spreads as the prior (maximum a posteriori), and what the readings leave open round them.
//
// Numbers are log-normal as in planning. Readings are Student's round the model's (likelihood.h), censored
// below the kit's limit; those of one day at one point share what the main had that day. A number that an
// earlier fit wrote counts as assumed, so that no reading counts twice.
//
// ERROR: none; what cannot be used is in `left_out`, and without a reading nothing is fitted.
// COST: readings' days x numbers that move them x some ten transports of a week or two: a second for 20
// points with 3 days each.
ZoneFit FitZone(const FitFacts& facts, const FitOptions& options);

}  // namespace lastreach
