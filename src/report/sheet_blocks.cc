#include "report/sheet_blocks.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr double kAscentShare = 0.928;  // of the type size: 1901 of 2048 units, read from the font file

// How far a cell is set down so that first lines share a baseline.
double DropOf(const std::vector<Cell>& cells, const Cell& cell) {
  double largest_pt = 0;
  for (const Cell& other : cells) {
    if (!other.text.empty()) largest_pt = std::max(largest_pt, other.style.size_pt);
  }
  return std::max(0.0, kAscentShare * (largest_pt - cell.style.size_pt));
}

constexpr double kTick_pt = 13;

}  // namespace

double HeightOfRow(const Canvas& canvas, const std::vector<Cell>& cells, double padding_pt) {
  double height_pt = 0;
  for (const Cell& cell : cells) {
    height_pt =
        std::max(height_pt, DropOf(cells, cell) + canvas.HeightOf(cell.text, cell.width_pt, cell.style));
  }
  return height_pt + 2 * padding_pt;
}

void PaintRow(Canvas& canvas, Point at, const std::vector<Cell>& cells, double padding_pt) {
  double x_pt = at.x_pt;
  for (const Cell& cell : cells) {
    if (!cell.text.empty()) {
      canvas.Text({x_pt, at.y_pt + padding_pt + DropOf(cells, cell)}, cell.width_pt, cell.text, cell.style);
    }
    x_pt += cell.width_pt + kGutter_pt;
  }
}

std::vector<std::vector<Cell>> SplitRow(const Canvas& canvas, const std::vector<Cell>& cells) {
  constexpr size_t kLinesAPart = 5;
  std::vector<std::vector<Cell>> parts(1, cells);
  for (size_t k = 0; k < cells.size(); ++k) {
    const std::vector<std::string> lines = canvas.LinesOf(cells[k].text, cells[k].width_pt, cells[k].style);
    if (lines.size() <= kLinesAPart) continue;
    for (size_t i = 0; i < lines.size(); ++i) {
      const size_t part = i / kLinesAPart;
      if (part == parts.size()) {
        parts.push_back(cells);
        for (Cell& cell : parts.back()) cell.text.clear();
      }
      std::string& text = parts[part][k].text;
      if (i % kLinesAPart == 0) {
        text = lines[i];
      } else {
        text.append("\n").append(lines[i]);
      }
    }
  }
  return parts;
}

void AddRow(PageFlow& flow, const std::vector<Cell>& cells, double padding_pt) {
  const std::vector<std::vector<Cell>> parts = SplitRow(flow.canvas(), cells);
  const double inner_pt = parts.size() > 1 ? 0 : padding_pt;
  for (const std::vector<Cell>& part : parts) {
    flow.Add(HeightOfRow(flow.canvas(), part, inner_pt),
             [=](Canvas& canvas, Point at, double) { PaintRow(canvas, at, part, inner_pt); });
  }
}

void AddBigNumbers(PageFlow& flow, const std::vector<BigNumber>& numbers) {
  constexpr TextStyle kValue{.size_pt = 22, .bold = true};
  const double width_pt = flow.width_pt() / static_cast<double>(numbers.size()) - kGutter_pt;
  std::vector<Cell> labels;
  std::vector<Cell> values;
  std::vector<Cell> notes;
  for (const BigNumber& number : numbers) {
    labels.push_back({number.label, width_pt, kNoteStyle});
    values.push_back({number.value, width_pt, kValue});
    notes.push_back({number.note, width_pt, kSmallStyle});
  }
  AddRow(flow, labels, 1);
  AddRow(flow, values, 0);
  AddRow(flow, notes, 1);
}

void AddHeading(PageFlow& flow, const std::string& text) {
  flow.AddGap(7);
  flow.KeepWithNext();
  flow.AddRule({.width_pt = 1.5});
  flow.KeepWithNext();
  flow.AddGap(3);
  flow.KeepWithNext();
  flow.AddText(text, kHeadingStyle);
  flow.KeepWithNext();
  flow.AddGap(2);
  flow.KeepWithNext();
}

