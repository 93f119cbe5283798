#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace lastreach {

// What a timer does when a start falls due while a run is still on. The words are stored: never change them.
enum class Overlap {
  kQueue,    // the new run waits and runs whole when the valve is free
  kMerge,    // the runs become one: the union of their times
  kDrop,     // the new start is lost
  kRestart,  // the run that is on ends, the new one begins
  kUnknown,  // nobody has tried; plan so that it cannot matter
};

enum class DayPatternKind { kWeekdays, kOdd, kEven, kEveryN };

// Over which programmes one percentage applies.
enum class PercentScope {
  kAll,   // one percentage for the whole timer
  kEach,  // one for each programme
  kNone,  // the timer has none
};

// What one type of timer can be keyed to: a form the operator fills in beside the open lid. An empty item
// means "don't know", and is then planned for so that it cannot hurt. The product ships no filled-in form.
struct ControllerForm {
  std::string name;
  std::optional<int> programmes;
  std::optional<int> starts_per_programme;
  std::optional<int> start_step_minutes;
  std::optional<int> minutes_min;
  std::optional<int> minutes_max;
  std::optional<int> minutes_step;
  std::optional<int> percent_min;
  std::optional<int> percent_max;
  std::optional<int> percent_step;
  std::optional<PercentScope> percent_scope;
  std::optional<std::vector<DayPatternKind>> day_patterns;
  std::optional<bool> odd_skips_31st;
  std::optional<int> every_n_max;
  std::optional<bool> follows_clock_change;
  Overlap overlap = Overlap::kUnknown;

  friend bool operator==(const ControllerForm&, const ControllerForm&) = default;
};

std::string_view ToText(Overlap overlap);      // "queue", "merge", "drop", "restart", "unknown"
std::string_view ToText(DayPatternKind kind);  // "weekdays", "odd", "even", "every-n"
std::string_view ToText(PercentScope scope);   // "all", "each", "none"
Result<Overlap> ParseOverlap(std::string_view text);
Result<DayPatternKind> ParseDayPatternKind(std::string_view text);
Result<PercentScope> ParsePercentScope(std::string_view text);

// ERROR: kBadInput, naming the item, unless every item that is filled in makes sense by itself and with its
// neighbours (at least one programme, min <= max, steps of at least 1, and so on).
Status Validate(const ControllerForm& form);

}  // namespace lastreach
