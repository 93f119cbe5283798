#include "report/signs.h"

#include <algorithm>
#include <vector>

#include "report/page.h"
#include "report/public_words.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kEdge_pt = 36;  // of each sign: room for a screw or a staple

struct Line {
  std::string text;
  TextStyle style;
  double gap_above_pt = 0;
};

// The lines of a sign, the hours at one size and the rest in proportion.
std::vector<Line> LinesOf(const SignWords& sign, double hours_pt) {
  const auto centred = [](double size_pt, bool bold) {
    return TextStyle{.size_pt = std::max(size_pt, 12.0), .bold = bold, .align = Align::kCentre};
  };
  std::vector<Line> lines;
  for (size_t i = 0; i < sign.hours.size(); ++i) {
    lines.push_back({sign.hours[i], centred(hours_pt, true), i == 0 ? 0.0 : hours_pt / 8});
  }
  lines.push_back({sign.purpose, centred(0.72 * hours_pt, false), 0.9 * hours_pt});
  lines.push_back({sign.questions, centred(0.72 * hours_pt, false), 0.5 * hours_pt});
  return lines;
}

double HeightOfLines(const Canvas& canvas, const std::vector<Line>& lines, double width_pt) {
  double height_pt = 0;
  for (const Line& line : lines)
    height_pt += line.gap_above_pt + canvas.HeightOf(line.text, width_pt, line.style);
  return height_pt;
}

// The largest type in which the words fit a box; the least there is where none does.
std::vector<Line> Fitted(const Canvas& canvas, const SignWords& sign, double width_pt, double height_pt) {
  constexpr double kMost_pt = 34;
  constexpr double kLeast_pt = 12;
  for (double size_pt = kMost_pt; size_pt > kLeast_pt; size_pt -= 1) {
    std::vector<Line> lines = LinesOf(sign, size_pt);
    if (HeightOfLines(canvas, lines, width_pt) <= height_pt) return lines;
  }
  return LinesOf(sign, kLeast_pt);
}

struct Sign {
  SignWords words;
  std::string foot;
};

constexpr TextStyle kHeadline{.size_pt = 29, .bold = true, .align = Align::kCentre, .ink = kWhite};
constexpr double kHeadlinePadding_pt = 9;

struct Box {
  Point at;
  double width_pt = 0;
  double height_pt = 0;
};

double HeadHeight(const Canvas& canvas, const Sign& sign, double width_pt) {
  return canvas.HeightOf(sign.words.headline, width_pt, kHeadline) + 2 * kHeadlinePadding_pt;
}
double FootHeight(const Canvas& canvas, const Sign& sign, double width_pt) {
  return canvas.HeightOf(sign.foot, width_pt, kNoteStyle);
}

// What is left for the words between headline and foot.
double RoomFor(const Canvas& canvas, const Sign& sign, const Box& box) {
  return box.height_pt - HeadHeight(canvas, sign, box.width_pt) - FootHeight(canvas, sign, box.width_pt) - 24;
}

void Paint(Canvas& canvas, const Sign& sign, const Box& box) {
  canvas.Confine(box.at, box.width_pt, box.height_pt);
  const double head_pt = HeadHeight(canvas, sign, box.width_pt);
  canvas.Fill(box.at, box.width_pt, head_pt, kBlack);
  canvas.Text({box.at.x_pt, box.at.y_pt + kHeadlinePadding_pt}, box.width_pt, sign.words.headline, kHeadline);
  const double room_pt = RoomFor(canvas, sign, box);
  const std::vector<Line> lines = Fitted(canvas, sign.words, box.width_pt, room_pt);
  const double spare_pt = room_pt - HeightOfLines(canvas, lines, box.width_pt);
  double y_pt = box.at.y_pt + head_pt + 12 + spare_pt / 2;
  for (const Line& line : lines) {
    y_pt += line.gap_above_pt;
    y_pt += canvas.Text({box.at.x_pt, y_pt}, box.width_pt, line.text, line.style);
  }
  TextStyle foot = kNoteStyle;
  foot.align = Align::kCentre;
  canvas.Text({box.at.x_pt, box.at.y_pt + box.height_pt - FootHeight(canvas, sign, box.width_pt)},
              box.width_pt, sign.foot, foot);
  canvas.Release();
}

// Two signs a page; one whose words need more has a page to itself.
class SignPages {
 public:
  explicit SignPages(Canvas& canvas) : canvas_(canvas) {}

  void Add(const Sign& sign) {
    const Box half = Half(used_halves_ == 1 ? 1 : 0);
    const std::vector<Line> smallest = LinesOf(sign.words, 13);
    const bool fits = HeightOfLines(canvas_, smallest, half.width_pt) <= RoomFor(canvas_, sign, half);
    if (used_halves_ == 2 || (used_halves_ == 1 && !fits)) {
      canvas_.NextPage();
      used_halves_ = 0;
    }
    if (!fits) {
      Paint(canvas_, sign, {Half(0).at, half.width_pt, canvas_.height_pt() - 2 * kEdge_pt});
      used_halves_ = 2;
      return;
    }
    if (used_halves_ == 0) {
      const double middle_pt = canvas_.height_pt() / 2;
      canvas_.Line({0, middle_pt}, {canvas_.width_pt(), middle_pt}, {.width_pt = 0.5, .dashes_pt = {4, 4}});
    }
    Paint(canvas_, sign, Half(used_halves_++));
  }

 private:
  Box Half(int index) const {
    const double half_pt = canvas_.height_pt() / 2;
    return {
        {kEdge_pt, index * half_pt + kEdge_pt}, canvas_.width_pt() - 2 * kEdge_pt, half_pt - 2 * kEdge_pt};
  }

  Canvas& canvas_;
  int used_halves_ = 0;
};

}  // namespace

Status WriteSigns(const SystemPlan& plan, const SheetOptions& options, const std::string& path) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), "Signs " + plan.season, options.printed_on);
  SignPages pages(*canvas);
  bool any = false;
  for (const DevicePlan& device : plan.devices) {
    Sign sign{SignFor(device, plan, *zone, options), ""};
    if (sign.words.hours.empty()) continue;
    sign.foot = device.point.code.text() + (device.point.place.empty() ? "" : ", " + device.point.place) +
                ". These hours hold until " + DateInWords(AddDays(plan.to, -1), options.units) + ".";
    pages.Add(sign);
    any = true;
  }
  if (!any) {
    canvas->Text({kEdge_pt, kEdge_pt}, canvas->width_pt() - 2 * kEdge_pt,
                 "No device makes runs under this plan: no sign is needed.", kBodyStyle);
  }
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
