// Water seen let out, flows measured, and flushes with readings.
#include <map>

#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<FlushRun> ReadFlushRun(const Row& row) {
  const auto begun = ReadTime(row, "begun");
  if (!begun.ok()) return begun.error();
  const auto by = ParseMeasuredBy(row.Text("measured_by"));
  if (!by.ok()) return by.error();
  return FlushRun{FlushRunId{row.Int("id")},
                  PointCode(row.Text("point")),
                  *begun,
                  Duration::Minutes(row.Number("lasted_min")),
                  ReadQuantity(row, "volume_m3", kCubicMetres),
                  *by,
                  row.Text("who"),
                  row.Text("why"),
                  row.Text("notes")};
}

Result<FlowTest> ReadFlowTest(const Row& row) {
  const auto day = ReadDate(row, "day");
  if (!day.ok()) return day.error();
  const auto by = ParseMeasuredBy(row.Text("measured_by"));
  if (!by.ok()) return by.error();
  return FlowTest{FlowTestId{row.Int("id")},
                  PointCode(row.Text("point")),
                  *day,
                  ReadInt(row, "minute_of_day"),
                  Flow::LitresPerSecond(row.Number("flow_l_per_s")),
                  *by,
                  ReadReal(row, "accuracy"),
                  row.Text("who"),
                  row.Text("notes")};
}

Result<TestFlush> ReadTestFlush(const Row& row) {
  const auto begun = ReadTime(row, "begun");
  if (!begun.ok()) return begun.error();
  const auto analyte = ParseAnalyte(row.Text("analyte"));
  if (!analyte.ok()) return analyte.error();
  return TestFlush{TestFlushId{row.Int("id")},
                   PointCode(row.Text("point")),
                   *begun,
                   *analyte,
                   ReadQuantity(row, "upstream_residual_mg_per_l", kMilligramsPerLitre),
                   {},
                   row.Text("who"),
                   row.Text("notes")};
}

using ReadingOf = std::pair<int64_t, FlushReading>;

Result<ReadingOf> ReadReading(const Row& row) {
  return ReadingOf{row.Int("test_flush"),
                   {Duration::Minutes(row.Number("after_min")),
                    ReadQuantity(row, "residual_mg_per_l", kMilligramsPerLitre),
                    row.Int("below_detection") != 0, ReadQuantity(row, "temperature_c", kCelsius),
                    ReadReal(row, "turbidity_ntu"), ReadQuantity(row, "flow_l_per_s", kLitresPerSecond),
                    ReadQuantity(row, "pressure_head_m", kMetresOfWater)}};
}

Columns ReadingColumns(const FlushReading& reading, int64_t test_flush, int64_t position) {
  return {{"test_flush", test_flush},
          {"position", position},
          {"after_min", NumberValue(reading.after, kMinutes)},
          {"residual_mg_per_l", NumberValue(reading.residual, kMilligramsPerLitre)},
          {"below_detection", int64_t{reading.below_detection}},
          {"temperature_c", NumberValue(reading.temperature, kCelsius)},
          {"turbidity_ntu", RealValue(reading.turbidity_ntu)},
          {"flow_l_per_s", NumberValue(reading.flow, kLitresPerSecond)},
          {"pressure_head_m", NumberValue(reading.pressure, kMetresOfWater)}};
}

constexpr const char* kByBeginning = "begun, id";

}  // namespace

