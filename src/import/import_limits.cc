// Limits of the user.
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/day_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

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
  for (const std::string_view between : {" to ", " until ", "\xE2\x80\x93", "-"}) {
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

void ImportLimit(RowReader& row, SeenRows& seen, ImportResult& result) {
  Limit limit;
  limit.source = row.Known("source");
  if (limit.source.empty())
    return row.Reject("source", "a limit needs its source: who says so, or which paper");
  if (!ReadSubject(row, seen, limit)) return;
  const auto rule = ReadRule(row);
  if (!rule) return;
  limit.rule = *rule;
  // By what is written: a description has too few digits to tell two limits apart.
  std::string key = std::string(ToText(limit.scope)) + "\n" + limit.subject + "\n" + limit.source;
  for (const char* field : {"rule", "value", "unit", "from", "to", "days"}) key += "\n" + row.Known(field);
  if (!seen.IsNew(key, "the limit", "rule", row)) return;
  result.limits.push_back(std::move(limit));
}

}  // namespace lastreach
