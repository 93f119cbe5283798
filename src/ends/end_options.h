#pragma once

#include "ends/shortest_feed.h"

namespace lastreach {

// What counts as an end, as well fed and as quiet. All are common practice, no source.
struct EndOptions {
  // A piece to a hydrant shorter than this is no main, only the hydrant's own pipe.
  double hydrant_lead_m = 15;
  // A main whose water covers this much a day is well fed: no part of it stands longer than a day in a
  // kilometre. Larger: longer reaches.
  double fast_m_per_day = 1000;
  // ... if the branch to the end takes at most this share of it. Larger: shorter reaches.
  double branch_share = 0.5;
  // Where water meets in a loop, it is told if the last customer of either side gets it older than this.
  // SOURCE: a survey of 800 systems found 1.3 days on average and 3.0 at most (U.S. EPA, Effects of water age
  // on distribution system water quality, 2002; from memory); two more for what an estimate may be out by.
  double quiet_days = 5;
  // ... or if more than this stands past the last customers of both sides, and it holds more than they use in
  // this share of a day: as they draw by turns, the meeting place wanders and sweeps less than that.
  double still_m = 50;
  double swept_days = 0.25;
  // An end without hydrant or blow-off this near another main may only be a gap of the drawing (GapLook_m()
  // in maybe_gap.h, where the drawing is known),
  double gap_look_m = 8;
  // ... unless it is joined to that place within so many times the gap.
  double joined_within_gaps = 10;
  // Where no services are known, only how much water is drawn, the last customer is where the main still
  // carries at least this much: half of what a household uses (common practice, no source). Demand spread by
  // length would otherwise put a customer on the last metre of every main.
  double least_use_m3_per_day = 0.3;
  FeedOptions feed;
};

}  // namespace lastreach
