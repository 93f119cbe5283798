// Samples: one point, one moment, one or more numbers.
#include <array>
#include <cstdio>

#include "import/cell_words.h"
#include "import/local_times.h"
#include "import/reading.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

std::optional<PointCode> FindPoint(RowReader& row, const SeenRows& seen) {
  const std::string text = row.Known("code");
  if (text.empty()) {
    row.Reject("code", "the flush point is missing");
    return std::nullopt;
  }
  if (IsSummaryWord(text)) {
    row.Reject("code", "this looks like a line that sums up the others");
    return std::nullopt;
  }
  const auto found = seen.points.Find(text);
  if (!found.ok()) {
    row.Reject("code", found.error().message);
    return std::nullopt;
  }
  if (!found->note.empty()) row.Note(found->note);
  return found->code;
}

// What a bare number in that column measures. None, and the row rejected, if the row says that it measures
// something else: a turbidity must not come in as chlorine.
std::optional<Analyte> AnalyteOf(RowReader& row, std::string_view field) {
  if (field == "free") return Analyte::kFreeChlorine;
  if (field == "total") return Analyte::kTotalChlorine;
  if (field == "monochloramine") return Analyte::kMonochloramine;
  if (field == "ammonia") return Analyte::kFreeAmmonia;
  if (field == "nitrite") return Analyte::kNitrite;
  const std::string said = row.Known("analyte");
  if (said.empty()) return row.context().analyte;
  const auto analyte = ReadAnalyte(said);
  if (analyte.ok()) return *analyte;
  row.Reject("analyte", analyte.error().message);
  return std::nullopt;
}

constexpr std::array kReadingFields = {"residual", "free", "total", "monochloramine", "ammonia", "nitrite"};

// Laboratories give ammonia and nitrite as the molecule too; here they are as the nitrogen in it.
// SOURCE: standard atomic weights, IUPAC: N 14.007, H 1.008, O 15.999.
double NitrogenShare(const std::string& heading) {
  constexpr double kN = 14.007, kH = 1.008, kO = 15.999;
  const std::string plain = Plainly(heading);
  if (Mentions(plain, {"as no2"})) return kN / (kN + 2 * kO);
  if (Mentions(plain, {"as nh4"})) return kN / (kN + 4 * kH);
  if (Mentions(plain, {"as nh3"})) return kN / (kN + 3 * kH);
  return 1;
}

// Fewer digits than a double has: 0.4 is the same reading by whichever unit it came in.
std::string Digits(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.9g", value);
  return text;
}

std::string MomentKey(const PointCode& point, Date day, std::optional<int> minute) {
  return point.text() + "\n" + FormatDate(day) + "\n" + std::to_string(minute.value_or(-1)) + "\n";
}

struct WrittenReading {
  ParsedReading reading;
  std::string original;
};

std::vector<WrittenReading> ReadReadings(RowReader& row) {
  std::vector<WrittenReading> readings;
  std::vector<std::pair<std::string, std::string>> faults;
  for (const char* field : kReadingFields) {
    const std::string text = row.Known(field);
    if (text.empty()) continue;
    const ColumnChoice& column = *row.ColumnOf(field);
    const auto analyte = AnalyteOf(row, field);
    if (!analyte) return {};
    const double share = IsResidual(*analyte) ? 1 : NitrogenShare(column.heading);
    const auto parsed = ParseReading(text, {*analyte, share * (column.unit ? column.unit->factor : 1),
                                            row.context().detection_limit, column.decimal_mark});
    if (!parsed.ok()) {
      faults.emplace_back(field, parsed.error().message);
      continue;
    }
    for (const ParsedReading& reading : *parsed) readings.push_back({reading, row.Written(field)});
  }
  // Listed once: as the reason for the row if it has nothing else, or else as a cell left out.
  if (!readings.empty()) {
    for (const auto& [field, reason] : faults) row.LeaveOut(field, reason);
  } else if (!faults.empty()) {
    row.Reject(faults[0].first, faults[0].second);
  } else {
    for (const char* field : kReadingFields) {
      if (row.HasColumn(field)) {
        row.Reject(field, "there is no residual in this row");
        break;
      }
    }
  }
  return readings;
}

}  // namespace

