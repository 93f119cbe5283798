#include "report/season_calendar.h"

#include <algorithm>
#include <array>
#include <vector>

#include "report/desk_table.h"
#include "report/figures.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kName_pt = 96;
constexpr double kInset_pt = 4;
constexpr double kTrip_pt = 5;
constexpr Ink kFrostGrey{0.82, 0.82, 0.82};
constexpr Ink kGrid{0.7, 0.7, 0.7};
constexpr TextStyle kCodeStyle{.size_pt = 10, .bold = true};
constexpr TextStyle kDayStyle{.size_pt = kLeastType_pt, .bold = true};

// A stretch of neighbouring parts with the same settings.
struct Box {
  Date from;
  Date to;
  std::string day;   // when it begins, empty where it began in the year before
  std::string text;  // what the timer stands at
  bool frost = false;
  bool not_held = false;
};

struct Lane {
  std::string code;
  std::string place;
  std::vector<Box> boxes;
  std::vector<int> trips;  // months after the year's first
};

// The months of a year from its first day, and where they lie across the page.
struct Months {
  Date first;
  double left_pt = kName_pt;
  double width_pt = 0;  // of the whole lane

  double X(Date date) const {
    const int from = DayNumber(first);
    const double share = static_cast<double>(DayNumber(date) - from) / (DayNumber(AddYears(first, 1)) - from);
    return left_pt + (width_pt - left_pt) * std::clamp(share, 0.0, 1.0);
  }
  Date Month(int index) const {
    return Date((std::chrono::year_month(first.year(), first.month()) + std::chrono::months(index)) /
                std::chrono::day(1));
  }
};

std::string SettingsAgainst(const TimerSettings& settings, const TimerSettings* before, SheetUnits units) {
  if (before != nullptr && before->on && settings.on && before->programmes == settings.programmes &&
      before->percent != settings.percent) {
    return std::to_string(settings.percent) + " %";
  }
  return SettingsInShort(settings, units);
}

class LaneMaker {
 public:
  LaneMaker(const YearPlan& year, const YearPaper& paper, SheetUnits units, std::vector<std::string>& remarks)
      : year_(year), paper_(paper), units_(units), remarks_(remarks) {}

  Lane Make(const DeviceYear& device) {
    Lane lane{device.point.code.text(), device.point.place, {}, {}};
    if (device.parts.size() != year_.parts.size()) {
      lane.boxes.push_back({year_.parts.front().days.from, year_.parts.back().days.to, "",
                            "No part of the year can be held" + Remark(lane.code, device.notes), false,
                            true});
    } else {
      AddBoxes(device, lane);
    }
    const auto trips = paper_.trip_months.find(device.point.code);
    if (trips == paper_.trip_months.end()) return lane;
    const auto first = static_cast<int>(static_cast<unsigned>(year_.parts.front().days.from.month()));
    for (const int month : trips->second) lane.trips.push_back((month - first + 12) % 12);
    return lane;
  }

 private:
  // " [3]", the number under which the words stand below.
  std::string Remark(const std::string& code, const std::vector<std::string>& words) {
    std::string all;
    for (const std::string& sentence : words) all += (all.empty() ? "" : " ") + sentence;
    if (all.empty()) return "";
    const auto known = std::find(remarks_.begin(), remarks_.end(), code + ": " + all);
    const auto number = known - remarks_.begin() + 1;
    if (known == remarks_.end()) remarks_.push_back(code + ": " + all);
    return " [" + std::to_string(number) + "]";
  }

  bool BeginsAnew(const DeviceYear& device, size_t part) const {
    const size_t before = (part + year_.parts.size() - 1) % year_.parts.size();
    return device.parts[part].settings != device.parts[before].settings;
  }

