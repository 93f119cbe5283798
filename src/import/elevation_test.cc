#include "import/elevation.h"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <cmath>

#include "import/written_file.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

struct WrittenRaster {
  std::string crs = "EPSG:32615";
  int width = 40;
  int height = 30;
  std::array<double, 6> geo_transform = {272000, 100, 0, 3296000, 0, -100};  // near 29.8 N 95.4 W
  std::string unit;
  double scale = 1;
  double offset = 0;
};

// The height of a cell is 100 rows + column; the one in row 1, column 2 has none.
void WriteRaster(const std::string& path, const WrittenRaster& written) {
  GDALAllRegister();
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
  const GDALDatasetUniquePtr raster(
      driver->Create(path.c_str(), written.width, written.height, 1, GDT_Int32, nullptr));
  ASSERT_NE(raster, nullptr);
  auto geo_transform = written.geo_transform;
  raster->SetGeoTransform(geo_transform.data());
  if (!written.crs.empty()) {
    OGRSpatialReference crs;
    ASSERT_EQ(crs.SetFromUserInput(written.crs.c_str()), OGRERR_NONE);
    raster->SetSpatialRef(&crs);
  }
  GDALRasterBand& band = *raster->GetRasterBand(1);
  band.SetNoDataValue(-32768);
  if (!written.unit.empty()) band.SetUnitType(written.unit.c_str());
  if (written.scale != 1) band.SetScale(written.scale);
  if (written.offset != 0) band.SetOffset(written.offset);
  for (int row = 0; row < written.height; ++row) {
    std::vector<int> line;
    for (int column = 0; column < written.width; ++column)
      line.push_back(row == 1 && column == 2 ? -32768 : 100 * row + column);
    ASSERT_EQ(band.RasterIO(GF_Write, 0, row, written.width, 1, line.data(), written.width, 1, GDT_Int32, 0,
                            0, nullptr),
              CE_None);
  }
}

float At(const ElevationGrid& grid, int row, int column) {
  return grid.metres[static_cast<size_t>(row * grid.width + column)];
}

TEST(ReadElevation, KeepsTheGridAsItIsAndMarksWhatIsNotKnown) {
  const WrittenFile file("dem.tif");
  WriteRaster(file.path(), {});
  const auto read = ReadElevation(file.path());
  ASSERT_TRUE(read.ok()) << read.error().ToString();
  EXPECT_EQ(read->grid.name, "dem.tif");
  EXPECT_EQ(read->grid.width, 40);
  EXPECT_EQ(read->grid.height, 30);
  EXPECT_EQ(At(read->grid, 3, 7), 307);
  EXPECT_TRUE(std::isnan(At(read->grid, 1, 2)));
  EXPECT_EQ(read->known, 1199U);
  EXPECT_EQ(read->most_m, 2939);
  EXPECT_EQ(read->grid.geo_transform[3], 3296000);
  EXPECT_THAT(read->grid.crs_wkt, HasSubstr("UTM zone 15N"));
  EXPECT_THAT(read->notes, Contains(HasSubstr("taken as metres")));
}

TEST(ReadElevation, TurnsFeetScaleAndOffsetIntoMetres) {
  const auto height = [](const WrittenRaster& raster, const ElevationOptions& options = {}) {
    const WrittenFile file("dem.tif");
    WriteRaster(file.path(), raster);
    const auto read = ReadElevation(file.path(), options);
    return read.ok() ? static_cast<double>(At(read->grid, 10, 0)) : -1;
  };
  WrittenRaster raster;
  raster.unit = "ft";
  EXPECT_NEAR(height(raster), 304.8, 1e-4);
  raster.unit = "US survey foot";
  EXPECT_NEAR(height(raster), 1000 * 1200.0 / 3937, 1e-4);
  raster.unit = "m";
  EXPECT_NEAR(height(raster), 1000, 1e-4);
  ElevationOptions feet;
  feet.unit = HeightUnit::kFoot;
  EXPECT_NEAR(height(raster, feet), 304.8, 1e-4);
  raster.scale = 0.1;
  raster.offset = 50;
  EXPECT_NEAR(height(raster), 150, 1e-4);
  // EPSG:6360 is NAVD88 height in US survey feet.
  raster = {};
  raster.crs = "EPSG:32615+6360";
  EXPECT_NEAR(height(raster), 1000 * 1200.0 / 3937, 1e-4);
  EXPECT_FALSE(ParseHeightUnit("cubits").ok());
}

TEST(ReadElevation, CropsToTheBoxAndItsMarginWithoutMovingACell) {
  const WrittenFile file("dem.tif");
  WriteRaster(file.path(), {});
  // A box of a metre or so in the middle of the cell of row 15, column 20.
  OGRSpatialReference utm, degrees;
  utm.importFromEPSG(32615);
  degrees.SetWellKnownGeogCS("WGS84");
  utm.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> to(OGRCreateCoordinateTransformation(&utm, &degrees));
  double x = 272000 + 20.5 * 100;
  double y = 3296000 - 15.5 * 100;
  ASSERT_TRUE(to->Transform(1, &x, &y));
  ElevationOptions options;
  options.around = Box{{x - 1e-5, y - 1e-5}, {x + 1e-5, y + 1e-5}};
  const auto read = ReadElevation(file.path(), options);
  ASSERT_TRUE(read.ok()) << read.error().ToString();
  // 500 m on all sides are five cells, and part of one more.
  EXPECT_GE(read->grid.width, 11);
  EXPECT_LE(read->grid.width, 14);
  const int column = static_cast<int>((272000 + 20.5 * 100 - read->grid.geo_transform[0]) / 100);
  const int row = static_cast<int>((read->grid.geo_transform[3] - (3296000 - 15.5 * 100)) / 100);
  EXPECT_EQ(At(read->grid, row, column), 1520);

  options.around = Box{{10, 50}, {10.1, 50.1}};
  EXPECT_THAT(ReadElevation(file.path(), options).error().ToString(), HasSubstr("does not reach the mains"));
}

TEST(ReadElevation, RefusesWhatIsTooLargeOrNowhereInOneLine) {
  const WrittenFile nowhere("a.tif");
  WrittenRaster raster;
  raster.crs = "";
  WriteRaster(nowhere.path(), raster);
  EXPECT_THAT(ReadElevation(nowhere.path()).error().ToString(), HasSubstr("--crs"));
  ElevationOptions given;
  given.crs = "EPSG:32615";
  EXPECT_TRUE(ReadElevation(nowhere.path(), given).ok());
  const WrittenFile text("b.tif", "no raster");
  EXPECT_THAT(ReadElevation(text.path()).error().ToString(), HasSubstr("cannot be read as a raster"));
  EXPECT_EQ(ReadElevation("no-such.tif").error().code, ErrorCode::kNotFound);

  // 100,000 x 1,000 cells that stand nowhere but in this text.
  const WrittenFile large("c.vrt",
                          "<VRTDataset rasterXSize=\"100000\" rasterYSize=\"1000\"><SRS>EPSG:32615</SRS>"
                          "<GeoTransform>272000, 1, 0, 3296000, 0, -1</GeoTransform>"
                          "<VRTRasterBand dataType=\"Float32\" band=\"1\"/></VRTDataset>");
  EXPECT_THAT(ReadElevation(large.path()).error().ToString(),
              HasSubstr("more than 60 million cells; bring the mains in first"));
}

}  // namespace
}  // namespace lastreach
