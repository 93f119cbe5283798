// Readings at an outlet while the water ran: rows of one point and day make one test flush.
#include <algorithm>
#include <array>
#include <cmath>

#include "import/cell_words.h"
#include "import/reading.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

constexpr int kMinutesADay = 24 * 60;
constexpr std::array kResidualFields = {"residual", "free", "total", "monochloramine"};

// Minutes since the opening, parts of them too.
std::optional<double> AfterIn(RowReader& row) {
  const std::string text = row.Known("after");
  if (text.empty()) return std::nullopt;
  const auto number = ParseNumber(text, row.ColumnOf("after")->decimal_mark);
  if (number.ok() && number->value >= 0 && number->value <= kMinutesADay) {
    const std::string unit = Plainly(number->rest);
    if (unit.empty() || unit == "min" || unit == "mins" || unit == "minutes" || unit == "m")
      return number->value;
    if (unit == "s" || unit == "sec" || unit == "seconds") return number->value / 60;
  }
  if (const auto minutes = ParseMinutes(text); minutes.ok()) return *minutes;
  row.LeaveOut("after", "minutes since the opening are wanted");
  return std::nullopt;
}

// What the residual column of that name measures.
Result<Analyte> AnalyteIn(const RowReader& row, std::string_view field) {
  if (field == "free") return Analyte::kFreeChlorine;
  if (field == "total") return Analyte::kTotalChlorine;
  if (field == "monochloramine") return Analyte::kMonochloramine;
  const std::string said = row.Known("analyte");
  if (said.empty()) return row.context().analyte;
  return ReadAnalyte(said);
}

std::vector<PendingResidual> ResidualsIn(RowReader& row) {
  std::vector<PendingResidual> residuals;
  for (const char* field : kResidualFields) {
    const std::string text = row.Known(field);
    if (text.empty()) continue;
    const ColumnChoice& column = *row.ColumnOf(field);
    const auto analyte = AnalyteIn(row, field);
    if (!analyte.ok() || !IsResidual(*analyte)) {
      row.LeaveOut("analyte", "free, total or mono is wanted");
      continue;
    }
    const auto parsed = ParseReading(text, {*analyte, column.unit ? column.unit->factor : 1,
                                            row.context().detection_limit, column.decimal_mark});
    if (!parsed.ok()) row.LeaveOut(field, parsed.error().message);
    if (!parsed.ok()) continue;
    for (const ParsedReading& one : *parsed)
      residuals.push_back({one.analyte, one.residual, one.below_detection, row.Listing(field, "")});
  }
  return residuals;
}

// The first row that tells holds for the flush; another that says otherwise is listed.
template <typename T>
void TakeFirst(RowReader& row, const char* field, const std::optional<T>& found, std::optional<T>& of_flush) {
  if (!found) return;
  if (of_flush && *of_flush != *found) row.LeaveOut(field, "a row of this flush before says otherwise");
  if (!of_flush) of_flush = found;
}

void TakeWords(const std::string& words, std::string& of_flush) {
  if (words.empty() || of_flush.find(words) != std::string::npos) return;
  of_flush += (of_flush.empty() ? "" : "; ") + words;
}

FlushReading ReadingIn(RowReader& row) {
  FlushReading reading;
  if (const auto cell = row.Measure("temperature", kWaterCelsius))
    reading.temperature = Temperature::Celsius(cell->si);
  reading.turbidity_ntu = row.Number("turbidity", 0, 4000);
  if (const auto cell = row.Measure("flow", kFlows)) reading.flow = Flow::CubicMetresPerSecond(cell->si);
  if (const auto cell = row.Measure("pressure", kOutletHeads))
    reading.pressure = Pressure::MetresOfWater(cell->si);
  return reading;
}

// Minute of the day the water was let on: as a row says, else by a reading that has both, else the first
// reading's.
std::optional<double> OpeningOf(const PendingFlush& flush) {
  if (flush.opened) return *flush.opened;
  for (const PendingReading& one : flush.readings) {
    if (one.has_after && one.minute_of_day) return *one.minute_of_day - one.reading.after.minutes();
  }
  std::optional<double> first;
  for (const PendingReading& one : flush.readings) {
    if (one.minute_of_day) first = std::min(first.value_or(kMinutesADay), 1.0 * *one.minute_of_day);
  }
  return first;
}

std::string Minutes(double minute) {
  return FormatTimeOfDay((static_cast<int>(std::floor(minute)) + kMinutesADay) % kMinutesADay);
}

// A flush is of one analyte: that of most of its readings; of two alike the one that comes first.
Analyte AnalyteOfMost(const PendingFlush& flush, Analyte if_none) {
  std::array<int, 5> count = {};
  std::vector<Analyte> in_order;
  for (const PendingReading& one : flush.readings) {
    for (const PendingResidual& residual : one.residuals) {
      if (++count[static_cast<size_t>(residual.analyte)] == 1) in_order.push_back(residual.analyte);
    }
  }
  const auto most = std::max_element(in_order.begin(), in_order.end(), [&](Analyte a, Analyte b) {
    return count[static_cast<size_t>(a)] < count[static_cast<size_t>(b)];
  });
  return most == in_order.end() ? if_none : *most;
}

