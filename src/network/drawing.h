#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/origin.h"
#include "core/position.h"
#include "core/quantity.h"
#include "core/result.h"

namespace lastreach {

// Which feature of which layer: "mains.geojson" and the layer's own number for it. A part of a feature of
// several parts has its number behind a colon: "29521:2".
struct FeatureKey {
  std::string layer;
  std::string key;
  friend auto operator<=>(const FeatureKey&, const FeatureKey&) = default;
};

// Whether water of this system may be in it. Stored and printed: never change the words.
enum class MainStatus { kInUse, kAbandoned, kProposed, kOtherWater };

// One line of a layer of mains as drawn: nothing moved, nothing joined.
struct DrawnMain {
  FeatureKey key;
  std::vector<Position> line;  // two or more, no two neighbours equal
  std::optional<Sourced<Diameter>> diameter;
  std::string material;          // as written; empty where nobody knows
  std::optional<int> year_laid;  // four digits
  std::string street;
  std::string zone;
  std::optional<Length> written_length;  // as the layer has it, to hold against the drawing
  MainStatus status = MainStatus::kInUse;
  int level = 0;  // of a line that says it runs above (+) or below (-) the others
  friend bool operator==(const DrawnMain&, const DrawnMain&) = default;
};

// What stands on the mains or beside them. Stored and printed: never change the words.
enum class ThingKind { kValve, kHydrant, kBlowOff, kTank, kSource, kPump, kFitting };

struct DrawnThing {
  FeatureKey key;
  ThingKind kind = ThingKind::kValve;
  Position at;
  std::string name;
  std::string zone;
  bool closed = false;           // a valve that is normally shut
  std::optional<double> head_m;  // water level of a source or tank above datum
  friend bool operator==(const DrawnThing&, const DrawnThing&) = default;
};

// A customer's connection, meter or address.
struct DrawnService {
  FeatureKey key;
  Position at;
  std::string street;                // "12 Elm St" -> as written
  int count = 1;                     // connections the feature stands for
  std::optional<Sourced<Flow>> use;  // average of all of them
  friend bool operator==(const DrawnService&, const DrawnService&) = default;
};

// A supply or pressure zone as drawn. Each polygon is a list of rings, the outer one first.
struct DrawnArea {
  FeatureKey key;
  std::string name;
  std::vector<std::vector<std::vector<Position>>> polygons;
  friend bool operator==(const DrawnArea&, const DrawnArea&) = default;
};

// Ground heights on a grid of any coordinate system; row 0 is the one at geo_transform's origin.
//   x = g[0] + column g[1] + row g[2],  y = g[3] + column g[4] + row g[5]  (cell corners)
struct ElevationGrid {
  std::string name;     // "dem.tif"
  std::string crs_wkt;  // of x and y
  double geo_transform[6] = {0, 1, 0, 0, 0, -1};
  int width = 0;
  int height = 0;
  std::vector<float> metres;  // size width x height, row by row; NaN where nothing is known
};

// A feature that does not take part, and why, so that nothing is dropped in silence.
struct SetAside {
  FeatureKey key;
  std::string reason;  // one sentence
  double length_m = 0;
  std::optional<Position> at;
  friend bool operator==(const SetAside&, const SetAside&) = default;
};

// All that the layers of one project show.
struct Drawing {
  std::vector<DrawnMain> mains;
  std::vector<DrawnThing> things;
  std::vector<DrawnService> services;
  std::vector<DrawnArea> areas;
  std::vector<ElevationGrid> elevations;  // where two overlap, the later one is looked at first
};

std::string_view ToText(MainStatus status);  // "in use", "abandoned", "proposed", "other water"
std::string_view ToText(
    ThingKind kind);  // "valve", "hydrant", "blow-off", "tank", "source", "pump", "fitting"
Result<MainStatus> ParseMainStatus(std::string_view text);
Result<ThingKind> ParseThingKind(std::string_view text);

}  // namespace lastreach
