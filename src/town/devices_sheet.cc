#include "town/device_sheets.h"

#include <array>

#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

// As typed, cells parted by a stroke; place, zone and position are added from the streets.
// Columns: code, timer, flow, how measured, length, diameter, material, services, upstream, clock off, state,
// percent, P1 starts, minutes, days, P2, P3, discharge to, isolation valve, meter, notes.
constexpr std::array<const char*, 24> kTypedFromTheLids = {
    "D01|Green box|60|drum and stopwatch|1100|6|PVC|4||4|OFF|100|"
    "01:00, 13:00|25|daily|||||||ground|at no. 2, 14 turns|MB-1107|dial at OFF when I opened the lid",
    "D02|Green box|55|drum and stopwatch|1400|6|PVC|3||-2|on|130|"
    "01:00, 01:50, 02:40|40|daily|||||||storm drain|at tee|MB-1112|",
    "D03|Green box|45|meter and watch|900|6|PVC|2||0|on|100|"
    "02:00|20|odd|||||||ground||MB-1093|odd here, even in Sedge Row, so never both at once",
    "D04|Green box|3 L/s|meter and watch|950|6|PVC|3||1|on|100|"
    "02:00|20|even|||||||ground|at no. 1|none|",
    "D05|Green box|60|drum and stopwatch|1300|6|DI|2||0|on|100|06:30|40|daily|||||||"
    "road|at school gate|MB-1120|set for before the buses. School says it runs at drop-off?",
    "D06|Green box|70|pitot|1500|6\"|cast iron|3||3|on|120|"
    "02:30|45|daily|||||||storm drain|at tee, stiff|MB-1088|new meter in June",
    "D07|Two-knob box|50|drum and stopwatch|1000|6|PVC|2||720|on||"
    "02:15|30|daily|||||||ground||MB-1131|lady at no. 9 says it runs in the afternoon",
    "D08|Battery lid box|40|guess|about 800|6|UNK|1|||on|100|03:00|30|every 3 days|||||||"
    "creek|at tee|none|battery changed May, count started again, nobody wrote which day",
    "D09|Two-knob box|55|drum and stopwatch|1050|6|PVC|2||-5|on||"
    "2:00 AM|30|Mon-Fri|||||||storm drain||MB-1099|",
    "D10|Green box|80|meter and watch|540|6|PVC|4||0|on|100|"
    "01:00|30|daily|||||||storm drain|at no. 3|MB-1140|same as Heron Court used to be",
    "D11|Green box|65|pitot|1800|6|cast iron|2|0.3|2|on|100|"
    "01:00, 13:00|40|daily|||||||ground||MB-1075|main at the tee reads 0.3 whatever we do",
    "D12|Two-knob box|60|guess|900|6|PVC|38||0|on||"
    "03:00|20|daily|||||||sewer|at tee|MB-1144|was put in before the houses were built",
    "D13|Green box|35|drum and stopwatch|1100|6|PVC|2||6|on|100|"
    "04:00|45|daily|||||||creek|at footbridge|MB-1102|tablet feeder, refill monthly",
    "D14|Two-knob box|45|drum and stopwatch|3050|8|PVC|1|||on||"
    "01:00, 13:00|45|daily|||||||ground|at tee|none|one farm at the very end",
    "D15|Green box|75|install record 2014|8in x 1200 ft + 6in x 400 ft||PVC|5||0|on|100|"
    "01:30, 08:30|30|daily|||||||ground||MB-1066|goes from 8 to 6 past the mason's yard",
    "D16|Battery lid box|5 L/s|meter and watch|700|6|PVC|3||0|on|100|"
    "03:00|20|odd|||||||storm drain|at no. 5|MB-1151|inlet backs up when it runs",
    "D17|Green box|70|drum and stopwatch|1600|8|PVC|2||1|on|100|"
    "02:00|30|daily|||||||ground|at tee|GT-201|turned up for the free-chlorine weeks",
    "D18|Battery lid box|2.5 L/s|drum and stopwatch|275 m|150 mm|PVC|2||0|on|100|"
    "03:30|35|every 3 days from 2026-05-04|||||||ground||none|",
    "D19|Green box|60|drum and stopwatch|1200|6|PVC|4||-3|on|100|"
    "02:00|30|Mon Wed Fri|||||||road|at no. 11|GT-207|outlet under a bedroom window",
    "D20|Two-knob box|about 40|guess|about 900|UNK|||||on||"
    "01:00|30|Tue Sat||||||||could not find|none|no drawing of this one",
    "D21|Green box|50|drum and stopwatch|1300|6|AC|3||0|on|100|"
    "04:00|25|Tue Thu Sun|||||||ground|at tee|GT-198|",
    "D22|Green box|45|meter and watch|850|6|PVC|2||0|on|100|03:00|20|Mon Thu|||||||storm drain||GT-215|",
    "D23|Battery lid box|55|guess|1000|6|PVC|3||0|on|100|02:30|25|even|||||||ground|at tee|none|",
    "D24|Green box|20|drum and stopwatch|800|4|galvanised|2||0|on|100|"
    "01:00|15|Mon Wed Fri Sun|12:00|10|Sat||||ground|at no. 4|none|small line, go easy",
};

SheetRow CellsOf(const std::string& strokes) {
  SheetRow cells = {""};
  for (const char c : strokes) {
    if (c == '|') {
      cells.emplace_back();
    } else {
      cells.back() += c;
    }
  }
  return cells;
}

// Written beside the typed ones when the drought plan was made: stays on because, drought rank, flow
// adjustable.
SheetRow DroughtCells(const std::string& code) {
  if (code == "D15") return {"clinic, dialysis", "", "yes"};
  if (code == "D05") return {"yes", "", ""};
  if (code == "D12") return {"no", "1", ""};
  if (code == "D10") return {"no", "2", "yes"};
  if (code == "D06") return {"", "3", "yes"};
  if (code == "D16") return {"", "", "no"};
  return {"", "", ""};
}

}  // namespace

std::string DevicesSheet() {
  std::vector<SheetRow> rows = {{"Code",
                                 "Adress",
                                 "Zone",
                                 "Timer",
                                 "Flow (gpm)",
                                 "How measured",
                                 "Lenght (ft)",
                                 "Diamter (in)",
                                 "Material",
                                 "Services",
                                 "Upstream residual (mg/L)",
                                 "Clock off by (min)",
                                 "State",
                                 "Percent",
                                 "P1 starts",
                                 "P1 minutes",
                                 "P1 days",
                                 "P2 starts",
                                 "P2 minutes",
                                 "P2 days",
                                 "P3 starts",
                                 "P3 minutes",
                                 "P3 days",
                                 "Discharge to",
                                 "Isolation valve",
                                 "Meter",
                                 "Notes",
                                 "Latitude",
                                 "Longitude",
                                 "Stays on because",
                                 "Drought rank",
                                 "Flow adjustable"}};
  for (size_t i = 0; i < Devices().size(); ++i) {
    SheetRow row = CellsOf(kTypedFromTheLids[i]);
    const TownEnd& end = Devices()[i];
    const TownPosition position = PositionOf(StreetOf(end).line.back());
    const SheetRow where = {"end of " + end.street, SupplyZoneOf(end)};
    row.insert(row.begin() + 1, where.begin(), where.end());
    row.push_back(Digits(position.latitude_deg, 5));
    row.push_back(Digits(position.longitude_deg, 5));
    const SheetRow drought = DroughtCells(end.code);
    row.insert(row.end(), drought.begin(), drought.end());
    rows.push_back(row);
  }
  return CsvText(rows);
}

}  // namespace lastreach
