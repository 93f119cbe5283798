// What each type of timer can be keyed to, supply zones, and limits.
#include <initializer_list>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/day_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// A cell that does not parse is left out and listed.
template <typename T>
std::optional<T> Optional(RowReader& row, const char* field, Result<T> (*parse)(std::string_view)) {
  const std::string text = row.Known(field);
  if (text.empty()) return std::nullopt;
  Result<T> value = parse(text);
  if (value.ok()) return std::move(*value);
  row.LeaveOut(field, value.error().message);
  return std::nullopt;
}

std::optional<int> Whole(RowReader& row, const char* field) {
  const auto count = row.Count(field, 100000);
  if (!count) return std::nullopt;
  return count->value;
}

bool Mentions(const std::string& plain, std::initializer_list<std::string_view> stems) {
  for (const std::string_view stem : stems) {
    if (plain.find(stem) != std::string::npos) return true;
  }
  return false;
}

Result<Overlap> ReadOverlap(std::string_view text) {
  const std::string plain = Plainly(text);
  if (Mentions(plain, {"queue", "wait", "stack", "after"})) return Overlap::kQueue;
  if (Mentions(plain, {"merge", "join", "combine"})) return Overlap::kMerge;
  if (Mentions(plain, {"drop", "lost", "skip", "ignore"})) return Overlap::kDrop;
  if (Mentions(plain, {"restart", "cut", "replace", "starts over"})) return Overlap::kRestart;
  if (Mentions(plain, {"know", "unsure", "not sure", "untested"})) return Overlap::kUnknown;
  return BadInput("overlap is queue, merge, drop, restart or don't know", {"", {}, "", std::string(text)});
}

Result<PercentScope> ReadPercentScope(std::string_view text) {
  const std::string plain = Plainly(text);
  if (Mentions(plain, {"each", "per program"})) return PercentScope::kEach;
  if (Mentions(plain, {"none", "no"})) return PercentScope::kNone;
  if (Mentions(plain, {"all", "whole", "one"})) return PercentScope::kAll;
  return BadInput("the percentage is for all, for each or none", {"", {}, "", std::string(text)});
}

Result<std::vector<DayPatternKind>> ReadDayPatterns(std::string_view text) {
  const std::string plain = Plainly(text);
  std::vector<DayPatternKind> kinds;
  if (Mentions(plain, {"week", "calendar", "mon"})) kinds.push_back(DayPatternKind::kWeekdays);
  if (Mentions(plain, {"odd"})) kinds.push_back(DayPatternKind::kOdd);
  if (Mentions(plain, {"even"})) kinds.push_back(DayPatternKind::kEven);
  if (Mentions(plain, {"every n", "interval", "cyclic", "every"})) kinds.push_back(DayPatternKind::kEveryN);
  if (kinds.empty())
    return BadInput("day patterns are weekdays, odd, even and every n", {"", {}, "", std::string(text)});
  return kinds;
}

enum class RuleKind { kForbiddenHours, kMostFlow, kMostVolumeARun, kMostVolumeADay, kLeastResidual };

Result<RuleKind> ReadRuleKind(std::string_view text) {
  const std::string plain = Plainly(text);
  if (Mentions(plain, {"forbidden", "hours", "no flush", "not between", "quiet", "not from"}))
    return RuleKind::kForbiddenHours;
  if (Mentions(plain, {"residual", "chlorine"})) return RuleKind::kLeastResidual;
  if (Mentions(plain, {"volume", "gallons", "water"})) {
    if (Mentions(plain, {"run"})) return RuleKind::kMostVolumeARun;
    if (Mentions(plain, {"day", "daily"})) return RuleKind::kMostVolumeADay;
  }
  if (Mentions(plain, {"flow", "rate"})) return RuleKind::kMostFlow;
  return BadInput(
      "a limit is forbidden hours, most flow, most volume a run, most volume a day or least residual",
      {"", {}, "", std::string(text)});
}

// The value of a limit in SI (mg/L for a residual); the row is rejected if it has none or no unit.
std::optional<double> LimitValue(RowReader& row, Dimension dimension) {
  const std::string text = row.Known("value");
  const auto number = ParseNumber(text);
  if (!number.ok() || number->value < 0) {
    row.Reject("value", "a limit of this kind needs a number");
    return std::nullopt;
  }
  const std::string said = number->rest.empty() ? row.Known("unit") : number->rest;
  const auto unit =
      FindUnit(dimension, said.empty() && dimension == Dimension::kConcentration ? "mg/L" : said);
  if (!unit) {
    row.Reject(number->rest.empty() ? "unit" : "value", "a unit is wanted: " + UnitNames(dimension));
    return std::nullopt;
  }
  return number->value * unit->factor;
}

