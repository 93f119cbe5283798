#include "town/geography.h"

#include <cmath>

#include "town/town_ends.h"

namespace lastreach {
namespace {

// A degree at 42.25 degrees north on WGS 84, to three digits, from memory. Constants and not cosines, so that
// no mathematics library can change a digit of a sheet.
constexpr double kMetresPerDegreeNorth = 111070;
constexpr double kMetresPerDegreeEast = 82520;

Street ThroughStreet(const char* name, const char* zone, TownPoint from, TownPoint to, double diameter_in) {
  Street street{name, zone, {from, to}, {}, ""};
  street.pipes.push_back({LineLength_m(street.line), diameter_in});
  return street;
}

std::vector<Street> ThroughStreets() {
  return {
      ThroughStreet("Millrace Road", kMillrace, {800, 1200}, {3800, 1200}, 12),
      ThroughStreet("Depot Street", kMillrace, {800, 2200}, {3800, 2200}, 10),
      ThroughStreet("Tallgrass Avenue", kMillrace, {800, 1200}, {800, 2200}, 8),
      ThroughStreet("Lantern Street", kMillrace, {2300, 1200}, {2300, 2200}, 8),
      ThroughStreet("Kestrel Avenue", kMillrace, {3800, 1200}, {3800, 2200}, 8),
      ThroughStreet("Prairie Avenue", kHighTank, {800, 3200}, {3800, 3200}, 10),
      ThroughStreet("Skyline Road", kHighTank, {800, 4200}, {3800, 4200}, 12),
      ThroughStreet("Beacon Street", kHighTank, {800, 3200}, {800, 4200}, 8),
      ThroughStreet("Granary Avenue", kHighTank, {2300, 3200}, {2300, 4200}, 8),
      ThroughStreet("Bluestem Avenue", kHighTank, {3800, 3200}, {3800, 4200}, 8),
      // The valve between the two waters stands closed half-way along.
      ThroughStreet("Boundary Lane", kMillrace, {2300, 2200}, {2300, 3200}, 8),
  };
}

}  // namespace

TownPosition PositionOf(TownPoint point) {
  return {kTownCorner.latitude_deg + point.y_m / kMetresPerDegreeNorth,
          kTownCorner.longitude_deg + point.x_m / kMetresPerDegreeEast};
}

double LineLength_m(const std::vector<TownPoint>& line) {
  double length_m = 0;
  for (size_t i = 1; i < line.size(); ++i) {
    length_m += std::hypot(line[i].x_m - line[i - 1].x_m, line[i].y_m - line[i - 1].y_m);
  }
  return length_m;
}

std::vector<Street> Streets() {
  std::vector<Street> streets = ThroughStreets();
  for (const TownEnd& end : Devices()) streets.push_back(StreetOf(end));
  for (const TownEnd& end : HandEnds()) streets.push_back(StreetOf(end));
  return streets;
}

}  // namespace lastreach
