// Flush logs and flow tests.
#include <cmath>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/local_times.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

constexpr int kMinutesADay = 24 * 60;

// The end in its cell, as minutes after the midnight the run's day begins with. A time before the start is of
// the next day; a cell with a date of its own may be days later.
std::optional<int> EndMinute(RowReader& row, const RowMoment& start) {
  const std::string text = row.Known("end");
  if (text.empty()) return std::nullopt;
  if (const auto clock = ParseClock(text); clock.ok()) {
    return *clock >= *start.minute_of_day ? *clock : *clock + kMinutesADay;
  }
  const auto day = row.AnyDay("end");
  const auto clock = day.ok() ? ParseClock(day->time) : Result<int>(BadInput(""));
  if (!day.ok() || !clock.ok()) {
    row.LeaveOut("end", "this is not a time of day (13:10 and 1:10 pm are)");
    return std::nullopt;
  }
  const auto days = (std::chrono::sys_days(day->day) - std::chrono::sys_days(start.day)).count();
  return static_cast<int>(days) * kMinutesADay + *clock;
}

// How long it ran: as written, or from the start to the end on the clocks of the place. None, and the row
// rejected, if neither tells.
std::optional<Duration> LastedOf(RowReader& row, const RowMoment& start) {
  const auto parsed = Optional(row, "minutes", ParseMinutes);
  if (parsed && *parsed == 0) row.LeaveOut("minutes", "a run must last longer than nothing");
  const int minutes = parsed.value_or(0);  // 0: not written
  std::optional<Duration> between;
  if (!row.Known("end").empty() && !start.minute_of_day) {
    row.LeaveOut("end", "an end tells nothing without the start");
  } else if (const auto end = EndMinute(row, start)) {
    const Zone& zone = row.context().zone;
    const auto seconds =
        zone.FirstInstant(Midnight(start.day) + std::chrono::minutes(*end)) - InstantOf(start, zone);
    between = Duration::Seconds(
        static_cast<double>(std::chrono::duration_cast<std::chrono::seconds>(seconds).count()));
    if (!(*between > Duration())) {
      row.LeaveOut("end", "the end is not after the start");
      between.reset();
    }
  }
  if (minutes == 0 && !between) {
    row.Reject(row.HasColumn("minutes") ? "minutes" : "end",
               "how long it ran is wanted: minutes, or a start and an end");
    return std::nullopt;
  }
  if (minutes == 0) return between;
  if (between && std::abs(between->minutes() - minutes) > 1) {
    row.Note("start and end are " + std::to_string(std::lround(between->minutes())) + " min apart; the " +
             std::to_string(minutes) + " min written are taken");
  }
  return Duration::Minutes(minutes);
}

// A volume with the unit in the cell, the heading or the column of units.
std::optional<Volume> VolumeIn(RowReader& row, const char* field, const RowReader::Bounds& bounds) {
  const ColumnChoice* column = row.ColumnOf(field);
  const std::string said = row.Known("unit");
  if (column == nullptr || column->unit || said.empty()) {
    const auto cell = row.Measure(field, bounds);
    return cell ? std::optional(Volume::CubicMetres(cell->si)) : std::nullopt;
  }
  const std::string text = row.Known(field);
  if (text.empty()) return std::nullopt;
  const auto number = ParseNumber(text, column->decimal_mark);
  const auto unit = FindUnit(Dimension::kVolume, number.ok() && !number->rest.empty() ? number->rest : said);
  const double m3 = number.ok() && unit ? number->value * unit->factor : -1;
  if (bounds.zero_is_unknown && m3 == 0) {
    row.LeaveOut(field, "0 is taken as not known");
  } else if (m3 < bounds.least || m3 > bounds.most) {
    row.LeaveOut(field, !number.ok() ? number.error().message
                        : !unit      ? "the number has no unit"
                                     : "this is no volume of a run");
  } else {
    return Volume::CubicMetres(m3);
  }
  return std::nullopt;
}

const FlushPoint* KnownPoint(const RowReader& row, const PointCode& code) {
  for (const FlushPoint& point : row.context().known_points) {
    if (point.code == code) return &point;
  }
  return nullptr;
}

