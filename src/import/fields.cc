#include "import/fields.h"

#include <algorithm>
#include <array>
#include <iterator>

#include "core/words.h"
#include "import/common_fields.h"
#include "import/field_makers.h"
#include "import/map_fields.h"
#include "import/record_fields.h"
#include "import/year_fields.h"

namespace lastreach {
namespace {

using Names = std::vector<std::string>;
using field::Code;
using field::Date;
using field::Day;
using field::Measure;
using field::Notes;
using field::Point;
using field::Required;
using field::Text;
using field::Time;
using field::Who;
using enum Dimension;

void AddPipe(std::vector<Field>& to) {
  to.push_back(Measure("length", kLength,
                       {"length", "reach length", "main length", "pipe length", "dead end length", "len",
                        "branch length", "length of main", "length of pipe", "footage", "run length"}));
  to.push_back(Measure("diameter", kDiameter,
                       {"diameter", "dia", "diam", "pipe size", "main size", "size", "bore", "dn",
                        "nominal diameter", "pipe diameter", "main diameter", "pipe dia", "main dia"}));
  to.push_back(Text("material", {"material", "pipe material", "mat", "main material", "pipe type", "matl"}));
  to.push_back(Text("services",
                    {"services", "no of services", "number of services", "service count", "houses", "homes",
                     "connections", "customers", "svcs", "taps", "properties", "no services", "serv"}));
  to.push_back(Measure(
      "demand", kFlow,
      {"demand", "average demand", "avg demand", "use", "usage", "consumption", "average use", "avg use"}));
}

void AddProgrammes(std::vector<Field>& to) {
  for (int n = 1; n <= kMostProgrammes; ++n) {
    const std::string number = std::to_string(n);
    const std::string letter(1, static_cast<char>('a' + n - 1));
    Names prefixes;
    for (const std::string& mark : {number, letter}) {
      for (const char* word : {"p", "p ", "prog ", "program ", "programme ", "pgm ", "prg "})
        prefixes.push_back(word + mark);
    }
    const auto add = [&](const char* name, std::initializer_list<const char*> ends,
                         std::initializer_list<const char*> alone) {
      Names headings;
      for (const std::string& prefix : prefixes) {
        for (const char* end : ends) headings.push_back(prefix + " " + end);
      }
      if (n == 1) headings.insert(headings.end(), alone.begin(), alone.end());
      to.push_back(Text("p" + number + "_" + name, headings));
    };
    add("starts",
        {"starts", "start", "start times", "start time", "starts at", "times", "time on", "start 1",
         "1st start"},
        {"starts", "start times", "start time", "start", "run times", "starts at", "time on", "start 1",
         "1st start", "start time 1", "first start"});
    // Sheets with a column for each start.
    add("start_2", {"start 2", "2nd start", "start time 2"},
        {"start 2", "2nd start", "start time 2", "second start"});
    add("start_3", {"start 3", "3rd start", "start time 3"},
        {"start 3", "3rd start", "start time 3", "third start"});
    add("start_4", {"start 4", "4th start", "start time 4"},
        {"start 4", "4th start", "start time 4", "fourth start"});
    add("minutes",
        {"minutes", "mins", "min", "duration", "run time", "run minutes", "minutes each", "duration min"},
        {"minutes", "duration", "run time", "run minutes", "mins", "minutes each", "runtime", "min",
         "duration min"});
    add("days", {"days", "day", "day pattern", "days of week"},
        {"days", "days of week", "run days", "flush days", "day pattern", "frequency"});
    add("percent", {"percent", "percentage"}, {});
  }
}

void AddTimer(std::vector<Field>& to) {
  to.push_back(Text("clock", {"clock off by", "clock off by min", "clock off min", "clock", "clock error",
                              "clock error min", "clock off", "clock is", "clock fast", "clock drift"}));
  to.push_back(Text("state", {"state", "on off", "status", "switch", "running"}));
  to.push_back(
      Text("percent", {"percent", "percentage", "seasonal adjust", "seasonal adjustment", "water budget",
                       "budget", "adjust", "season percent", "seasonal percent", "adj percent"}));
  AddProgrammes(to);
}

void AddPlace(std::vector<Field>& to) {
  to.push_back(Text("place", {"place", "address", "location", "street", "site", "where", "description",
                              "site name", "name"}));
  to.push_back(Text("supply_zone",
                    {"zone", "supply zone", "pressure zone", "dma", "area", "system", "district", "plane"}));
  to.push_back(Measure("flow", kFlow,
                       {"flow", "flow rate", "flush flow", "flush rate", "discharge rate", "q", "gpm", "l s",
                        "rate", "flushing flow", "flow while open"}));
  to.push_back(Text("flow_method", {"flow method", "method", "how measured", "flow by", "flow source",
                                    "measured with", "flow measured by"}));
}

void AddRest(std::vector<Field>& to) {
  to.push_back(Text("discharge", {"discharge to", "discharge", "discharges to", "water goes to", "drain",
                                  "drains to", "outlet to", "goes to", "receiving water"}));
  to.push_back(Text("isolation_valve", {"isolation valve", "valve", "iso valve", "gate valve", "shut off",
                                        "shutoff valve", "stop valve", "sluice valve", "isolation"}));
  to.push_back(Text("stays_on", {"stays on", "keep on", "must stay on", "keep running", "always on",
                                 "stays on because", "keep on because", "critical customer"}));
  to.push_back(Text("drought_rank", {"drought rank", "drought order", "shut in drought", "shut off order",
                                     "order of shutting", "drought priority"}));
  to.push_back(Text("adjustable_flow", {"adjustable flow", "flow adjustable", "adjustable", "can throttle",
                                        "throttle", "flow can be set"}));
  to.push_back(Text("meter", {"meter", "meter no", "meter number", "meter serial", "meter id", "meter sn"}));
  to.push_back(Measure("meter_turns_over_at", kVolume,
                       {"meter turns over at", "turns over at", "meter rolls over at", "rollover",
                        "meter rollover", "dial turns over at"}));
  to.push_back(Text("dial_digits", {"dial digits", "meter digits", "digits on the dial", "digits",
                                    "no of digits", "number of digits"}));
  to.push_back(Text("dechlorination", {"dechlorination", "dechlor", "dechlorinator", "dechlor tablets",
                                       "dechlorination with", "dechlor type", "dechlorination type"}));
  to.push_back(Measure("dechlorination_holds", kMass,
                       {"dechlorination holds", "dechlor holds", "tablets hold", "holds", "dechlor charge",
                        "charge", "dechlor capacity", "feeder holds"}));
  to.push_back(Measure("upstream_residual", kConcentration,
                       {"upstream residual", "upstream", "upstream cl2", "upstream chlorine", "main residual",
                        "feed residual", "residual upstream", "us residual"}));
  to.push_back(Text("latitude", {"latitude", "lat", "y"}));
  to.push_back(Text("longitude", {"longitude", "long", "lon", "lng", "x"}));
  to.push_back(Day("date", {"date", "found on", "visit date", "date read", "as found date", "last visit",
                            "date visited"}));
  to.push_back(Who());
  to.push_back(Notes());
}

std::vector<Field> Devices() {
  std::vector<Field> fields = {Code(), Text("kind", {"kind", "type", "device type", "point type"})};
  AddPlace(fields);
  fields.push_back(
      Text("controller", {"controller", "timer", "controller type", "timer type", "controller form", "model",
                          "timer model", "clock type", "controller model"}));
  AddPipe(fields);
  fields.push_back(
      Text("pipes", {"pipes", "reach", "mains", "pipe sizes and lengths", "pipe run", "sizes and lengths"}));
  AddTimer(fields);
  AddRest(fields);
  return fields;
}

std::vector<Field> Points() {
  std::vector<Field> fields = {Code(), Text("kind", {"kind", "type", "point type"})};
  AddPlace(fields);
  AddPipe(fields);
  fields.push_back(
      Text("pipes", {"pipes", "reach", "mains", "pipe sizes and lengths", "pipe run", "sizes and lengths"}));
  AddRest(fields);
  return fields;
}

std::vector<Field> Reaches() {
  std::vector<Field> fields = {
      Point(), Text("position", {"position", "order", "pipe", "pipe no", "segment", "seq", "sequence"})};
  AddPipe(fields);
  for (Field& field : fields)
    field.required = field.required || field.name == "length" || field.name == "diameter";
  fields.push_back(Measure("upstream_residual", kConcentration,
                           {"upstream residual", "upstream", "upstream cl2", "main residual"}));
  fields.push_back(Who());
  return fields;
}

std::vector<Field> Services() {
  return {Point(),
          Text("services",
               {"services", "count", "number", "no of services", "number of services", "houses", "taps"}),
          Measure("demand", kFlow,
                  {"demand", "average demand", "avg demand", "use", "usage", "consumption", "average use"}),
          Text("pipe", {"pipe", "pipe no", "segment", "position"}), Notes()};
}

std::vector<Field> Samples() {
  return {
      Point(),
      Required(Date()),
      Time(),
      Measure("residual", kConcentration,
              {"residual", "resid", "chlorine", "cl2", "chlorine residual", "cl2 residual", "reading",
               "result", "value", "cl residual", "disinfectant residual", "mg l", "ppm", "residual cl2", "cl",
               "residual chlorine"}),
      Measure("free", kConcentration,
              {"free chlorine", "free", "free cl2", "free residual", "free cl", "fac",
               "free chlorine residual", "f cl2", "free cl2 residual"}),
      Measure("total", kConcentration,
              {"total chlorine", "total", "total cl2", "total residual", "tcl2", "total cl",
               "total chlorine residual", "t cl2", "total cl2 residual", "trc"}),
      Measure("monochloramine", kConcentration, {"monochloramine", "mono", "monochlor", "nh2cl"}),
      Measure("ammonia", kConcentration,
              {"free ammonia", "ammonia", "free ammonia as n", "ammonia as n", "ammonia n", "free ammonia n",
               "nh3 n", "nh3", "free nh3", "nh3 as n"}),
      Measure("nitrite", kConcentration,
              {"nitrite", "nitrite as n", "nitrite n", "no2 n", "no2", "no2 as n"}),
      Text("analyte",
           {"analyte", "parameter", "free or total", "f t", "free total", "test", "type", "determinand",
            "determinant", "measure", "measured", "what was measured", "analysis", "substance", "test name"}),
      Measure("temperature", kTemperature, {"temperature", "temp", "water temp", "water temperature", "t"}),
      Who(),
      Notes()};
}

std::vector<Field> Reads() {
  return {Point(),
          Required(Date()),
          Time(),
          Required(Measure(
              "total", kVolume,
              {"read", "reading", "meter read", "meter reading", "total", "register", "current read", "dial",
               "odometer", "totaliser", "totalizer", "volume", "index", "current reading", "meter"})),
          Text("unit", {"unit", "units", "uom"}),
          Text("estimated", {"estimated", "read type", "estimate", "est", "e", "actual or estimated",
                             "reading type", "estimated read", "type of read", "estimated or actual"}),
          Measure("new_meter", kVolume,
                  {"new meter reading", "new meter", "new meter at", "new meter start", "new meter shows",
                   "start of new meter", "new meter read", "new dial", "meter changed new reading"}),
          Who(),
          Notes()};
}

std::vector<Field> Controllers() {
  return {
      Required(Text(
          "name", {"name", "controller", "timer", "form", "controller form", "timer type", "type", "model"})),
      Text("programmes", {"programmes", "programs", "no of programs", "number of programs", "progs"}),
      Text("starts_per_programme", {"starts per programme", "starts per program", "starts", "start times",
                                    "starts each", "starts per prog"}),
      Text("start_step_minutes", {"start step minutes", "start step", "start step min", "step of starts"}),
      Text("minutes_min",
           {"minutes min", "min minutes", "least minutes", "shortest run", "shortest run min"}),
      Text("minutes_max", {"minutes max", "max minutes", "most minutes", "longest run", "longest run min"}),
      Text("minutes_step", {"minutes step", "step of minutes", "run step"}),
      Text("percent_min", {"percent min", "min percent", "least percent"}),
      Text("percent_max", {"percent max", "max percent", "most percent"}),
      Text("percent_step", {"percent step", "step of percent"}),
      Text("percent_scope", {"percent scope", "percent for", "percentage scope", "percent per"}),
      Text("day_patterns", {"day patterns", "days", "day pattern", "day choices"}),
      Text("odd_skips_31st", {"odd skips 31st", "skips 31st", "31st", "odd skips 31"}),
      Text("every_n_max",
           {"every n max", "max interval", "longest interval", "every n days max", "interval max"}),
      Text("follows_clock_change",
           {"follows clock change", "dst", "daylight saving", "auto dst", "clock change", "summer time"}),
      Text("overlap",
           {"overlap", "overlapping starts", "overlap behaviour", "overlap behavior", "if overlap"})};
}

std::vector<Field> Limits() {
  return {Text("scope", {"scope", "applies to", "covers", "level"}),
          Text("subject", {"subject", "zone or point", "of", "for", "zone", "point", "where", "which"}),
          Required(Text("rule", {"rule", "limit", "kind", "what", "limit kind", "type"})),
          Text("value", {"value", "amount", "limit value", "number"}),
          Text("unit", {"unit", "units", "uom"}),
          Text("from", {"from", "start", "from time", "begin"}),
          Text("to", {"to", "until", "end", "to time"}),
          Text("days", {"days", "on days", "day"}),
          Text("tank", {"tank", "which tank", "reservoir", "tank name"}),
          Text("stage", {"stage", "drought stage", "stage no"}),
          Text("discharge", {"discharge to", "discharge", "outlet to", "drains to", "water goes to"}),
          Required(Text("source",
                        {"source", "source box", "because", "reference", "authority", "who says", "basis"}))};
}

std::vector<Field> Zones() {
  return {
      Required(Text("name", {"name", "zone", "supply zone", "pressure zone", "system", "area", "dma"})),
      Text("disinfectant", {"disinfectant", "residual type", "free or chloramine", "chlorine type", "type"}),
      Measure("target_residual", kConcentration,
              {"target residual", "target", "goal", "target cl2", "least residual", "minimum residual"}),
      Measure("upstream_residual", kConcentration,
              {"upstream residual", "upstream", "main residual", "feed residual", "plant residual"}),
      Text("bulk", {"bulk decay per day at 20c", "bulk decay at 20 c 1 day", "bulk decay at 20 c",
                    "bulk decay 1 day", "bulk decay", "bulk", "bulk per day", "kb", "bulk decay per day"}),
      Text("wall",
           {"wall decay m per day", "wall decay m day", "wall decay", "wall", "wall m per day", "kw"}),
      Measure("worst_week", kTemperature,
              {"worst week temperature", "worst week temp", "worst week", "warmest week",
               "summer temperature", "temperature", "warmest water", "max temp", "water temp", "temp"}),
      Measure("demand_per_service", kFlow,
              {"demand per service", "use per service", "use a service", "average use per service",
               "demand a service", "per service", "use per house", "demand"}),
      Who()};
}

std::vector<Field> Settings() {
  std::vector<Field> fields = {Point(), Text("kind", {"kind", "record", "planned or found", "which", "type"}),
                               Required(Date()), Time()};
  AddTimer(fields);
  fields.push_back(Text("why", {"why", "reason", "because"}));
  fields.push_back(Day("revert_by", {"revert by", "until", "back by", "revert", "temporary until"}));
  fields.push_back(Who());
  return fields;
}

constexpr TableKind kAll[] = {
    TableKind::kDevices,   TableKind::kPoints,     TableKind::kReaches,      TableKind::kServices,
    TableKind::kSamples,   TableKind::kReads,      TableKind::kControllers,  TableKind::kLimits,
    TableKind::kZones,     TableKind::kSettings,   TableKind::kTemperatures, TableKind::kTrips,
    TableKind::kPrices,    TableKind::kRuns,       TableKind::kFlowTests,    TableKind::kTestFlushes,
    TableKind::kVisits,    TableKind::kByproducts, TableKind::kProduction,   TableKind::kMains,
    TableKind::kValves,    TableKind::kHydrants,   TableKind::kBlowOffs,     TableKind::kTanks,
    TableKind::kSources,   TableKind::kPumps,      TableKind::kFittings,     TableKind::kServicePlaces,
    TableKind::kZoneAreas, TableKind::kElevation};

}  // namespace

std::string_view ToText(TableKind kind) {
  static constexpr std::array<std::string_view, std::size(kAll)> kWords = {
      "devices",     "points", "reaches",    "services",       "samples",      "reads",
      "controllers", "limits", "zones",      "settings",       "temperatures", "trips",
      "prices",      "runs",   "flow tests", "test flushes",   "visits",       "byproducts",
      "production",  "mains",  "valves",     "hydrants",       "blow-offs",    "tanks",
      "sources",     "pumps",  "fittings",   "service places", "zone areas",   "elevation"};
  return kWords[static_cast<size_t>(kind)];
}

Result<TableKind> ParseTableKind(std::string_view text) {
  if (const auto shown = MapKindOf(text)) return *shown;
  // A shell takes two words for two arguments.
  std::string spaced(text);
  std::replace(spaced.begin(), spaced.end(), '-', ' ');
  if (const auto kind = ParseByWord(spaced, kAll, "the kind of a sheet"); kind.ok()) return kind;
  return ParseByWord(text, kAll, "the kind of a sheet");
}

std::vector<std::string> WordsForKinds() {
  std::vector<std::string> words;
  for (const TableKind kind : kAll) {
    std::string word(ToText(kind));
    std::replace(word.begin(), word.end(), ' ', '-');
    words.push_back(std::move(word));
  }
  return words;
}

const std::vector<Field>& FieldsOf(TableKind kind) {
  static const std::array<std::vector<Field>, std::size(kAll)> kFields = [] {
    std::array<std::vector<Field>, std::size(kAll)> fields = {
        Devices(),     Points(),          Reaches(),           Services(),
        Samples(),     Reads(),           Controllers(),       Limits(),
        Zones(),       Settings(),        TemperatureFields(), TripFields(),
        PriceFields(), RunFields(),       FlowTestFields(),    TestFlushFields(),
        VisitFields(), ByproductFields(), ProductionFields()};
    for (const TableKind shown : kAll) {
      if (IsMapKind(shown)) fields[static_cast<size_t>(shown)] = MapFields(shown);
    }
    return fields;
  }();
  return kFields[static_cast<size_t>(kind)];
}

const Field* FindField(TableKind kind, std::string_view name) {
  for (const Field& field : FieldsOf(kind)) {
    if (field.name == name) return &field;
  }
  return nullptr;
}

std::string Headings(TableKind kind) {
  std::string text = "Headings understood in a sheet of " + std::string(ToText(kind)) + ", and their like:\n";
  for (const Field& field : FieldsOf(kind)) {
    // Later programmes go by the same words as the first.
    if (field.name.size() > 2 && field.name[0] == 'p' && field.name[1] >= '2' && field.name[1] <= '9')
      continue;
    text += "  " + field.name + (field.required ? " (needed)" : "") + ":";
    const size_t shown = std::min<size_t>(field.headings.size(), 5);
    for (size_t i = 0; i < shown; ++i) text += (i == 0 ? " " : ", ") + field.headings[i];
    if (field.dimension != kNone) text += "; in " + UnitNames(field.dimension);
    if (field.name.rfind("p1_", 0) == 0) text += "; p2, p3, ... for more programmes";
    text += "\n";
  }
  return text;
}

}  // namespace lastreach
