// Remembered columns, the import log, and plans.
#include "store/project_impl.h"

namespace lastreach {
namespace {

// The same set of headings in another order is the same kind of sheet.
std::string KeyOf(std::vector<std::string> headings) {
  std::sort(headings.begin(), headings.end());
  std::string key;
  for (const std::string& heading : headings) key += heading + "\n";
  return key;
}

Result<ChosenColumn> ReadColumn(const Row& row) {
  return ChosenColumn{row.Text("field"), row.Text("heading"), row.Text("unit")};
}

Result<ImportEntry> ReadImport(const Row& row) {
  const auto when = ReadTime(row, "imported");
  if (!when.ok()) return when.error();
  return ImportEntry{ImportId{row.Int("id")},
                     row.Text("file"),
                     row.Text("kind"),
                     *when,
                     row.Text("who"),
                     static_cast<int>(row.Int("rows_in")),
                     static_cast<int>(row.Int("rows_rejected"))};
}

Result<RejectedRow> ReadRejected(const Row& row) {
  return RejectedRow{static_cast<int>(row.Int("line")), row.Text("heading"), row.Text("value"),
                     row.Text("reason"), row.Text("original")};
}

Result<StoredPlan> ReadPlan(const Row& row) {
  const auto made = ReadTime(row, "made");
  if (!made.ok()) return made.error();
  return StoredPlan{PointCode(row.Text("point")), row.Text("season"), *made, row.Text("plan")};
}

Result<std::optional<StoredPlan>> NewestOf(Result<std::vector<StoredPlan>> found) {
  if (!found.ok()) return found.error();
  if (found->empty()) return std::optional<StoredPlan>();
  return std::optional<StoredPlan>(std::move(found->front()));
}

}  // namespace

Status Project::RememberColumns(const std::string& kind, const std::vector<std::string>& headings,
                                const std::vector<ChosenColumn>& columns) {
  const std::string key = KeyOf(headings);
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    Status forgotten =
        database.Run("DELETE FROM column_mappings WHERE kind = ? AND headings = ?", {kind, key});
    if (!forgotten.ok()) return forgotten;
    for (const ChosenColumn& column : columns) {
      const auto added = database.Insert("column_mappings", {{"kind", kind},
                                                             {"headings", key},
                                                             {"field", column.field},
                                                             {"heading", column.heading},
                                                             {"unit", column.unit}});
      if (!added.ok()) return added.error();
    }
    return Ok();
  });
}

Result<std::vector<ChosenColumn>> Project::RecallColumns(const std::string& kind,
                                                         const std::vector<std::string>& headings) const {
  return impl_->List<ChosenColumn>(
      "SELECT * FROM column_mappings WHERE kind = ? AND headings = ? ORDER BY id", {kind, KeyOf(headings)},
      ReadColumn);
}

Result<std::vector<std::string>> Project::RememberedHeadings(const std::string& kind) const {
  return impl_->List<std::string>(
      "SELECT DISTINCT heading FROM column_mappings WHERE kind = ? ORDER BY heading", {kind},
      [](const Row& row) -> Result<std::string> { return row.Text("heading"); });
}

Result<ImportId> Project::LogImport(const ImportEntry& entry, const std::vector<RejectedRow>& rejected) {
  ImportId id;
  Status logged = InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    const auto added = database.Insert("import_log", {{"file", entry.file},
                                                      {"kind", entry.kind},
                                                      {"imported", TimeValue(entry.when)},
                                                      {"who", entry.who},
                                                      {"rows_in", int64_t{entry.rows_in}},
                                                      {"rows_rejected", int64_t{entry.rows_rejected}}});
    if (!added.ok()) return added.error();
    id = ImportId{*added};
    for (const RejectedRow& row : rejected) {
      const auto listed = database.Insert("rejected_rows", {{"import", id.number},
                                                            {"line", int64_t{row.line}},
                                                            {"heading", row.column},
                                                            {"value", row.value},
                                                            {"reason", row.reason},
                                                            {"original", row.original}});
      if (!listed.ok()) return listed.error();
    }
    return Ok();
  });
  if (!logged.ok()) return logged.error();
  return id;
}

Result<std::vector<ImportEntry>> Project::Imports() const {
  return impl_->List<ImportEntry>("SELECT * FROM import_log ORDER BY id", {}, ReadImport);
}

Result<std::vector<RejectedRow>> Project::RejectedRows(ImportId import) const {
  return impl_->List<RejectedRow>("SELECT * FROM rejected_rows WHERE import = ? ORDER BY id", {import.number},
                                  ReadRejected);
}

Status Project::PutPlan(const StoredPlan& plan) {
  if (!plan.point.empty()) {
    if (Status known = impl_->RequirePoint(plan.point); !known.ok()) return known;
  }
  const auto added =
      impl_->database->Insert("plans", {{"point", plan.point.empty() ? Value() : Value(plan.point.text())},
                                        {"season", plan.season},
                                        {"made", TimeValue(plan.made)},
                                        {"plan", plan.json}});
  return added.ok() ? Ok() : Status(added.error());
}

Result<std::optional<StoredPlan>> Project::LatestPlan(const PointCode& point,
                                                      const std::string& season) const {
  return NewestOf(
      impl_->List<StoredPlan>("SELECT * FROM plans WHERE coalesce(point, '') = ?1 AND "
                              "(season = ?2 OR ?2 = '' AND season NOT LIKE ?3) "
                              "ORDER BY made DESC, id DESC LIMIT 1",
                              {point.text(), season, kYearPlanWords + std::string("%")}, ReadPlan));
}

Result<std::optional<StoredPlan>> Project::LatestYearPlan() const {
  return NewestOf(
      impl_->List<StoredPlan>("SELECT * FROM plans WHERE point IS NULL AND season LIKE ?1 "
                              "ORDER BY made DESC, id DESC LIMIT 1",
                              {kYearPlanWords + std::string("%")}, ReadPlan));
}

}  // namespace lastreach
