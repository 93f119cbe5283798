#pragma once

#include <optional>
#include <string>
#include <vector>

#include "evidence/fit_facts.h"
#include "ledger/reach.h"

namespace lastreach {

// What a fit changes in the records of a zone and of its reaches.
struct AppliedFit {
  std::optional<SupplyZone> zone;    // as it should be kept; none if nothing changes
  std::vector<Reach> reaches;        // likewise
  std::vector<std::string> changed;  // one line each: what, from what to what
  std::vector<std::string> kept;     // what was fitted and is not written, and why
};

// The fitted numbers in place of those they rest on: the zone's losses, each reach's residual upstream and
// the use of its services. Each is kept as estimated by `who`, with its spread in a form that planning takes
// (core/stated_spread.h) and what stood there before in words:
//
//   "log sd 0.12, 31 readings; before: 0.5 1/d, typed by J. Doe on 2026-01-02"
//
// Left as they are: numbers the readings say next to nothing of (spread not a tenth less than before); losses
// at the wall where the zone's reaches are of several materials, as a zone keeps one; volumes, which are the
// map's; flows, which are measured. Spreads are kept one by one: what is known of several together, say that
// loss and use rise together, is lost, and the plan is the wider for it, never the narrower.
//
// `reaches`: those typed or kept in the project, one for each point that has any; a reach that has only been
// traced on the map gets its residual upstream and no pipes.
AppliedFit ApplyFit(const ZoneFit& fit, const SupplyZone& zone, const std::vector<Reach>& reaches,
                    const std::string& who, Instant now);

}  // namespace lastreach
