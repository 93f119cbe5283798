#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_sheets.h"
#include "store/project.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

// A place east and north of a corner of the town, in metres: a degree is 111.3 km at the equator.
Position Spot(double x_m, double y_m) { return {10 + x_m / 111320, y_m / 110574}; }

DrawnMain Main(const std::string& key, const std::vector<Position>& line) {
  DrawnMain main;
  main.key = {"mains.gpkg", key};
  main.line = line;
  main.diameter = Sourced<Diameter>{Diameter::Millimetres(150), {}};
  main.street = "Mill Street";
  return main;
}

// A trunk main, a branch without a diameter drawn 0.3 m short of it, a branch 4 m short, and an abandoned
// line.
class MapCommand : public WithAProject {
 protected:
  MapCommand() {
    Project project = Opened();
    DrawnMain blank = Main("near", {Spot(100, 0.3), Spot(100, 200)});
    blank.diameter.reset();
    DrawnMain old = Main("old", {Spot(0, 50), Spot(300, 50)});
    old.status = MainStatus::kAbandoned;
    EXPECT_TRUE(project
                    .PutMains("mains.gpkg", {Main("trunk", {Spot(0, 0), Spot(400, 0)}), blank,
                                             Main("far", {Spot(200, 4), Spot(200, 200)}), old})
                    .ok());
    EXPECT_TRUE(project.PutSetAside("mains.gpkg", {{{"mains.gpkg", "dot"}, "it has no length", 0, {}}}).ok());
    EXPECT_TRUE(project
                    .PutThings("tanks.gpkg", ThingKind::kTank,
                               {{{"tanks.gpkg", "T"}, ThingKind::kTank, Spot(0, 0), "Hill", "", false, 60.0}})
                    .ok());
    EXPECT_TRUE(project
                    .PutServiceLayer("meters.gpkg", {{{"meters.gpkg", "1"}, Spot(110, 100), "Mill St", 2, {}},
                                                     {{"meters.gpkg", "2"}, Spot(5000, 0), "", 1, {}}})
                    .ok());
  }
  Project Opened() const { return std::move(*Project::Open(project_)); }
  Json Made(std::vector<std::string> more = {}) const {
    std::vector<std::string> words = {"map", project_, "--json"};
    words.insert(words.end(), more.begin(), more.end());
    const Answer answer = RunProgram(words);
    ExpectDone(answer);
    return Json::parse(answer.out);
  }
  static Json RepairOf(const Json& json, const std::string& feature) {
    for (const Json& repair : json.at("repairs")) {
      if (repair.at("first").at("feature") == feature || repair.at("second").at("feature") == feature) {
        return repair;
      }
    }
    return {};
  }
};

TEST_F(MapCommand, MakesANetworkAndSaysWhatItDidAndWhy) {
  const Json json = Made({"--tolerance", "1"});
  EXPECT_EQ(json.at("tolerance_m"), 1.0);
  EXPECT_FALSE(json.at("tolerance_why").get<std::string>().empty());
  EXPECT_NEAR(json.at("drawn_m").get<double>(), 400 + 199.7 + 196, 1);
  const Json near = RepairOf(json, "near");
  EXPECT_EQ(near.at("made"), true);
  EXPECT_EQ(near.at("kind"), "end to line");
  EXPECT_NEAR(near.at("gap_m").get<double>(), 0.3, 0.01);
  EXPECT_FALSE(near.at("why").get<std::string>().empty());
  EXPECT_NEAR(near.at("longitude_deg").get<double>(), Spot(100, 0).longitude_deg, 1e-6);
  // The import's, and the abandoned main.
  EXPECT_EQ(json.at("set_aside").size(), 2U);
  EXPECT_EQ(json.at("set_aside")[0].at("reason"), "it has no length");
  EXPECT_EQ(json.at("set_aside")[1].at("feature"), "old");
  EXPECT_EQ(json.at("things").at("placed").at("tank"), 1);
  EXPECT_EQ(json.at("customers").at("connections"), 2);
  EXPECT_EQ(json.at("customers").at("unserved"), 1);

  EXPECT_NEAR(json.at("filled_in").at("diameter").at("filled_m").get<double>(), 199.7, 0.5);
  EXPECT_EQ(json.at("filled_in").at("diameter").at("filled_links"), 1);

  const Project project = Opened();
  EXPECT_EQ(*project.NetworkMadeFrom(), "map");
  const Network network = **project.LoadNetwork();
  EXPECT_EQ(network.nodes.size(), json.at("nodes").get<size_t>());
  EXPECT_EQ(network.links.size(), json.at("links").get<size_t>());
  EXPECT_EQ(project.Repairs()->size(), json.at("repairs").size());
}