// What the dial says ran through, over its turn where that is known.
std::optional<Volume> ByMeter(RowReader& row, const PointCode& code) {
  const auto before = VolumeIn(row, "meter_before", kDials);
  const auto after = VolumeIn(row, "meter_after", kDials);
  if (!before || !after) return std::nullopt;
  if (!(*after < *before)) return *after - *before;
  const FlushPoint* point = KnownPoint(row, code);
  if (point != nullptr && point->meter_turns_over_at && *before < *point->meter_turns_over_at) {
    row.Note("the dial turned over");
    return *after + *point->meter_turns_over_at - *before;
  }
  row.LeaveOut("meter_after", "the meter shows less after the run than before it");
  return std::nullopt;
}

std::optional<MeasuredBy> MethodIn(RowReader& row) {
  const std::string text = row.Known("method");
  if (text.empty()) return std::nullopt;
  const auto method = ReadMeasuredBy(text);
  if (method.ok()) return *method;
  row.LeaveOut("method", method.error().message);
  return std::nullopt;
}

// "10 %", "10", "+/- 10 %", 0.1: a share.
std::optional<double> AccuracyIn(RowReader& row) {
  std::string text = row.Known("accuracy");
  if (text.empty()) return std::nullopt;
  for (const std::string_view sign : {"+/-", "+-", "\xC2\xB1"}) {
    if (text.starts_with(sign)) text = Trimmed(text.substr(sign.size()));
  }
  const auto number = ParseNumber(text);
  const bool percent = number.ok() && Plainly(number->rest) == "percent";
  if (number.ok() && (percent || number->rest.empty())) {
    const double share = percent || number->value >= 1 ? number->value / 100 : number->value;
    if (share > 0 && share <= 1) return share;
  }
  row.LeaveOut("accuracy", "a percentage of the flow is wanted");
  return std::nullopt;
}

}  // namespace

void ImportRun(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto start = RequireMoment(row);
  if (!start) return;
  const auto lasted = LastedOf(row, *start);
  if (!lasted) return;
  FlushRun run;
  run.point = *point;
  run.begun = InstantOf(*start, row.context().zone);
  run.lasted = *lasted;
  run.volume = VolumeIn(row, "volume", kRunVolumes);
  const auto method = MethodIn(row);
  run.by = method.value_or(MeasuredBy::kEstimate);
  if (const auto metered = ByMeter(row, *point)) {
    if (run.volume && std::abs(*metered / *run.volume - 1) > 0.05)
      row.Note("the volume written is not what the meter says; the meter's is taken");
    run.volume = metered;
    run.by = MeasuredBy::kMeter;
  }
  run.who = row.Who();
  run.why = row.Known("why");
  run.notes = row.Text("notes");
  if (!start->minute_of_day) row.Note("the time of day is not known; taken as noon");
  const std::string key = point->text() + "\n" + FormatRfc3339(run.begun, std::chrono::seconds(0)) + "\n" +
                          std::to_string(lasted->minutes());
  if (!seen.IsNew(key, "this run", "", row)) return;
  result.flush_runs.push_back(std::move(run));
}

void ImportFlowTest(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto moment = RequireMoment(row);
  if (!moment) return;
  const size_t listed = result.left_out.size();
  const auto flow = row.Measure("flow", kFlows);
  if (!flow) {
    return row.Reject("flow", result.left_out.size() > listed ? result.left_out[listed].reason
                                                              : "there is no flow in this row");
  }
  FlowTest test;
  test.point = *point;
  test.day = moment->day;
  test.minute_of_day = moment->minute_of_day;
  test.flow = Flow::CubicMetresPerSecond(flow->si);
  test.by = MethodIn(row).value_or(MeasuredBy::kEstimate);
  test.accuracy = AccuracyIn(row);
  test.who = row.Who();
  test.notes = row.Text("notes");
  const std::string key = point->text() + "\n" + FormatDate(test.day) + "\n" +
                          std::to_string(test.minute_of_day.value_or(-1)) + "\n" +
                          std::to_string(test.flow.litres_per_second());
  if (!seen.IsNew(key, "this test", "", row)) return;
  result.flow_tests.push_back(std::move(test));
}

}  // namespace lastreach
