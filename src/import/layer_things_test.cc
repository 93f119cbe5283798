#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "import/layer_by_hand.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(Things, ValvesKnowWhetherTheyAreShut) {
  const auto closed = [](const std::string& heading, const std::vector<std::string>& words) {
    std::vector<std::vector<std::string>> rows;
    std::vector<Shape> shapes;
    for (const std::string& word : words) {
      rows.push_back({std::to_string(rows.size() + 1), word});
      shapes.push_back(Point(0, static_cast<double>(rows.size())));
    }
    const auto imported = Import(LayerOf({"id", heading}, rows, shapes), TableKind::kValves);
    EXPECT_TRUE(imported.ok());
    std::vector<bool> read;
    for (const DrawnThing& thing : imported->things) read.push_back(thing.closed);
    return read;
  };
  EXPECT_THAT(
      closed("Normal Position", {"Closed", "NC", "N/C", "shut", "Open", "NO", "N/O", "normally open", ""}),
      ElementsAre(true, true, true, true, false, false, false, false, false));
  EXPECT_THAT(closed("Closed", {"1", "0", "yes", "No", "Y", "x"}),
              ElementsAre(true, false, true, false, true, true));
  EXPECT_THAT(closed("NormallyOpen", {"1", "0", "Yes", "No", "closed"}),
              ElementsAre(false, true, false, true, true));
  // A bare 1 under "position" could be either.
  EXPECT_THAT(closed("position", {"1", "Closed"}), ElementsAre(false, true));
}

TEST(Things, BlowOffsAmongValvesAndThingsThatAreGoneAreToldApart) {
  const auto imported =
      Import(LayerOf({"id", "type", "status"},
                     {{"1", "Gate", "Active"}, {"2", "Blow-off", "Active"}, {"3", "Gate", "Removed"}},
                     {Point(0, 0), Point(0, 1), Point(0, 2)}),
             TableKind::kValves);
  ASSERT_EQ(imported->things.size(), 2U);
  EXPECT_EQ(imported->things[0].kind, ThingKind::kValve);
  EXPECT_EQ(imported->things[1].kind, ThingKind::kBlowOff);
  ASSERT_EQ(imported->set_aside.size(), 1U);
  EXPECT_EQ(imported->set_aside[0].reason, "it is marked abandoned");
}

TEST(Things, AStateOfOpenOrClosedIsThatOfTheValve) {
  const auto imported = Import(LayerOf({"id", "state"}, {{"1", "open"}, {"2", "closed"}, {"3", ""}},
                                       {Point(0, 0), Point(0, 1), Point(0, 2)}),
                               TableKind::kValves);
  ASSERT_EQ(imported->things.size(), 3U);
  EXPECT_FALSE(imported->things[0].closed);
  EXPECT_TRUE(imported->things[1].closed);
  EXPECT_THAT(imported->notes, ElementsAre(HasSubstr("status: 33 % unknown")));
}

TEST(Things, WorksOfOneLayerAreToldApartByTheirType) {
  const auto imported = Import(LayerOf({"name", "kind", "elevation_m", "head_m", "level_m"},
                                       {{"Plant", "source", "", "650", ""},
                                        {"Booster", "pump", "600", "", ""},
                                        {"Hilltop", "tank", "640", "", "4.5"}},
                                       {Point(0, 0), Point(0, 1), Point(0, 2)}),
                               TableKind::kTanks);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_EQ(imported->things.at(0).kind, ThingKind::kSource);
  EXPECT_EQ(imported->things.at(0).head_m, 650);
  EXPECT_EQ(imported->things.at(1).kind, ThingKind::kPump);
  EXPECT_FALSE(imported->things.at(1).head_m.has_value());
  EXPECT_EQ(imported->things.at(2).kind, ThingKind::kTank);
  EXPECT_EQ(imported->things.at(2).head_m, 644.5);
}

TEST(MapLayer, FindsUnitsBehindAnUnderscore) {
  const auto mains =
      MapLayer(LayerOf({"MAIN_ID", "DIAM_IN", "LENGTH_FT", "CONTENTS"}, {{"1", "6", "316", "potable"}}),
               TableKind::kMains);
  ASSERT_TRUE(mains.ok()) << mains.error().ToString();
  EXPECT_THAT(mains->unused_headings, IsEmpty());
  EXPECT_EQ(mains->Find("diameter")->unit->name, "in");
  EXPECT_EQ(mains->Find("length")->unit_why, "in the heading");
  const auto services = MapLayer(LayerOf({"account", "use_kgal_per_month"}, {{"1", "6"}}, {Point(0, 0)}),
                                 TableKind::kServicePlaces);
  ASSERT_TRUE(services.ok()) << services.error().ToString();
  EXPECT_EQ(services->Find("use")->unit->name, "kgal/month");
}

