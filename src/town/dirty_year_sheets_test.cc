#include "town/dirty_year_sheets.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace lastreach {
namespace {

using ::testing::HasSubstr;

const DirtyYear& Year() {
  static const DirtyYear kYear = MakeDirtyYear();
  return kYear;
}

int Rows(const std::string& sheet) {
  return static_cast<int>(std::count(sheet.begin(), sheet.end(), '\n')) - 1;
}

template <typename Member>
int Written(Member member) {
  size_t count = 0;
  for (const DeviceYear& device : Year().devices) count += (device.*member).size();
  return static_cast<int>(count);
}

// Nothing is written over two lines, so lines are rows.
TEST(DirtyYearSheets, HoldARowForEveryRecord) {
  EXPECT_EQ(Rows(YearDevicesSheet(Year())), 24);
  EXPECT_EQ(Rows(YearEndsSheet(Year())), 12);
  EXPECT_EQ(Rows(YearSettingsSheet(Year())), Written(&DeviceYear::settings));
  EXPECT_EQ(Rows(YearVisitsSheet(Year())), Written(&DeviceYear::visits));
  EXPECT_EQ(Rows(YearReadsSheet(Year())), Written(&DeviceYear::reads));
  EXPECT_EQ(Rows(YearFlowTestsSheet(Year())), Written(&DeviceYear::flow_tests));
  EXPECT_EQ(Rows(YearRunsSheet(Year())),
            Written(&DeviceYear::flush_runs) + static_cast<int>(Year().hand_flushes.size()));
  EXPECT_EQ(Rows(YearByproductsSheet(Year())), static_cast<int>(Year().byproducts.size()) / 2);
  EXPECT_EQ(Rows(YearProductionSheet(Year())), 12);
  EXPECT_EQ(Rows(YearKeySheet(Year())), 12);
  int readings = 0;
  for (const DeviceYear& device : Year().devices) {
    for (const TestFlush& flush : device.test_flushes) readings += static_cast<int>(flush.readings.size());
  }
  EXPECT_EQ(Rows(YearTestFlushesSheet(Year())), readings);
}

// One row a grab, with ammonia and nitrite beside the total chlorine.
TEST(DirtyYearSheets, SamplesOfOneGrabStandInOneRow) {
  int residuals = 0;
  for (const DeviceYear& device : Year().devices) {
    residuals += static_cast<int>(std::count_if(device.samples.begin(), device.samples.end(),
                                                [](const Sample& s) { return IsResidual(s.analyte); }));
  }
  EXPECT_EQ(Rows(YearSamplesSheet(Year())), residuals);
}

TEST(DirtyYearSheets, DaysAndTimesAreWrittenAsEachPersonDoes) {
  const Date day = std::chrono::year(2025) / 7 / 4;
  EXPECT_EQ(WrittenDay("RM", day), "7/4/25");
  EXPECT_EQ(WrittenDay("KB", day), "2025-07-04");
  EXPECT_EQ(WrittenTime("RM", 5), "12:05 am");
  EXPECT_EQ(WrittenTime("RM", 12 * 60), "12:00 pm");
  EXPECT_EQ(WrittenTime("RM", 13 * 60 + 30), "1:30 pm");
  EXPECT_EQ(WrittenTime("KB", 13 * 60 + 30), "13:30");
}

// The key is of no use to a program that is to find out by itself.
TEST(DirtyYearSheets, OnlyTheKeyNamesTheTroubles) {
  for (const std::string& sheet :
       {YearDevicesSheet(Year()), YearSettingsSheet(Year()), YearVisitsSheet(Year()), YearReadsSheet(Year()),
        YearSamplesSheet(Year()), YearRunsSheet(Year()), YearFlowTestsSheet(Year()),
        YearTestFlushesSheet(Year())}) {
    for (const TroubleKind kind : kEveryTrouble) {
      EXPECT_THAT(sheet, testing::Not(HasSubstr(std::string(ToText(kind)))));
    }
  }
  for (const TroubleKind kind : kEveryTrouble) {
    EXPECT_THAT(YearKeySheet(Year()), HasSubstr(std::string(ToText(kind))));
  }
}

TEST(DirtyYearSheets, AFolderThatCannotBeMadeIsNamed) {
  const std::filesystem::path in_the_way =
      std::filesystem::path(::testing::TempDir()) / ("lastreach_year_" + std::to_string(getpid()));
  std::ofstream(in_the_way) << "a file";
  const Status written = WriteDirtyYearSheets(in_the_way.string(), Year());
  ASSERT_FALSE(written.ok());
  EXPECT_THAT(written.error().ToString(), HasSubstr(in_the_way.string()));
  std::filesystem::remove(in_the_way);
}

}  // namespace
}  // namespace lastreach
