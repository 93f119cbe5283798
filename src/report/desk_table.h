#pragma once

#include <string>
#include <vector>

#include "report/sheet_blocks.h"

namespace lastreach {

inline constexpr double kDeskMargin_pt = 28;  // 10 mm

// One column of a table on a desk sheet.
struct Column {
  std::string head;
  double share = 1;  // of the width, against the others
  bool strong = false;
  Align align = Align::kLeft;
};

// Rows under a head that is repeated at the top of every page, each row on one page where it can be and with
// a thin rule under it. With `ticks` every row begins with a square to tick.
//
//   DeskTable table(flow, {{"Device", 1, true}, {"Place", 3}});
//   table.AddRow({"FP-014", "End of Heron Lane"});
//   table.End();
class DeskTable {
 public:
  DeskTable(PageFlow& flow, std::vector<Column> columns, bool ticks = false);

  // REQUIRES: as many texts as columns.
  void AddRow(const std::vector<std::string>& texts);
  void AddTotal(const std::vector<std::string>& texts);  // the same, all of it strong
  void End() { flow_.ClearHead(); }

 private:
  std::vector<Cell> Cells(const std::vector<std::string>& texts, bool head) const;
  void AddCells(const std::vector<Cell>& cells);

  PageFlow& flow_;
  std::vector<Column> columns_;
  double tick_pt_;
};

}  // namespace lastreach