Result<FlushRunId> Project::AddFlushRun(const FlushRun& run, FlushRunId replaces) {
  if (!(run.lasted > Duration())) {
    return BadInput("a run must last longer than nothing",
                    {"", {}, "minutes", std::to_string(run.lasted.minutes())});
  }
  const auto id = impl_->AddRecord("flush_runs", run.point,
                                   {{"point", run.point.text()},
                                    {"begun", TimeValue(run.begun)},
                                    {"lasted_min", NumberValue(run.lasted, kMinutes)},
                                    {"volume_m3", NumberValue(run.volume, kCubicMetres)},
                                    {"measured_by", TextOf(ToText(run.by))},
                                    {"who", run.who},
                                    {"why", run.why},
                                    {"notes", run.notes}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return FlushRunId{*id};
}

Result<std::vector<FlushRun>> Project::FlushRuns() const {
  return impl_->List<FlushRun>(CurrentRows("flush_runs", "", kByBeginning), {}, ReadFlushRun);
}
Result<std::vector<FlushRun>> Project::FlushRunsOf(const PointCode& point) const {
  return impl_->List<FlushRun>(CurrentRows("flush_runs", kAtPoint, kByBeginning), {point.text()},
                               ReadFlushRun);
}

Result<FlowTestId> Project::AddFlowTest(const FlowTest& test, FlowTestId replaces) {
  const auto id = impl_->AddRecord("flow_tests", test.point,
                                   {{"point", test.point.text()},
                                    {"day", DateValue(test.day)},
                                    {"minute_of_day", IntValue(test.minute_of_day)},
                                    {"flow_l_per_s", NumberValue(test.flow, kLitresPerSecond)},
                                    {"measured_by", TextOf(ToText(test.by))},
                                    {"accuracy", RealValue(test.accuracy)},
                                    {"who", test.who},
                                    {"notes", test.notes}},
                                   replaces.number);
  if (!id.ok()) return id.error();
  return FlowTestId{*id};
}

Result<std::vector<FlowTest>> Project::FlowTests() const {
  return impl_->List<FlowTest>(CurrentRows("flow_tests", "", kByDay), {}, ReadFlowTest);
}
Result<std::vector<FlowTest>> Project::FlowTestsOf(const PointCode& point) const {
  return impl_->List<FlowTest>(CurrentRows("flow_tests", kAtPoint, kByDay), {point.text()}, ReadFlowTest);
}

Result<TestFlushId> Project::AddTestFlush(const TestFlush& flush, TestFlushId replaces) {
  for (size_t i = 1; i < flush.readings.size(); ++i) {
    if (flush.readings[i].after < flush.readings[i - 1].after) {
      return BadInput("the readings of a test flush are in order of time",
                      {"", {}, "after_min", std::to_string(flush.readings[i].after.minutes())});
    }
  }
  int64_t number = 0;
  Status added = InTransaction([&]() -> Status {
    const auto id =
        impl_->AddRecord("test_flushes", flush.point,
                         {{"point", flush.point.text()},
                          {"begun", TimeValue(flush.begun)},
                          {"analyte", TextOf(ToText(flush.analyte))},
                          {"upstream_residual_mg_per_l", NumberValue(flush.upstream, kMilligramsPerLitre)},
                          {"who", flush.who},
                          {"notes", flush.notes}},
                         replaces.number);
    if (!id.ok()) return id.error();
    number = *id;
    int64_t position = 0;
    for (const FlushReading& reading : flush.readings) {
      const auto row =
          impl_->database->Insert("test_flush_readings", ReadingColumns(reading, number, ++position));
      if (!row.ok()) return row.error();
    }
    return Ok();
  });
  if (!added.ok()) return added.error();
  return TestFlushId{number};
}

Result<std::vector<TestFlush>> Project::Impl::TestFlushesWhere(const std::string& filter,
                                                               const std::vector<Value>& values) const {
  auto flushes = List<TestFlush>(CurrentRows("test_flushes", filter, kByBeginning), values, ReadTestFlush);
  if (!flushes.ok()) return flushes.error();
  const std::string of = filter.empty() ? "" : " WHERE " + filter;
  auto readings =
      List<ReadingOf>("SELECT * FROM test_flush_readings WHERE test_flush IN (SELECT id FROM test_flushes" +
                          of + ") ORDER BY test_flush, position",
                      values, ReadReading);
  if (!readings.ok()) return readings.error();
  std::map<int64_t, TestFlush*> by_id;
  for (TestFlush& flush : *flushes) by_id[flush.id.number] = &flush;
  for (ReadingOf& reading : *readings) {
    const auto flush = by_id.find(reading.first);
    if (flush != by_id.end()) flush->second->readings.push_back(std::move(reading.second));
  }
  return flushes;
}

Result<std::vector<TestFlush>> Project::TestFlushes() const { return impl_->TestFlushesWhere("", {}); }
Result<std::vector<TestFlush>> Project::TestFlushesOf(const PointCode& point) const {
  return impl_->TestFlushesWhere(kAtPoint, {point.text()});
}

}  // namespace lastreach
