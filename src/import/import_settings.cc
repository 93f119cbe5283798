// Settings records in sheets of their own.
#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/row_imports.h"

namespace lastreach {

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