  void AddBoxes(const DeviceYear& device, Lane& lane) {
    for (size_t p = 0; p < device.parts.size(); ++p) {
      const PartOfDevice& part = device.parts[p];
      const bool frost = part.state == PartState::kFrost;
      const bool not_held = part.state == PartState::kNotHeld;
      const std::string remark =
          part.words.empty() ? "" : Remark(lane.code, std::vector<std::string>{part.words});
      if (p > 0 && !BeginsAnew(device, p) && lane.boxes.back().frost == frost &&
          lane.boxes.back().not_held == not_held) {
        lane.boxes.back().to = year_.parts[p].days.to;
        if (lane.boxes.back().text.find(remark) == std::string::npos) lane.boxes.back().text += remark;
        continue;
      }
      Box box{year_.parts[p].days.from, year_.parts[p].days.to, "", "", frost, not_held};
      if (BeginsAnew(device, p)) box.day = ShortDate(box.from, units_);
      const bool turned = p > 0;  // the lane's first box says all of it
      box.text = SettingsAgainst(part.settings, turned ? &device.parts[p - 1].settings : nullptr, units_);
      if (p > 0 && !BeginsAnew(device, p)) box.text = "the same";
      if (frost) box.text = "OFF, frost";
      if (not_held) box.text += ", not held";
      box.text += remark;
      lane.boxes.push_back(std::move(box));
    }
  }

  const YearPlan& year_;
  const YearPaper& paper_;
  SheetUnits units_;
  std::vector<std::string>& remarks_;
};

double TextWidth(const Months& months, const Box& box) {
  return months.X(box.to) - months.X(box.from) - 2 * kInset_pt;
}

double HeightOfBox(const Canvas& canvas, const Months& months, const Box& box) {
  const double width_pt = TextWidth(months, box);
  const double day_pt = box.day.empty() ? 0 : canvas.HeightOf(box.day, width_pt, kDayStyle);
  return day_pt + canvas.HeightOf(box.text, width_pt, kSmallStyle);
}

void PaintBox(Canvas& canvas, Point at, double height_pt, const Months& months, const Box& box) {
  const double x_pt = at.x_pt + months.X(box.from);
  const double width_pt = months.X(box.to) - months.X(box.from);
  if (box.frost) canvas.Fill({x_pt, at.y_pt}, width_pt, height_pt, kFrostGrey);
  canvas.Frame({x_pt, at.y_pt}, width_pt, height_pt, {.width_pt = 0.6});
  // The day of a change is a bar as high as the lane.
  if (!box.day.empty()) canvas.Fill({x_pt, at.y_pt}, 2.2, height_pt, kBlack);
  double y_pt = at.y_pt + 2;
  if (!box.day.empty()) {
    y_pt += canvas.Text({x_pt + kInset_pt, y_pt}, TextWidth(months, box), box.day, kDayStyle);
  }
  canvas.Text({x_pt + kInset_pt, y_pt}, TextWidth(months, box), box.text, kSmallStyle);
}

void PaintTrip(Canvas& canvas, Point tip) {
  canvas.Shape({tip,
                {tip.x_pt - kTrip_pt, tip.y_pt + 1.5 * kTrip_pt},
                {tip.x_pt + kTrip_pt, tip.y_pt + 1.5 * kTrip_pt}},
               kWhite, {.width_pt = 0.9});
}

void AddLane(PageFlow& flow, const Months& months, const Lane& lane) {
  const double name_pt = kName_pt - kGutter_pt;
  double height_pt = flow.canvas().HeightOf(lane.code, name_pt, kCodeStyle) +
                     flow.canvas().HeightOf(lane.place, name_pt, kSmallStyle);
  for (const Box& box : lane.boxes) height_pt = std::max(height_pt, HeightOfBox(flow.canvas(), months, box));
  const double trips_pt = lane.trips.empty() ? 0 : 1.5 * kTrip_pt + 2;
  height_pt += 5 + trips_pt;
  flow.Add(height_pt + 3, [=](Canvas& canvas, Point at, double) {
    const double code_pt = canvas.Text({at.x_pt, at.y_pt + 1}, name_pt, lane.code, kCodeStyle);
    canvas.Text({at.x_pt, at.y_pt + 1 + code_pt}, name_pt, lane.place, kSmallStyle);
    for (const Box& box : lane.boxes) PaintBox(canvas, at, height_pt, months, box);
    for (const int month : lane.trips) {
      const double middle_pt = (months.X(months.Month(month)) + months.X(months.Month(month + 1))) / 2;
      PaintTrip(canvas, {at.x_pt + middle_pt, at.y_pt + height_pt - trips_pt});
    }
  });
}

