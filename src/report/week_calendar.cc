#include "report/week_calendar.h"

#include <algorithm>
#include <array>
#include <vector>

#include "report/desk_table.h"
#include "report/public_words.h"
#include "report/running_together.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr int kMinutesPerDay = 24 * 60;
constexpr double kCode_pt = 66;
constexpr double kDays_pt = 126;
constexpr double kLane_pt = 15;
constexpr double kLeast_pt = 1.8;  // so that a run of a minute is seen
constexpr Ink kGrid{0.75, 0.75, 0.75};
constexpr Ink kShade{0.93, 0.93, 0.93};
constexpr Ink kGrey{0.55, 0.55, 0.55};

double LeftOfDay() { return kCode_pt + kDays_pt; }

double XOf(Point at, double width_pt, int minute) {
  const double day_pt = width_pt - LeftOfDay();
  return at.x_pt + LeftOfDay() + day_pt * std::clamp(minute, 0, kMinutesPerDay) / kMinutesPerDay;
}

void PaintGrid(Canvas& canvas, Point at, double width_pt, double height_pt) {
  for (int hour = 0; hour <= 24; ++hour) {
    const double x_pt = XOf(at, width_pt, 60 * hour);
    canvas.Line({x_pt, at.y_pt}, {x_pt, at.y_pt + height_pt},
                {.width_pt = hour % 6 == 0 ? 0.9 : 0.4, .ink = kGrid});
  }
}

// The hours over the lanes, and the words for the two halves of the day.
void SetHours(PageFlow& flow) {
  constexpr double kHeight_pt = 28;
  flow.SetHead(kHeight_pt, [](Canvas& canvas, Point at, double width_pt) {
    constexpr std::array<const char*, 9> kNames = {"midnight", "03:00", "06:00", "09:00",   "noon",
                                                   "15:00",    "18:00", "21:00", "midnight"};
    canvas.Text({at.x_pt, at.y_pt + 11}, kCode_pt, "Device", {.size_pt = kLeastType_pt, .bold = true});
    canvas.Text({at.x_pt + kCode_pt, at.y_pt + 11}, kDays_pt, "Days",
                {.size_pt = kLeastType_pt, .bold = true});
    for (size_t i = 0; i < kNames.size(); ++i) {
      constexpr double kWide_pt = 60;
      const double x_pt = XOf(at, width_pt, 180 * static_cast<int>(i));
      const bool last = i + 1 == kNames.size();
      canvas.Text({last ? x_pt - kWide_pt : x_pt - kWide_pt / 2, at.y_pt + 11}, kWide_pt, kNames[i],
                  {.size_pt = kLeastType_pt, .align = last ? Align::kRight : Align::kCentre});
    }
    canvas.Line({at.x_pt, at.y_pt + kHeight_pt - 1}, {at.x_pt + width_pt, at.y_pt + kHeight_pt - 1},
                {.width_pt = 1.2});
  });
}

void PaintSpan(Canvas& canvas, Point at, double width_pt, const ClockSpan& span, Ink ink) {
  const auto paint = [&](int from_min, int to_min) {
    const double from_pt = XOf(at, width_pt, from_min);
    const double to_pt = std::max(XOf(at, width_pt, to_min), from_pt + kLeast_pt);
    const double right_pt = at.x_pt + width_pt;
    const double begin_pt = std::min(from_pt, right_pt - kLeast_pt);
    canvas.Fill({begin_pt, at.y_pt + 3}, std::min(to_pt, right_pt) - begin_pt, kLane_pt - 6, ink);
  };
  paint(span.from_min, span.to_min);
  if (span.to_min > kMinutesPerDay) paint(0, span.to_min - kMinutesPerDay);
}

struct Lane {
  std::string code;  // on a device's first lane
  std::string days;
  std::vector<ClockSpan> spans;
  bool shaded = false;
  bool standing = false;  // what was found and stays, rather than what is planned
};

void AddLane(PageFlow& flow, const Lane& lane) {
  const std::vector<Cell> cells = {{lane.code, kCode_pt - kGutter_pt, {.size_pt = 10, .bold = true}},
                                   {lane.days, kDays_pt - kGutter_pt, kSmallStyle}};
  const double height_pt = std::max(kLane_pt, HeightOfRow(flow.canvas(), cells, 1));
  flow.Add(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
    if (lane.shaded) canvas.Fill(at, width_pt, height_pt, kShade);
    PaintGrid(canvas, at, width_pt, height_pt);
    PaintRow(canvas, at, cells, 1);
    for (const ClockSpan& span : lane.spans) {
      PaintSpan(canvas, {at.x_pt, at.y_pt + (height_pt - kLane_pt) / 2}, width_pt, span,
                lane.standing ? kGrey : kBlack);
    }
  });
}

// The short of a kind of day: "every day", "Mon and Thu".
std::string InShort(const std::string& days) {
  std::string text = days;
  for (const char* name : {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}) {
    const std::string full(name);
    for (size_t at = 0; (at = text.find(full, at)) != std::string::npos;)
      text.replace(at, full.size(), full, 0, 3);
  }
  return text;
}

