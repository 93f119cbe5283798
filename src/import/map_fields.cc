#include "import/map_fields.h"

#include <algorithm>
#include <array>

#include "import/cell_words.h"
#include "import/field_makers.h"

namespace lastreach {
namespace {

using Names = std::vector<std::string>;
using field::Day;
using field::Measure;
using field::Text;

// Of several such columns the first here that numbers every feature differently is taken (layer_keys.h).
Field Id(Names own) {
  Names headings = {"id"};
  headings.insert(headings.end(), own.begin(), own.end());
  for (const char* name :
       {"facility id", "asset id", "asset no", "asset number", "asset", "tag", "unique id", "object id",
        "gid", "fid", "ogc fid", "global id", "osm id", "uuid", "no", "number"}) {
    headings.emplace_back(name);
  }
  return Text("id", std::move(headings));
}

Field Zone() {
  return Text("zone", {"zone", "pressure zone", "supply zone", "press zone", "pressure district",
                       "water zone", "dma", "district", "system zone", "zone name", "pz"});
}

void AddState(std::vector<Field>& to) {
  to.push_back(Text("status", {"status", "life cycle status", "lifecycle", "life cycle", "state",
                               "asset status", "operational status", "service status", "main status",
                               "pipe status", "lifecycle state", "oper status"}));
  to.push_back(Text("enabled", {"enabled", "active flag", "active", "in use", "in service", "is active"}));
}

void AddPlace(std::vector<Field>& to) {
  to.push_back(
      Text("shape", {"wkt", "shape wkt", "wkt geom", "geom wkt", "geometry", "geom", "the geom", "shape"}));
  to.push_back(Text("x", {"longitude", "lon", "long", "lng", "x", "easting", "east", "x coord", "point x",
                          "coord x", "x coordinate"}));
  to.push_back(Text(
      "y", {"latitude", "lat", "y", "northing", "north", "y coord", "point y", "coord y", "y coordinate"}));
}

std::vector<Field> Mains() {
  std::vector<Field> fields = {
      Id({"main id", "pipe id", "main no", "pipe no", "pipe number", "main number", "segment id"}),
      Measure(
          "diameter", Dimension::kDiameter,
          {"diameter", "dia", "diam", "nominal diameter", "pipe size", "main size", "size", "pipe diameter",
           "main diameter", "nom dia", "nominal size", "pipe dia", "main dia", "bore", "dn"}),
      Text("material", {"material", "pipe material", "mat", "matl", "main material", "material type",
                        "pipe mat", "material code", "pipe type"}),
      Day("year", {"year laid",         "year",
                   "install year",      "install date",
                   "date installed",    "installation date",
                   "installed",         "year installed",
                   "date laid",         "year built",
                   "date built",        "in service date",
                   "construction year", "construction date",
                   "commissioned",      "laid",
                   "constructed",       "inst date",
                   "inst year",         "build year"}),
      Text("street", {"street", "street name", "road", "road name", "on street", "st name", "location",
                      "address", "name"}),
      Zone(),
      Measure("length", Dimension::kLength,
              {"length", "pipe length", "main length", "len", "shape length", "st length shape", "shape len",
               "shape leng", "shape st length", "calc length", "measured length", "gis length"})};
  AddState(fields);
  fields.push_back(Text(
      "water",
      {"water type", "fluid",       "fluid type",   "contents",  "content",   "carries",   "water",
       "product",    "system type", "network type", "commodity", "main type", "line type", "pipe use",
       "system",     "network",     "service type", "pipe type", "type",      "utility",   "pipe class"}));
  fields.push_back(Text("level", {"level", "layer", "grade level", "vertical level"}));
  fields.push_back(Text("bridge", {"bridge", "on bridge", "aerial"}));
  fields.push_back(Text("tunnel", {"tunnel", "underpass"}));
  return fields;
}

std::vector<Field> Things(TableKind kind, Names own_ids) {
  std::vector<Field> fields = {Id(std::move(own_ids)),
                               Text("name", {"name", "label", "description", "location", "address", "place"}),
                               Text("type", {"type", "kind", "sub type", "valve type", "hydrant type",
                                             "fitting type", "class", "function", "valve use"}),
                               Zone()};
  if (kind == TableKind::kValves) {
    fields.push_back(Text(
        "closed", {"closed", "normally closed", "normal position", "normal status", "normal state",
                   "position", "open closed", "open or closed", "valve position", "valve status",
                   "valve state", "default position", "current position", "normally", "no nc", "nc no"}));
    fields.push_back(Text("open", {"open", "normally open", "is open", "currently open", "opened"}));
  }
  if (kind == TableKind::kTanks || kind == TableKind::kSources || kind == TableKind::kPumps) {
    fields.push_back(Measure(
        "head", Dimension::kLength,
        {"head", "hydraulic grade", "hgl", "hydraulic grade line", "top water level", "overflow elevation",
         "overflow level", "water level elevation", "overflow", "twl", "water surface elevation"}));
    fields.push_back(Measure("elevation", Dimension::kLength,
                             {"elevation", "floor elevation", "base elevation", "bottom elevation",
                              "ground elevation", "floor level", "elev", "z"}));
    fields.push_back(Measure("level", Dimension::kLength, {"level", "depth", "water depth", "normal level"}));
  }
  AddState(fields);
  return fields;
}

std::vector<Field> ServicePlaces() {
  std::vector<Field> fields = {
      Id({"service id", "meter id", "meter no", "meter number", "meter", "account", "account no",
          "address id", "parcel id", "parcel", "premise id", "connection id"}),
      Text("street", {"street", "address", "service address", "street name", "site address", "full address",
                      "premise address", "location", "road", "situs", "street address", "addr"}),
      Text("count",
           {"count", "services", "no of services", "number of services", "connections", "units", "dwellings",
            "dwelling units", "taps", "households", "houses", "customers", "properties"}),
      Measure("use", Dimension::kUse,
              {"average use", "use", "usage", "consumption", "avg use", "water use", "demand",
               "average demand", "avg demand", "billed", "billed use", "avg usage", "average consumption",
               "avg consumption", "monthly use", "monthly usage"}),
      Measure("volume", Dimension::kVolume,
              {"volume used", "volume", "billed volume", "use", "usage", "consumption", "billed",
               "metered volume", "water use"}),
      Measure("read_old", Dimension::kVolume,
              {"read old", "old read", "previous read", "previous reading", "last read", "prior read",
               "prev read", "start read", "opening read", "first read"}),
      Measure("read_new", Dimension::kVolume,
              {"read new", "new read", "current read", "current reading", "present read", "this read",
               "end read", "closing read", "second read", "reading"}),
      Day("date_old", {"date old", "old date", "previous date", "previous read date", "last read date",
                       "from", "period start", "start date", "from date"}),
      Day("date_new", {"date new", "new date", "current date", "current read date", "read date", "to",
                       "period end", "end date", "to date"}),
      Text("period_days", {"period days", "days", "read period", "period", "days in period", "billing days",
                           "no of days", "number of days"})};
  AddState(fields);
  return fields;
}

std::vector<Field> ZoneAreas() {
  return {Id({"zone id", "zone no"}),
          Text("name", {"name", "zone", "pressure zone", "zone name", "supply zone", "dma", "district",
                        "area", "system", "label", "pressure zone name"})};
}

struct KindWords {
  TableKind kind;
  std::vector<std::string_view> words;  // plainly, in the singular
};

const std::array<KindWords, 11>& AllWords() {
  static const std::array<KindWords, 11> kAll = {{
      {TableKind::kMains, {"main", "water main", "pipe", "water pipe", "line"}},
      {TableKind::kValves, {"valve", "system valve", "gate valve"}},
      {TableKind::kHydrants, {"hydrant", "fire hydrant"}},
      {TableKind::kBlowOffs, {"blow off", "blowoff", "washout", "wash out", "scour", "flushing hydrant"}},
      {TableKind::kTanks, {"tank", "reservoir", "standpipe", "storage"}},
      {TableKind::kSources, {"source", "well", "plant", "treatment plant", "supply"}},
      {TableKind::kPumps, {"pump", "pump station", "booster", "booster pump"}},
      {TableKind::kFittings, {"fitting", "tee", "cap"}},
      {TableKind::kServicePlaces,
       {"service place", "meter", "address", "addresse", "address point", "parcel", "service point",
        "service line", "customer", "connection", "premise"}},
      {TableKind::kZoneAreas, {"zone area", "pressure zone", "supply zone", "dma", "district"}},
      {TableKind::kElevation, {"elevation", "dem", "terrain", "height", "ground"}},
  }};
  return kAll;
}

}  // namespace

bool IsMapKind(TableKind kind) { return kind >= TableKind::kMains; }

std::optional<TableKind> MapKindOf(std::string_view text) {
  std::string plain = Plainly(text);
  for (const bool singular : {false, true}) {
    if (singular && plain.ends_with('s')) plain.pop_back();
    for (const KindWords& words : AllWords()) {
      if (std::find(words.words.begin(), words.words.end(), plain) != words.words.end()) return words.kind;
    }
  }
  return std::nullopt;
}

std::vector<Field> MapFields(TableKind kind) {
  std::vector<Field> fields;
  switch (kind) {
    case TableKind::kMains:
      fields = Mains();
      break;
    case TableKind::kValves:
      fields = Things(kind, {"valve id", "valve no", "valve number", "valve"});
      break;
    case TableKind::kHydrants:
      fields = Things(kind, {"hydrant id", "hydrant no", "hydrant number", "hydrant"});
      break;
    case TableKind::kBlowOffs:
      fields = Things(kind, {"blow off id", "blow off no", "washout id", "blow off"});
      break;
    case TableKind::kTanks:
      fields = Things(kind, {"tank id", "tank no", "tank"});
      break;
    case TableKind::kSources:
      fields = Things(kind, {"source id", "well id", "well no", "source"});
      break;
    case TableKind::kPumps:
      fields = Things(kind, {"pump id", "pump no", "station id", "pump"});
      break;
    case TableKind::kFittings:
      fields = Things(kind, {"fitting id", "fitting no", "fitting"});
      break;
    case TableKind::kServicePlaces:
      fields = ServicePlaces();
      break;
    case TableKind::kZoneAreas:
      fields = ZoneAreas();
      break;
    default:
      return fields;
  }
  AddPlace(fields);
  return fields;
}

}  // namespace lastreach
