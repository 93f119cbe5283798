#include "calendar/controller_form.h"

#include <utility>

#include "core/words.h"

namespace lastreach {
namespace {

Error BadItem(const std::string& item, int value, const std::string& message) {
  return BadInput(message, {"", {}, "controller." + item, std::to_string(value)});
}

Status AtLeast(const std::string& item, const std::optional<int>& value, int least) {
  if (value && *value < least) return BadItem(item, *value, "must be at least " + std::to_string(least));
  return Ok();
}

}  // namespace

std::string_view ToText(Overlap overlap) {
  switch (overlap) {
    case Overlap::kQueue:
      return "queue";
    case Overlap::kMerge:
      return "merge";
    case Overlap::kDrop:
      return "drop";
    case Overlap::kRestart:
      return "restart";
    case Overlap::kUnknown:
      return "unknown";
  }
  return "unknown";
}

std::string_view ToText(DayPatternKind kind) {
  switch (kind) {
    case DayPatternKind::kWeekdays:
      return "weekdays";
    case DayPatternKind::kOdd:
      return "odd";
    case DayPatternKind::kEven:
      return "even";
    case DayPatternKind::kEveryN:
      return "every-n";
  }
  return "weekdays";
}

std::string_view ToText(PercentScope scope) {
  switch (scope) {
    case PercentScope::kAll:
      return "all";
    case PercentScope::kEach:
      return "each";
    case PercentScope::kNone:
      return "none";
  }
  return "all";
}

Result<Overlap> ParseOverlap(std::string_view text) {
  constexpr Overlap kAll[] = {Overlap::kQueue, Overlap::kMerge, Overlap::kDrop, Overlap::kRestart,
                              Overlap::kUnknown};
  return ParseByWord(text, kAll, "overlap behaviour");
}

Result<DayPatternKind> ParseDayPatternKind(std::string_view text) {
  constexpr DayPatternKind kAll[] = {DayPatternKind::kWeekdays, DayPatternKind::kOdd, DayPatternKind::kEven,
                                     DayPatternKind::kEveryN};
  return ParseByWord(text, kAll, "a day pattern");
}

Result<PercentScope> ParsePercentScope(std::string_view text) {
  constexpr PercentScope kAll[] = {PercentScope::kAll, PercentScope::kEach, PercentScope::kNone};
  return ParseByWord(text, kAll, "the scope of the percentage");
}

Status Validate(const ControllerForm& form) {
  using Item = std::pair<const char*, const std::optional<int>*>;
  for (const auto& [name, value] : {Item{"programmes", &form.programmes},
                                    {"starts_per_programme", &form.starts_per_programme},
                                    {"start_step_minutes", &form.start_step_minutes},
                                    {"minutes_max", &form.minutes_max},
                                    {"minutes_step", &form.minutes_step},
                                    {"percent_max", &form.percent_max},
                                    {"percent_step", &form.percent_step},
                                    {"every_n_max", &form.every_n_max}}) {
    if (const Status status = AtLeast(name, *value, 1); !status.ok()) return status;
  }
  for (const auto& [name, value] :
       {Item{"minutes_min", &form.minutes_min}, {"percent_min", &form.percent_min}}) {
    if (const Status status = AtLeast(name, *value, 0); !status.ok()) return status;
  }
  if (form.minutes_min && form.minutes_max && *form.minutes_min > *form.minutes_max) {
    return BadItem("minutes_min", *form.minutes_min, "is more than minutes_max");
  }
  if (form.percent_min && form.percent_max && *form.percent_min > *form.percent_max) {
    return BadItem("percent_min", *form.percent_min, "is more than percent_max");
  }
  if (form.day_patterns && form.day_patterns->empty()) {
    return BadInput("a timer has at least one day pattern; leave the item out if you don't know",
                    {"", {}, "controller.day_patterns", "[]"});
  }
  return Ok();
}

}  // namespace lastreach