std::string KeyOf(const Sample& sample) {
  return MomentKey(sample.point, sample.day, sample.minute_of_day) + std::string(ToText(sample.analyte)) +
         (sample.below_detection ? "\n<" : "\n") + Digits(sample.residual.milligrams_per_litre());
}

std::string KeyOf(const MeterRead& read) {
  return MomentKey(read.point, read.day, read.minute_of_day) + Digits(read.total.cubic_metres());
}

void ImportSample(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = FindPoint(row, seen);
  if (!point) return;
  const auto moment = RequireMoment(row);
  if (!moment) return;
  const std::vector<WrittenReading> readings = ReadReadings(row);
  if (row.rejected()) return;
  std::optional<Temperature> temperature;
  if (const auto cell = row.Measure("temperature", kWaterCelsius))
    temperature = Temperature::Celsius(cell->si);
  std::vector<Sample> fresh;
  int first_line = 0;
  for (const WrittenReading& written : readings) {
    Sample sample;
    sample.point = *point;
    sample.day = moment->day;
    sample.minute_of_day = moment->minute_of_day;
    sample.analyte = written.reading.analyte;
    sample.residual = written.reading.residual;
    sample.below_detection = written.reading.below_detection;
    sample.original = written.original;
    sample.temperature = temperature;
    sample.who = row.Who();
    sample.notes = row.Text("notes");
    if (!written.reading.note.empty())
      sample.notes += (sample.notes.empty() ? "" : "; ") + written.reading.note;
    const auto [there, added] = seen.line_of.emplace(KeyOf(sample), row.line());
    if (added) fresh.push_back(std::move(sample));
    if (!added) first_line = there->second;
  }
  if (fresh.empty()) return row.Reject("", SeenRows::Before("this reading", first_line));
  result.samples.insert(result.samples.end(), fresh.begin(), fresh.end());
}

std::optional<PointCode> RequirePoint(RowReader& row, const SeenRows& seen) { return FindPoint(row, seen); }

// The time of day in a cell of its own or behind the date. A bad one is left out; one that clocks never
// showed makes the whole moment doubtful, and the row is rejected.
std::optional<RowMoment> RequireMoment(RowReader& row) {
  const auto day = row.Day("date");
  if (!day.ok()) {
    row.Reject("date", day.error().message);
    return std::nullopt;
  }
  if (!day->note.empty()) row.Note(day->note);
  RowMoment moment{day->day, {}};
  const std::string own = row.Known("time");
  const std::string field = own.empty() ? "date" : "time";
  const std::string written = own.empty() ? day->time : own;
  if (written.empty()) return moment;
  auto minute = ParseClock(written);
  if (!minute.ok()) {
    row.LeaveOut(field, minute.error().message);
    return moment;
  }
  // A spreadsheet shows a date without a time as midnight.
  if (own.empty() && *minute == 0) return moment;
  moment.minute_of_day = *minute;
  switch (KindOfLocalTime(row.context().zone, Midnight(day->day) + std::chrono::minutes(*minute))) {
    case LocalTimeKind::kOnce:
      return moment;
    case LocalTimeKind::kTwice:
      row.Note("clocks showed " + FormatTimeOfDay(*minute) + " twice that day");
      return moment;
    case LocalTimeKind::kNever:
      row.Reject(field, "clocks never showed that time: they went forward over it");
      return std::nullopt;
  }
  return moment;
}

Instant InstantOf(const RowMoment& moment, const Zone& zone) {
  return zone.FirstInstant(Midnight(moment.day) +
                           std::chrono::minutes(moment.minute_of_day.value_or(12 * 60)));
}

std::optional<Instant> RequireInstant(RowReader& row) {
  const auto moment = RequireMoment(row);
  if (!moment) return std::nullopt;
  return InstantOf(*moment, row.context().zone);
}

}  // namespace lastreach
