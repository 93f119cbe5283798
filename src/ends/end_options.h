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
  // Where water meets in a loop: told only if the last customer of either side gets it later than this from
  // the well-fed main, or if it stands past the customers for longer than that way.
  double quiet_days = 1;
  double still_m = 50;  // a meeting point wanders with the hour; shorter stretches are swept by that
  // An end without hydrant or blow-off this near another main may only be a gap of the drawing,
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
