#include "report/key_in_sheet.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "report/cautions.h"
#include "report/changes.h"
#include "report/clock_words.h"
#include "report/page_flow.h"
#include "report/qr.h"
#include "report/settings_blocks.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kQr_pt = 84;  // 30 mm, squares of about 0.7 mm: read at arm's length

std::string AddressOf(const DevicePlan& device, const SheetOptions& options) {
  return options.page_base_url + "/points/" + device.point.code.text();
}

bool SettingsArePrinted(Verdict verdict) { return verdict == Verdict::kChange || verdict == Verdict::kKeep; }

// The code as large as a card allows; a very long one smaller, so that it leaves room for what is keyed.
TextStyle CodeStyle(const Canvas& canvas, const std::string& code, double width_pt) {
  constexpr double kSizes_pt[] = {30, 22, 16};
  constexpr double kRoom_pt = 72;
  for (const double size_pt : kSizes_pt) {
    const TextStyle style{.size_pt = size_pt, .bold = true};
    if (canvas.HeightOf(code, width_pt, style) <= kRoom_pt) return style;
  }
  return {.size_pt = kBodyType_pt, .bold = true};
}

// Code, place and season at the left, the QR code at the right; what is too long goes below both.
void AddName(PageFlow& flow, const DevicePlan& device, const SystemPlan& plan, const SheetOptions& options,
             const std::optional<QrSquares>& qr) {
  constexpr TextStyle kPlace{.size_pt = 14};
  const Canvas& canvas = flow.canvas();
  const double text_pt = flow.width_pt() - (qr ? kQr_pt + kGutter_pt : 0);
  const std::string code = device.point.code.text();
  const std::string place = device.point.place;
  const std::string season = "Key-in sheet" + (plan.season.empty() ? "" : ", " + plan.season) + ", printed " +
                             DateInWords(options.printed_on, options.units) + ".";
  const TextStyle code_style = CodeStyle(canvas, code, text_pt);
  const double code_pt = canvas.HeightOf(code, text_pt, code_style);
  const double rest_pt =
      canvas.HeightOf(place, text_pt, kPlace) + canvas.HeightOf(season, text_pt, kSmallStyle) + 4;
  const bool beside = code_pt + rest_pt <= kQr_pt + 20;
  const double height_pt = std::max(code_pt + (beside ? rest_pt : 0), qr ? kQr_pt : 0.0);
  flow.Add(height_pt, [=](Canvas& on, Point at, double width_pt) {
    on.Text(at, text_pt, code, code_style);
    if (beside) {
      const double place_pt = on.Text({at.x_pt, at.y_pt + code_pt}, text_pt, place, kPlace);
      on.Text({at.x_pt, at.y_pt + code_pt + place_pt + 4}, text_pt, season, kSmallStyle);
    }
    if (qr) DrawQr(on, {at.x_pt + width_pt - kQr_pt, at.y_pt}, kQr_pt, *qr);
  });
  if (!beside) {
    flow.AddText(place, kPlace);
    flow.AddText(season, kSmallStyle);
  }
  flow.AddGap(2);
}

void AddHeadline(PageFlow& flow, const DevicePlan& device, const SystemPlan& plan, SheetUnits units) {
  const char* headline = device.verdict == Verdict::kChange ? "KEY THESE SETTINGS"
                         : device.verdict == Verdict::kKeep ? "AS NOW: check, change nothing"
                                                            : "DO NOT KEY ANYTHING";
  AddBand(flow, headline, {.size_pt = 18, .bold = true, .align = Align::kCentre});
  flow.AddGap(3);
  flow.AddText("Valid until " + WeekdayAndDate(AddDays(plan.to, -1), units),
               {.size_pt = 12, .bold = true, .align = Align::kCentre});
}

std::string ClockFoundWrong(double fast_minutes) {
  const int minutes = static_cast<int>(std::lround(std::abs(fast_minutes)));
  if (minutes == 0) return "";
  return " It was last found " + MinutesInWords(minutes) + (fast_minutes > 0 ? " fast." : " slow.");
}

void AddClock(PageFlow& flow, const DevicePlan& device, const Zone& zone, Date from, SheetUnits units) {
  const ClockWords clock = ClockMustRead(device.form, zone, from, units);
  flow.BeginTogether();
  AddHeading(flow, "Clock must read");
  flow.AddText(clock.headline, kSettingStyle);
  flow.AddText(clock.detail + ClockFoundWrong(device.fast_clock_minutes), kBodyStyle);
  flow.EndTogether();
  flow.AddGap(6);
  flow.AddRule({.width_pt = 1.5});
  flow.AddGap(2);
}

// The phone has a date of its own only where it differs: after midnight it may be a day ahead of the timer.
std::string PhoneReads(LocalTime here, LocalTime phone, SheetUnits units) {
  const std::string text = ShortMomentInWords(phone, units);
  const bool same_day =
      std::chrono::floor<std::chrono::days>(here) == std::chrono::floor<std::chrono::days>(phone);
  return same_day ? text.substr(text.find(", ") + 2) : text;
}

void AddNextRuns(PageFlow& flow, const DevicePlan& device, const Zone& zone, SheetUnits units) {
  if (device.next_runs.empty()) return;
  const double unit_pt = (flow.width_pt() - 3 * kGutter_pt) / 100;
  const auto row = [&](const std::string& day, const std::string& here, const std::string& phone,
                       const std::string& lasts, TextStyle strong, TextStyle plain) {
    AddRow(flow,
           {{day, 17 * unit_pt, strong},
            {here, 37 * unit_pt, strong},
            {phone, 33 * unit_pt, plain},
            {lasts, 13 * unit_pt, plain}},
           1);
  };
  flow.BeginTogether();
  AddHeading(flow, "Next runs: check the day and the hour");
  row("", "this timer reads", "your phone reads", "lasts", kSmallStyle, kSmallStyle);
  for (const Run& run : device.next_runs) {
    const LocalTime here = DeviceClockAt(device.form, zone, run.start);
    const std::string moment = ShortMomentInWords(here, units);
    const size_t comma = moment.find(", ");
    row(moment.substr(0, comma), moment.substr(comma + 2), PhoneReads(here, zone.ToLocal(run.start), units),
        std::to_string(run.minutes) + " min", {.size_pt = 10, .bold = true}, kNoteStyle);
  }
  flow.EndTogether();
}

