#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "report/page.h"

namespace lastreach {

// Blocks set one below the other, over as many pages as they need, with a foot that counts the pages.
//
//   PageFlow flow(*canvas, 28, "FP-014");
//   flow.AddText("Key this in", heading);
//   flow.AddGap(6);
//   flow.Add(20, [](Canvas& canvas, Point at, double width_pt) { ... });
//   flow.Draw();
//
// A block is never split; AddText adds long text in pieces of a few lines. A block higher than a page sticks
// out, which Canvas::Finish() reports.
class PageFlow {
 public:
  // Draws a block with its top left corner at `at`.
  using Painter = std::function<void(Canvas& canvas, Point at, double width_pt)>;

  PageFlow(Canvas& canvas, double margin_pt, std::string foot);

  double width_pt() const { return canvas_.width_pt() - 2 * margin_pt_; }
  const Canvas& canvas() const { return canvas_; }

  void Add(double height_pt, Painter painter);
  void AddText(const std::string& text, const TextStyle& style, double indent_pt = 0);
  void AddGap(double height_pt);  // left out at the top of a page
  void AddRule(const LineStyle& style = {});

  // Blocks between the two stay on one page where a page can hold them together.
  void BeginTogether();
  void EndTogether();
  // The last block added is not the last on its page: a heading.
  void KeepWithNext();
  // What follows begins a new page, unless it is at the top of one already.
  void BreakPage();
  // Painted before the next block, and again at the top of every page begun until ClearHead(): the head of a
  // table.
  void SetHead(double height_pt, Painter painter);
  void ClearHead();

  // Lays everything out and paints it; returns the number of pages. Call once.
  int Draw();

 private:
  struct Block {
    double height_pt = 0;
    Painter painter;
    bool gap = false;
    bool break_before = false;
    bool keep_with_next = false;
    int head = -1;  // index into heads_, -1 for none
  };
  struct Head {
    double height_pt = 0;
    Painter painter;
  };
  struct Placed {
    int page = 0;
    double y_pt = 0;
    bool with_head = false;
    bool left_out = false;
  };
  std::vector<Placed> Arrange() const;  // one for each block
  double HeightFrom(size_t first) const;
  double FootHeight() const;
  void Paint(const Painter& painter, Point at, double height_pt);
  void DrawFoot(int page, int pages);

  Canvas& canvas_;
  double margin_pt_;
  std::string foot_;
  std::vector<Block> blocks_;
  std::vector<Head> heads_;
  bool together_ = false;
  int open_head_ = -1;
  bool break_next_ = false;
};

}  // namespace lastreach
