#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "app/project_map.h"
#include "network/quiet_place.h"
#include "town/geography.h"

namespace lastreach {

// A row of FAULTS.csv: what somebody drew wrongly on purpose.
struct ListedFault {
  std::string kind;
  std::string feature;
  Position at;
  double size_m = 0;
  std::string note;
};

Position OnTheMap(TownPoint point);

// Metres over the ground by a geodesy library's inverse problem on WGS 84, not by our own plane.
// SOURCE: Karney, Algorithms for geodesics, Journal of Geodesy 87, 43-55, 2013 (the library's method).
double Ground_m(Position a, Position b);
double Ground_m(const std::vector<Position>& line);

// The invented town as the program makes it of the demo's messy layers, made once for each suite of tests.
// The truth is town/true_network.h; it never went through a layer.
class TownMap : public ::testing::Test {
 protected:
  static void SetUpTestSuite();
  static void TearDownTestSuite();

  static std::vector<ListedFault> FaultsOf(const std::string& kind);
  // The features that a note names: "W-0205 and W-0215 are joined in the ground".
  static std::vector<std::string> Named(const ListedFault& fault);

  static std::filesystem::path folder_;
  static Drawing drawing_;
  static MapMade made_;
  static std::vector<QuietPlace> places_;
  static ProjectFacts facts_;
  static std::vector<ListedFault> faults_;
};

}  // namespace lastreach
