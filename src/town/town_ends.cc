#include "town/town_ends.h"

#include "core/quantity.h"

namespace lastreach {
namespace {

constexpr const char* kMill = "Millrace Road";
constexpr const char* kDepot = "Depot Street";
constexpr const char* kPrairie = "Prairie Avenue";
constexpr const char* kSkyline = "Skyline Road";

// The four through streets that run west to east, from which every dead end leaves.
double NorthingOf_m(const std::string& through_street) {
  if (through_street == kMill) return 1200;
  if (through_street == kDepot) return 2200;
  return through_street == kPrairie ? 3200 : 4200;
}

}  // namespace

// Columns: code, street, tee on, tee x [m], north, bend, services, pipes {length [ft], diameter [in]}.
const std::vector<TownEnd>& Devices() {
  static const std::vector<TownEnd> kDevices = {
      {"D01", "Heron Court", kMill, 1000, true, 1, 4, {{1100, 6}}},
      {"D02", "Foundry Lane", kMill, 1930, false, 0, 3, {{1400, 6}}},
      {"D03", "Alder Row", kDepot, 1000, false, 0, 2, {{900, 6}}},
      {"D04", "Sedge Row", kDepot, 1150, false, 0, 3, {{950, 6}}},
      {"D05", "Schoolhouse Road", kMill, 1500, true, 0, 2, {{1300, 6}}},
      {"D06", "Tannery Road", kMill, 1690, false, 0, 3, {{1500, 6}}},
      {"D07", "Cooper Street", kDepot, 2600, false, 1, 2, {{1000, 6}}},
      {"D08", "Weir Street", kDepot, 1100, true, -1, 1, {{800, 6}}},
      {"D09", "Chandler Way", kDepot, 3050, false, 0, 2, {{1050, 6}}},
      {"D10", "Orchard View", kMill, 1900, true, 0, 4, {{540, 6}}},
      {"D11", "Quarry Road", kMill, 1210, false, 0, 2, {{1800, 6}}},
      {"D12", "Baker Terrace", kMill, 2170, false, 0, 38, {{900, 6}}},
      {"D13", "Fen Lane", kMill, 2560, false, 1, 2, {{1100, 6}}},
      {"D14", "Far Meadow Road", kMill, 950, false, 0, 1, {{3050, 8}}},
      {"D15", "Mason Road", kMill, 1450, false, 0, 5, {{1200, 8}, {400, 6}}},
      {"D16", "Gable Close", kDepot, 1700, true, 1, 3, {{700, 6}}},
      {"D17", "Lookout Drive", kSkyline, 1100, true, 0, 2, {{1600, 8}}},
      {"D18", "Windpump Road", kPrairie, 1000, false, -1, 2, {{902, 6}}},
      {"D19", "Silo Street", kPrairie, 1200, true, 0, 4, {{1200, 6}}},
      {"D20", "Harrow Lane", kSkyline, 2800, true, 1, 3, {{900, 6}}},
      {"D21", "Thresher Road", kSkyline, 3200, false, 0, 3, {{1300, 6}}},
      {"D22", "Barley Close", kPrairie, 2900, true, -1, 2, {{850, 6}}},
      {"D23", "Drover Way", kSkyline, 1500, false, 0, 3, {{1000, 6}}},
      {"D24", "Stonecrop Lane", kPrairie, 2700, false, 0, 2, {{800, 4}}},
  };
  return kDevices;
}

const std::vector<TownEnd>& HandEnds() {
  static const std::vector<TownEnd> kEnds = {
      {"H01", "Sparrow Court", kMill, 1150, true, 0, 3, {{310, 6}}},
      {"H02", "Lintel Lane", kMill, 1300, true, 0, 5, {{420, 6}}},
      {"H03", "Thimble Court", kMill, 1700, true, 0, 4, {{280, 6}}},
      {"H04", "Bobbin Lane", kMill, 2050, true, 0, 6, {{460, 6}}},
      {"H05", "Shuttle Court", kMill, 2450, true, 0, 2, {{250, 4}}},
      {"H06", "Carder Lane", kMill, 2650, true, 1, 7, {{540, 6}}},
      {"H07", "Fuller Court", kMill, 2900, true, 0, 3, {{330, 6}}},
      {"H08", "Spindle Lane", kMill, 3150, true, 0, 5, {{390, 6}}},
      {"H09", "Weaver Court", kMill, 3400, true, -1, 4, {{450, 6}}},
      {"H10", "Teasel Court", kMill, 3650, true, 0, 0, {{190, 6}}},
      {"H11", "Otter Lane", kMill, 1080, false, 0, 2, {{360, 6}}},
      {"H12", "Plover Court", kMill, 1330, false, 0, 3, {{300, 6}}},
      {"H13", "Teal Court", kMill, 1570, false, 0, 4, {{340, 6}}},
      {"H14", "Dipper Lane", kMill, 1810, false, 0, 6, {{520, 6}}},
      {"H15", "Grebe Court", kMill, 2020, false, 0, 3, {{270, 4}}},
      {"H16", "Bittern Lane", kMill, 2420, false, 0, 1, {{610, 6}}},
      {"H17", "Curlew Court", kMill, 2850, false, 0, 5, {{380, 6}}},
      {"H18", "Pipit Lane", kMill, 3200, false, 1, 4, {{430, 6}}},
      {"H19", "Warbler Court", kMill, 3600, false, 0, 2, {{260, 2}}},
      {"H20", "Rush Row", kDepot, 1300, false, 0, 3, {{310, 6}}},
      {"H21", "Willow Stub", kDepot, 1750, false, 0, 0, {{150, 6}}},
      {"H22", "Reed Row", kDepot, 2100, false, 0, 4, {{400, 6}}},
      {"H23", "Sleeper Court", kDepot, 2050, true, 0, 5, {{470, 6}}},
      {"H24", "Signal Lane", kDepot, 2650, true, 0, 6, {{560, 8}}},
      {"H25", "Buffer Court", kDepot, 3100, true, -1, 2, {{290, 6}}},
      {"H26", "Siding Lane", kDepot, 3500, true, 0, 1, {{700, 6}}},
      {"H27", "Clover Court", kPrairie, 1300, false, 0, 3, {{350, 6}}},
      {"H28", "Vetch Lane", kPrairie, 1800, false, 0, 4, {{440, 6}}},
      {"H29", "Sorrel Court", kPrairie, 3100, false, 0, 2, {{280, 6}}},
      {"H30", "Yarrow Lane", kPrairie, 3500, false, 0, 5, {{510, 6}}},
      {"H31", "Bluet Court", kPrairie, 1600, true, 0, 3, {{320, 6}}},
      {"H32", "Lupine Lane", kPrairie, 2000, true, 1, 6, {{480, 6}}},
      {"H33", "Aster Court", kPrairie, 3300, true, 0, 0, {{210, 4}}},
      {"H34", "Tiller Lane", kSkyline, 1040, false, 0, 4, {{460, 6}}},
      {"H35", "Coulter Court", kSkyline, 2000, false, 0, 2, {{290, 6}}},
      {"H36", "Hayrick Lane", kSkyline, 2600, false, 0, 3, {{370, 6}}},
      {"H37", "Sickle Court", kSkyline, 1400, true, 0, 1, {{240, 6}}},
      {"H38", "Flail Lane", kSkyline, 1800, true, -1, 5, {{650, 6}}},
      {"H39", "Winnow Court", kSkyline, 2500, true, 0, 2, {{300, 2}}},
      {"H40", "Gleaner Lane", kSkyline, 3500, true, 0, 3, {{420, 6}}},
  };
  return kEnds;
}

std::string SupplyZoneOf(const TownEnd& end) {
  return end.tee_on == kMill || end.tee_on == kDepot ? kMillrace : kHighTank;
}

Street StreetOf(const TownEnd& end) {
  Street street{end.street, SupplyZoneOf(end), {}, {}, end.code};
  double length_m = 0;
  for (const FeetAndInches& pipe : end.pipes) {
    street.pipes.push_back({pipe.length_ft * kMetresPerFoot, pipe.diameter_in});
    length_m += street.pipes.back().length_m;
  }
  const double away = end.north ? 1 : -1;
  const TownPoint tee = {end.tee_x_m, NorthingOf_m(end.tee_on)};
  street.line.push_back(tee);
  if (end.bend == 0) {
    street.line.push_back({tee.x_m, tee.y_m + away * length_m});
    return street;
  }
  // A leg of 3 to 4 to 5, so that the bent street keeps its length.
  const TownPoint bend = {tee.x_m, tee.y_m + away * 0.75 * length_m};
  street.line.push_back(bend);
  street.line.push_back(
      {bend.x_m + end.bend * 0.25 * 0.6 * length_m, bend.y_m + away * 0.25 * 0.8 * length_m});
  return street;
}

}  // namespace lastreach
