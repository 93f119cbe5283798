#include "town/gis_readme.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr const char* kHead = R"(The invented town's map
=======================
Nothing here is real. The town lies on open range; its streets, houses and pipes were made up.
Do not dig, drive or plan anything by it.

What each layer is
------------------
mains.shp        Water mains, in state plane coordinates (Nebraska, US survey feet). Diameters are text in inches.
                 LAID is in milliseconds since 1970 began, as web maps hand dates over. LENGTH_FT is feet.
services.gpkg    One point for each house, WGS 84. Addresses are written as each clerk liked. Use is in thousands
                 of gallons a month; every tenth house has none.
valves.geojson   WGS 84. State is "open", "closed" or empty where nobody looked.
hydrants.csv     Hydrants, and what stands at the 64 flush points (D01 to D24, H01 to H40), longitude and latitude.
                 Hydrants stand four metres beside the main; only eight of their leads are drawn.
works.geojson    The plant, the neighbour's meter, the booster and the tank, with levels in metres.
zones.gpkg       The two waters, in UTM zone 14 north, metres. The railway parts them.
elevation.tif    Heights of the ground, UTM zone 14 north, cells of 30 m, metres.
sewers.geojson   NOT water: the sewers of the old town, 3 m beside the mains, with the heights of their inverts.
                 Whoever takes it for mains should be asked whether he means it.
FAULTS.csv       Every fault below with its feature, place and size.

How the water runs
------------------
Millrace is fed by the plant in the south-west, through the plant's main: 18 in, under six streets, joined only at
Penstock Road and Goods Road. High Tank buys its water: from the neighbour's meter to the booster by the railway, up
Meadowlark Road, with the tank north of Skyline Road. The four valves on the railway are shut, for the two waters
must not mix; the one at the booster is for emergencies.

Which faults there are
----------------------
)";

}  // namespace

std::string GisReadme(const std::vector<MapFault>& faults) {
  std::string text = kHead;
  std::vector<std::string> told;
  for (const MapFault& fault : faults) {
    if (std::find(told.begin(), told.end(), fault.kind) != told.end()) continue;
    told.push_back(fault.kind);
    const auto count = std::count_if(faults.begin(), faults.end(),
                                     [&](const MapFault& other) { return other.kind == fault.kind; });
    const std::string number = std::to_string(count);
    text += std::string(number.size() < 4 ? 4 - number.size() : 0, ' ') + number + "  " + fault.kind + " (" +
            fault.layer + ", first " + fault.id + ")\n";
  }
  return text + R"(   1  line far from the town (mains, W-9999)

And which are not faults, though they look like it
--------------------------------------------------
Most mains run on through their tees: the line is not split there, and half of the tees are not even a vertex of it.
Where the plant's main passes under a street nothing says so. Where two mains cross without a vertex and are joined,
nothing says so either. Larkspur is a quarter of its own behind one pipe, drawn three metres short of Sunrise Road.
A diameter of UNK, 0, -9.99 or nothing means that nobody knows it.
)";
}

}  // namespace lastreach
