#pragma once

#include <memory>
#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"
#include "report/sheet_options.h"

namespace lastreach {

// Nothing on any page is set smaller: it must be read outdoors.
inline constexpr double kLeastType_pt = 9;

struct Ink {
  double red = 0;
  double green = 0;
  double blue = 0;
};
inline constexpr Ink kBlack{};
inline constexpr Ink kWhite{1, 1, 1};

enum class Align { kLeft, kCentre, kRight };

// One family throughout, DejaVu Sans, which a bare Debian has in fonts-dejavu-core.
struct TextStyle {
  double size_pt = 10;
  bool bold = false;
  Align align = Align::kLeft;
  Ink ink = kBlack;
};

struct Point {
  double x_pt = 0;
  double y_pt = 0;
};

struct LineStyle {
  double width_pt = 0.8;
  Ink ink = kBlack;
  std::vector<double> dashes_pt = {};  // on, off, on, ...; empty is solid
  bool round_ends = false;             // so that pieces of one line meet without a notch
};

// A drawing of one or more pages, in points from the top left corner, y downwards.
//
// Text is wrapped between words (inside a word only where it is wider than the box) and never cut; " %" and "
// mg/L" stay with their number. Bytes that are not UTF-8 print as a replacement character. Whatever would
// stick out of the page, or out of the box set by Confine(), is remembered, and Finish() then refuses to give
// a file.
//
// REQUIRES: every TextStyle has size_pt >= kLeastType_pt.
class Canvas {
 public:
  // A PDF whose bytes depend on nothing but what is drawn, `title` and `made_on`.
  static std::unique_ptr<Canvas> Pdf(PaperSize size, const std::string& title, Date made_on);
  // A picture of width x height points at `pixels_per_pt`, white to begin with.
  static std::unique_ptr<Canvas> Png(PaperSize size, double pixels_per_pt);
  ~Canvas();

  double width_pt() const { return size_.width_pt; }
  double height_pt() const { return size_.height_pt; }

  // Height of `text` wrapped to `width_pt`.
  double HeightOf(const std::string& text, double width_pt, const TextStyle& style) const;
  // Width of `text` on one line.
  double WidthOf(const std::string& text, const TextStyle& style) const;
  // The lines that wrapping makes of `text`.
  std::vector<std::string> LinesOf(const std::string& text, double width_pt, const TextStyle& style) const;

  // Draws `text` with the top left corner of its box at `at`; returns its height.
  double Text(Point at, double width_pt, const std::string& text, const TextStyle& style);
  // The same with a rim of white, to be read on top of lines.
  double TextOnLines(Point at, double width_pt, const std::string& text, const TextStyle& style);
  void Line(Point from, Point to, const LineStyle& style);
  void Polyline(const std::vector<Point>& points, const LineStyle& style);
  void Frame(Point at, double width_pt, double height_pt, const LineStyle& style);
  void Fill(Point at, double width_pt, double height_pt, Ink ink);
  // A closed shape: filled, then its edge drawn.
  void Shape(const std::vector<Point>& corners, Ink fill, const LineStyle& edge);
  void Disc(Point middle, double radius_pt, Ink fill, const LineStyle& edge);

  // What is drawn until Release() must stay inside this box, not only on the page: so that a block of text
  // cannot run into the next one unseen.
  void Confine(Point at, double width_pt, double height_pt);
  void Release();

  void NextPage();

  // The file's bytes. ERROR: kInternal naming the page and the first thing that stuck out of it, or if the
  // drawing library failed.
  Result<std::string> Finish();

 private:
  struct Backend;
  Canvas(PaperSize size, std::unique_ptr<Backend> backend);
  void Require(Point at, double width_pt, double height_pt, const std::string& what);
  double PlaceText(Point at, double width_pt, const std::string& text, const TextStyle& style);

  struct Box {
    Point at;
    double width_pt = 0;
    double height_pt = 0;
  };
  PaperSize size_;
  std::unique_ptr<Backend> backend_;
  Box bounds_;
  int page_ = 1;
  std::string overflow_;  // the first one; empty for none
};

// Writes all or nothing. ERROR: kBadInput if `path` cannot be written.
Status WriteWhole(const std::string& path, const std::string& bytes);

}  // namespace lastreach
