#include <cmath>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/pipe_words.h"
#include "import/row_imports.h"
#include "import/shared_services.h"

namespace lastreach {
namespace {

std::optional<Sourced<Flow>> ReadFlow(RowReader& row) {
  auto flow = As(row.Measure("flow", kFlows), Flow::CubicMetresPerSecond);
  const std::string method = row.Known("flow_method");
  if (!flow || method.empty()) return flow;
  const MethodKind kind = ReadMethod(method);
  if (kind == MethodKind::kMeasurement) flow->origin.kind = OriginKind::kMeasured;
  if (kind == MethodKind::kGuess) flow->origin.kind = OriginKind::kEstimated;
  flow->origin.note = method + "; " + flow->origin.note;
  return flow;
}

std::optional<Position> ReadPosition(RowReader& row) {
  const auto latitude = row.Number("latitude", -90, 90);
  const auto longitude = row.Number("longitude", -180, 180);
  if (!latitude && !longitude) return std::nullopt;
  if (!latitude || !longitude) {
    row.LeaveOut(latitude ? "latitude" : "longitude", "the other half of the position is missing");
    return std::nullopt;
  }
  if (*latitude == 0 && *longitude == 0) {
    row.LeaveOut("latitude", "0, 0 is taken as not known");
    return std::nullopt;
  }
  return Position{*longitude, *latitude};
}

// The pipes of a row: those of the "pipes" cell, or of a length cell that holds several, or the one of the
// length and diameter cells. Services and demand are spread by length.
std::vector<ReachPipe> ReadPipes(RowReader& row) {
  std::vector<ReachPipe> pipes;
  std::string several = row.Known("pipes");
  std::string field = "pipes";
  if (several.empty() && ParsePipes(row.Known("length")).ok()) {
    several = row.Known("length");
    field = "length";
  }
  if (!several.empty()) {
    const auto written = ParsePipes(several);
    if (!written.ok()) row.LeaveOut(field, written.error().message);
    if (written.ok()) {
      for (const WrittenPipe& one : *written) {
        const Origin origin = row.OriginOf(one.about, "written " + several);
        pipes.push_back({{one.length, origin}, {one.diameter, origin}, row.Known("material"), {}, {}});
      }
    }
  } else {
    const auto length = As(row.Measure("length", kLengths), Length::Metres);
    const auto diameter = As(row.Measure("diameter", kDiameters), Diameter::Millimetres, 1000);
    if (length && diameter) pipes.push_back({*length, *diameter, row.Known("material"), {}, {}});
    if (length && !diameter) row.Note("the diameter is not known, so there is no reach yet");
    if (diameter && !length) row.Note("the length is not known, so there is no reach yet");
  }
  const auto services = row.Count("services", 100000);
  const auto demand = As(row.Measure("demand", kDemands), Flow::CubicMetresPerSecond);
  if (!services && !pipes.empty()) row.Note("the number of services is not known; taken as none");
  ShareOut(services.value_or(Sourced<int>{0, {OriginKind::kAssumed, "import", {}, "nobody said how many"}}),
           demand, pipes);
  return pipes;
}

// "yes", "no", or the reason why it stays on, which means yes.
void ReadDrought(RowReader& row, FlushPoint& point) {
  if (const auto rank = row.Count("drought_rank", 100000)) point.drought_rank = rank->value;
  if (const std::string said = row.Known("stays_on"); !said.empty()) {
    const auto plainly = ParseYesNo(said);
    point.stays_on = !plainly.ok() || *plainly;
    if (!plainly.ok()) point.stays_on_because = said;
  }
  point.adjustable_flow = Optional(row, "adjustable_flow", ParseYesNo);
}

// Where the dial begins again at 0: as written, or by its digits and what one of the last of them is.
std::optional<Volume> TurnOfDial(RowReader& row) {
  if (const auto cell = row.Measure("meter_turns_over_at", kTurns)) return Volume::CubicMetres(cell->si);
  const std::string text = row.Known("dial_digits");
  if (text.empty()) return std::nullopt;
  const auto number = ParseNumber(text);
  const auto unit = number.ok() ? FindUnit(Dimension::kVolume, number->rest) : std::nullopt;
  if (unit && number->value >= 3 && number->value <= 10 && number->value == std::floor(number->value))
    return Volume::CubicMetres(std::pow(10, number->value) * unit->factor);
  row.LeaveOut("dial_digits",
               "how many digits there are is wanted, and what one of the last is: 6 x 100 gal");
  return std::nullopt;
}

FlushPoint ReadPoint(RowReader& row, TableKind kind, const PointCode& code) {
  FlushPoint point;
  point.code = code;
  point.kind = kind == TableKind::kDevices ? PointKind::kDevice : PointKind::kHand;
  if (const std::string said = row.Known("kind"); !said.empty()) {
    const auto read = ReadPointKind(said);
    if (read.ok()) point.kind = *read;
    if (!read.ok()) row.LeaveOut("kind", read.error().message);
  }
  if (point.kind == PointKind::kHand && HasTimerCells(row)) {
    row.Note("called hand-flushed but has programmes; taken as a device");
    point.kind = PointKind::kDevice;
  }
  point.place = row.Known("place");
  point.supply_zone = row.Known("supply_zone");
  point.controller = row.Known("controller");
  point.flow = ReadFlow(row);
  if (const std::string to = row.Known("discharge"); !to.empty()) {
    const auto read = ReadDischargeTo(to);
    if (read.ok()) point.discharge = *read;
    if (!read.ok()) row.LeaveOut("discharge", read.error().message);
  }
  point.isolation_valve = row.Known("isolation_valve");
  point.meter = row.Known("meter");
  point.meter_turns_over_at = TurnOfDial(row);
  point.dechlorination = row.Known("dechlorination");
  if (const auto cell = row.Measure("dechlorination_holds", kCharges))
    point.dechlorination_holds_kg = cell->si;
  point.notes = row.Text("notes");
  point.position = ReadPosition(row);
  ReadDrought(row, point);
  return point;
}

void AddSettings(RowReader& row, const PointCode& code, ImportResult& result) {
  auto settings = ReadTimer(row);
  std::optional<int> clock;
  if (const std::string said = row.Known("clock"); !said.empty()) {
    const auto read = ParseClockOffset(said);
    if (read.ok()) clock = *read;
    if (!read.ok()) row.LeaveOut("clock", read.error().message);
  }
  Instant found = row.context().when;
  if (!row.Known("date").empty()) {
    const auto day = row.Day("date");
    if (day.ok()) found = row.context().zone.FirstInstant(Midnight(day->day) + std::chrono::hours(12));
    if (!day.ok()) row.LeaveOut("date", day.error().message);
  }
  if (!settings) {
    if (clock) row.LeaveOut("clock", "there are no settings to keep it with");
    return;
  }
  SettingsRecord record;
  record.point = code;
  record.kind = SettingsKind::kAsFound;
  record.settings = std::move(*settings);
  record.recorded = found;
  record.who = row.Who();
  record.why = "typed from the lid";
  record.clock_fast_minutes = clock;
  for (const SettingsRecord& known : row.context().known_settings) {
    if (known.point != code || known.kind != SettingsKind::kAsFound) continue;
    if (known.settings == record.settings && known.clock_fast_minutes == record.clock_fast_minutes) {
      row.Note("the settings are as they were found before");
      return;
    }
  }
  result.settings.push_back(std::move(record));
}

}  // namespace

void ImportDevice(RowReader& row, TableKind kind, SeenRows& seen, ImportResult& result) {
  const std::string code = row.Known("code");
  if (code.empty()) return row.Reject("code", "the code is missing");
  if (IsSummaryWord(code)) return row.Reject("code", "this looks like a line that sums up the others");
  if (!seen.IsNew(LooseCode(code), "the code", "code", row)) return;
  // A point the project has already keeps the spelling it has there.
  const auto known = seen.points.FindByCode(code);
  if (known && !known->note.empty()) row.Note(known->note);
  FlushPoint point = ReadPoint(row, kind, known ? known->code : PointCode(code));
  Reach reach{point.code, ReadPipes(row),
              As(row.Measure("upstream_residual", kResiduals), Concentration::MilligramsPerLitre)};
  if (kind == TableKind::kDevices) AddSettings(row, point.code, result);
  result.points.push_back(std::move(point));
  if (!reach.pipes.empty() || reach.upstream_residual) result.reaches.push_back(std::move(reach));
}

}  // namespace lastreach
