#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "store/map_fixture.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

NetworkResult AgeResult() {
  NetworkResult result;
  result.made = At("2026-07-01T12:00:00Z");
  result.kind = ResultKind::kAge;
  result.unit = "h";
  result.begins = At("2026-07-06T05:00:00Z");
  result.hours = 336;
  result.step_h = 1;
  result.note = "computed";
  return result;
}

class ProjectResults : public ProjectFile {
 protected:
  Project WithNetwork() const {
    Project project = New();
    EXPECT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
    return project;
  }
  static size_t Nodes() { return FullNetwork().nodes.size(); }
};

TEST_F(ProjectResults, StepsReadBackOneAtATimeNumberForNumber) {
  Project project = WithNetwork();
  const auto id = project.AddResult(AgeResult());
  ASSERT_TRUE(id.ok()) << id.error().ToString();
  std::vector<float> numbers(Nodes(), 1.25e-20F);
  numbers.front() = std::numeric_limits<float>::quiet_NaN();
  numbers.back() = -3.4e38F;
  ASSERT_TRUE(project.AddResultStep(*id, 0, std::vector<float>(Nodes(), 0.1F)).ok());
  ASSERT_TRUE(project.AddResultStep(*id, 1, numbers).ok());
  NetworkResult wanted = AgeResult();
  wanted.id = *id;
  wanted.steps = 2;
  EXPECT_THAT(*project.Results(), ElementsAre(wanted));
  EXPECT_THAT(*project.ResultHours(*id), ElementsAre(0, 1));
  EXPECT_EQ(*project.ResultStep(*id, 0), std::vector<float>(Nodes(), 0.1F));
  const std::vector<float> second = *project.ResultStep(*id, 1);
  ASSERT_EQ(second.size(), Nodes());
  EXPECT_TRUE(std::isnan(second.front()));
  EXPECT_EQ(second.back(), -3.4e38F);
}

TEST_F(ProjectResults, AResultTakesThePlaceOfTheOneOfItsKind) {
  Project project = WithNetwork();
  const auto first = project.AddResult(AgeResult());
  ASSERT_TRUE(project.AddResultStep(*first, 0, std::vector<float>(Nodes(), 1)).ok());
  NetworkResult flow = AgeResult();
  flow.kind = ResultKind::kFlow;
  flow.of_links = true;
  flow.unit = "m3/s";
  flow.begins.reset();
  ASSERT_TRUE(project.AddResult(flow).ok());
  const auto second = project.AddResult(AgeResult());
  ASSERT_TRUE(second.ok());
  EXPECT_EQ(project.ResultStep(*first, 0).error().code, ErrorCode::kNotFound);
  const auto results = project.Results();
  ASSERT_EQ(results->size(), 2U);
  EXPECT_EQ((*results)[0].kind, ResultKind::kFlow);
  EXPECT_FALSE((*results)[0].begins.has_value());
  EXPECT_EQ((*results)[1].steps, 0);
}

TEST_F(ProjectResults, AStepNeedsANumberForEachNodeAndALaterHour) {
  Project project = WithNetwork();
  const auto id = project.AddResult(AgeResult());
  EXPECT_THAT(project.AddResultStep(*id, 0, std::vector<float>(Nodes() + 1, 1)).error().ToString(),
              HasSubstr("needs " + std::to_string(Nodes())));
  ASSERT_TRUE(project.AddResultStep(*id, 2, std::vector<float>(Nodes(), 1)).ok());
  EXPECT_EQ(project.AddResultStep(*id, 2, std::vector<float>(Nodes(), 1)).error().code, ErrorCode::kBadInput);
  EXPECT_EQ(project.AddResultStep(77, 3, std::vector<float>(Nodes(), 1)).error().code, ErrorCode::kNotFound);
  EXPECT_EQ(project.ResultStep(*id, 1).error().code, ErrorCode::kNotFound);
  EXPECT_EQ(project.ResultHours(77).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectResults, ANewNetworkTakesThemAway) {
  Project project = WithNetwork();
  const auto id = project.AddResult(AgeResult());
  ASSERT_TRUE(project.AddResultStep(*id, 0, std::vector<float>(Nodes(), 1)).ok());
  ASSERT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
  EXPECT_TRUE(project.Results()->empty());
}

TEST(ResultKind, EveryWordReadsBack) {
  for (const char* word : {"heads", "pressure", "flow", "age", "chlorine", "source"}) {
    EXPECT_EQ(ToText(*ParseResultKind(word)), word);
  }
  EXPECT_FALSE(ParseResultKind("colour").ok());
}

}  // namespace
}  // namespace lastreach
