#pragma once

#include <string>
#include <vector>

#include "report/page_flow.h"

namespace lastreach {

// The building blocks all sheets share, so that they look like one family.

inline constexpr double kMargin_pt = 22;       // 7.8 mm: what office printers can print
inline constexpr double kSettingType_pt = 16;  // what is keyed: read standing, the sheet on a knee
inline constexpr double kBodyType_pt = 11;

inline constexpr TextStyle kSettingStyle{.size_pt = kSettingType_pt, .bold = true};
inline constexpr TextStyle kBodyStyle{.size_pt = kBodyType_pt};
inline constexpr TextStyle kStrongStyle{.size_pt = kBodyType_pt, .bold = true};
inline constexpr TextStyle kNoteStyle{.size_pt = 10};
inline constexpr TextStyle kSmallStyle{.size_pt = kLeastType_pt};
inline constexpr TextStyle kHeadingStyle{.size_pt = 13, .bold = true};

struct Cell {
  std::string text;
  double width_pt = 0;
  TextStyle style = kBodyStyle;
};

// Cells side by side, first lines on one baseline, each wrapped in its width; as high as the highest plus
// `padding_pt` above and below. Cells are `gutter_pt` apart.
inline constexpr double kGutter_pt = 6;
double HeightOfRow(const Canvas& canvas, const std::vector<Cell>& cells, double padding_pt);
void PaintRow(Canvas& canvas, Point at, const std::vector<Cell>& cells, double padding_pt);
// The same row as several shorter ones where a cell has many lines, so that a page break can fall inside it.
std::vector<std::vector<Cell>> SplitRow(const Canvas& canvas, const std::vector<Cell>& cells);
void AddRow(PageFlow& flow, const std::vector<Cell>& cells, double padding_pt = 2);

// Figures to be seen from across the room, side by side: a label over each and a note under it.
struct BigNumber {
  std::string label;
  std::string value;
  std::string note;
};
void AddBigNumbers(PageFlow& flow, const std::vector<BigNumber>& numbers);

// A heading with a rule over it, on one page with what is added next.
void AddHeading(PageFlow& flow, const std::string& text);
// White on black, the full width.
void AddBand(PageFlow& flow, const std::string& text, const TextStyle& style);
// One item of a list, with a dash.
void AddItem(PageFlow& flow, const std::string& text, const TextStyle& style);

// Boxes to write in with a pen, side by side, each with a small label inside at the top.
struct PenBox {
  std::string label;
  double share = 1;  // of the width, against the others of the row
};
void AddPenBoxes(PageFlow& flow, const std::vector<PenBox>& boxes, double writing_height_pt = 22);
// Squares to tick with a word beside each; as many rows as they need.
void AddTicks(PageFlow& flow, const std::vector<std::string>& words, const TextStyle& style = kBodyStyle);
// An empty square of `side_pt`.
void PaintTick(Canvas& canvas, Point at, double side_pt);

}  // namespace lastreach
