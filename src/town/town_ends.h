#pragma once

#include <string>
#include <vector>

#include "town/geography.h"

namespace lastreach {

inline constexpr const char* kMillrace = "Millrace";   // free chlorine, fed from the plant
inline constexpr const char* kHighTank = "High Tank";  // chloramine, bought from a neighbour

struct FeetAndInches {
  double length_ft = 0;
  double diameter_in = 0;
};

// The truth about one end of the town, which the sheets then get more or less right.
struct TownEnd {
  std::string code;    // "D07" for a device, "H31" for a hand-flushed end
  std::string street;  // the dead-end street it stands at the end of
  std::string tee_on;  // the through street that feeds it
  double tee_x_m = 0;
  bool north = false;                // of the through street
  int bend = 0;                      // the street's last quarter leans east (1), west (-1) or not at all (0)
  int services = 0;                  // on the whole dead-end street
  std::vector<FeetAndInches> pipes;  // from the tee to the end
};

// The 24 devices, D01 to D24 in order.
const std::vector<TownEnd>& Devices();
// The 40 hand-flushed ends, H01 to H40 in order.
const std::vector<TownEnd>& HandEnds();

// Name of the supply zone the end is in, by the street that feeds it.
std::string SupplyZoneOf(const TownEnd& end);

// The end's dead-end street as a line and its pipes.
Street StreetOf(const TownEnd& end);

}  // namespace lastreach