void AddChanges(PageFlow& flow, const DevicePlan& device, SheetUnits units) {
  AddHeading(flow, "What changed since last time");
  if (!device.present) {
    flow.AddText("What is keyed now was never recorded. Read it off and write it down before you key.",
                 kBodyStyle);
    return;
  }
  const std::vector<std::string> changes =
      ChangesBetween(device.form, *device.present, device.settings, units);
  if (changes.empty()) {
    flow.AddText("Nothing.", kStrongStyle);
    return;
  }
  for (const std::string& change : changes) AddItem(flow, change, kStrongStyle);
  flow.AddText("Last recorded: " + SettingsInOneLine(device.form, *device.present, units) + ".", kNoteStyle);
}

std::string WhyNothingIsKeyed(Verdict verdict) {
  switch (verdict) {
    case Verdict::kNoFlushNeeded:
      return "The customers' own use keeps this end fresh. No flushing is needed.";
    case Verdict::kFlushingIsNotTheAnswer:
      return "The water that arrives is too weak already. Flushing is not the answer here.";
    case Verdict::kCannotHold:
      return "No settings this timer and your limits allow will hold the residual here.";
    case Verdict::kTooLittleKnown:
      return "Too little is known about this end to say what to key.";
    case Verdict::kChange:
    case Verdict::kKeep:
      break;
  }
  return "";
}

void AddWhyNothingIsKeyed(PageFlow& flow, const DevicePlan& device, SheetUnits units) {
  flow.AddGap(10);
  flow.AddText(WhyNothingIsKeyed(device.verdict), kSettingStyle);
  flow.AddGap(6);
  for (const std::string& reason : device.reasons) AddItem(flow, reason, {.size_pt = 13});
  AddHeading(flow, "Leave the timer as you find it");
  flow.AddText(device.present
                   ? "Last recorded: " + SettingsInOneLine(device.form, *device.present, units) + "."
                   : "What is keyed now was never recorded. Read it off and write it down.",
               kBodyStyle);
}

void AddPenPart(PageFlow& flow, const DevicePlan& device) {
  flow.BeginTogether();
  AddHeading(flow, "Write down");
  AddPenBoxes(flow, {{"Date"}, {"Time"}, {"Initials"}});
  AddPenBoxes(flow, {{"Timer's clock read, day and time"}, {"Phone read at that moment"}});
  AddPenBoxes(flow, {{"Settings found, where they differ from the last recorded"}}, 32);
  AddPenBoxes(flow, {{"Residual before, mg/L"}, {"Residual after, mg/L"}, {"Meter"}});
  flow.AddGap(4);
  flow.EndTogether();
  if (!SettingsArePrinted(device.verdict)) return;
  AddTicks(flow,
           {"ran one minute by hand, shut tight", device.settings.on ? "left on AUTO or ON" : "left OFF",
            "clock, starts and days read back", "photo of the display"},
           kNoteStyle);
}

void AddCautions(PageFlow& flow, const DevicePlan& device) {
  const std::vector<std::string> cautions = CautionsFor(device);
  AddHeading(flow, "Take care");
  for (const std::string& caution : cautions) AddItem(flow, caution, kNoteStyle);
}

void AddInTrouble(PageFlow& flow, const DevicePlan& device, const SheetOptions& options) {
  constexpr double kLabel_pt = 110;
  const auto add = [&flow](const std::string& label, const std::string& value) {
    AddRow(flow,
           {{label, kLabel_pt, kBodyStyle},
            {value.empty() ? "____________________" : value, flow.width_pt() - kLabel_pt - kGutter_pt,
             kStrongStyle}},
           1);
  };
  flow.BeginTogether();
  AddHeading(flow, "If it will not shut");
  add("Isolation valve", device.point.isolation_valve);
  add("Call", options.emergency_phone);
  flow.EndTogether();
}

}  // namespace

Status WriteKeyInSheet(const DevicePlan& device, const SystemPlan& plan, const SheetOptions& options,
                       const std::string& path) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  std::optional<QrSquares> qr;
  if (!options.page_base_url.empty()) {
    Result<QrSquares> squares = QrOf(AddressOf(device, options));
    if (!squares.ok()) return squares.error();
    qr = *squares;
  }
  const std::string& code = device.point.code.text();
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), "Key-in sheet " + code, options.printed_on);
  PageFlow flow(*canvas, kMargin_pt, code + (plan.season.empty() ? "" : ", " + plan.season));
  AddName(flow, device, plan, options, qr);
  AddHeadline(flow, device, plan, options.units);
  if (SettingsArePrinted(device.verdict)) {
    AddClock(flow, device, *zone, plan.from, options.units);
    AddSettings(flow, device, options.units);
    AddInTrouble(flow, device, options);
    AddNextRuns(flow, device, *zone, options.units);
    flow.BeginTogether();
    AddChanges(flow, device, options.units);
    flow.EndTogether();
  } else {
    AddWhyNothingIsKeyed(flow, device, options.units);
    AddInTrouble(flow, device, options);
  }
  AddPenPart(flow, device);
  AddCautions(flow, device);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