TEST_F(MapCommand, TheTextHasEveryRepairWithItsPlaceAndReason) {
  const Json json = Made({"--tolerance", "1"});
  const Answer answer = RunProgram({"map", project_, "--tolerance", "1"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Tolerance 1.00 m: set by hand."));
  EXPECT_THAT(answer.out, HasSubstr("Connected parts: 3 as drawn, "));
  for (const Json& repair : json.at("repairs")) {
    EXPECT_THAT(answer.out, HasSubstr(repair.at("id").get<std::string>()));
    EXPECT_THAT(answer.out, HasSubstr(repair.at("why").get<std::string>()));
  }
  EXPECT_THAT(answer.out, HasSubstr("mains.gpkg dot"));
  EXPECT_THAT(answer.out, HasSubstr("1 tank"));
  EXPECT_THAT(answer.out, HasSubstr("1 with no main near"));
  EXPECT_THAT(answer.out, HasSubstr("diameter: 0.2 km of 0.8 km"));
}

TEST_F(MapCommand, WhereNoThingFindsAMainNoKindsAreCounted) {
  EXPECT_TRUE(Opened()
                  .PutThings("tanks.gpkg", ThingKind::kTank,
                             {{{"tanks.gpkg", "T"}, ThingKind::kTank, Spot(0, 900), "Hill", "", false, 60.0}})
                  .ok());
  const Answer answer = RunProgram({"map", project_});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("\n0 things placed on the network.\n1 thing left out:\n"));
}

TEST_F(MapCommand, WhatAPersonRefusesStaysRefusedUntilTheySayOtherwise) {
  const Json before = Made({"--tolerance", "1"});
  const std::string id = RepairOf(before, "near").at("id");
  const Json after = Made({"--tolerance", "1", "--refuse", id, "--who", "J. Doe", "--because", "two zones"});
  EXPECT_EQ(RepairOf(after, "near").at("made"), false);
  EXPECT_EQ(RepairOf(after, "near").at("decision"), "refused");
  EXPECT_EQ(after.at("parts").get<int>(), before.at("parts").get<int>() + 1);
  EXPECT_EQ(RepairOf(Made({"--tolerance", "1"}), "near").at("made"), false);
  {
    const std::vector<RepairDecision> kept = *Opened().RepairDecisions();
    ASSERT_EQ(kept.size(), 1U);
    EXPECT_EQ(kept[0].who, "J. Doe");
    EXPECT_EQ(kept[0].why, "two zones");
    EXPECT_EQ(kept[0].when, *ParseRfc3339(kTestNow));
  }
  const std::string again = RepairOf(Made({"--tolerance", "1"}), "near").at("id");
  EXPECT_EQ(RepairOf(Made({"--tolerance", "1", "--accept", again}), "near").at("made"), true);
  EXPECT_EQ(Opened().RepairDecisions()->size(), 2U);
}

TEST_F(MapCommand, ALockedRepairIsMadeAtAnyTolerance) {
  const Json wide = Made({"--tolerance", "6"});
  ASSERT_EQ(RepairOf(wide, "far").at("made"), true);
  Made({"--tolerance", "6", "--lock", RepairOf(wide, "far").at("id")});
  const Json narrow = Made({"--tolerance", "0.1", "--island-reach", "0"});
  EXPECT_EQ(RepairOf(narrow, "far").at("made"), true);
  EXPECT_EQ(RepairOf(narrow, "far").at("decision"), "locked");
  EXPECT_EQ(narrow.at("parts"), 2);  // the near one is left alone at that tolerance
}

TEST_F(MapCommand, NoughtsInAnIdMayBeLeftAway) {
  std::string id = RepairOf(Made({"--tolerance", "1"}), "near").at("id");
  id.erase(1, id.find_first_not_of('0', 1) - 1);
  EXPECT_EQ(RepairOf(Made({"--tolerance", "1", "--refuse", id}), "near").at("decision"), "refused");
}

TEST_F(MapCommand, AnIdThatIsNotThereIsRefusedAndNothingIsRecorded) {
  const Json before = Made({"--tolerance", "1"});
  const std::string id = RepairOf(before, "near").at("id");
  ExpectRefused(RunProgram({"map", project_, "--refuse", id, "--lock", "R9999"}), {project_, "'R9999'"});
  ExpectRefused(RunProgram({"map", project_, "--refuse", id, "--lock", id}), {id, "twice"});
  EXPECT_TRUE(Opened().RepairDecisions()->empty());
}

TEST_F(MapCommand, AnInflowIsBalanced) {
  const Json customers = Made({"--inflow", "2 L/s", "--losses", "25"}).at("customers");
  EXPECT_NEAR(customers.at("losses_m3_per_s").get<double>(), 0.0005, 1e-9);
  EXPECT_NEAR(
      customers.at("unmetered_m3_per_s").get<double>() + customers.at("losses_m3_per_s").get<double>(), 0.002,
      1e-9);
}

TEST_F(MapCommand, RefusesWhatCannotBeMeant) {
  ExpectRefused(RunProgram({"map", project_, "--tolerance", "-1"}), {"--tolerance"});
  ExpectRefused(RunProgram({"map", project_, "--island-reach", "nan"}), {"--island-reach"});
  ExpectRefused(RunProgram({"map", project_, "--inflow", "2.1"}), {"--inflow", "unit"});
  ExpectRefused(RunProgram({"map", project_, "--losses", "10"}), {"--losses", "--inflow"});
  ExpectRefused(RunProgram({"map", project_, "--inflow", "1 L/s", "--losses", "100"}), {"--losses"});
  ExpectRefused(RunProgram({"map", Path("nowhere.gpkg")}), {Path("nowhere.gpkg")});
  EXPECT_FALSE(Opened().LoadNetwork()->has_value());
}

TEST_F(MapCommand, AProjectWithoutMainsIsToldTheWay) {
  ExpectDone(RunProgram({"new", Path("bare.gpkg"), "--zone", "UTC"}));
  ExpectRefused(RunProgram({"map", Path("bare.gpkg")}), {Path("bare.gpkg"), "--as mains"});
}

}  // namespace
}  // namespace lastreach
