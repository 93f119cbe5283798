// Water by month, trips and prices; and what a file of the fifth version gains.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "store/database.h"
#include "store/project_fixture.h"
#include "store/schema.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

MonthWater FullMonth() {
  MonthWater water{"North", 8, {}, {}, {}};
  water.temperature = {
      {Temperature::Fahrenheit(79), {OriginKind::kMeasured, "plant log", {}, "warmest week"}}};
  water.use_factor = {{1.35, Typed("billing")}};
  water.upstream_residual = {{Concentration::MilligramsPerLitre(0.9), Typed("tap")}};
  return water;
}

TEST_F(ProjectFile, TheWaterOfAMonthReadsBackFullAndEmptyInOrder) {
  Project project = New();
  const MonthWater full = FullMonth();
  const MonthWater bare{"North", 2, {}, {}, {}};
  const MonthWater other{"Hill", 11, {}, {{0.8, Typed("")}}, {}};
  for (const MonthWater& water : {full, bare, other}) ASSERT_TRUE(project.PutMonthWater(water).ok());
  EXPECT_THAT(*project.MonthWaters(), ElementsAre(other, bare, full));
}

TEST_F(ProjectFile, PuttingTheWaterOfAMonthAgainTakesThePlaceOfWhatWasThere) {
  Project project = New();
  ASSERT_TRUE(project.PutMonthWater(FullMonth()).ok());
  MonthWater less = FullMonth();
  less.use_factor.reset();
  ASSERT_TRUE(project.PutMonthWater(less).ok());
  EXPECT_THAT(*project.MonthWaters(), ElementsAre(less));
}

TEST_F(ProjectFile, AMonthThatIsNoneIsRefused) {
  Project project = New();
  for (const int month : {0, 13, -1}) {
    MonthWater water = FullMonth();
    water.month = month;
    EXPECT_EQ(project.PutMonthWater(water).error().code, ErrorCode::kBadInput);
  }
  EXPECT_FALSE(project.PutMonthWater({"", 1, {}, {}, {}}).ok());
  EXPECT_THAT(*project.MonthWaters(), IsEmpty());
}

TEST_F(ProjectFile, TripsReadBackAreAddedOnceAndCanBeTakenAway) {
  Project project = New();
  std::vector<Trip> trips = {{{}, LimitScope::kSystem, "", kEveryMonth, "meter reads"},
                             {{}, LimitScope::kPoint, "FP-014", Months{(1U << 4U) | (1U << 10U)}, "battery"},
                             {{}, LimitScope::kZone, "North", *ParseDate("2027-04-14"), "hydrants"}};
  for (Trip& trip : trips) trip.id = *project.AddTrip(trip);
  EXPECT_EQ(*project.Trips(), trips);
  EXPECT_EQ(*project.AddTrip(trips[1]), trips[1].id);
  EXPECT_EQ(project.Trips()->size(), 3U);
  ASSERT_TRUE(project.RemoveTrip(trips[0].id).ok());
  EXPECT_THAT(*project.Trips(), ElementsAre(trips[1], trips[2]));
  EXPECT_EQ(project.RemoveTrip(trips[0].id).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectFile, ATripInNoMonthIsRefused) {
  Project project = New();
  EXPECT_FALSE(project.AddTrip({{}, LimitScope::kSystem, "", Months{0}, ""}).ok());
  EXPECT_FALSE(project.AddTrip({{}, LimitScope::kSystem, "", Months{0x1000}, ""}).ok());
}

TEST_F(ProjectFile, PricesAreOneRecordAndNoneAtFirst) {
  Project project = New();
  EXPECT_EQ(*project.PricesNow(), Prices{});
  const Prices first{"USD", {{1.28, Typed("rate sheet")}}, {}};
  const Prices second{"USD", {{1.31, Typed("rate sheet")}}, {{65, Typed("two people, an hour")}}};
  ASSERT_TRUE(project.PutPrices(first).ok());
  EXPECT_EQ(*project.PricesNow(), first);
  ASSERT_TRUE(project.PutPrices(second).ok());
  EXPECT_EQ(*project.PricesNow(), second);
}

// A file as the fifth version wrote it.
void WriteVersion5(const std::string& path) {
  { const std::ofstream claim(path, std::ios::binary); }
  const auto raw = Database::Open(path, 1000);
  ASSERT_TRUE(raw.ok());
  const Status laid = (*raw)->InTransaction([&]() -> Status {
    if (const Status frame = WriteGeoPackageFrame(**raw); !frame.ok()) return frame;
    return Migrate(**raw, 5);
  });
  ASSERT_TRUE(laid.ok());
  const Status filled = (*raw)->RunScript(
      "INSERT INTO project VALUES (1, 'Alderbrook', 'America/Chicago', '2026-07-01T12:00:00.000Z');"
      "INSERT INTO flush_points (code, kind, place, supply_zone, controller, discharge, isolation_valve, "
      "meter, notes) VALUES ('FP-014', 'device', 'Heron Lane', 'North', '', 'road', '', '', '');"
      "INSERT INTO limits (scope, subject, rule, from_min, to_min, days, source) VALUES "
      "('point', 'FP-014', 'forbidden hours', 435, 540, 31, 'school');"
      "INSERT INTO limits (scope, subject, rule, volume_m3, source) VALUES "
      "('system', '', 'most volume a day', 20, 'permit 12');"
      "INSERT INTO limits (scope, subject, rule, residual_mg_per_l, source) VALUES "
      "('zone', 'North', 'least residual', 0.2, 'state rule');");
  ASSERT_TRUE(filled.ok()) << filled.error().ToString();
}

TEST_F(ProjectFile, AFileOfTheFifthVersionKeepsItsPointsAndLimitsAndTakesTheNewOnes) {
  WriteVersion5(Path());
  auto project = Project::Open(Path());
  ASSERT_TRUE(project.ok()) << project.error().ToString();
  FlushPoint old;
  old.code = Code();
  old.kind = PointKind::kDevice;
  old.place = "Heron Lane";
  old.supply_zone = "North";
  old.discharge = DischargeTo::kRoad;
  EXPECT_THAT(*project->FlushPoints(), ElementsAre(old));
  const std::vector<Limit> limits = {
      {LimitId{1}, LimitScope::kPoint, "FP-014", ForbiddenHours{435, 540, {0x1F}}, "school"},
      {LimitId{2}, LimitScope::kSystem, "", MostVolumeADay{Volume::CubicMetres(20)}, "permit 12"},
      {LimitId{3}, LimitScope::kZone, "North", LeastResidual{Concentration::MilligramsPerLitre(0.2)},
       "state rule"}};
  EXPECT_EQ(*project->Limits(), limits);
  EXPECT_THAT(*project->MonthWaters(), IsEmpty());
  EXPECT_THAT(*project->Trips(), IsEmpty());
  EXPECT_EQ(*project->PricesNow(), Prices{});
  ASSERT_TRUE(project->PutFlushPoint(FullPoint()).ok());
  EXPECT_THAT(*project->FlushPoints(), ElementsAre(FullPoint()));
  ASSERT_TRUE(project->AddLimit({{}, LimitScope::kPoint, "FP-014", FrostMonths{}, "crew"}).ok());
  ASSERT_TRUE(project->PutMonthWater(FullMonth()).ok());
  ASSERT_TRUE(project->AddTrip({{}, LimitScope::kSystem, "", kEveryMonth, "reads"}).ok());
  EXPECT_EQ(project->Limits()->size(), 4U);
  EXPECT_EQ(*SchemaVersion(**Database::Open(Path(), 1000)), NewestSchemaVersion());
}

}  // namespace
}  // namespace lastreach
