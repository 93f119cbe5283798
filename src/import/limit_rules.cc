#include "import/limit_rules.h"

#include <cctype>
#include <cmath>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/day_words.h"
#include "import/month_words.h"

namespace lastreach {
namespace {

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

std::optional<LimitRule> ReadFrostMonths(RowReader& row) {
  const bool two_cells = !row.Known("from").empty();
  const auto stretch =
      ParseMonthStretch(two_cells ? row.Known("from") + " to " + row.Known("to") : row.Known("value"));
  if (!stretch.ok()) {
    row.Reject(two_cells ? "from" : "value", "frost needs its months, as in November to March");
    return std::nullopt;
  }
  FrostMonths frost{stretch->first, stretch->second, {}};
  if (const std::string said = row.Known("discharge"); !said.empty()) {
    const auto to = ReadDischargeTo(said);
    if (!to.ok()) {
      row.Reject("discharge", to.error().message);
      return std::nullopt;
    }
    frost.discharge = *to;
  }
  return LimitRule(frost);
}

std::optional<LimitRule> ReadMostTogether(RowReader& row) {
  const auto number = ParseNumber(row.Known("value"));
  const bool counts =
      number.ok() && (number->rest.empty() || Mentions(Plainly(number->rest), {"device", "at once"}));
  if (!counts || number->value != std::floor(number->value) || number->value < 1 || number->value > 1000) {
    row.Reject("value", "how many devices may be open at once is wanted, 1 or more");
    return std::nullopt;
  }
  return LimitRule(MostTogether{static_cast<int>(number->value)});
}

std::optional<LimitRule> ReadTankLevel(RowReader& row) {
  std::string tank = row.Known("tank");
  if (tank.empty()) tank = row.Known("subject");
  if (tank.empty()) {
    row.Reject("tank", "a level needs the name of its tank");
    return std::nullopt;
  }
  const auto level_m = LimitValue(row, Dimension::kLength);
  if (!level_m) return std::nullopt;
  return LimitRule(LeastTankLevel{tank, Length::Metres(*level_m)});
}

// The first digits of a text; 0 without any.
int FirstNumber(const std::string& text) {
  size_t at = 0;
  while (at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])) == 0) ++at;
  int number = 0;
  for (; at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])) != 0 && number < 1000; ++at)
    number = 10 * number + (text[at] - '0');
  return number;
}

std::optional<LimitRule> ReadDroughtStage(RowReader& row) {
  const std::string stage = row.Known("stage");
  const int number = FirstNumber(stage.empty() ? row.Known("rule") : stage);
  if (number < 1 || number > 20) {
    row.Reject(stage.empty() ? "rule" : "stage", "which drought stage is wanted, as in drought stage 2");
    return std::nullopt;
  }
  const auto volume_m3 = LimitValue(row, Dimension::kVolume);
  if (!volume_m3) return std::nullopt;
  return LimitRule(DroughtStage{number, Volume::CubicMetres(*volume_m3)});
}

std::optional<LimitRule> ReadFlushEvery(RowReader& row) {
  const std::string text = row.Known("value");
  const auto number = ParseNumber(text);
  const double count = number.ok() ? number->value : 1;
  const std::string unit = Plainly(number.ok() && number->rest.empty() ? row.Known("unit")
                                   : number.ok()                       ? number->rest
                                                                       : text);
  // The shortest month but February, so that no duty is missed by a day.
  const double days_each = Mentions(unit, {"month"})                                         ? 30
                           : Mentions(unit, {"week"})                                        ? 7
                           : Mentions(unit, {"day", "dai"}) || (number.ok() && unit.empty()) ? 1
                                                                                             : 0;
  const double days = std::floor(count * days_each);
  if (days < 1 || days > 3660) {
    row.Reject("value", "how many days may lie between two flushes is wanted, as in 30 days");
    return std::nullopt;
  }
  if (days_each == 30) row.Note("a month is taken as 30 days");
  return LimitRule(LeastFlushEvery{static_cast<int>(days)});
}

// The rules that are one number with a unit.
Dimension DimensionOf(RuleKind kind) {
  switch (kind) {
    case RuleKind::kMostFlow:
      return Dimension::kFlow;
    case RuleKind::kLeastResidual:
      return Dimension::kConcentration;
    case RuleKind::kLeastPressure:
      return Dimension::kPressure;
    default:
      return Dimension::kVolume;
  }
}

LimitRule OneNumber(RuleKind kind, double si) {
  switch (kind) {
    case RuleKind::kMostFlow:
      return MostFlow{Flow::CubicMetresPerSecond(si)};
    case RuleKind::kLeastResidual:
      return LeastResidual{Concentration::MilligramsPerLitre(si)};
    case RuleKind::kLeastPressure:
      return LeastPressure{Pressure::MetresOfWater(si)};
    case RuleKind::kMostVolumeARun:
      return MostVolumeARun{Volume::CubicMetres(si)};
    case RuleKind::kMostVolumeBetweenRefills:
      return MostVolumeBetweenRefills{Volume::CubicMetres(si)};
    default:
      return MostVolumeADay{Volume::CubicMetres(si)};
  }
}

}  // namespace

std::optional<LimitRule> ReadLimitRule(RowReader& row, RuleKind kind) {
  switch (kind) {
    case RuleKind::kForbiddenHours:
      return ReadForbiddenHours(row);
    case RuleKind::kFrostMonths:
      return ReadFrostMonths(row);
    case RuleKind::kMostTogether:
      return ReadMostTogether(row);
    case RuleKind::kLeastTankLevel:
      return ReadTankLevel(row);
    case RuleKind::kDroughtStage:
      return ReadDroughtStage(row);
    case RuleKind::kLeastFlushEvery:
      return ReadFlushEvery(row);
    default: {
      const auto si = LimitValue(row, DimensionOf(kind));
      if (!si) return std::nullopt;
      return OneNumber(kind, *si);
    }
  }
}

}  // namespace lastreach
