#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/day_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// Reads one cell with `parse`; on a fault lists it and clears `sound`.
template <typename T>
std::optional<T> Cell(RowReader& row, const std::string& field, Result<T> (*parse)(std::string_view),
                      bool& sound) {
  const std::string text = row.Known(field);
  if (text.empty()) return std::nullopt;
  Result<T> value = parse(text);
  if (value.ok()) return std::move(*value);
  row.LeaveOut(field, value.error().message + "; the settings of this row were left out");
  sound = false;
  return std::nullopt;
}

void ReadProgramme(RowReader& row, int n, TimerSettings& settings, bool& sound) {
  const std::string name = "p" + std::to_string(n) + "_";
  auto starts = Cell(row, name + "starts", ParseClocks, sound);
  for (const char* further : {"start_2", "start_3", "start_4"}) {
    const auto more = Cell(row, name + further, ParseClocks, sound);
    if (!more) continue;
    if (!starts) starts.emplace();
    starts->insert(starts->end(), more->begin(), more->end());
  }
  const auto minutes = Cell(row, name + "minutes", ParseMinutes, sound);
  const auto days = Cell(row, name + "days", ParseDays, sound);
  const auto percent = Cell(row, name + "percent", ParsePercent, sound);
  if (!sound || (!starts && !minutes && !days)) return;
  // A programme without starts does nothing, whatever its minutes.
  if (!starts) return;
  if (!minutes || *minutes == 0) {
    row.LeaveOut(name + "starts",
                 "the programme has starts but no minutes; the settings of this row were left out");
    sound = false;
    return;
  }
  if (!days) row.Note("programme " + std::to_string(n) + " has no days; taken as every day");
  settings.programmes.push_back({*starts, *minutes, days.value_or(kEveryWeekday), percent});
}

}  // namespace

bool HasTimerCells(const RowReader& row) {
  for (int n = 1; n <= kMostProgrammes; ++n) {
    const std::string name = "p" + std::to_string(n) + "_";
    if (!row.Known(name + "starts").empty() || !row.Known(name + "minutes").empty()) return true;
  }
  return false;
}

std::optional<TimerSettings> ReadTimer(RowReader& row) {
  bool sound = true;
  TimerSettings settings;
  const auto on = Cell(row, "state", ParseOnOff, sound);
  const auto percent = Cell(row, "percent", ParsePercent, sound);
  for (int n = 1; n <= kMostProgrammes; ++n) ReadProgramme(row, n, settings, sound);
  if (!sound) return std::nullopt;
  const bool timer_off = on.has_value() && !*on;
  if (settings.programmes.empty() && !timer_off) return std::nullopt;
  settings.on = on.value_or(true);
  settings.percent = percent.value_or(100);
  return settings;
}

}  // namespace lastreach
