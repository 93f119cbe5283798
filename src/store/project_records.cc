// The append-only records: settings, samples, meter reads, visits.
#include "calendar/settings_json.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<SettingsRecord> ReadSettings(const Row& row) {
  const auto kind = ParseSettingsKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  auto settings = ParseSettings(row.Text("settings"), "");
  if (!settings.ok()) return settings.error();
  const auto recorded = ReadTime(row, "recorded");
  if (!recorded.ok()) return recorded.error();
  SettingsRecord record;
  record.id = SettingsId{row.Int("id")};
  record.point = PointCode(row.Text("point"));
  record.kind = *kind;
  record.settings = std::move(*settings);
  record.recorded = *recorded;
  record.who = row.Text("who");
  record.why = row.Text("why");
  if (!row.IsNull("revert_by")) {
    const auto day = ReadDate(row, "revert_by");
    if (!day.ok()) return day.error();
    record.revert_by = *day;
  }
  record.clock_fast_minutes = ReadInt(row, "clock_fast_minutes");
  return record;
}

Result<Sample> ReadSample(const Row& row) {
  const auto day = ReadDate(row, "day");
  if (!day.ok()) return day.error();
  const auto analyte = ParseAnalyte(row.Text("analyte"));
  if (!analyte.ok()) return analyte.error();
  Sample sample;
  sample.id = SampleId{row.Int("id")};
  sample.point = PointCode(row.Text("point"));
  sample.day = *day;
  sample.minute_of_day = ReadInt(row, "minute_of_day");
  sample.analyte = *analyte;
  sample.residual = Concentration::MilligramsPerLitre(row.Number("residual_mg_per_l"));
  sample.below_detection = row.Int("below_detection") != 0;
  sample.original = row.Text("original");
  if (!row.IsNull("temperature_c")) sample.temperature = Temperature::Celsius(row.Number("temperature_c"));
  sample.who = row.Text("who");
  sample.notes = row.Text("notes");
  return sample;
}

Result<MeterRead> ReadMeterRead(const Row& row) {
  const auto day = ReadDate(row, "day");
  if (!day.ok()) return day.error();
  return MeterRead{MeterReadId{row.Int("id")},
                   PointCode(row.Text("point")),
                   *day,
                   ReadInt(row, "minute_of_day"),
                   Volume::CubicMetres(row.Number("total_m3")),
                   row.Text("original"),
                   row.Text("who"),
                   row.Int("is_estimate") != 0,
                   ReadQuantity(row, "new_meter_at_m3", kCubicMetres)};
}

Result<Visit> ReadVisit(const Row& row) {
  const auto arrived = ReadTime(row, "arrived");
  if (!arrived.ok()) return arrived.error();
  return Visit{VisitId{row.Int("id")},
               PointCode(row.Text("point")),
               *arrived,
               row.Text("who"),
               row.Text("why"),
               row.Text("notes"),
               row.Int("new_battery") != 0,
               row.Int("dechlorination_refilled") != 0};
}

}  // namespace

Result<SettingsId> Project::AddSettings(const SettingsRecord& record, SettingsId replaces) {
  const auto id = impl_->AddRecord("settings_records", record.point,
                                   {{"point", record.point.text()},
                                    {"kind", TextOf(ToText(record.kind))},
                                    {"settings", SettingsToJson(record.settings)},
                                    {"recorded", TimeValue(record.recorded)},
                                    {"who", record.who},
                                    {"why", record.why},
                                    {"revert_by", DateValue(record.revert_by)},
                                    {"clock_fast_minutes", IntValue(record.clock_fast_minutes)}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return SettingsId{*id};
}

Result<std::vector<SettingsRecord>> Project::SettingsOf(const PointCode& point) const {
  return impl_->List<SettingsRecord>(CurrentRows("settings_records", kAtPoint, "recorded, id"),
                                     {point.text()}, ReadSettings);
}

Result<std::optional<SettingsRecord>> Project::LatestSettings(const PointCode& point,
                                                              const std::vector<SettingsKind>& kinds) const {
  auto all = SettingsOf(point);
  if (!all.ok()) return all.error();
  for (auto record = all->rbegin(); record != all->rend(); ++record) {
    if (std::find(kinds.begin(), kinds.end(), record->kind) != kinds.end()) {
      return std::optional<SettingsRecord>(std::move(*record));
    }
  }
  return std::optional<SettingsRecord>();
}

Result<SampleId> Project::AddSample(const Sample& sample, SampleId replaces) {
  const auto id = impl_->AddRecord("samples", sample.point,
                                   {{"point", sample.point.text()},
                                    {"day", DateValue(sample.day)},
                                    {"minute_of_day", IntValue(sample.minute_of_day)},
                                    {"analyte", TextOf(ToText(sample.analyte))},
                                    {"residual_mg_per_l", NumberValue(sample.residual, kMilligramsPerLitre)},
                                    {"below_detection", int64_t{sample.below_detection}},
                                    {"original", sample.original},
                                    {"temperature_c", NumberValue(sample.temperature, kCelsius)},
                                    {"who", sample.who},
                                    {"notes", sample.notes}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return SampleId{*id};
}

Result<std::vector<Sample>> Project::Samples() const {
  return impl_->List<Sample>(CurrentRows("samples", "", kByDay), {}, ReadSample);
}
Result<std::vector<Sample>> Project::SamplesOf(const PointCode& point) const {
  return impl_->List<Sample>(CurrentRows("samples", kAtPoint, kByDay), {point.text()}, ReadSample);
}

Result<MeterReadId> Project::AddMeterRead(const MeterRead& read, MeterReadId replaces) {
  const auto id = impl_->AddRecord("meter_reads", read.point,
                                   {{"point", read.point.text()},
                                    {"day", DateValue(read.day)},
                                    {"minute_of_day", IntValue(read.minute_of_day)},
                                    {"total_m3", NumberValue(read.total, kCubicMetres)},
                                    {"original", read.original},
                                    {"who", read.who},
                                    {"is_estimate", int64_t{read.is_estimate}},
                                    {"new_meter_at_m3", NumberValue(read.new_meter_at, kCubicMetres)}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return MeterReadId{*id};
}

Result<std::vector<MeterRead>> Project::MeterReads() const {
  return impl_->List<MeterRead>(CurrentRows("meter_reads", "", kByDay), {}, ReadMeterRead);
}
Result<std::vector<MeterRead>> Project::MeterReadsOf(const PointCode& point) const {
  return impl_->List<MeterRead>(CurrentRows("meter_reads", kAtPoint, kByDay), {point.text()}, ReadMeterRead);
}

Result<VisitId> Project::AddVisit(const Visit& visit, VisitId replaces) {
  const auto id = impl_->AddRecord("visits", visit.point,
                                   {{"point", visit.point.text()},
                                    {"arrived", TimeValue(visit.arrived)},
                                    {"who", visit.who},
                                    {"why", visit.why},
                                    {"notes", visit.notes},
                                    {"new_battery", int64_t{visit.new_battery}},
                                    {"dechlorination_refilled", int64_t{visit.dechlorination_refilled}}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return VisitId{*id};
}

Result<std::vector<Visit>> Project::Visits() const {
  return impl_->List<Visit>(CurrentRows("visits", "", "arrived, id"), {}, ReadVisit);
}
Result<std::vector<Visit>> Project::VisitsOf(const PointCode& point) const {
  return impl_->List<Visit>(CurrentRows("visits", kAtPoint, "arrived, id"), {point.text()}, ReadVisit);
}

}  // namespace lastreach