void AddAtOnce(PageFlow& flow, const WeekTogether& week) {
  const int most = *std::max_element(week.most_at_once.begin(), week.most_at_once.end());
  const double step_pt = std::clamp(40.0 / std::max(most, 1), 4.0, 12.0);
  const double height_pt = step_pt * most + 16;
  flow.Add(height_pt, [=](Canvas& canvas, Point at, double width_pt) {
    const double floor_pt = at.y_pt + height_pt - 1;
    canvas.Text({at.x_pt, floor_pt - 13}, LeftOfDay() - kGutter_pt, "How many at once, fullest day",
                {.size_pt = kLeastType_pt, .bold = true});
    PaintGrid(canvas, {at.x_pt, at.y_pt + 4}, width_pt, height_pt - 5);
    for (int from = 0; from < kMinutesPerDay;) {
      int to = from;
      const int count = week.most_at_once[static_cast<size_t>(from)];
      while (to < kMinutesPerDay && week.most_at_once[static_cast<size_t>(to)] == count) ++to;
      if (count > 0) {
        const double x_pt = XOf(at, width_pt, from);
        canvas.Fill({x_pt, floor_pt - count * step_pt}, XOf(at, width_pt, to) - x_pt, count * step_pt,
                    count > 1 ? kBlack : kGrey);
      }
      from = to;
    }
    canvas.Line({at.x_pt + LeftOfDay(), floor_pt}, {at.x_pt + width_pt, floor_pt}, {});
    if (most > 1) {
      const double x_pt =
          XOf(at, width_pt,
              static_cast<int>(std::max_element(week.most_at_once.begin(), week.most_at_once.end()) -
                               week.most_at_once.begin()));
      const double beside_pt = x_pt > at.x_pt + width_pt - 40 ? x_pt - 36 : x_pt + 8;
      canvas.TextOnLines({beside_pt, floor_pt - most * step_pt - 2}, 40, std::to_string(most),
                         {.size_pt = 10, .bold = true});
    }
  });
}

std::string TogetherInWords(const WeekTogether& week) {
  constexpr size_t kMostTold = 6;
  if (week.pairs.empty()) return "No two devices run at the same time.";
  std::vector<std::string> told;
  for (size_t i = 0; i < std::min(kMostTold, week.pairs.size()); ++i) {
    const Together& pair = week.pairs[i];
    told.push_back(pair.code + " with " + pair.other_code + " (" + SpansInSpeech({pair.span}) + ")");
  }
  const size_t more = week.pairs.size() - told.size();
  return "At the same time run " + JoinedWithAnd(told) +
         (more == 0 ? "." : "; " + std::to_string(more) + " more pairs share less.");
}

}  // namespace

Status WriteWeekCalendar(const SystemPlan& plan, const SheetOptions& options, const std::string& path) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  const PaperSize upright = SizeOf(options.paper);
  const std::string name = "Who runs when" + (plan.season.empty() ? "" : ", " + plan.season);
  const auto canvas = Canvas::Pdf({upright.height_pt, upright.width_pt}, name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt,
                name + ", printed " + DateInWords(options.printed_on, options.units));
  flow.AddText(name, {.size_pt = 18, .bold = true});
  flow.AddText(
      "Hours as on everybody's clock. Black: as planned. Grey: as found, where nothing is to be keyed.",
      kNoteStyle);
  flow.AddGap(2);
  SetHours(flow);
  std::vector<std::string> silent;
  bool shaded = false;
  bool two_stretches = false;
  for (const DevicePlan& device : plan.devices) {
    const auto settings = StandingSettings(device);
    const auto hours = settings
                           ? PublicHours(device.form, *settings, *zone, {plan.from, plan.to}, options.units)
                           : std::vector<HoursOfStretch>();
    if (hours.empty()) {
      silent.push_back(device.point.code.text());
      continue;
    }
    two_stretches = two_stretches || hours.size() > 1;
    const bool planned = device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep;
    flow.BeginTogether();
    for (size_t i = 0; i < hours[0].days.size(); ++i) {
      AddLane(flow, {i == 0 ? device.point.code.text() : "", InShort(hours[0].days[i].days),
                     hours[0].days[i].spans, shaded, !planned});
    }
    flow.EndTogether();
    shaded = !shaded;
  }
  const WeekTogether week = RunsTogether(plan, *zone);
  flow.AddGap(2);
  AddAtOnce(flow, week);
  flow.ClearHead();
  flow.AddGap(5);
  flow.AddText(TogetherInWords(week), kNoteStyle);
  if (two_stretches) {
    flow.AddText(
        "Clocks change within this season: shown are the hours before. Timers that do not follow the "
        "change run at other hours after it; see the phone script.",
        kNoteStyle);
  }
  if (!silent.empty()) flow.AddText("No runs, or none known: " + JoinedWithAnd(silent) + ".", kNoteStyle);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
