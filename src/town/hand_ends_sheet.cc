#include "town/hand_ends_sheet.h"

#include <xlsxwriter.h>

#include <array>
#include <cmath>
#include <fstream>

#include "town/seeded.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

constexpr std::array<const char*, 14> kHeadings = {
    "End",  "Street", "Zone",         "Outlet",    "Flow (gpm)", "Lenght (ft)", "Size (in)",
    "Pipe", "Houses", "Discharge to", "How often", "Latitude",   "Longitude",   "Notes"};

// A fixed moment, so that the file does not change with the day it is written: 2026-03-20 12:00 UTC.
constexpr time_t kTypedOn = 1774008000;

const char* NoteOf(const std::string& code) {
  if (code == "H05") return "4 inch from the old mill days";
  if (code == "H10") return "no houses yet, lots for sale";
  if (code == "H16") return "long way for one house";
  if (code == "H19") return "2\" galvanised, red water";
  if (code == "H21") return "stub past the last house, sample tap is here";
  if (code == "H24") return "will loop to Siding Lane some day";
  if (code == "H33") return "nobody lives here";
  if (code == "H38") return "want an automatic one here";
  if (code == "H39") return "leave running slow, small line";
  return "";
}

struct Outlet {
  const char* words;
  int least_gpm;
  int most_gpm;
};
constexpr std::array<Outlet, 3> kOutlets = {
    {{"hydrant", 180, 400}, {"blow-off", 40, 120}, {"post hydrant", 20, 40}}};
constexpr std::array<const char*, 4> kDischarges = {"ground", "storm drain", "road", "creek"};
constexpr std::array<const char*, 4> kHowOften = {"monthly", "quarterly", "twice a year",
                                                  "when somebody calls"};

// The cells of one row; Number() tells which are written as numbers.
SheetRow RowOf(const TownEnd& end, Seeded& seeded) {
  const FeetAndInches& pipe = end.pipes.front();
  const Outlet& outlet =
      pipe.diameter_in < 3 ? kOutlets[2] : kOutlets[static_cast<size_t>(seeded.Whole(0, 1))];
  const int flow_gpm = 10 * seeded.Whole(outlet.least_gpm / 10, outlet.most_gpm / 10);
  const TownPosition position = PositionOf(StreetOf(end).line.back());
  std::string length = Digits(pipe.length_ft, 0);
  std::string size = Digits(pipe.diameter_in, 0);
  std::string flow = std::to_string(flow_gpm);
  switch (seeded.Whole(0, 9)) {
    case 0:
      length = "about " + Digits(50 * std::round(pipe.length_ft / 50), 0);
      break;
    case 1:
      length = Digits(pipe.length_ft * 0.3048, 0) + " m";
      break;
    case 2:
      size += "\"";
      break;
    case 3:
      size = "UNK";
      break;
    case 4:
      flow = "";
      break;
    case 5:
      flow = Digits(flow_gpm * 0.0631, 1) + " L/s";
      break;
    default:
      break;
  }
  return {end.code,
          end.street,
          SupplyZoneOf(end),
          outlet.words,
          flow,
          length,
          size,
          pipe.diameter_in < 3      ? "galvanised"
          : seeded.Whole(0, 3) == 0 ? ""
                                    : "PVC",
          std::to_string(end.services),
          kDischarges[static_cast<size_t>(seeded.Whole(0, 3))],
          kHowOften[static_cast<size_t>(seeded.Whole(0, 3))],
          Digits(position.latitude_deg, 5),
          Digits(position.longitude_deg, 5),
          NoteOf(end.code)};
}

std::vector<SheetRow> Rows() {
  Seeded seeded(20260320);
  std::vector<SheetRow> rows;
  for (const TownEnd& end : HandEnds()) rows.push_back(RowOf(end, seeded));
  return rows;
}

bool IsNumber(const std::string& cell) {
  return !cell.empty() && cell.find_first_not_of("0123456789.-") == std::string::npos;
}

void PutRow(lxw_worksheet* sheet, lxw_row_t row, const SheetRow& cells) {
  for (size_t i = 0; i < cells.size(); ++i) {
    const auto column = static_cast<lxw_col_t>(i);
    if (IsNumber(cells[i])) {
      worksheet_write_number(sheet, row, column, std::stod(cells[i]), nullptr);
    } else if (!cells[i].empty()) {
      worksheet_write_string(sheet, row, column, cells[i].c_str(), nullptr);
    }
  }
}

}  // namespace

std::vector<std::string> HandEndOutlets() {
  constexpr size_t kOutletColumn = 3;
  std::vector<std::string> outlets;
  for (const SheetRow& row : Rows()) outlets.push_back(row[kOutletColumn]);
  return outlets;
}

Status WriteHandEndsSheet(const std::string& path) {
  // The library would say so on standard error, in words of its own.
  if (!std::ofstream(path, std::ios::binary))
    return BadInput("the sheet cannot be written", {path, {}, "", ""});
  lxw_workbook* book = workbook_new(path.c_str());
  if (book == nullptr) return BadInput("the sheet cannot be written", {path, {}, "", ""});
  lxw_doc_properties properties = {};
  properties.created = kTypedOn;
  workbook_set_properties(book, &properties);
  lxw_worksheet* sheet = workbook_add_worksheet(book, "ends");
  lxw_format* bold = workbook_add_format(book);
  format_set_bold(bold);
  constexpr auto kLastColumn = static_cast<lxw_col_t>(kHeadings.size() - 1);
  worksheet_merge_range(sheet, 0, 0, 0, kLastColumn, "Hand-flushed ends, typed up from the blue binder",
                        bold);
  PutRow(sheet, 2, SheetRow(kHeadings.begin(), kHeadings.end()));
  lxw_row_t row = 3;
  for (const SheetRow& cells : Rows()) PutRow(sheet, row++, cells);
  if (workbook_close(book) != LXW_NO_ERROR) {
    return BadInput("the sheet cannot be written", {path, {}, "", ""});
  }
  return Ok();
}

}  // namespace lastreach
