// Every fault of FAULTS.csv that joining up can see, and nothing that is none.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "tests/end_to_end/town_map.h"

namespace lastreach {
namespace {

class TownFaultsFound : public TownMap {
 protected:
  static constexpr double kPlace_m = 0.5;

  static double From_m(const Repair& repair, Position at) {
    return std::min(Ground_m(repair.at, at), Ground_m(repair.other, at));
  }
  static bool Names(const Repair& repair, const std::string& feature) {
    return repair.first.key == feature || repair.second.key == feature;
  }
  // Repairs at the place that name the feature.
  static std::vector<const Repair*> RepairsOf(const ListedFault& fault) {
    std::vector<const Repair*> found;
    for (const Repair& repair : made_.repairs) {
      if (Names(repair, fault.feature) && From_m(repair, fault.at) < kPlace_m) found.push_back(&repair);
    }
    return found;
  }
  static const SetAside* SetAsideOf(const std::string& feature) {
    const auto found = std::find_if(made_.set_aside.begin(), made_.set_aside.end(),
                                    [&](const SetAside& aside) { return aside.key.key == feature; });
    return found == made_.set_aside.end() ? nullptr : &*found;
  }
};

constexpr const char* kGapKinds[] = {"gap between ends", "end falls short", "end runs past",
                                     "island behind a gap"};

TEST_F(TownFaultsFound, EveryGapIsARepairThatIsMadeAtItsPlaceAndOfItsSize) {
  constexpr double kSize_m = 0.1;
  for (const char* kind : kGapKinds) {
    for (const ListedFault& fault : FaultsOf(kind)) {
      const std::vector<const Repair*> repairs = RepairsOf(fault);
      const bool found = std::any_of(repairs.begin(), repairs.end(), [&](const Repair* repair) {
        return repair->made && std::abs(repair->gap_m - fault.size_m) < kSize_m;
      });
      EXPECT_TRUE(found) << kind << " " << fault.feature << " of " << fault.size_m << " m; " << repairs.size()
                         << " repairs there"
                         << (repairs.empty() ? "" : ", gap " + std::to_string(repairs[0]->gap_m));
    }
  }
}

TEST_F(TownFaultsFound, CrossingsJoinedInTheGroundAreMadeOrOffered) {
  const std::vector<ListedFault> joined = FaultsOf("crossing joined without a vertex");
  EXPECT_EQ(joined.size(), 4U);
  for (const ListedFault& fault : joined) {
    EXPECT_EQ(RepairsOf(fault).size(), 1U) << fault.note;
    for (const Repair* repair : RepairsOf(fault)) EXPECT_EQ(repair->kind, RepairKind::kCrossing);
  }
}

TEST_F(TownFaultsFound, NoBridgeIsJoined) {
  const std::vector<ListedFault> bridges = FaultsOf("crossing that is a bridge");
  EXPECT_EQ(bridges.size(), 6U);
  for (const ListedFault& fault : bridges) {
    ASSERT_EQ(Named(fault).size(), 1U);
    for (const Repair& repair : made_.repairs) {
      EXPECT_FALSE(repair.made && From_m(repair, fault.at) < kPlace_m) << fault.note;
    }
    // Nor is there any node at the place that a link of both lines meets in.
    std::map<NodeIndex, std::set<std::string>> mains_at;
    for (const Link& link : made_.network.links) {
      if (!link.main) continue;
      mains_at[link.from].insert(link.main->key);
      mains_at[link.to].insert(link.main->key);
    }
    for (const auto& [node, mains] : mains_at) {
      if (mains.count(fault.feature) == 0 || mains.count(Named(fault).front()) == 0) continue;
      EXPECT_GT(Ground_m(*made_.network[node].at, fault.at), kPlace_m) << fault.note;
    }
  }
}

TEST_F(TownFaultsFound, NoRepairIsMadeWhereNothingIsWrong) {
  std::vector<ListedFault> faults = FaultsOf("crossing joined without a vertex");
  for (const char* kind : kGapKinds) {
    for (const ListedFault& fault : FaultsOf(kind)) faults.push_back(fault);
  }
  for (const Repair& repair : made_.repairs) {
    if (!repair.made) continue;
    const bool listed = std::any_of(faults.begin(), faults.end(), [&](const ListedFault& fault) {
      return Names(repair, fault.feature) && From_m(repair, fault.at) < kPlace_m;
    });
    EXPECT_TRUE(listed) << repair.id << " " << repair.first.key << " " << repair.second.key << ": "
                        << repair.why;
  }
}

TEST_F(TownFaultsFound, LinesThatAreNoMainsInUseAreSetAsideAndNothingElseIs) {
  size_t listed = 0;
  for (const char* kind :
       {"line without length", "main given up", "main of raw water", "line far from the town"}) {
    for (const ListedFault& fault : FaultsOf(kind)) {
      ++listed;
      ASSERT_NE(SetAsideOf(fault.feature), nullptr) << kind << " " << fault.feature;
      // Town metres are up to a thousandth off the ground's: the degrees of geography.cc have four digits.
      EXPECT_NEAR(SetAsideOf(fault.feature)->length_m, fault.size_m, 0.01 + 0.001 * fault.size_m) << kind;
      EXPECT_FALSE(SetAsideOf(fault.feature)->reason.empty());
    }
  }
  for (const ListedFault& fault : FaultsOf("doubled line")) {
    ++listed;
    ASSERT_EQ(Named(fault).size(), 1U);
    const std::string twin = Named(fault).front();
    const bool first = SetAsideOf(fault.feature) != nullptr, second = SetAsideOf(twin) != nullptr;
    EXPECT_NE(first, second) << fault.feature << ": one of the two, whichever";
  }
  EXPECT_EQ(made_.set_aside.size(), listed);
}

TEST_F(TownFaultsFound, UnknownDiametersAreFilledInAndSaySoAndNoOtherIs) {
  std::set<std::string> unknown;
  for (const ListedFault& fault : FaultsOf("diameter unknown")) unknown.insert(fault.feature);
  std::set<std::string> seen;
  for (const Link& link : made_.network.links) {
    if (link.kind != LinkKind::kPipe) continue;
    ASSERT_TRUE(link.main && link.inner_diameter_m) << link.id;
    EXPECT_GT(link.inner_diameter_m->value, 0.02) << link.id;
    const bool assumed = link.inner_diameter_m->origin.kind == OriginKind::kAssumed;
    EXPECT_EQ(assumed, unknown.count(link.main->key) > 0) << link.id;
    if (assumed) seen.insert(link.main->key);
  }
  for (const std::string& feature : unknown) {
    EXPECT_TRUE(seen.count(feature) > 0 || SetAsideOf(feature) != nullptr) << feature;
  }
}

// The list says what the blanks really are: "really 6 in". To ask the neighbours must be better than to take
// for every blank what is commonest in this town.
TEST_F(TownFaultsFound, WidthsFilledInAreMostlyTheTrueOnesAndMoreOftenThanTheCommonestWidth) {
  std::map<std::string, double> really_m;
  for (const ListedFault& fault : FaultsOf("diameter unknown")) {
    really_m[fault.feature] = Diameter::Inches(std::stod(fault.note.substr(7))).metres();
  }
  constexpr double kRounding_m = 0.001;
  double right_m = 0, all_m = 0;
  std::map<double, double> length_of_m;  // by true width
  for (const Link& link : made_.network.links) {
    if (!link.main || really_m.count(link.main->key) == 0) continue;
    const double width_m = really_m[link.main->key];
    all_m += link.length_m.value;
    length_of_m[width_m] += link.length_m.value;
    if (std::abs(link.inner_diameter_m->value - width_m) < kRounding_m) right_m += link.length_m.value;
  }
  const double commonest_m = length_of_m[Diameter::Inches(6).metres()];
  RecordProperty("right_share", std::to_string(right_m / all_m));
  RecordProperty("right_share_by_commonest", std::to_string(commonest_m / all_m));
  EXPECT_GT(right_m, commonest_m);
  EXPECT_GT(right_m, 0.75 * all_m);  // measured: 0.82
}

}  // namespace
}  // namespace lastreach
