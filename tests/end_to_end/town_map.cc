#include "tests/end_to_end/town_map.h"

#include <geodesic.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <sstream>

#include "app/test_program.h"
#include "ends/quiet_places.h"
#include "network/csv_table.h"

namespace lastreach {
namespace {

std::vector<ListedFault> ReadFaults(const std::string& path) {
  constexpr std::array<std::string_view, 7> kColumns = {"kind",     "layer",  "feature", "longitude",
                                                        "latitude", "size_m", "note"};
  std::vector<ListedFault> faults;
  const auto table = CsvTable::Read(path, kColumns, {});
  EXPECT_TRUE(table.ok());
  for (size_t row = 0; table.ok() && row < table->size(); ++row) {
    const auto number = [&](std::string_view column) { return std::stod(table->Cell(row, column)); };
    faults.push_back({table->Cell(row, "kind"),
                      table->Cell(row, "feature"),
                      {number("longitude"), number("latitude")},
                      number("size_m"),
                      table->Cell(row, "note")});
  }
  return faults;
}

}  // namespace

std::filesystem::path TownMap::folder_;
Drawing TownMap::drawing_;
MapMade TownMap::made_;
std::vector<QuietPlace> TownMap::places_;
ProjectFacts TownMap::facts_;
std::vector<ListedFault> TownMap::faults_;

Position OnTheMap(TownPoint point) {
  const TownPosition at = PositionOf(point);
  return {at.longitude_deg, at.latitude_deg};
}

double Ground_m(Position a, Position b) {
  constexpr double kMajor_m = 6378137, kFlattening = 1 / 298.257223563;  // WGS 84
  geod_geodesic ellipsoid;
  geod_init(&ellipsoid, kMajor_m, kFlattening);
  double length_m = 0;
  geod_inverse(&ellipsoid, a.latitude_deg, a.longitude_deg, b.latitude_deg, b.longitude_deg, &length_m,
               nullptr, nullptr);
  return length_m;
}

double Ground_m(const std::vector<Position>& line) {
  double length_m = 0;
  for (size_t i = 1; i < line.size(); ++i) length_m += Ground_m(line[i - 1], line[i]);
  return length_m;
}

void TownMap::SetUpTestSuite() {
  folder_ = std::filesystem::path(::testing::TempDir()) / ("lastreach_town_map_" + std::to_string(getpid()));
  ExpectDone(RunProgram({"demo", folder_.string()}));
  auto project = Project::Open((folder_ / "town.gpkg").string());
  ASSERT_TRUE(project.ok());
  drawing_ = *project->LoadDrawing();
  auto made = MakeNetwork(*project);
  ASSERT_TRUE(made.ok()) << made.error().ToString();
  made_ = *std::move(made);
  places_ = FindQuietPlaces(made_.network);
  auto facts = lastreach::FactsOf(*project);
  ASSERT_TRUE(facts.ok());
  facts_ = *std::move(facts);
  faults_ = ReadFaults((folder_ / "gis" / "FAULTS.csv").string());
}

void TownMap::TearDownTestSuite() { std::filesystem::remove_all(folder_); }

std::vector<ListedFault> TownMap::FaultsOf(const std::string& kind) {
  std::vector<ListedFault> found;
  std::copy_if(faults_.begin(), faults_.end(), std::back_inserter(found),
               [&](const ListedFault& fault) { return fault.kind == kind; });
  EXPECT_FALSE(found.empty()) << "no fault is called " << kind;
  return found;
}

std::vector<std::string> TownMap::Named(const ListedFault& fault) {
  std::vector<std::string> names;
  std::istringstream words(fault.note);
  for (std::string word; words >> word;) {
    while (!word.empty() && std::ispunct(static_cast<unsigned char>(word.back()))) word.pop_back();
    if (word.starts_with("W-")) names.push_back(word);
  }
  return names;
}

}  // namespace lastreach
