#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "store/database.h"
#include "store/geometry.h"
#include "store/map_fixture.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

QuietPlace BareQuietPlace() {
  QuietPlace place;
  place.id = "E0001";
  place.kind = QuietKind::kNullPoint;
  return place;
}

TEST_F(ProjectFile, QuietPlacesReadBackInOrderAndAreReplacedAsAWhole) {
  Project project = New();
  ASSERT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
  ASSERT_TRUE(project.PutQuietPlaces({FullQuietPlace(), BareQuietPlace()}).ok());
  EXPECT_THAT(*project.QuietPlaces(), ElementsAre(FullQuietPlace(), BareQuietPlace()));
  ASSERT_TRUE(project.PutQuietPlaces({BareQuietPlace()}).ok());
  EXPECT_THAT(*project.QuietPlaces(), ElementsAre(BareQuietPlace()));
}

// The reach of the place runs the second half of link P1, backwards: from -94.1 to the middle at -94.15.
TEST_F(ProjectFile, TheReachIsDrawnAlongItsLinks) {
  Project project = New();
  PutEverything(project);
  std::string kind;
  Extent box;
  ASSERT_TRUE((*Database::Open(Path(), 100))
                  ->Query("SELECT geom, place FROM quiet_reaches", {},
                          [&](const Row& row) -> Status {
                            box = *ReadExtent(row.Bytes("geom"));
                            kind = row.Text("place");
                            return Ok();
                          })
                  .ok());
  EXPECT_EQ(kind, "E0007");
  EXPECT_NEAR(box.min_longitude_deg, -94.15, 1e-9);
  EXPECT_NEAR(box.max_longitude_deg, -94.1, 1e-9);
  EXPECT_EQ(box.min_latitude_deg, 38.1);
}

TEST_F(ProjectFile, AQuietPlaceOutsideTheNetworkIsRefusedAndTheOldOnesStay) {
  Project project = New();
  PutEverything(project);
  QuietPlace lost = FullQuietPlace();
  lost.reach[0].link = LinkIndex{77};
  EXPECT_THAT(project.PutQuietPlaces({lost}).error().ToString(), HasSubstr("'E0007'"));
  lost = FullQuietPlace();
  lost.node = NodeIndex{77};
  EXPECT_THAT(project.PutQuietPlaces({lost}).error().ToString(), HasSubstr("'E0007'"));
  EXPECT_THAT(*project.QuietPlaces(), ElementsAre(FullQuietPlace()));
}

}  // namespace
}  // namespace lastreach
