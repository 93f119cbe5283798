#include "import/to_degrees.h"

#include <ogr_spatialref.h>

#include <cmath>
#include <cstdio>
#include <memory>
#include <optional>

namespace lastreach {
namespace {

template <typename Do>
void EachPosition(Shape& shape, Do work) {
  for (auto& part : shape.parts) {
    for (auto& ring : part) {
      for (Position& at : ring) work(at);
    }
  }
}

bool IsInDegrees(const Position& at) {
  return std::abs(at.longitude_deg) <= 180 && std::abs(at.latitude_deg) <= 90;
}

// The first position that cannot be degrees.
std::optional<Position> BeyondDegrees(std::vector<Shape>& shapes) {
  std::optional<Position> beyond;
  for (Shape& shape : shapes) {
    EachPosition(shape, [&](const Position& at) {
      if (!beyond && !IsInDegrees(at)) beyond = at;
    });
  }
  return beyond;
}

std::string Written(double coordinate) {
  char text[32];
  std::snprintf(text, sizeof text, std::abs(coordinate) < 1e9 ? "%.2f" : "%g", coordinate);
  return text;
}
std::string Written(const Position& at) { return Written(at.longitude_deg) + " " + Written(at.latitude_deg); }

// Where the other way round they would be degrees, that is the likelier fault.
std::string Advice(const Position& beyond) {
  const std::string give = "give the right coordinate system with --crs EPSG:2278 or the like";
  if (!IsInDegrees({beyond.latitude_deg, beyond.longitude_deg})) return "; " + give;
  return "; they look like latitude before longitude: write longitude first, or " + give;
}

Status Transform(const OGRSpatialReference& from, std::vector<Shape>& shapes) {
  OGRSpatialReference degrees;
  degrees.SetWellKnownGeogCS("WGS84");
  degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> transformation(
      OGRCreateCoordinateTransformation(&from, &degrees));
  if (transformation == nullptr)
    return BadInput("there is no way from its coordinate system to longitude and latitude");
  std::vector<double> x, y;
  for (Shape& shape : shapes) {
    EachPosition(shape, [&](const Position& at) {
      x.push_back(at.longitude_deg);
      y.push_back(at.latitude_deg);
    });
  }
  if (x.empty()) return Ok();
  std::vector<int> done(x.size());
  transformation->Transform(static_cast<int>(x.size()), x.data(), y.data(), nullptr, done.data());
  size_t i = 0;
  for (Shape& shape : shapes) {
    EachPosition(shape, [&](Position& at) {
      // A mark that the check below finds.
      at = done[i] != 0 ? Position{x[i], y[i]} : Position{HUGE_VAL, HUGE_VAL};
      ++i;
    });
  }
  return Ok();
}

// A stray vertex costs its feature, not the layer: faults those that are not on the Earth, and says whether
// they were most.
bool FaultThoseOffTheEarth(std::vector<Shape>& shapes) {
  size_t with_shape = 0;
  size_t faulty = 0;
  for (Shape& shape : shapes) {
    with_shape += shape.kind == ShapeKind::kNone ? 0 : 1;
    bool off = false;
    EachPosition(shape, [&](const Position& at) { off = off || !IsInDegrees(at); });
    if (!off) continue;
    shape = {ShapeKind::kNone, {}, "its coordinates lie nowhere on the Earth in this coordinate system"};
    ++faulty;
  }
  return 2 * faulty > with_shape;
}

}  // namespace

Result<std::string> ToDegrees(const std::string& file, const OGRSpatialReference* own,
                              const std::string& given, std::vector<Shape>& shapes,
                              std::vector<std::string>& notes) {
  OGRSpatialReference from;
  std::string name;
  const std::optional<Position> beyond = BeyondDegrees(shapes);
  if (!given.empty()) {
    if (from.SetFromUserInput(given.c_str()) != OGRERR_NONE)
      return BadRequest("--crs: '" + given + "' is no coordinate system; EPSG:2278 is one");
    from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  } else if (own != nullptr && !own->IsLocal()) {
    from = *own;
  } else if (beyond && FaultThoseOffTheEarth(shapes)) {
    const bool turned = IsInDegrees({beyond->latitude_deg, beyond->longitude_deg});
    return BadInput(turned ? "the coordinates cannot be degrees" + Advice(*beyond)
                           : "the layer says no coordinate system; give it with --crs EPSG:2278 or the like",
                    {file, {}, "", Written(*beyond)});
  } else {
    notes.emplace_back(
        "the layer says no coordinate system; its coordinates can be degrees and are taken so");
    return std::string("longitude and latitude");
  }
  name = from.GetName() != nullptr ? from.GetName() : "unnamed";
  if (from.IsGeographic() != 0 && beyond && FaultThoseOffTheEarth(shapes)) {
    return BadInput("the coordinates cannot be the degrees of " + name + Advice(*beyond),
                    {file, {}, "", Written(*beyond)});
  }
  if (Status done = Transform(from, shapes); !done.ok()) {
    Error error = done.error();
    error.place.file = file;
    return error;
  }
  if (FaultThoseOffTheEarth(shapes)) {
    return BadInput("most of its coordinates lie nowhere on the Earth in " + name +
                        "; give the right coordinate system with --crs EPSG:2278 or the like",
                    {file, {}, "", ""});
  }
  return name;
}

}  // namespace lastreach