TEST(Things, ATankIsInTheMiddleOfItsOutlineWithItsHead) {
  const auto imported =
      Import(LayerOf({"id", "name", "overflow elevation (ft)"}, {{"T-1", "Hilltop", "1,000"}},
                     {Shape{ShapeKind::kArea, {{{{0, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 0}}}}, ""}}),
             TableKind::kTanks);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_EQ(imported->things[0].kind, ThingKind::kTank);
  EXPECT_EQ(imported->things[0].name, "Hilltop");
  EXPECT_NEAR(*imported->things[0].head_m, 304.8, 1e-9);
  EXPECT_NEAR(imported->things[0].at.longitude_deg, 1, 1e-12);
}

TEST(Services, UseIsAnAverageFlowHoweverItIsTold) {
  const std::vector<Shape> at = {Point(0, 0)};
  const auto flow = [&](std::vector<std::string> headings, std::vector<std::string> cells,
                        std::optional<double> period_days = {}) {
    FeatureOptions options;
    options.period_days = period_days;
    const auto imported =
        Import(LayerOf(std::move(headings), {std::move(cells)}, at), TableKind::kServicePlaces, options);
    if (!imported.ok()) return -1.0;
    return imported->services[0].use ? imported->services[0].use->value.cubic_metres_per_day() : -2.0;
  };
  // A month is 365.25 / 12 days; gallon and cubic foot as NIST SP 811.
  EXPECT_NEAR(flow({"meter", "use (m3/month)"}, {"1", "12"}), 12 / 30.4375, 1e-9);
  EXPECT_NEAR(flow({"meter", "Usage kgal/month"}, {"1", "5"}), 5 * 3.785411784 / 30.4375, 1e-9);
  EXPECT_NEAR(flow({"meter", "avg use (gpd)"}, {"1", "200"}), 0.2 * 3.785411784, 1e-9);
  EXPECT_NEAR(flow({"meter", "consumption (CCF)", "days"}, {"1", "10", "30"}), 10 * 2.8316846592 / 30, 1e-9);
  EXPECT_NEAR(flow({"meter", "read_old (m3)", "read_new (m3)", "period days"}, {"1", "933", "957", "30"}),
              0.8, 1e-9);
  EXPECT_NEAR(flow({"meter", "read_old (m3)", "read_new (m3)", "previous date", "current date"},
                   {"1", "933", "957", "2026-06-01", "2026-07-01"}),
              0.8, 1e-9);
  EXPECT_NEAR(flow({"meter", "read_old (m3)", "read_new (m3)"}, {"1", "933", "957"}, 24.0), 1, 1e-9);
  EXPECT_NEAR(flow({"meter", "use (m3/d)"}, {"1", "0"}), 0, 1e-12);  // a customer who is away is no unknown
  // Over how many days? Under which unit? Was the meter changed?
  EXPECT_EQ(flow({"meter", "read_old (m3)", "read_new (m3)"}, {"1", "933", "957"}), -1);
  EXPECT_EQ(flow({"meter", "use"}, {"1", "12"}), -1);
  EXPECT_EQ(flow({"meter", "read_old (m3)", "read_new (m3)"}, {"1", "957", "933"}, 30.0), -2);
}

TEST(Services, StandAtTheEndOfTheirLineOrInTheirParcel) {
  const Shape parcel{ShapeKind::kArea, {{{{0, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 0}}}}, ""};
  const auto imported = Import(LayerOf({"id", "address", "units", "status"},
                                       {{"1", "12 Elm St", "3", ""},
                                        {"2", "14 Elm St", "", ""},
                                        {"3", "16 Elm St", "0", ""},
                                        {"4", "18 Elm St", "1", "inactive"}},
                                       {parcel, Line({{0, 0}, {5, 5}}), Point(0, 0), Point(1, 1)}),
                               TableKind::kServicePlaces);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  ASSERT_EQ(imported->services.size(), 2U);
  EXPECT_NEAR(imported->services[0].at.longitude_deg, 1, 1e-12);
  EXPECT_EQ(imported->services[0].count, 3);
  EXPECT_EQ(imported->services[1].at, (Position{5, 5}));
  EXPECT_EQ(imported->services[1].street, "14 Elm St");
  EXPECT_EQ(imported->set_aside.size(), 2U);
  EXPECT_EQ(imported->rows_in, 4);
}

TEST(Zones, AreAreasWithAName) {
  const Shape area{
      ShapeKind::kArea, {{{{0, 0}, {2, 0}, {2, 2}, {0, 0}}}, {{{5, 5}, {6, 5}, {6, 6}, {5, 5}}}}, ""};
  const auto imported =
      Import(LayerOf({"id", "zone"}, {{"1", "High"}, {"2", ""}}, {area, area}), TableKind::kZoneAreas);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  ASSERT_EQ(imported->areas.size(), 1U);
  EXPECT_EQ(imported->areas[0].polygons.size(), 2U);
  ASSERT_EQ(imported->rejected.size(), 1U);
  const Shape sliver{ShapeKind::kArea, {{{{0, 0}, {2, 0}, {0, 0}}}}, ""};
  const auto flat = Import(LayerOf({"id", "zone"}, {{"1", "High"}}, {sliver}), TableKind::kZoneAreas);
  EXPECT_THAT(flat->rejected.at(0).reason, HasSubstr("fewer than three corners"));
}

}  // namespace
}  // namespace lastreach
