#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "app/end_prediction.h"

namespace lastreach {

// What `lastreach ends` has found, in order of rank.
struct EndsFound {
  const Network& network;
  const std::vector<QuietPlace>& places;
  const std::vector<EndOutlook>& outlooks;  // of the first of the places: those to be told of
  int meetings = 0;                         // places where two waters meet that were looked at
};

// How many of the places where two waters meet are told.
int QuietLoops(const std::vector<QuietPlace>& places);

// The list for people, of the places that have an outlook: one line each, or one paragraph.
void PrintEnds(const EndsFound& found, bool in_detail, std::ostream& out);

// All as one JSON document, docs/formats/ends.md. REQUIRES: an outlook for every place.
std::string EndsToJson(const EndsFound& found);

}  // namespace lastreach
