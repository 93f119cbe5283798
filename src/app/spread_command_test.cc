#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/reach_spread.h"
#include "app/spread_report.h"
#include "app/spread_week.h"
#include "app/test_sheets.h"
#include "map/test_network.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;
using ::testing::Not;

// A well-fed tee with three ends: B with two houses and 150 m of main past the last of them, C with none, D
// with all others.
constexpr const char* kDrawn = R"(
    source Well 0 0
    junction A 100 0
    junction B 300 0 blow-off
    junction C 100 200
    junction D 100 -200
    pipe Well-A 150 Elm Street
    pipe A-B 150 Alder Way
    pipe A-C 150
    pipe A-D 150
    house A-B 20 1
    house A-B 50 1
    house A-D 200 30
)";

// A short reach, flushed every night, and two that lack something.
constexpr const char* kReachesCsv =
    "Device,Where,Zone,Timer,Length (ft),Pipe dia (in),Material,Services,Flow (gpm),P1 starts,P1 minutes,P1 "
    "days\n"
    "D2,Birch Court,North,grey box,about 120,4,PVC,3,40,2:00,10,daily\n"
    "D4,Fir Lane,,grey box,100,6,PVC,2,40,2:00,10,daily\n"
    "D5,Oak Lane,North,grey box,100,6,PVC,0,40,2:00,10,daily\n";

