// Where the network differs from the drawing, and what people said of it.
#include "store/contents.h"
#include "store/geometry.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

void AddFeatures(Columns& columns, const FeatureKey& first, const FeatureKey& second) {
  columns.insert(columns.end(), {{"first_layer", first.layer},
                                 {"first_feature", first.key},
                                 {"second_layer", second.layer},
                                 {"second_feature", second.key}});
}
FeatureKey ReadFirst(const Row& row) { return {row.Text("first_layer"), row.Text("first_feature")}; }
FeatureKey ReadSecond(const Row& row) { return {row.Text("second_layer"), row.Text("second_feature")}; }

Columns ColumnsOf(const Repair& repair) {
  Columns columns = {{"geom", PointBlob(repair.at)},
                     {"id", repair.id},
                     {"kind", TextOf(ToText(repair.kind))},
                     {"other_longitude_deg", repair.other.longitude_deg},
                     {"other_latitude_deg", repair.other.latitude_deg},
                     {"gap_m", repair.gap_m},
                     {"confidence", repair.confidence},
                     {"made", int64_t{repair.made}},
                     {"why", repair.why},
                     {"decision", repair.decision ? Value(TextOf(ToText(*repair.decision))) : Value()}};
  AddFeatures(columns, repair.first, repair.second);
  return columns;
}

Result<Repair> ReadRepair(const Row& row) {
  const auto kind = ParseRepairKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  const auto at = ReadPointBlob(row.Bytes("geom"));
  if (!at.ok()) return at.error();
  Repair repair;
  repair.id = row.Text("id");
  if (!*at) return BadInput("the repair has no place", {"", {}, "id", repair.id});
  repair.kind = *kind;
  repair.at = **at;
  repair.other = {row.Number("other_longitude_deg"), row.Number("other_latitude_deg")};
  repair.first = ReadFirst(row);
  repair.second = ReadSecond(row);
  repair.gap_m = row.Number("gap_m");
  repair.confidence = row.Number("confidence");
  repair.made = row.Int("made") != 0;
  repair.why = row.Text("why");
  if (!row.IsNull("decision")) {
    const auto decision = ParseDecision(row.Text("decision"));
    if (!decision.ok()) return decision.error();
    repair.decision = *decision;
  }
  return repair;
}

Result<RepairDecision> ReadRepairDecision(const Row& row) {
  const auto kind = ParseRepairKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  const auto decision = ParseDecision(row.Text("decision"));
  if (!decision.ok()) return decision.error();
  const auto when = ReadTime(row, "decided");
  if (!when.ok()) return when.error();
  return RepairDecision{*kind,          {row.Number("longitude_deg"), row.Number("latitude_deg")},
                        ReadFirst(row), ReadSecond(row),
                        *decision,      row.Text("who"),
                        *when,          row.Text("why")};
}

}  // namespace

Status Project::PutRepairs(const std::vector<Repair>& repairs) {
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    if (Status cleared = database.Run("DELETE FROM repairs"); !cleared.ok()) return cleared;
    for (const Repair& repair : repairs) {
      const auto added = database.Insert("repairs", ColumnsOf(repair));
      if (!added.ok()) return added.error();
    }
    return NoteLayerChange(database, "repairs");
  });
}

Result<std::vector<Repair>> Project::Repairs() const {
  return impl_->List<Repair>("SELECT * FROM repairs ORDER BY fid", {}, ReadRepair);
}

Status Project::AddRepairDecision(const RepairDecision& decision) {
  Columns columns = {{"kind", TextOf(ToText(decision.kind))},
                     {"longitude_deg", decision.at.longitude_deg},
                     {"latitude_deg", decision.at.latitude_deg},
                     {"decision", TextOf(ToText(decision.decision))},
                     {"who", decision.who},
                     {"decided", TimeValue(decision.when)},
                     {"why", decision.why}};
  AddFeatures(columns, decision.first, decision.second);
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    if (const auto added = database.Insert("repair_decisions", columns); !added.ok()) return added.error();
    return NoteChange(database, "repair_decisions");
  });
}

Result<std::vector<RepairDecision>> Project::RepairDecisions() const {
  return impl_->List<RepairDecision>("SELECT * FROM repair_decisions ORDER BY id", {}, ReadRepairDecision);
}

}  // namespace lastreach
