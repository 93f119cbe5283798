// Which kind of limit the words mean.
#include "import/cell_words.h"
#include "import/limit_rules.h"

namespace lastreach {

Result<RuleKind> ReadRuleKind(std::string_view text) {
  const std::string plain = Plainly(text);
  // Before the volumes, hours and flows that their words may stand with.
  if (Mentions(plain, {"drought"})) return RuleKind::kDroughtStage;
  if (Mentions(plain, {"refill"})) return RuleKind::kMostVolumeBetweenRefills;
  if (Mentions(plain, {"frost", "freez", "icing", "not in months"})) return RuleKind::kFrostMonths;
  if (Mentions(plain, {"at least every", "flush every", "flushed every", "least flush", "how often"}))
    return RuleKind::kLeastFlushEvery;
  if (Mentions(plain, {"at once", "open together", "most together", "run together", "same time"}))
    return RuleKind::kMostTogether;
  if (Mentions(plain, {"forbidden", "hours", "no flush", "not between", "quiet", "not from"}))
    return RuleKind::kForbiddenHours;
  if (Mentions(plain, {"residual", "chlorine"})) return RuleKind::kLeastResidual;
  if (Mentions(plain, {"pressure"})) return RuleKind::kLeastPressure;
  if (Mentions(plain, {"volume", "gallons", "water"})) {
    if (Mentions(plain, {"run"})) return RuleKind::kMostVolumeARun;
    if (Mentions(plain, {"day", "daily"})) return RuleKind::kMostVolumeADay;
  }
  if (Mentions(plain, {"flow", "rate"})) return RuleKind::kMostFlow;
  if (Mentions(plain, {"tank", "level"})) return RuleKind::kLeastTankLevel;
  return BadInput(
      "a limit is forbidden hours, frost months, most flow, most volume a run, most volume a day, most "
      "volume "
      "between refills, least residual, least pressure, least tank level, most devices at once, a drought "
      "stage, or flush at least every",
      {"", {}, "", std::string(text)});
}

}  // namespace lastreach