// "07:15-09:00" or "7:15 am to 9 am" in one cell, where there are no columns for the two.
std::pair<std::string, std::string> SplitHours(const std::string& text) {
  for (const std::string_view between : {" to ", " until ", "\u2013", "-"}) {
    const size_t at = text.find(between);
    if (at != std::string::npos)
      return {Trimmed(text.substr(0, at)), Trimmed(text.substr(at + between.size()))};
  }
  return {text, ""};
}

std::optional<LimitRule> ReadForbiddenHours(RowReader& row) {
  auto [begin, end] = SplitHours(row.Known("value"));
  if (!row.Known("from").empty()) begin = row.Known("from");
  if (!row.Known("to").empty()) end = row.Known("to");
  const auto from = ParseClock(begin);
  const auto to = ParseClock(end);
  if (!from.ok() || !to.ok()) {
    row.Reject(from.ok() ? "to" : "from", "forbidden hours need a time to begin and one to end");
    return std::nullopt;
  }
  ForbiddenHours hours{*from, *to, kEveryWeekday};
  if (const std::string days = row.Known("days"); !days.empty()) {
    const auto pattern = ParseDays(days);
    if (!pattern.ok() || !std::holds_alternative<Weekdays>(*pattern)) {
      row.Reject("days", "forbidden hours need days of the week");
      return std::nullopt;
    }
    hours.days = std::get<Weekdays>(*pattern);
  }
  return LimitRule(hours);
}

std::optional<LimitRule> ReadRule(RowReader& row) {
  const auto kind = ReadRuleKind(row.Known("rule"));
  if (!kind.ok()) {
    row.Reject("rule", kind.error().message);
    return std::nullopt;
  }
  if (*kind == RuleKind::kForbiddenHours) return ReadForbiddenHours(row);
  const Dimension dimension = *kind == RuleKind::kMostFlow        ? Dimension::kFlow
                              : *kind == RuleKind::kLeastResidual ? Dimension::kConcentration
                                                                  : Dimension::kVolume;
  const auto value = LimitValue(row, dimension);
  if (!value) return std::nullopt;
  if (*kind == RuleKind::kMostFlow) return LimitRule(MostFlow{Flow::CubicMetresPerSecond(*value)});
  if (*kind == RuleKind::kLeastResidual)
    return LimitRule(LeastResidual{Concentration::MilligramsPerLitre(*value)});
  if (*kind == RuleKind::kMostVolumeARun) return LimitRule(MostVolumeARun{Volume::CubicMetres(*value)});
  return LimitRule(MostVolumeADay{Volume::CubicMetres(*value)});
}

// Whom the limit binds: as the scope says; without a scope the subject tells. False, and the row rejected, if
// neither can be made out.
bool ReadSubject(RowReader& row, const SeenRows& seen, Limit& limit) {
  limit.subject = row.Known("subject");
  const std::string scope = Plainly(row.Known("scope"));
  const auto point = seen.points.FindByCode(limit.subject);
  if (Mentions(scope, {"point", "device", "flusher"}) || (scope.empty() && point)) {
    if (!point) {
      row.Reject("subject", "the project has no such flush point");
      return false;
    }
    limit.scope = LimitScope::kPoint;
    limit.subject = point->code.text();
  } else if (Mentions(scope, {"zone", "area"}) || (scope.empty() && !limit.subject.empty())) {
    limit.scope = LimitScope::kZone;
    if (limit.subject.empty()) {
      row.Reject("subject", "a limit of a zone names the zone");
      return false;
    }
  } else if (scope.empty() || Mentions(scope, {"system", "all", "everywhere", "whole"})) {
    limit.scope = LimitScope::kSystem;
    limit.subject.clear();
  } else {
    row.Reject("scope", "a limit is for the system, a zone or a point");
    return false;
  }
  return true;
}

}  // namespace

void ImportController(RowReader& row, SeenRows& seen, ImportResult& result) {
  ControllerForm form;
  form.name = row.Known("name");
  if (form.name.empty()) return row.Reject("name", "the name is missing");
  if (!seen.IsNew(form.name, "the form", "name", row)) return;
  form.programmes = Whole(row, "programmes");
  form.starts_per_programme = Whole(row, "starts_per_programme");
  form.start_step_minutes = Optional(row, "start_step_minutes", ParseMinutes);
  form.minutes_min = Optional(row, "minutes_min", ParseMinutes);
  form.minutes_max = Optional(row, "minutes_max", ParseMinutes);
  form.minutes_step = Optional(row, "minutes_step", ParseMinutes);
  form.percent_min = Optional(row, "percent_min", ParsePercent);
  form.percent_max = Optional(row, "percent_max", ParsePercent);
  form.percent_step = Optional(row, "percent_step", ParsePercent);
  form.percent_scope = Optional(row, "percent_scope", ReadPercentScope);
  form.day_patterns = Optional(row, "day_patterns", ReadDayPatterns);
  form.odd_skips_31st = Optional(row, "odd_skips_31st", ParseYesNo);
  form.every_n_max = Whole(row, "every_n_max");
  form.follows_clock_change = Optional(row, "follows_clock_change", ParseYesNo);
  form.overlap = Optional(row, "overlap", ReadOverlap).value_or(Overlap::kUnknown);
  if (const Status sound = Validate(form); !sound.ok()) {
    const std::string item = sound.error().place.column;
    return row.Reject(item.substr(item.find('.') + 1), sound.error().message);
  }
  result.forms.push_back(std::move(form));
}