// Puts in the residual of `analyte` and returns how the others are listed.
std::vector<RejectedRow> TakeResidual(const PendingReading& pending, Analyte analyte, FlushReading& reading) {
  std::vector<RejectedRow> others;
  for (const PendingResidual& one : pending.residuals) {
    if (one.analyte == analyte && !reading.residual) {
      reading.residual = one.residual;
      reading.below_detection = one.below_detection;
    } else {
      others.push_back(one.listing);
      others.back().reason =
          "this flush is of " + std::string(ToText(analyte)) + ", as most of its readings are";
    }
  }
  return others;
}

bool NothingRead(const FlushReading& reading) {
  return !reading.residual && !reading.temperature && !reading.turbidity_ntu && !reading.flow &&
         !reading.pressure;
}

// A row that is not in has no cells left out of it.
void DropListings(int line, ImportResult& result) {
  std::erase_if(result.left_out, [line](const RejectedRow& cell) { return cell.line == line; });
}

// False if a reading is of a time before the opening; a time more than half a day before it is of the day
// after.
bool PlaceReading(const PendingReading& pending, std::optional<double> opening, FlushReading& reading) {
  reading = pending.reading;
  if (pending.has_after) return true;
  double after = *pending.minute_of_day - *opening;
  if (after < -kMinutesADay / 2.0) after += kMinutesADay;
  reading.after = Duration::Minutes(after);
  return after >= 0;
}

}  // namespace

void ImportFlushReading(RowReader& row, SeenRows& seen) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto moment = RequireMoment(row);
  if (!moment) return;
  const auto after = AfterIn(row);
  if (!after && !moment->minute_of_day)
    return row.Reject(row.HasColumn("after") ? "after" : "time",
                      "when it was read is wanted: minutes after opening, or a time");
  PendingReading pending{ReadingIn(row), ResidualsIn(row), after.has_value(), moment->minute_of_day,
                         row.Listing("time", "")};
  if (after) pending.reading.after = Duration::Minutes(*after);
  if (pending.residuals.empty() && NothingRead(pending.reading))
    return row.Reject("", "nothing was read in this row");
  const std::string flush_key = point->text() + "\n" + FormatDate(moment->day);
  const std::string when = after ? "after " + std::to_string(*after) : std::to_string(*moment->minute_of_day);
  if (!seen.IsNew(flush_key + "\n" + when, "a reading of this time", "", row)) return;
  PendingFlush& flush = seen.flushes[flush_key];
  flush.point = *point;
  flush.day = moment->day;
  TakeFirst(row, "opened", Optional(row, "opened", ParseClock), flush.opened);
  std::optional<Concentration> upstream;
  if (const auto cell = row.Measure("upstream", kResiduals))
    upstream = Concentration::MilligramsPerLitre(cell->si);
  TakeFirst(row, "upstream", upstream, flush.upstream);
  TakeWords(row.Known("who"), flush.who);
  TakeWords(row.Text("notes"), flush.notes);
  flush.readings.push_back(std::move(pending));
}

void FinishTestFlushes(const SeenRows& seen, const ImportContext& context, ImportResult& result) {
  for (const auto& [key, pending] : seen.flushes) {
    const auto opening = OpeningOf(pending);
    const std::string what = pending.point.text() + " on " + FormatDate(pending.day);
    if (!opening) result.notes.push_back(what + ": the time of opening is not known; taken as noon");
    if (opening && !pending.opened)
      result.notes.push_back(what + ": taken as opened at " + Minutes(*opening));
    TestFlush flush;
    flush.point = pending.point;
    const double minute = opening.value_or(12 * 60);
    flush.begun = context.zone.FirstInstant(Midnight(pending.day) +
                                            std::chrono::minutes(static_cast<int>(std::floor(minute))));
    flush.analyte = AnalyteOfMost(pending, context.analyte);
    flush.upstream = pending.upstream;
    flush.who = pending.who.empty() ? context.who : pending.who;
    flush.notes = pending.notes;
    for (const PendingReading& one : pending.readings) {
      FlushReading reading;
      const bool in_time = PlaceReading(one, opening, reading);
      const std::vector<RejectedRow> others = TakeResidual(one, flush.analyte, reading);
      if (in_time && !NothingRead(reading)) {
        flush.readings.push_back(reading);
        result.left_out.insert(result.left_out.end(), others.begin(), others.end());
        continue;
      }
      --result.rows_in;
      result.rejected.push_back(in_time ? others.front() : one.listing);
      if (!in_time) result.rejected.back().reason = "this is before the opening at " + Minutes(*opening);
      DropListings(one.listing.line, result);
    }
    std::stable_sort(flush.readings.begin(), flush.readings.end(),
                     [](const FlushReading& a, const FlushReading& b) { return a.after < b.after; });
    if (!flush.readings.empty()) result.test_flushes.push_back(std::move(flush));
  }
}

}  // namespace lastreach
