#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"
#include "import/layer.h"
#include "import/mapping.h"
#include "import/value_maps.h"
#include "ledger/imports.h"
#include "network/drawing.h"

namespace lastreach {

// The kinds of things a layer of that kind may bring: its own, and of valves and fittings blow-offs too. The
// first is its own; empty for what is no thing.
std::vector<ThingKind> ThingsOf(TableKind kind);

struct FeatureOptions {
  std::string who;  // for the origin of numbers
  Instant when{};
  ValueMaps values;                   // what codes stand for
  std::optional<double> period_days;  // between two reads, where no column says
  bool certain = false;               // mains they are, whatever looks like sewers
};

// What a layer shows. Every feature is in the lists (several times if it has several parts), in `set_aside`
// or in `rejected`: rows_in + rejected.size() == table.rows.size(), those set aside counted as in.
struct ImportedLayer {
  std::vector<DrawnMain> mains;
  std::vector<DrawnThing> things;
  std::vector<DrawnService> services;
  std::vector<DrawnArea> areas;
  std::vector<SetAside> set_aside;  // lines without length, things that are no longer there

  int rows_in = 0;
  std::vector<RejectedRow> rejected;  // features without a place, or drawn as something else
  std::vector<RejectedRow> left_out;  // cells left out of features that are in
  std::vector<std::string> notes;     // "diameter: 0.4 % unknown (-9.99 10, blank 6)"
};

// Makes drawn features of a layer's rows.
//   Lines: points that repeat their neighbour are dropped; abandoned, proposed and other-water mains come in
//   as such, for the map to set aside.
//   Things: an area stands at its middle. One in a layer of valves or fittings that says it is a blow-off is
//   one.
//   Services: a parcel is at its middle, a service line at its last point. Use is an average flow, from a
//   column of use, of volume, or of two reads, the last two over the days that columns or options say.
// Keys are those of FindKeyColumn (layer_mapping.h), with ":2" for the second part of a feature.
//
// Unknown are, beyond blanks and words: 0 and 9999 for widths and years, 0 for lengths, and -1, -9, -9.99,
// -99, -999, -9999 for any number; how many is noted by field. A year of 1900-01-01 as a moment is unknown.
//
// ERROR: kBadInput if the layer shows something else than `preview.kind` (points for mains), or a volume is
// over nobody knows how many days; kConflict if it looks like sewers (sewer_signs.h) and !certain.
Result<ImportedLayer> ImportFeatures(const Layer& layer, const Preview& preview,
                                     const FeatureOptions& options = {});

}  // namespace lastreach
