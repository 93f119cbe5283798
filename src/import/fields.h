#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "import/units.h"

namespace lastreach {

// What the rows of a sheet are.
enum class TableKind {
  kDevices,       // flushing devices, as typed from the lids: the end, its reach and what is keyed
  kPoints,        // ends flushed by hand: the same without a timer
  kReaches,       // pipes of the reaches, one row a pipe, in order from the well-fed main
  kServices,      // services on the reaches, one row a service or a number of them
  kSamples,       // residuals
  kReads,         // readings of the devices' meters
  kControllers,   // what each type of timer can be keyed to
  kLimits,        // what must not be done, with its source
  kZones,         // the water of each part of the system
  kSettings,      // planned, as-left or as-found settings of devices
  kTemperatures,  // the water of each zone by month, or dated temperatures
  kTrips,         // visits made anyway
  kPrices,        // of water and of visits
  kRuns,          // water let out once and seen: a flush log
  kFlowTests,     // measured flows of open points
  kTestFlushes,   // readings at the outlet while the water ran, one row a reading
  kVisits,        // who stood where and why
  kByproducts,    // laboratory results of by-products
  kProduction,    // what was supplied, by month
  // What a map shows: features with a place (map_fields.h).
  kMains,          // lines
  kValves,         // points, and all of the following but zones
  kHydrants,       //
  kBlowOffs,       //
  kTanks,          //
  kSources,        //
  kPumps,          //
  kFittings,       //
  kServicePlaces,  // services, meters with their use, address points, parcels
  kZoneAreas,      // supply or pressure zones as areas
  kElevation,      // a raster of ground heights; has no fields
};

// "devices", "points", ...; stored with the columns a project remembers: never change them.
std::string_view ToText(TableKind kind);

// The same words, and for what a map shows other common ones too: "main", "pipes", "blowoffs", "meters".
// ERROR: kBadInput listing the words.
Result<TableKind> ParseTableKind(std::string_view text);

// All of them, one word each: "flow-tests" for what ToText gives in two.
std::vector<std::string> WordsForKinds();

// One thing a sheet of some kind may tell.
struct Field {
  std::string name;  // as in a columns file and in the memory of a project: never change it
  Dimension dimension = Dimension::kNone;
  bool required = false;
  bool holds_dates = false;
  std::vector<std::string> headings;  // plainly, without units; the first is the one to recommend
};

// In the order in which they are shown.
const std::vector<Field>& FieldsOf(TableKind kind);

// The field of that name, or none.
const Field* FindField(TableKind kind, std::string_view name);

// For --help: the fields of that kind, a line each, with headings that are understood and units.
std::string Headings(TableKind kind);

// How many programmes a sheet of devices or settings may have columns for.
inline constexpr int kMostProgrammes = 6;

}  // namespace lastreach
