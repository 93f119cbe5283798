#include "report/drought_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

SheetOptions Options(Paper paper, SheetUnits units = SheetUnits::kMetric) {
  SheetOptions options;
  options.paper = paper;
  options.units = units;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

// Three devices of 5, 3 and 4 m3 a day; the second is at a school that must not be shut.
DroughtPlan Stage(const char* name, double most_m3_per_day) {
  std::vector<DroughtDevice> devices(3);
  const char* codes[] = {"FP-014", "FP-020", "FP-031"};
  const double water[] = {5, 3, 4};
  const int services[] = {12, 1, 2};
  for (size_t i = 0; i < 3; ++i) {
    devices[i].point = PointCode(codes[i]);
    devices[i].water_m3_per_day = water[i];
    devices[i].services = services[i];
    devices[i].target_mg_per_l = 0.4;
    devices[i].low_without_mg_per_l = 0.1;
  }
  devices[1].stays_on_because = "dialysis at home";
  return PlanDrought(devices, {name, most_m3_per_day, "council minute 12"});
}

const std::map<PointCode, std::string> kPlaces = {{PointCode("FP-014"), "Heron Lane"},
                                                  {PointCode("FP-020"), "School Hill"}};

TEST(DroughtSheet, TellsWhoStaysOnAndWhy) {
  const TestFolder folder;
  const std::vector<DroughtPlan> stages = {Stage("stage 1", 9), Stage("stage 2", 3.5), Stage("stage 3", 2)};
  ASSERT_TRUE(WriteDroughtSheet(stages, kPlaces, Options(Paper::kA4), folder / "d.pdf").ok());
  const std::string words = WordsOf(folder / "d.pdf");
  EXPECT_THAT(words, HasSubstr("Device Place m³ a day stage 1 stage 2 stage 3"));
  EXPECT_THAT(words, HasSubstr("FP-014 Heron Lane 5 on SHUT SHUT"));
  EXPECT_THAT(words, HasSubstr("FP-020 School Hill 3 on on on"));
  EXPECT_THAT(words, HasSubstr("FP-031 4 SHUT SHUT SHUT"));
  EXPECT_THAT(words, HasSubstr("stage 1: at most 9 m³ a day 2 of 3 devices stay on and take 8 m³ a day."));
  EXPECT_THAT(words,
              HasSubstr("stage 2: at most 3.5 m³ a day 1 of 3 devices stays on and takes 3 m³ a day."));
  EXPECT_THAT(words, HasSubstr("Source of the limit: council minute 12"));
  EXPECT_THAT(words, HasSubstr("dialysis at home"));
  EXPECT_THAT(words, HasSubstr("MORE THAN THE STAGE ALLOWS"));
  for (const DroughtPlan& stage : stages) {
    for (const DroughtChoice& choice : stage.choices) EXPECT_FALSE(choice.reason.empty());
  }
}

TEST(DroughtSheet, OneStageNeedsNoTableOfStages) {
  const TestFolder folder;
  ASSERT_TRUE(WriteDroughtSheet({Stage("stage 1", 20)}, kPlaces, Options(Paper::kLetter, SheetUnits::kUs),
                                folder / "d.pdf")
                  .ok());
  const std::string words = WordsOf(folder / "d.pdf");
  EXPECT_THAT(words,
              HasSubstr("stage 1: at most 5,280 gal a day 3 of 3 devices stay on and take 3,170 gal a day."));
  EXPECT_THAT(words, Not(HasSubstr("SHUT")));
  EXPECT_THAT(words, Not(HasSubstr("All on")));
  ASSERT_TRUE(WriteDroughtSheet({}, {}, Options(Paper::kA4), folder / "none.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "none.pdf"), HasSubstr("No drought stage has been entered."));
}

TEST(DroughtSheet, TakesManyDevices) {
  const TestFolder folder;
  DroughtPlan stage = Stage("stage 1", 9);
  for (int i = 0; i < 120; ++i) stage.choices.push_back(stage.choices.front());
  for (const char* name : {"a.pdf", "b.pdf"}) {
    const Status status = WriteDroughtSheet({stage, stage}, kPlaces, Options(Paper::kLetter), folder / name);
    ASSERT_TRUE(status.ok()) << status.error().ToString();
  }
  EXPECT_EQ(BytesOf(folder / "a.pdf"), BytesOf(folder / "b.pdf"));
}

}  // namespace
}  // namespace lastreach
