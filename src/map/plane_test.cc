#include "map/plane.h"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <cmath>
#include <memory>
#include <string>

namespace lastreach {
namespace {

// An independent projection of the same kind: a general geodesy library reached through GDAL.
class Reference {
 public:
  explicit Reference(Position middle) {
    OGRSpatialReference degrees;
    degrees.importFromEPSG(4326);
    degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRSpatialReference flat;
    const std::string text = "+proj=tmerc +lat_0=" + std::to_string(middle.latitude_deg) +
                             " +lon_0=" + std::to_string(middle.longitude_deg) +
                             " +k=1 +x_0=0 +y_0=0 +ellps=WGS84 +units=m +no_defs";
    flat.importFromProj4(text.c_str());
    to_.reset(OGRCreateCoordinateTransformation(&degrees, &flat));
  }
  PlanePoint To(Position p) const {
    double x = p.longitude_deg;
    double y = p.latitude_deg;
    EXPECT_TRUE(to_->Transform(1, &x, &y));
    return {x, y};
  }

 private:
  std::unique_ptr<OGRCoordinateTransformation> to_;
};

TEST(Plane, AgreesWithAGeodesyLibraryToAMillimetreWithinFiftyKilometres) {
  for (const Position middle : {Position{-99.9, 42.2}, Position{11.54, 50.01}, Position{149.1, -35.3}}) {
    const Plane plane(middle);
    const Reference reference(middle);
    for (double east = -0.6; east <= 0.6; east += 0.15) {
      for (double north = -0.4; north <= 0.4; north += 0.1) {
        const Position p{middle.longitude_deg + east, middle.latitude_deg + north};
        const PlanePoint ours = plane.To(p);
        const PlanePoint theirs = reference.To(p);
        EXPECT_NEAR(ours.x_m, theirs.x_m, 1e-3) << east << " " << north;
        EXPECT_NEAR(ours.y_m, theirs.y_m, 1e-3) << east << " " << north;
      }
    }
  }
}

TEST(Plane, ComesBackToTheSameDegreesWithinATenthOfAMillimetre) {
  const Plane plane({-99.9, 42.2});
  for (double x = -50000; x <= 50000; x += 12500) {
    for (double y = -50000; y <= 50000; y += 12500) {
      const PlanePoint back = plane.To(plane.From({x, y}));
      EXPECT_NEAR(back.x_m, x, 1e-4);
      EXPECT_NEAR(back.y_m, y, 1e-4);
    }
  }
}

// SOURCE: one minute of latitude at 45 degrees north is 1852.2 m, the length the sea mile goes back to; from
// memory, to a metre.
TEST(Plane, AMinuteOfLatitudeIsASeaMile) {
  const Plane plane({10, 45});
  const double minute_m = plane.To({10, 45 + 1 / 120.0}).y_m - plane.To({10, 45 - 1 / 120.0}).y_m;
  EXPECT_NEAR(minute_m, 1852.2, 1.0);
}

}  // namespace
}  // namespace lastreach
