#pragma once

#include <optional>
#include <span>
#include <vector>

#include "evidence/fit_facts.h"
#include "evidence/fit_model.h"
#include "evidence/fit_posterior.h"

namespace lastreach {

// What every end of the zone holds at the end of its longest gap of the fortnight from today, in the water of
// the worst week, by the likeliest numbers; and the one reading that would tell most of it.
//
// A reading at an end some hours after its last run, or in the main, moves with the unknowns by g. It would
// take (l^T C g)^2 / (1/I + g^T C g) off the variance of a lowest residual that moves by l, with C the
// posterior's covariance and I what such a reading tells. The one that takes most off all ends together is
// best.
struct Outlook {
  std::vector<FittedEnd> ends;
  std::optional<WorthSample> worth;
};
Outlook OutlookOf(const FitModel& model, const FitFacts& facts, const FitOptions& options,
                  std::span<const double> z, const FitPosterior& posterior);

}  // namespace lastreach