void AddBand(PageFlow& flow, const std::string& text, const TextStyle& style) {
  constexpr double kPadding_pt = 5;
  TextStyle white = style;
  white.ink = kWhite;
  const double text_width_pt = flow.width_pt() - 4 * kPadding_pt;
  const double height_pt = flow.canvas().HeightOf(text, text_width_pt, white) + 2 * kPadding_pt;
  flow.Add(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
    canvas.Fill(at, width_pt, height_pt, kBlack);
    canvas.Text({at.x_pt + 2 * kPadding_pt, at.y_pt + kPadding_pt}, text_width_pt, text, white);
  });
}

void AddItem(PageFlow& flow, const std::string& text, const TextStyle& style) {
  constexpr double kIndent_pt = 12;
  const double text_width_pt = flow.width_pt() - kIndent_pt;
  const std::vector<std::string> lines = flow.canvas().LinesOf(text, text_width_pt, style);
  for (size_t i = 0; i < lines.size(); ++i) {
    const std::string& line = lines[i];
    flow.Add(flow.canvas().HeightOf(line, text_width_pt, style), [=](Canvas& canvas, Point at, double) {
      if (i == 0) canvas.Text(at, kIndent_pt, "–", style);
      canvas.Text({at.x_pt + kIndent_pt, at.y_pt}, text_width_pt, line, style);
    });
  }
  flow.AddGap(2);
}

void AddPenBoxes(PageFlow& flow, const std::vector<PenBox>& boxes, double writing_height_pt) {
  constexpr double kInset_pt = 3;
  double shares = 0;
  for (const PenBox& box : boxes) shares += box.share;
  const double unit_pt = flow.width_pt() / shares;
  double label_height_pt = 0;
  for (const PenBox& box : boxes) {
    label_height_pt = std::max(
        label_height_pt, flow.canvas().HeightOf(box.label, box.share * unit_pt - 2 * kInset_pt, kSmallStyle));
  }
  const double height_pt = label_height_pt + writing_height_pt;
  flow.Add(height_pt, [=](Canvas& canvas, Point at, double) {
    double x_pt = at.x_pt;
    for (const PenBox& box : boxes) {
      const double width_pt = box.share * unit_pt;
      canvas.Frame({x_pt, at.y_pt}, width_pt, height_pt, {});
      canvas.Text({x_pt + kInset_pt, at.y_pt + 1}, width_pt - 2 * kInset_pt, box.label, kSmallStyle);
      x_pt += width_pt;
    }
  });
}

void AddTicks(PageFlow& flow, const std::vector<std::string>& words, const TextStyle& style) {
  constexpr double kApart_pt = 18;
  constexpr double kBeside_pt = 5;
  std::vector<std::vector<std::string>> rows(1);
  double used_pt = 0;
  for (const std::string& word : words) {
    const double width_pt = kTick_pt + kBeside_pt + flow.canvas().WidthOf(word, style) + kApart_pt;
    if (used_pt + width_pt > flow.width_pt() + kApart_pt && !rows.back().empty()) {
      rows.emplace_back();
      used_pt = 0;
    }
    rows.back().push_back(word);
    used_pt += width_pt;
  }
  for (const std::vector<std::string>& row : rows) {
    flow.Add(kTick_pt + 8, [=](Canvas& canvas, Point at, double) {
      double x_pt = at.x_pt;
      for (const std::string& word : row) {
        PaintTick(canvas, {x_pt, at.y_pt + 4}, kTick_pt);
        const double width_pt = canvas.WidthOf(word, style);
        const double down_pt = 4 + (kTick_pt - canvas.HeightOf(word, width_pt + 1, style)) / 2;
        canvas.Text({x_pt + kTick_pt + kBeside_pt, at.y_pt + down_pt}, width_pt + 1, word, style);
        x_pt += kTick_pt + kBeside_pt + width_pt + kApart_pt;
      }
    });
  }
}

void PaintTick(Canvas& canvas, Point at, double side_pt) {
  canvas.Frame(at, side_pt, side_pt, {.width_pt = 1.2});
}

}  // namespace lastreach
