#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "store/project.h"

namespace lastreach {

// Records the tests put in.
inline Instant At(const char* text) { return *ParseRfc3339(text); }
inline Origin Typed(const char* note) {
  return {OriginKind::kTyped, "R. Ames", At("2026-07-01T12:00:00Z"), note};
}
inline PointCode Code() { return PointCode("FP-014"); }

inline FlushPoint FullPoint() {
  FlushPoint point;
  point.code = Code();
  point.kind = PointKind::kDevice;
  point.place = "Heron Lane, last hydrant";
  point.supply_zone = "North";
  point.controller = "three-button";
  point.flow = Sourced<Flow>{Flow::GallonsPerMinute(61), Typed("drum and stopwatch")};
  point.discharge = DischargeTo::kStormDrain;
  point.isolation_valve = "2 m left of the lid, 9 turns";
  point.meter = "none";
  point.notes = "wasps; \"key\" at the office, 'M'";
  point.position = Position{-94.123456789012345, 38.98765432109876};
  point.drought_rank = 3;
  point.stays_on = true;
  point.stays_on_because = "dialysis at no. 6";
  point.adjustable_flow = false;
  point.meter_turns_over_at = Volume::Gallons(1e6);
  point.dechlorination = "sodium sulfite tablets";
  point.dechlorination_holds_kg = 4.5;
  return point;
}

inline Visit AVisit(const std::string& notes) {
  return {{}, Code(), At("2026-07-02T15:04:05Z"), "R. Ames", "rounds", notes};
}

// A folder of its own for each test, gone afterwards.
class ProjectFile : public testing::Test {
 protected:
  void SetUp() override {
    const std::string test = testing::UnitTest::GetInstance()->current_test_info()->name();
    folder_ = std::filesystem::temp_directory_path() /
              ("lastreach_store_" + test + "_" + std::to_string(::getpid()));
    std::filesystem::create_directories(folder_);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  std::string Path(const std::string& name = "town.gpkg") const { return (folder_ / name).string(); }
  Project New(const std::string& name = "town.gpkg") const {
    auto project = Project::Create(Path(name), {"Alderbrook", "America/Chicago", At("2026-07-01T12:00:00Z")});
    EXPECT_TRUE(project.ok()) << project.error().ToString();
    return std::move(*project);
  }
  // A new project with one flush point, FP-014.
  Project WithPoint(const std::string& name = "town.gpkg") const {
    Project project = New(name);
    EXPECT_TRUE(project.PutFlushPoint(FullPoint()).ok());
    return project;
  }

  std::filesystem::path folder_;
};

}  // namespace lastreach