class SpreadCommand : public WithAProject {
 protected:
  static std::vector<std::string> Words(const std::string& file, std::vector<std::string> more) {
    std::vector<std::string> words = {"spread", file, "--weeks", "8"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }
  Answer Text(std::vector<std::string> more) const { return RunProgram(Words(project_, std::move(more))); }
  Json Spread(std::vector<std::string> more) const {
    more.emplace_back("--json");
    const Answer answer = Text(std::move(more));
    ExpectDone(answer);
    return Json::parse(answer.out);
  }
  void ImportReaches() const {
    ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
    ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
    ExpectDone(Import(Write("devices.csv", kReachesCsv), "devices"));
  }
  void PutNetwork() const {
    auto project = Project::Open(project_);
    ASSERT_TRUE(project.ok());
    ASSERT_TRUE(project->PutNetwork(TestNetwork(kDrawn), "map").ok());
  }
};

TEST_F(SpreadCommand, TellsEveryServiceInOrderWithUnitsInItsKeys) {
  ImportReaches();
  const Json spread = Spread({"--device", "D2"});
  EXPECT_EQ(spread.at("id"), "D2");
  EXPECT_EQ(spread.at("where"), "Birch Court");
  EXPECT_EQ(spread.at("season"), "summer 2026");
  EXPECT_EQ(spread.at("weeks"), 8);
  EXPECT_EQ(spread.at("name"), "households");
  EXPECT_EQ(spread.at("runs_in_the_week"), 7);
  EXPECT_EQ(spread.at("target_mg_per_l"), 0.4);
  EXPECT_FALSE(spread.at("older_than_warm_up"));
  const Json& places = spread.at("places");
  ASSERT_EQ(places.size(), 3u);
  for (size_t i = 0; i < places.size(); ++i) {
    const Json& place = places[i];
    EXPECT_EQ(place.at("service"), i + 1);
    EXPECT_GT(place.at("lowest_5_percent_mg_per_l"), 0);
    EXPECT_LE(place.at("lowest_5_percent_mg_per_l"), place.at("lowest_50_percent_mg_per_l"));
    EXPECT_LT(place.at("lowest_5_percent_mg_per_l"), place.at("lowest_95_percent_mg_per_l"));
    EXPECT_LT(place.at("lowest_95_percent_mg_per_l"), spread.at("upstream_mg_per_l"));
    EXPECT_LT(place.at("oldest_5_percent_h"), place.at("oldest_95_percent_h"));
    EXPECT_LE(place.at("weeks_below_target"), 8);
    if (i == 0) continue;
    EXPECT_LT(place.at("lowest_50_percent_mg_per_l"), places[i - 1].at("lowest_50_percent_mg_per_l"));
    EXPECT_GT(place.at("oldest_50_percent_h"), places[i - 1].at("oldest_50_percent_h"));
  }
}

// Each use is small beside what stands in the main, so that chance moves a residual by less than its loss.
TEST_F(SpreadCommand, TheMiddleOfTheWeeksIsNearSmoothUse) {
  ImportReaches();
  for (const Json& place : Spread({"--device", "D2"}).at("places")) {
    EXPECT_NEAR(place.at("lowest_50_percent_mg_per_l"), place.at("lowest_smooth_mg_per_l"), 0.1);
    EXPECT_NEAR(place.at("oldest_50_percent_h"), place.at("oldest_smooth_h"), 6);
  }
}

TEST_F(SpreadCommand, TheSameNameGivesTheSameAnswerAndAnotherNameAnother) {
  ImportReaches();
  const Json summer = Spread({"--device", "D2", "--name", "summer"});
  EXPECT_EQ(summer, Spread({"--device", "D2", "--name", "summer"}));
  EXPECT_NE(summer.at("places"), Spread({"--device", "D2", "--name", "autumn"}).at("places"));
}

TEST_F(SpreadCommand, SpreadingAlongThePipeCanBeLeftOut) {
  ImportReaches();
  const Json with = Spread({"--device", "D2"});
  const Json without = Spread({"--device", "D2", "--no-dispersion"});
  EXPECT_TRUE(with.at("dispersion"));
  EXPECT_FALSE(without.at("dispersion"));
  EXPECT_NE(with.at("places"), without.at("places"));
  EXPECT_EQ(with.at("places")[0].at("lowest_smooth_mg_per_l"),
            without.at("places")[0].at("lowest_smooth_mg_per_l"));
}

TEST_F(SpreadCommand, TextSaysItAsAPersonWould) {
  ImportReaches();
  const Answer answer = Text({"--device", "D2", "--name", "summer"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out,
              HasSubstr("In 8 random weeks the lowest residual at the last service (Birch Court)"));
  EXPECT_THAT(answer.out, HasSubstr("drawn under the name 'summer'"));
  EXPECT_THAT(answer.out, HasSubstr("D2 runs 7 times in the week"));
  EXPECT_THAT(answer.out, HasSubstr("below 0.4"));
  EXPECT_THAT(answer.out, HasSubstr("length is about right; use of a service 150 gal/d"));
  EXPECT_THAT(answer.out, HasSubstr("The licensed operator in charge decides."));
}

TEST_F(SpreadCommand, NothingIsKept) {
  ImportReaches();
  const std::string before = Bytes(project_);
  ExpectDone(Text({"--device", "D2"}));
  EXPECT_EQ(Bytes(project_), before);
}

TEST_F(SpreadCommand, AnEndWithoutADeviceIsToldToItsLastService) {
  PutNetwork();
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const Json spread = Spread({"--end", "E0001"});
  EXPECT_EQ(spread.at("device"), "");
  EXPECT_EQ(spread.at("runs_in_the_week"), 0);
  EXPECT_EQ(spread.at("places").size(), 2u);
  EXPECT_NEAR(spread.at("standing_m"), 150, 0.1);
  EXPECT_THAT(spread.at("notes")[0], HasSubstr("150 m, past the last service, only stand"));
}

TEST_F(SpreadCommand, AnEndWithADeviceIsThatDevicesReachToItsEnd) {
  PutNetwork();
  ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  const Position at = NetworkPlane().From({303, 4});
  char sheet[256];
  std::snprintf(sheet, sizeof sheet,
                "Device,Zone,Timer,Flow (gpm),P1 starts,P1 minutes,P1 days,Latitude,Longitude\n"
                "D9,North,grey box,60,1:10,40,daily,%.7f,%.7f\n",
                at.latitude_deg, at.longitude_deg);
  ExpectDone(Import(Write("d9.csv", sheet), "devices"));
  const Json end = Spread({"--end", "E0001"});
  EXPECT_EQ(end.at("device"), "D9");
  EXPECT_EQ(end.at("places"), Spread({"--device", "D9"}).at("places"));
  ASSERT_EQ(end.at("places").size(), 3u);
  EXPECT_EQ(end.at("places")[2].at("place"), "the end");
  // Water stands there from run to run: a day less the run, and the way through the reach.
  EXPECT_NEAR(end.at("places")[2].at("oldest_50_percent_h"), 24, 1.5);
}

TEST_F(SpreadCommand, ADeviceWithoutSettingsIsTakenNotToRunAndSaysSo) {
  ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
  ExpectDone(Import(Write("d.csv",
                          "Device,Zone,Length (ft),Pipe dia (in),Material,Services\n"
                          "D3,North,100,6,PVC,2\n"),
                    "devices"));
  const Json spread = Spread({"--device", "D3"});
  EXPECT_EQ(spread.at("runs_in_the_week"), 0);
  EXPECT_THAT(spread.at("notes")[0], HasSubstr("No settings found or left are recorded for D3"));
}

TEST_F(SpreadCommand, RefusesWhatItCannotMeanInOneLine) {
  ImportReaches();
  ExpectRefused(Text({"--device", "D99"}), {"no device 'D99'"});
  ExpectRefused(Text({"--end", "E0044"}), {"mill.gpkg", "no network"});
  ExpectRefused(Text({}), {"--device", "--end"});
  ExpectRefused(Text({"--device", "D2", "--end", "E0001"}), {"--device", "--end"});
  ExpectRefused(Text({"--device", "D2", "--season", "monsoon"}), {"monsoon"});
  ExpectRefused(Text({"--device", "D2", "--name", ""}), {"--name"});
  ExpectRefused(RunProgram({"spread", project_, "--device", "D2", "--weeks", "7"}), {"--weeks 7"});
  ExpectRefused(RunProgram({"spread", Path("none.gpkg"), "--device", "D2"}), {"none.gpkg"});
  PutNetwork();
  ExpectRefused(Text({"--end", "E0044"}), {"no end 'E0044'", "lastreach ends"});
  ExpectRefused(Text({"--end", "E0003"}), {"no customer draws at E0003"});
}

TEST_F(SpreadCommand, SaysWhatNumberIsMissing) {
  ImportReaches();
  ExpectRefused(Text({"--device", "D4"}), {"D4", "the residual in the main upstream is not known"});
  ExpectRefused(Text({"--device", "D5"}), {"D5", "no customer draws on the reach"});
}

// A reach of three services on old iron, flushed at night.
DeviceFacts IronReach() {
  DeviceFacts facts;
  facts.point.code = PointCode("D1");
  facts.point.flow = Sourced<Flow>{Flow::LitresPerSecond(3), {}};
  facts.supply.upstream_residual = {Concentration::MilligramsPerLitre(1.2), {}};
  ReachPipe pipe;
  pipe.length = {Length::Metres(90), {}};
  pipe.inner_diameter = {Diameter::Millimetres(150), {}};
  pipe.material = "cast iron";
  pipe.services = {3, {}};
  facts.reach.pipes = {pipe};
  TimerSettings settings;
  settings.programmes.resize(1);
  settings.programmes[0].starts_min = {60};
  settings.programmes[0].minutes = 15;
  settings.programmes[0].days = kEveryWeekday;
  facts.present = settings;
  return facts;
}

SpreadAsk FewWeeks(unsigned threads) {
  SpreadAsk ask;
  ask.season = {*ParseDate("2026-06-01"), *ParseDate("2026-10-01")};
  ask.weeks = 5;
  ask.threads = threads;
  return ask;
}

TEST(SpreadOnReach, IsTheSameWhateverTheNumberOfThreadsAndTellsHowFarItIs) {
  size_t told = 0;
  const auto one = SpreadOnReach(IronReach(), Zone::Utc(), FewWeeks(1), [&](size_t done) {
    EXPECT_EQ(done, told + 1);
    told = done;
  });
  ASSERT_TRUE(one.ok());
  EXPECT_EQ(told, 5u);
  const auto three = SpreadOnReach(IronReach(), Zone::Utc(), FewWeeks(3));
  ASSERT_EQ(one->places.size(), three->places.size());
  for (size_t i = 0; i < one->places.size(); ++i) {
    EXPECT_EQ(one->places[i].weeks.lowest_mg_per_l, three->places[i].weeks.lowest_mg_per_l);
    EXPECT_EQ(one->places[i].weeks.greatest_age_s, three->places[i].weeks.greatest_age_s);
  }
}

TEST(SpreadOnReach, WithoutCustomersLeavesNothingToChance) {
  DeviceFacts facts = IronReach();
  facts.reach.pipes[0].services.value = 0;
  const auto spread = SpreadOnReach(facts, Zone::Utc(), FewWeeks(1));
  ASSERT_FALSE(spread.ok());
  EXPECT_THAT(spread.error().message, HasSubstr("no customer draws"));
}

PlanningNumbers NumbersOf(const DeviceFacts& facts) {
  PlanOptions options;
  options.target_mg_per_l = 0.2;
  return *GatherNumbers(facts, options);
}

// (5) of docs/theory/reactions-and-dispersion.md: a use brings E[D] E[I] and the variance of what uses bring
// together is the number of them times E[D^2] E[I^2].
TEST(SpreadWeek, RandomHouseholdsDrawWhatSmoothOnesDo) {
  const DeviceFacts facts = IronReach();
  const Zone zone = Zone::Utc();
  const SpreadWeek week(facts, zone, NumbersOf(facts), FewWeeks(1).season);
  const BranchDrive& drive = week.drive();
  double smooth_m3 = 0;
  for (size_t i = 0; i < drive.steps(); ++i) {
    const double factor_s = drive.demand_factor[i] * (drive.time_s[i + 1] - drive.time_s[i]);
    for (const BranchSegment& segment : week.model().branch.segments) {
      smooth_m3 += segment.tap_demand_m3_per_s * factor_s;
    }
  }
  const PulseLaw law;
  constexpr int kDraws = 50;
  double drawn_m3 = 0;
  for (int k = 0; k < kDraws; ++k) {
    for (uint64_t tap = 0; tap < week.model().branch.segments.size(); ++tap) {
      for (const Pulse& pulse :
           DrawPulses(law, week.model().branch.segments[tap].tap_demand_m3_per_s, drive.time_s,
                      drive.demand_factor, "mean/" + std::to_string(k), tap)) {
        drawn_m3 += (pulse.end_s - pulse.begin_s) * pulse.flow_m3_per_s;
      }
    }
  }
  const auto second = [](double mean, double deviation) { return mean * mean + deviation * deviation; };
  const double uses = kDraws * smooth_m3 / (law.duration_mean_s * law.intensity_mean_m3_per_s);
  const double error_m3 = std::sqrt(uses * second(law.duration_mean_s, law.duration_deviation_s) *
                                    second(law.intensity_mean_m3_per_s, law.intensity_deviation_m3_per_s));
  EXPECT_NEAR(drawn_m3, kDraws * smooth_m3, 4.5 * error_m3);
  EXPECT_LT(4.5 * error_m3, 0.05 * kDraws * smooth_m3);  // or it would say nothing
}

// The walls of old iron take most of what is lost here, so that the mean rate is put to the test.
TEST(WithMeanWallLoss, LeavesLessDifferenceThanAKitCanRead) {
  int walls_matter = 0;
  DeviceFacts facts = IronReach();
  for (const bool flushed : {true, false}) {
    facts.present->on = flushed;
    for (const double demand_factor : {0.3, 1.0, 3.0}) {
      PlanningNumbers numbers = NumbersOf(facts);
      for (PipeNumbers& pipe : numbers.pipes) pipe.demand_m3_per_s *= demand_factor;
      const Zone zone = Zone::Utc();
      const SpreadWeek week(facts, zone, numbers, FewWeeks(1).season);
      const Branch mean = WithMeanWallLoss(week.model(), week.drive());
      const auto lows = LowestResiduals(mean, week.drive(), week.judge_from_s(), week.drive().time_s.back());
      Branch bulk_alone = week.model().branch;
      for (BranchSegment& segment : bulk_alone.segments) segment.wall_m_per_s = 0;
      const auto without =
          LowestResiduals(bulk_alone, week.drive(), week.judge_from_s(), week.drive().time_s.back());
      for (size_t j = 0; j < lows.size(); ++j) {
        const double exact = week.smooth(j).lowest_mg_per_l;
        EXPECT_NEAR(lows[j].lowest_mg_per_l, exact, 0.05) << flushed << " " << demand_factor << " " << j;
        walls_matter += without[j].lowest_mg_per_l > exact + 0.05 ? 1 : 0;
      }
    }
  }
  EXPECT_GT(walls_matter, 12);  // of 18, or it would say nothing
}

// What the mean rate is for: with the walls' own laws every use in the street counts as mixing.
TEST(WithMeanWallLoss, KeepsWallsFromBeginningAnewAtEveryUse) {
  DeviceFacts facts = IronReach();
  facts.present->on = false;
  const Zone zone = Zone::Utc();
  const SpreadWeek week(facts, zone, NumbersOf(facts), FewWeeks(1).season);
  const EnsembleOptions options{
      .members = 2, .judge_from_s = week.judge_from_s(), .dispersion = {.cell_length_m = 5}};
  const Kinetics& kinetics = week.model().kinetics;
  const auto mean =
      SpreadUnderPulses(WithMeanWallLoss(week.model(), week.drive()), week.drive(), {}, options, kinetics);
  const auto anew = SpreadUnderPulses(week.model().branch, week.drive(), {}, options, kinetics);
  const double smooth = week.smooth(0).lowest_mg_per_l;
  EXPECT_NEAR(mean[0].lowest_mg_per_l[1], smooth, 0.1);
  EXPECT_LT(anew[0].lowest_mg_per_l[1], smooth - 0.2);
}

TEST(Differences, AreInWordsAndNoFinerThanWhatIsRead) {
  EXPECT_EQ(ResidualDifference(0.43, 0.45), "about the same");
  EXPECT_EQ(ResidualDifference(0.46, 0.54), "about the same");
  EXPECT_EQ(ResidualDifference(0.22, 0.46), "0.3 lower");
  EXPECT_EQ(ResidualDifference(0.6, 0.3), "0.3 higher");
  EXPECT_EQ(AgeDifference(25 * kSecondsPerHour, 24 * kSecondsPerHour), "about the same");
  EXPECT_EQ(AgeDifference(2.5 * kSecondsPerHour, 2 * kSecondsPerHour), "about the same");
  EXPECT_EQ(AgeDifference(30 * kSecondsPerHour, 24 * kSecondsPerHour), "6 h older");
  EXPECT_EQ(AgeDifference(3 * kSecondsPerDay, 6 * kSecondsPerDay), "3.0 d younger");
}

}  // namespace
}  // namespace lastreach