void SetMonths(PageFlow& flow, const Months& months) {
  constexpr double kHeight_pt = 18;
  flow.SetHead(kHeight_pt, [=](Canvas& canvas, Point at, double) {
    constexpr std::array<const char*, 12> kNames = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                    "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    for (int i = 0; i < 12; ++i) {
      const Date month = months.Month(i);
      const double x_pt = months.X(month);
      const std::string name = kNames[static_cast<unsigned>(month.month()) - 1];
      const bool with_year = i == 0 || month.month() == std::chrono::January;
      canvas.Text({at.x_pt + x_pt, at.y_pt + 2}, months.X(months.Month(i + 1)) - x_pt,
                  with_year ? name + " " + std::to_string(static_cast<int>(month.year())) : name,
                  {.size_pt = kLeastType_pt, .bold = true, .align = Align::kCentre});
      canvas.Line({at.x_pt + x_pt, at.y_pt + 4}, {at.x_pt + x_pt, at.y_pt + kHeight_pt - 2},
                  {.width_pt = 0.6, .ink = kGrid});
    }
  });
}

std::string Totals(const YearPlan& year, SheetUnits units) {
  return WaterInSpeech(year.water_m3, units) + " a year, " + std::to_string(year.visits) +
         (year.visits == 1 ? " visit" : " visits") + " a year to change settings.";
}

void AddLegend(PageFlow& flow) {
  constexpr double kSample_pt = 14;
  flow.AddGap(4);
  flow.Add(14, [](Canvas& canvas, Point at, double) {
    double x_pt = at.x_pt;
    const auto say = [&](const std::string& words) {
      const double width_pt = canvas.WidthOf(words, kSmallStyle);
      canvas.Text({x_pt + kSample_pt + 4, at.y_pt + 1}, width_pt + 1, words, kSmallStyle);
      x_pt += kSample_pt + width_pt + 24;
    };
    canvas.Fill({x_pt + kSample_pt - 3, at.y_pt + 1}, 2.2, 11, kBlack);
    say("changed on that day, before its first start");
    PaintTrip(canvas, {x_pt + kSample_pt / 2, at.y_pt + 3});
    say("somebody is there in that month anyway");
    canvas.Fill({x_pt, at.y_pt + 1}, kSample_pt, 11, kFrostGrey);
    say("off for frost");
  });
}

}  // namespace

Status WriteSeasonCalendar(const YearPlan& year, const YearPaper& paper, const SheetOptions& options,
                           const std::string& path) {
  const PaperSize upright = SizeOf(options.paper);
  const std::string name = "The year" + (paper.name.empty() ? "" : ", " + paper.name);
  const auto canvas = Canvas::Pdf({upright.height_pt, upright.width_pt}, name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt,
                name + ", printed " + DateInWords(options.printed_on, options.units));
  flow.AddText(name, {.size_pt = 18, .bold = true});
  flow.AddText(Totals(year, options.units) + " A percentage alone: only that is turned.", kNoteStyle);
  flow.AddGap(4);
  std::vector<std::string> remarks;
  if (!year.parts.empty()) {
    const Months months{year.parts.front().days.from, kName_pt, flow.width_pt()};
    SetMonths(flow, months);
    LaneMaker maker(year, paper, options.units, remarks);
    for (const DeviceYear& device : year.devices) AddLane(flow, months, maker.Make(device));
    flow.ClearHead();
    AddLegend(flow);
  }
  flow.AddGap(4);
  for (size_t i = 0; i < remarks.size(); ++i) {
    flow.AddText("[" + std::to_string(i + 1) + "] " + remarks[i], kSmallStyle);
  }
  for (const std::string& note : year.notes) flow.AddText(note, kSmallStyle);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
