// What stands on mains or beside them, customers and zones.
#include <cmath>

#include "import/cell_words.h"
#include "import/dates.h"
#include "import/feature_row.h"
#include "import/map_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Heads of sources and tanks [m above datum]: between the Dead Sea's shore and the highest towns.
// Common practice, no source.
constexpr RowReader::Bounds kHeads{-450, 6000, false};
constexpr RowReader::Bounds kUses{0, 5, false};       // m3/s
constexpr RowReader::Bounds kVolumes{0, 1e9, false};  // m3
constexpr double kSecondsADay = 86400;

bool ReadClosed(FeatureRow& row, const Preview& preview) {
  for (const char* field : {"closed", "open"}) {
    const std::string text = row.cells().Text(field);
    if (text.empty()) continue;
    const std::string heading = Plainly(preview.Find(field)->heading);
    const bool asks_open = std::string_view(field) == "open";
    const bool by_yes = asks_open || Mentions(heading, {"closed", "shut"});
    // "Normally open: yes" and "Normally open: closed" are both answers.
    const auto answer = ReadShut(text, by_yes);
    const auto word = ReadShut(text, false);
    const bool said_by_word = word && Plainly(text) != "no";
    if (said_by_word) return *word;
    if (answer) return asks_open ? !*answer : *answer;
    row.NotUnderstood(field, "open");
  }
  return false;
}

// A place for each part of a feature.
std::vector<Position> PlacesOf(const Shape& shape) {
  std::vector<Position> places;
  if (shape.kind == ShapeKind::kArea) return {MiddleOf(shape)};
  for (const auto& part : shape.parts) places.push_back(part[0][0]);
  return places;
}

std::optional<Date> DayOf(FeatureRow& row, const char* field) {
  const auto day = row.cells().AnyDay(field);
  return day.ok() ? std::optional(day->day) : std::nullopt;
}

// Days over which the water of a bill or between two reads ran.
std::optional<double> PeriodDays(FeatureRow& row, const FeatureOptions& options) {
  if (const auto days = row.cells().Number("period_days", 0.5, 1000)) return days;
  const auto from = DayOf(row, "date_old");
  const auto to = DayOf(row, "date_new");
  if (from && to && *to > *from)
    return static_cast<double>((std::chrono::sys_days(*to) - std::chrono::sys_days(*from)).count());
  return options.period_days;
}

std::optional<Sourced<Flow>> OverDays(FeatureRow& row, const char* field, double volume_m3,
                                      const FeatureOptions& options, const std::string& note) {
  const auto days = PeriodDays(row, options);
  if (!days) {
    row.cells().LeaveOut(field, "over how many days is not known");
    return std::nullopt;
  }
  Origin origin = row.cells().OriginOf(true, note + " over " + std::to_string(std::lround(*days)) + " days");
  return Sourced<Flow>{Flow::CubicMetresPerSecond(volume_m3 / *days / kSecondsADay), std::move(origin)};
}

std::optional<Sourced<Flow>> ReadUse(FeatureRow& row, const FeatureOptions& options) {
  RowReader& cells = row.cells();
  if (const auto use = cells.Measure("use", kUses))
    return As(std::optional(*use), Flow::CubicMetresPerSecond);
  if (const auto volume = cells.Measure("volume", kVolumes))
    return OverDays(row, "volume", volume->si, options, cells.Written("volume"));
  const auto before = cells.Measure("read_old", kVolumes);
  const auto after = cells.Measure("read_new", kVolumes);
  if (!before || !after) return std::nullopt;
  if (after->si < before->si) {
    cells.LeaveOut("read_new", "the later reading is the lower one; was the meter changed?");
    return std::nullopt;
  }
  return OverDays(row, "read_new", after->si - before->si, options,
                  "reads " + cells.Written("read_old") + " and " + cells.Written("read_new"));
}

}  // namespace

std::vector<ThingKind> ThingsOf(TableKind kind) {
  switch (kind) {
    case TableKind::kValves:
      return {ThingKind::kValve, ThingKind::kBlowOff};
    case TableKind::kHydrants:
      return {ThingKind::kHydrant};
    case TableKind::kBlowOffs:
      return {ThingKind::kBlowOff};
    case TableKind::kTanks:
      return {ThingKind::kTank};
    case TableKind::kSources:
      return {ThingKind::kSource};
    case TableKind::kPumps:
      return {ThingKind::kPump};
    case TableKind::kFittings:
      return {ThingKind::kFitting, ThingKind::kBlowOff};
    default:
      return {};
  }
}

void ImportThing(FeatureRow& row, const Preview& preview, bool enabled_tells, ImportedLayer& to) {
  RowReader& cells = row.cells();
  DrawnThing thing;
  const std::vector<ThingKind> kinds = ThingsOf(preview.kind);
  thing.kind = kinds.front();
  thing.name = cells.Text("name");
  thing.zone = cells.Text("zone");
  if (thing.kind == ThingKind::kValve) thing.closed = ReadClosed(row, preview);
  if (kinds.size() > 1 && SaysBlowOff(cells.Text("type"))) {
    row.Tally("of type '" + cells.Text("type") + "': taken as blow-offs");
    thing.kind = ThingKind::kBlowOff;
  }
  if (const auto head = cells.Measure("head", kHeads)) thing.head_m = head->si;
  const MainStatus status = ReadStatus(row, enabled_tells);
  const std::vector<Position> places = PlacesOf(row.shape());
  for (size_t i = 0; i < places.size(); ++i) {
    if (status != MainStatus::kInUse) {
      row.SetAsideAs("it is marked " + std::string(ToText(status)), 0, places[i], i);
      continue;
    }
    thing.key = row.Key(i);
    thing.at = places[i];
    to.things.push_back(thing);
  }
}

void ImportServicePlace(FeatureRow& row, const FeatureOptions& options, bool enabled_tells,
                        ImportedLayer& to) {
  RowReader& cells = row.cells();
  DrawnService service;
  service.key = row.Key();
  service.street = cells.Text("street");
  const Shape& shape = row.shape();
  // One customer, however many pieces its parcel or its line has.
  service.at = shape.kind == ShapeKind::kLine ? shape.parts.back()[0].back() : PlacesOf(shape)[0];
  if (shape.kind == ShapeKind::kLine) row.Tally("drawn as service lines: the customer is at the last point");
  if (shape.kind == ShapeKind::kArea) row.Tally("drawn as areas: the customer is in the middle");
  if (const MainStatus status = ReadStatus(row, enabled_tells); status != MainStatus::kInUse)
    return row.SetAsideAs("it is marked " + std::string(ToText(status)), 0, service.at);
  if (const auto count = cells.Count("count", 100000)) {
    if (count->value == 0) return row.SetAsideAs("it stands for no connection", 0, service.at);
    service.count = count->value;
  }
  service.use = ReadUse(row, options);
  to.services.push_back(std::move(service));
}

void ImportZoneArea(FeatureRow& row, ImportedLayer& to) {
  DrawnArea area;
  area.key = row.Key();
  area.name = row.cells().Text("name");
  if (area.name.empty()) return row.cells().Reject("name", "the zone has no name");
  area.polygons = row.shape().parts;
  to.areas.push_back(std::move(area));
}

}  // namespace lastreach
