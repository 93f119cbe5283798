// Every fault that FAULTS.csv lists is looked for in the layers as GDAL reads them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <set>
#include <sstream>

#include "town/test_layers.h"

namespace lastreach {
namespace {

class TownFaults : public WrittenLayers {
 protected:
  void SetUp() override {
    for (ReadFeature& main : Read("mains.shp")) {
      const std::string id = main.cells.at("MAIN_ID");
      mains_[id] = std::move(main);
    }
    faults_ = Read("FAULTS.csv");
  }

  std::vector<const ReadFeature*> Of(const std::string& kind) const {
    std::vector<const ReadFeature*> found;
    for (const ReadFeature& fault : faults_) {
      if (fault.cells.at("kind") == kind) found.push_back(&fault);
    }
    return found;
  }

  const ReadFeature& MainOf(const ReadFeature& fault) const { return mains_.at(fault.cells.at("feature")); }
  static double Size_m(const ReadFeature& fault) { return std::stod(fault.cells.at("size_m")); }
  static OGRPoint PlaceOf(const ReadFeature& fault) {
    return PointAt(std::stod(fault.cells.at("longitude")), std::stod(fault.cells.at("latitude")));
  }
  // The end of the line that lies at the fault's place.
  static OGRPoint EndAt(const ReadFeature& main, const OGRPoint& place) {
    OGRPoint first, last;
    main.shape->toLineString()->StartPoint(&first);
    main.shape->toLineString()->EndPoint(&last);
    return first.Distance(&place) < last.Distance(&place) ? first : last;
  }
  // The features a note names: "of W-0012", "W-0012 and W-0340 are joined".
  std::vector<const ReadFeature*> Named(const ReadFeature& fault) const {
    std::vector<const ReadFeature*> found;
    std::istringstream words(fault.cells.at("note"));
    for (std::string word; words >> word;) {
      while (!word.empty() && std::ispunct(static_cast<unsigned char>(word.back()))) word.pop_back();
      if (mains_.count(word)) found.push_back(&mains_.at(word));
    }
    return found;
  }
  static double NearestVertex_m(const ReadFeature& main, const OGRPoint& place) {
    double least_m = 1e9;
    for (const OGRPoint& vertex : *main.shape->toLineString())
      least_m = std::min(least_m, vertex.Distance(&place));
    return least_m;
  }

