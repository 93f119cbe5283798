#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "app/end_prediction.h"

namespace lastreach {

// The list of ends for people: one paragraph each, in order of rank.
void PrintEnds(const Network& network, const std::vector<QuietPlace>& places,
               const std::vector<EndOutlook>& outlooks, std::ostream& out);

// The same as one JSON document, docs/formats/ends.md.
std::string EndsToJson(const Network& network, const std::vector<QuietPlace>& places,
                       const std::vector<EndOutlook>& outlooks);

}  // namespace lastreach
