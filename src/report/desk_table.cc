#include "report/desk_table.h"

#include <utility>

namespace lastreach {
namespace {

constexpr double kRowPadding_pt = 3.5;
constexpr double kTickSide_pt = 12;

}  // namespace

DeskTable::DeskTable(PageFlow& flow, std::vector<Column> columns, bool ticks)
    : flow_(flow), columns_(std::move(columns)), tick_pt_(ticks ? kTickSide_pt + 2 : 0) {
  std::vector<std::string> heads;
  for (const Column& column : columns_) heads.push_back(column.head);
  const std::vector<Cell> cells = Cells(heads, true);
  const double height_pt = HeightOfRow(flow_.canvas(), cells, kRowPadding_pt);
  flow_.SetHead(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
    PaintRow(canvas, at, cells, kRowPadding_pt);
    const double y_pt = at.y_pt + height_pt - 0.6;
    canvas.Line({at.x_pt, y_pt}, {at.x_pt + width_pt, y_pt}, {.width_pt = 1.2});
  });
}

std::vector<Cell> DeskTable::Cells(const std::vector<std::string>& texts, bool head) const {
  double shares = 0;
  for (const Column& column : columns_) shares += column.share;
  const double gaps = static_cast<double>(columns_.size() - 1) + (tick_pt_ > 0 ? 1 : 0);
  const double usable_pt = flow_.width_pt() - tick_pt_ - gaps * kGutter_pt;
  std::vector<Cell> cells;
  if (tick_pt_ > 0) cells.push_back({"", tick_pt_, kNoteStyle});
  for (size_t i = 0; i < columns_.size(); ++i) {
    TextStyle style = head ? kSmallStyle : kNoteStyle;
    style.bold = head || columns_[i].strong;
    style.align = columns_[i].align;
    cells.push_back({texts[i], columns_[i].share / shares * usable_pt, style});
  }
  return cells;
}

void DeskTable::AddRow(const std::vector<std::string>& texts) { AddCells(Cells(texts, false)); }

void DeskTable::AddTotal(const std::vector<std::string>& texts) {
  std::vector<Cell> cells = Cells(texts, false);
  for (Cell& cell : cells) cell.style.bold = true;
  AddCells(cells);
}

void DeskTable::AddCells(const std::vector<Cell>& cells) {
  const std::vector<std::vector<Cell>> parts = SplitRow(flow_.canvas(), cells);
  flow_.BeginTogether();
  for (size_t i = 0; i < parts.size(); ++i) {
    const std::vector<Cell>& part = parts[i];
    const bool ticked = i == 0 && tick_pt_ > 0;
    const double top_pt = i == 0 ? kRowPadding_pt : 0;
    const double bottom_pt = i + 1 == parts.size() ? kRowPadding_pt : 0;
    const double height_pt = HeightOfRow(flow_.canvas(), part, 0) + top_pt + bottom_pt;
    flow_.Add(height_pt, [=](Canvas& canvas, Point at, double) {
      if (ticked) PaintTick(canvas, {at.x_pt + 1, at.y_pt + top_pt}, kTickSide_pt);
      PaintRow(canvas, {at.x_pt, at.y_pt + top_pt}, part, 0);
    });
  }
  flow_.AddRule({.width_pt = 0.5});
  flow_.EndTogether();
}

}  // namespace lastreach