  std::map<std::string, ReadFeature> mains_;
  std::vector<ReadFeature> faults_;
};

// Places are written to a centimetre.
constexpr double kWritten_m = 0.02;

TEST_F(TownFaults, EndsThatFallShortOrRunPastAreThatFarFromTheirLine) {
  EXPECT_GE(Of("end falls short").size(), 15U);
  EXPECT_GE(Of("end runs past").size(), 5U);
  for (const char* kind : {"end falls short", "end runs past"}) {
    for (const ReadFeature* fault : Of(kind)) {
      const OGRPoint place = PlaceOf(*fault), end = EndAt(MainOf(*fault), place);
      EXPECT_LT(end.Distance(&place), kWritten_m);
      ASSERT_EQ(Named(*fault).size(), 1U);
      const OGRGeometry& host = *Named(*fault).front()->shape;
      EXPECT_NEAR(host.Distance(&end), Size_m(*fault), 0.005) << fault->cells.at("feature");
      EXPECT_TRUE(Size_m(*fault) > 0.02 && Size_m(*fault) < 2.01);
      // A crescent may meet the same line with its other end, so only what is near counts.
      const std::unique_ptr<OGRGeometry> near(end.Buffer(2.5));
      const std::unique_ptr<OGRGeometry> stump(MainOf(*fault).shape->Intersection(near.get()));
      EXPECT_EQ(static_cast<bool>(stump->Intersects(&host)), std::string(kind) == "end runs past")
          << fault->cells.at("feature");
    }
  }
}

TEST_F(TownFaults, GapsBetweenEndsAreAsWideAsSaid) {
  EXPECT_EQ(Of("gap between ends").size(), 12U);
  for (const ReadFeature* fault : Of("gap between ends")) {
    const std::string id = fault->cells.at("feature");
    // The line before it in the layer is the other half.
    char before[16];
    std::snprintf(before, sizeof before, "W-%04d", std::stoi(id.substr(2)) - 1);
    const ReadFeature& half = mains_.at(before);
    EXPECT_EQ(half.cells.at("STREET"), MainOf(*fault).cells.at("STREET"));
    EXPECT_NEAR(half.shape->Distance(MainOf(*fault).shape.get()), Size_m(*fault), 0.005) << id;
  }
}

TEST_F(TownFaults, LarkspurHangsOnOneGapOfThreeMetresWithAboutTwentyServices) {
  const auto island = Of("island behind a gap");
  ASSERT_EQ(island.size(), 1U);
  const OGRGeometry& drive = *MainOf(*island.front()).shape;
  double least_m = 1e9;
  for (const auto& [id, main] : mains_) {
    if (main.cells.at("STREET").starts_with("Larkspur")) continue;
    least_m = std::min(least_m, main.shape->Distance(&drive));
  }
  EXPECT_NEAR(least_m, 3, 0.02);
  int services = 0;
  for (const ReadFeature& service : Read("services.gpkg")) {
    for (const auto& [id, main] : mains_) {
      if (main.cells.at("STREET").starts_with("Larkspur") && main.shape->Distance(service.shape.get()) < 16) {
        ++services;
        break;
      }
    }
  }
  EXPECT_GE(services, 15);
  EXPECT_LE(services, 26);
}

TEST_F(TownFaults, CrossingsHaveNoVertexWhetherJoinedOrBridged) {
  EXPECT_EQ(Of("crossing joined without a vertex").size(), 4U);
  EXPECT_EQ(Of("crossing that is a bridge").size(), 6U);
  for (const char* kind : {"crossing joined without a vertex", "crossing that is a bridge"}) {
    for (const ReadFeature* fault : Of(kind)) {
      std::set<const ReadFeature*> both = {&MainOf(*fault)};
      for (const ReadFeature* main : Named(*fault)) both.insert(main);
      ASSERT_EQ(both.size(), 2U) << fault->cells.at("note");
      const OGRPoint place = PlaceOf(*fault);
      EXPECT_TRUE((*both.begin())->shape->Crosses((*both.rbegin())->shape.get())) << fault->cells.at("note");
      for (const ReadFeature* main : both) {
        EXPECT_LT(main->shape->Distance(&place), kWritten_m);
        EXPECT_GT(NearestVertex_m(*main, place), 1) << main->cells.at("MAIN_ID");
      }
    }
  }
}

TEST_F(TownFaults, DoubledLinesLieOnTheirTwinAndTwoAreReversed) {
  EXPECT_EQ(Of("doubled line").size(), 5U);
  int reversed = 0;
  for (const ReadFeature* fault : Of("doubled line")) {
    ASSERT_EQ(Named(*fault).size(), 1U);
    const OGRLineString &twin = *MainOf(*fault).shape->toLineString(),
                        &once = *Named(*fault).front()->shape->toLineString();
    ASSERT_EQ(twin.getNumPoints(), once.getNumPoints());
    OGRPoint twin_start, once_start;
    twin.StartPoint(&twin_start);
    once.StartPoint(&once_start);
    reversed += twin_start.Distance(&once_start) > 1 ? 1 : 0;
    EXPECT_TRUE(twin.Distance(&once) < 1e-6 && std::abs(twin.get_Length() - once.get_Length()) < 1e-6);
  }
  EXPECT_EQ(reversed, 2);
}

TEST_F(TownFaults, StrayLinesAreThere) {
  EXPECT_EQ(Of("line without length").size(), 2U);
  for (const ReadFeature* fault : Of("line without length"))
    EXPECT_EQ(MainOf(*fault).shape->toLineString()->get_Length(), 0);
  ASSERT_EQ(Of("line far from the town").size(), 1U);
  const OGRPoint town = PointAt(-99.9, 42.25);
  EXPECT_GT(MainOf(*Of("line far from the town").front()).shape->Distance(&town), 100e3);
  ASSERT_EQ(Of("main given up").size(), 1U);
  EXPECT_EQ(MainOf(*Of("main given up").front()).cells.at("STATUS"), "abandoned");
  ASSERT_EQ(Of("main of raw water").size(), 1U);
  EXPECT_EQ(MainOf(*Of("main of raw water").front()).cells.at("CONTENTS"), "raw water");
}

TEST_F(TownFaults, OneLineHasTwoPartsThatEndAtTheSamePoint) {
  ASSERT_EQ(Of("second part drawn backwards").size(), 1U);
  const OGRMultiLineString& parts =
      *MainOf(*Of("second part drawn backwards").front()).shape->toMultiLineString();
  ASSERT_EQ(parts.getNumGeometries(), 2);
  // Drawn the right way round, the second would begin where the first ends.
  OGRPoint first_end, second_end;
  parts.getGeometryRef(0)->EndPoint(&first_end);
  parts.getGeometryRef(1)->EndPoint(&second_end);
  const bool second_ends_at_middle = first_end.Distance(&second_end) < 0.001;
  OGRPoint second_start;
  parts.getGeometryRef(1)->StartPoint(&second_start);
  EXPECT_TRUE(second_ends_at_middle) << first_end.Distance(&second_start);
}

TEST_F(TownFaults, OneMainIsCutInTwelveShortBits) {
  ASSERT_EQ(Of("main cut in short bits").size(), 1U);
  const ReadFeature& last = MainOf(*Of("main cut in short bits").front());
  int bits = 0;
  for (const auto& [id, main] : mains_) {
    if (main.cells.at("STREET") != last.cells.at("STREET") || main.shape->toLineString() == nullptr) continue;
    const double length_m = main.shape->toLineString()->get_Length();
    bits += length_m > 1.9 && length_m < 5.1 ? 1 : 0;
  }
  EXPECT_EQ(bits, 12);
}

TEST_F(TownFaults, UnknownDiametersAndMaterialsAreAllListedInFourSpellings) {
  std::set<std::string> spellings, listed;
  for (const ReadFeature* fault : Of("diameter unknown")) listed.insert(fault->cells.at("feature"));
  size_t unknown = 0, materials = 0;
  for (const auto& [id, main] : mains_) {
    const std::string& typed = main.cells.at("DIAM_IN");
    materials += main.cells.at("MATERIAL") == "UNK" ? 1 : 0;
    if (typed != "UNK" && typed != "0" && typed != "-9.99" && !typed.empty()) continue;
    spellings.insert(typed);
    EXPECT_TRUE(listed.count(id)) << id;
    ++unknown;
  }
  EXPECT_EQ(unknown, listed.size());
  EXPECT_EQ(materials, Of("material unknown").size());
  EXPECT_EQ(spellings.size(), 4U);
  EXPECT_NEAR(1.0 * static_cast<double>(unknown) / static_cast<double>(mains_.size()), 0.1, 0.03);
}

TEST_F(TownFaults, TheForgottenValveIsClosedAndFarFromTheRailway) {
  ASSERT_EQ(Of("valve somebody forgot shut").size(), 1U);
  const ReadFeature& fault = *Of("valve somebody forgot shut").front();
  for (const ReadFeature& valve : Read("valves.geojson")) {
    if (valve.cells.at("valve_id") == fault.cells.at("feature")) {
      EXPECT_EQ(valve.cells.at("state"), "closed");
      const OGRPoint place = PlaceOf(fault);
      EXPECT_LT(valve.shape->Distance(&place), kWritten_m);
    }
  }
}

TEST_F(TownFaults, TheReadmeCountsEveryKind) {
  std::ifstream file(Path("README.txt"));
  std::ostringstream text;
  text << file.rdbuf();
  std::map<std::string, int> count;
  for (const ReadFeature& fault : faults_) ++count[fault.cells.at("kind")];
  EXPECT_EQ(count.size(), 17U);
  for (const auto& [kind, number] : count)
    EXPECT_NE(text.str().find(" " + std::to_string(number) + "  " + kind + " ("), std::string::npos) << kind;
}

}  // namespace
}  // namespace lastreach
