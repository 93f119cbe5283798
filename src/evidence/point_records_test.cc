#include <gtest/gtest.h>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

TEST(KnownBy, LeavesOutWhatWasWrittenDownAfterThatDay) {
  PointRecords records = TestPoint();
  for (const char* day : {"2026-07-01", "2026-07-02", "2026-07-03"}) {
    records.settings.push_back(Recorded(SettingsKind::kAsLeft, At(day, 23, 59), Keyed({60}, 20)));
    MeterRead read;
    read.day = Day(day);
    records.reads.push_back(read);
    FlowTest test;
    test.day = Day(day);
    records.flow_tests.push_back(test);
    Sample sample;
    sample.day = Day(day);
    records.samples.push_back(sample);
    FlushRun run;
    run.begun = At(day, 23, 59);
    records.flush_runs.push_back(run);
    Visit visit;
    visit.arrived = At(day, 23, 59);
    records.visits.push_back(visit);
  }
  const PointRecords known = KnownBy(records, Day("2026-07-02"));
  EXPECT_EQ(known.settings.size(), 2U);
  EXPECT_EQ(known.reads.size(), 2U);
  EXPECT_EQ(known.flow_tests.size(), 2U);
  EXPECT_EQ(known.samples.size(), 2U);
  EXPECT_EQ(known.flush_runs.size(), 2U);
  EXPECT_EQ(known.visits.size(), 2U);
  EXPECT_EQ(known.visits.back().arrived, At("2026-07-02", 23, 59));
  EXPECT_EQ(KnownBy(records, Day("2026-07-03")).reads.size(), 3U);
  EXPECT_TRUE(KnownBy(records, Day("2026-06-30")).settings.empty());
}

}  // namespace
}  // namespace lastreach