void ImportLimit(RowReader& row, SeenRows& seen, ImportResult& result) {
  Limit limit;
  limit.source = row.Known("source");
  if (limit.source.empty())
    return row.Reject("source", "a limit needs its source: who says so, or which paper");
  if (!ReadSubject(row, seen, limit)) return;
  const auto rule = ReadRule(row);
  if (!rule) return;
  limit.rule = *rule;
  const std::string key = std::string(ToText(limit.scope)) + "\n" + limit.subject + "\n" +
                          Describe(limit.rule) + "\n" + limit.source;
  if (!seen.IsNew(key, "the limit", "rule", row)) return;
  result.limits.push_back(std::move(limit));
}

void ImportZone(RowReader& row, SeenRows& seen, ImportResult& result) {
  SupplyZone zone;
  zone.name = row.Known("name");
  if (zone.name.empty()) return row.Reject("name", "the name is missing");
  if (!seen.IsNew(zone.name, "the zone", "name", row)) return;
  zone.disinfectant = Optional(row, "disinfectant", ReadDisinfectant).value_or(Disinfectant::kFreeChlorine);
  zone.target_residual = As(row.Measure("target_residual", kResiduals), Concentration::MilligramsPerLitre);
  zone.upstream_residual =
      As(row.Measure("upstream_residual", kResiduals), Concentration::MilligramsPerLitre);
  if (const auto bulk = row.Number("bulk", 0, 100))
    zone.bulk_per_day_at_20c = Sourced<double>{*bulk, row.OriginOf(false, "")};
  if (const auto wall = row.Number("wall", 0, 100))
    zone.wall_m_per_day = Sourced<double>{*wall, row.OriginOf(false, "")};
  zone.worst_week = As(row.Measure("worst_week", kWaterCelsius), Temperature::Celsius);
  zone.demand_per_service = As(row.Measure("demand_per_service", kDemands), Flow::CubicMetresPerSecond);
  result.zones.push_back(std::move(zone));
}

void ImportSettings(RowReader& row, SeenRows& seen, ImportResult& result) {
  const auto point = RequirePoint(row, seen);
  if (!point) return;
  const auto when = RequireInstant(row);
  if (!when) return;
  SettingsRecord record;
  record.point = *point;
  record.recorded = *when;
  record.kind = SettingsKind::kAsFound;
  if (const std::string kind = Plainly(row.Known("kind")); !kind.empty()) {
    if (Mentions(kind, {"plan"})) {
      record.kind = SettingsKind::kPlanned;
    } else if (Mentions(kind, {"left", "keyed", "set"})) {
      record.kind = SettingsKind::kAsLeft;
    } else if (!Mentions(kind, {"found"})) {
      return row.Reject("kind", "the kind of a settings record is planned, as-left or as-found");
    }
  }
  const size_t listed = result.left_out.size();
  auto settings = ReadTimer(row);
  if (!settings) {
    const bool at_fault = result.left_out.size() > listed;
    const RejectedRow fault = at_fault ? result.left_out[listed] : RejectedRow();
    return row.RejectAs(at_fault ? fault
                                 : RejectedRow{row.line(), "", "", "there are no settings in this row", ""});
  }
  record.settings = std::move(*settings);
  record.clock_fast_minutes = Optional(row, "clock", ParseClockOffset);
  if (!row.Known("revert_by").empty()) {
    const auto day = row.AnyDay("revert_by");
    if (day.ok()) record.revert_by = day->day;
    if (!day.ok()) row.LeaveOut("revert_by", day.error().message);
  }
  record.who = row.Who();
  record.why = row.Known("why");
  const std::string key = point->text() + "\n" + std::string(ToText(record.kind)) + "\n" +
                          FormatRfc3339(*when, std::chrono::seconds(0));
  if (!seen.IsNew(key, "a record of this kind and time", "", row)) return;
  result.settings.push_back(std::move(record));
}

}  // namespace lastreach
