// What each type of timer can be keyed to.
#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

std::optional<int> Whole(RowReader& row, const char* field) {
  const auto count = row.Count(field, 100000);
  if (!count) return std::nullopt;
  return count->value;
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
  if (Status sound = Validate(form); !sound.ok()) {
    const std::string item = sound.error().place.column;
    return row.Reject(item.substr(item.find('.') + 1), sound.error().message);
  }
  result.forms.push_back(std::move(form));
}

}  // namespace lastreach
