#include "report/page_flow.h"

#include <algorithm>
#include <utility>

namespace lastreach {
namespace {

constexpr TextStyle kFootStyle{.size_pt = kLeastType_pt};
constexpr double kFootGap_pt = 6;
constexpr double kPageCount_pt = 90;  // room for "page 12 of 12"
constexpr size_t kLinesAPiece = 4;
constexpr double kRounding_pt = 0.01;

}  // namespace

PageFlow::PageFlow(Canvas& canvas, double margin_pt, std::string foot)
    : canvas_(canvas), margin_pt_(margin_pt), foot_(std::move(foot)) {}

void PageFlow::Add(double height_pt, Painter painter) {
  blocks_.push_back(
      {height_pt, std::move(painter), false, std::exchange(break_next_, false), together_, open_head_});
}

void PageFlow::AddText(const std::string& text, const TextStyle& style, double indent_pt) {
  const double text_width_pt = width_pt() - indent_pt;
  const std::vector<std::string> lines = canvas_.LinesOf(text, text_width_pt, style);
  for (size_t first = 0; first < lines.size(); first += kLinesAPiece) {
    std::string piece;
    for (size_t i = first; i < std::min(first + kLinesAPiece, lines.size()); ++i) {
      piece += (i > first ? "\n" : "") + lines[i];
    }
    Add(canvas_.HeightOf(piece, text_width_pt, style), [=](Canvas& canvas, Point at, double width) {
      canvas.Text({at.x_pt + indent_pt, at.y_pt}, width - indent_pt, piece, style);
    });
  }
}

void PageFlow::AddGap(double height_pt) {
  blocks_.push_back({height_pt, [](Canvas&, Point, double) {}, true, false, together_, open_head_});
}

void PageFlow::AddRule(const LineStyle& style) {
  Add(style.width_pt, [style](Canvas& canvas, Point at, double width) {
    const double y_pt = at.y_pt + style.width_pt / 2;
    canvas.Line({at.x_pt, y_pt}, {at.x_pt + width, y_pt}, style);
  });
}

void PageFlow::BeginTogether() { together_ = true; }
void PageFlow::EndTogether() {
  together_ = false;
  if (!blocks_.empty()) blocks_.back().keep_with_next = false;
}
void PageFlow::KeepWithNext() {
  if (!blocks_.empty()) blocks_.back().keep_with_next = true;
}
void PageFlow::BreakPage() { break_next_ = true; }

void PageFlow::SetHead(double height_pt, Painter painter) {
  heads_.push_back({height_pt, std::move(painter)});
  open_head_ = static_cast<int>(heads_.size()) - 1;
}
void PageFlow::ClearHead() { open_head_ = -1; }

double PageFlow::FootHeight() const {
  return std::max(canvas_.HeightOf(foot_, width_pt() - kPageCount_pt, kFootStyle),
                  canvas_.HeightOf("1", kPageCount_pt, kFootStyle));
}

double PageFlow::HeightFrom(size_t first) const {
  double height_pt = 0;
  for (size_t i = first; i < blocks_.size(); ++i) {
    height_pt += blocks_[i].height_pt;
    if (!blocks_[i].keep_with_next) break;
  }
  return height_pt;
}

std::vector<PageFlow::Placed> PageFlow::Arrange() const {
  const double top_pt = margin_pt_;
  const double bottom_pt = canvas_.height_pt() - margin_pt_ - FootHeight() - kFootGap_pt;
  std::vector<Placed> placed;
  int page = 0;
  double y_pt = top_pt;
  bool at_top = true;
  int last_head = -1;
  for (size_t i = 0; i < blocks_.size(); ++i) {
    const Block& block = blocks_[i];
    const bool is_kept = i > 0 && blocks_[i - 1].keep_with_next;
    const double head_pt =
        block.head >= 0 && block.head != last_head ? heads_[static_cast<size_t>(block.head)].height_pt : 0;
    const double together_pt = head_pt + HeightFrom(i);
    // What no page can hold together is broken where it must be.
    const bool fits_a_page = together_pt <= bottom_pt - top_pt;
    const double needed_pt = fits_a_page && !is_kept ? together_pt : head_pt + block.height_pt;
    const bool full = y_pt + needed_pt > bottom_pt + kRounding_pt;
    if (!at_top && (block.break_before || (full && (!block.gap || block.keep_with_next)))) {
      ++page;
      y_pt = top_pt;
      at_top = true;
    }
    if (block.gap && (at_top || full)) {
      placed.push_back({page, y_pt, false, true});
      continue;
    }
    const bool with_head = block.head >= 0 && (at_top || block.head != last_head);
    last_head = block.head;
    if (with_head) y_pt += heads_[static_cast<size_t>(block.head)].height_pt;
    placed.push_back({page, y_pt, with_head, false});
    y_pt += block.height_pt;
    at_top = false;
  }
  return placed;
}

int PageFlow::Draw() {
  const std::vector<Placed> placed = Arrange();
  const int pages = placed.empty() ? 1 : placed.back().page + 1;
  int page = 0;
  DrawFoot(page, pages);
  for (size_t i = 0; i < blocks_.size(); ++i) {
    if (placed[i].left_out) continue;
    for (; page < placed[i].page; DrawFoot(page, pages)) {
      canvas_.NextPage();
      ++page;
    }
    const Point at{margin_pt_, placed[i].y_pt};
    if (placed[i].with_head) {
      const Head& head = heads_[static_cast<size_t>(blocks_[i].head)];
      Paint(head.painter, {at.x_pt, at.y_pt - head.height_pt}, head.height_pt);
    }
    Paint(blocks_[i].painter, at, blocks_[i].height_pt);
  }
  return pages;
}

void PageFlow::Paint(const Painter& painter, Point at, double height_pt) {
  canvas_.Confine(at, width_pt(), height_pt);
  painter(canvas_, at, width_pt());
  canvas_.Release();
}

void PageFlow::DrawFoot(int page, int pages) {
  const double y_pt = canvas_.height_pt() - margin_pt_ - FootHeight();
  canvas_.Text({margin_pt_, y_pt}, width_pt() - kPageCount_pt, foot_, kFootStyle);
  TextStyle right = kFootStyle;
  right.align = Align::kRight;
  canvas_.Text({margin_pt_ + width_pt() - kPageCount_pt, y_pt}, kPageCount_pt,
               "page " + std::to_string(page + 1) + " of " + std::to_string(pages), right);
}

}  // namespace lastreach
