// What a person has said of repairs, and the file itself, through the demo and every command of the map.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/test_program.h"
#include "store/run_command.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;

class TownProject : public InAFolder {
 protected:
  TownProject() { ExpectDone(RunProgram({"demo", Path("town")})); }

  std::string File() const { return Path("town/town.gpkg"); }
  Json Map(const std::vector<std::string>& more = {}) const {
    std::vector<std::string> words = {"map", File(), "--json"};
    words.insert(words.end(), more.begin(), more.end());
    const Answer answer = RunProgram(words);
    ExpectDone(answer);
    return answer.code == 0 ? Json::parse(answer.out) : Json();
  }
  // The one repair of the kind between the two lines, whatever it is called this time.
  static Json Between(const Json& map, const std::string& first, const std::string& second) {
    Json found;
    for (const Json& repair : map.at("repairs")) {
      const std::string a = repair.at("first").at("feature"), b = repair.at("second").at("feature");
      if ((a == first && b == second) || (a == second && b == first)) {
        EXPECT_TRUE(found.is_null()) << "two repairs between " << first << " and " << second;
        found = repair;
      }
    }
    EXPECT_FALSE(found.is_null()) << "no repair between " << first << " and " << second;
    return found;
  }
};

// FAULTS.csv: the 0.52 m gap between W-0148 and W-0149, all that feeds a street beyond it; the plant's main
// under W-0599, which is offered and not made.
TEST_F(TownProject, WhatWasSaidOfARepairStandsAfterTheMainsAreImportedAgain) {
  const Json before = Map();
  const Json gap = Between(before, "W-0148", "W-0149"), bridge = Between(before, "W-0734", "W-0599");
  ASSERT_EQ(gap.at("made"), true);
  ASSERT_EQ(bridge.at("made"), false);
  const Json said = Map({"--refuse", gap.at("id"), "--lock", bridge.at("id"), "--who", "operator",
                         "--because", "dug up in May"});
  EXPECT_EQ(said.at("parts").get<int>(), before.at("parts").get<int>() + 1);

  ExpectDone(RunProgram({"import", File(), Path("town/gis/mains.shp"), "--as", "mains"}));
  const Json after = Map();
  EXPECT_EQ(Between(after, "W-0148", "W-0149").at("decision"), "refused");
  EXPECT_EQ(Between(after, "W-0148", "W-0149").at("made"), false);
  EXPECT_EQ(Between(after, "W-0734", "W-0599").at("decision"), "locked");
  EXPECT_EQ(Between(after, "W-0734", "W-0599").at("made"), true);
  EXPECT_EQ(after.at("parts"), said.at("parts"));
  EXPECT_EQ(after.at("links"), said.at("links"));
  // All else is as it was.
  EXPECT_EQ(after.at("repairs").size(), before.at("repairs").size());
  int decided = 0;
  for (const Json& repair : after.at("repairs")) decided += repair.at("decision").is_null() ? 0 : 1;
  EXPECT_EQ(decided, 2);

  // And a later word goes before an earlier one, after yet another import.
  const Json again = Map({"--accept", Between(after, "W-0148", "W-0149").at("id")});
  EXPECT_EQ(Between(again, "W-0148", "W-0149").at("made"), true);
  ExpectDone(RunProgram({"import", File(), Path("town/gis/mains.shp"), "--as", "mains"}));
  EXPECT_EQ(Between(Map(), "W-0148", "W-0149").at("made"), true);
}

// GDAL's own check of GeoPackages is the judge. SOURCE: OGC 12-128r19, GeoPackage Encoding Standard 1.4.
TEST_F(TownProject, PassesTheGeoPackageCheckAfterMapEndsAndCheck) {
  (void)Map();
  ExpectDone(RunProgram({"ends", File()}));
  const Answer check = RunProgram({"check", File()});
  EXPECT_EQ(check.code, 1) << "the town has faults that check must find";
  EXPECT_EQ(check.err, "");
  const Finished judged =
      RunCommand("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + File() + "'");
  EXPECT_EQ(judged.status, 0) << judged.said;
  // What a GIS is to show is there and not empty.
  for (const char* layer : {"mains", "things", "services", "supply_areas", "set_aside", "network_nodes",
                            "network_links", "repairs", "quiet_places", "quiet_reaches"}) {
    const Finished seen = RunCommand("ogrinfo -ro -so '" + File() + "' " + layer);
    EXPECT_EQ(seen.status, 0) << seen.said;
    EXPECT_NE(seen.said.find("Feature Count: "), std::string::npos) << layer;
    EXPECT_EQ(seen.said.find("Feature Count: 0\n"), std::string::npos) << layer;
  }
}

}  // namespace
}  // namespace lastreach
