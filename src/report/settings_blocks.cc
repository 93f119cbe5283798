#include "report/settings_blocks.h"

#include <algorithm>
#include <optional>

#include "report/figures.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kLabel_pt = 76;
constexpr double kClock_pt = 56;

std::vector<Cell> LabelAndValue(const PageFlow& flow, const std::string& label, const std::string& value) {
  return {{label, kLabel_pt, kNoteStyle}, {value, flow.width_pt() - kLabel_pt - kGutter_pt, kSettingStyle}};
}

// "Start 3", "Starts 3 and 4", "Starts 3 to 6".
std::string NumberedFrom(const std::string& thing, size_t first, size_t last) {
  if (first == last) return thing + " " + std::to_string(first);
  return thing + "s " + std::to_string(first) + (last == first + 1 ? " and " : " to ") + std::to_string(last);
}

void AddStarts(PageFlow& flow, const ControllerForm& form, const Programme& programme) {
  const double words_pt = flow.width_pt() - kLabel_pt - kClock_pt - 2 * kGutter_pt;
  TextStyle clock = kSettingStyle;
  clock.align = Align::kRight;
  const std::vector<int>& starts = programme.starts_min;
  for (size_t i = 0; i < starts.size(); ++i) {
    AddRow(flow, {{"Start " + std::to_string(i + 1), kLabel_pt, kNoteStyle},
                  {TimeInWords(starts[i]), words_pt, kSettingStyle},
                  {FormatTimeOfDay(starts[i]), kClock_pt, clock}});
  }
  if (!form.starts_per_programme) {
    AddRow(flow, LabelAndValue(flow, "Other starts", "all OFF"));
  } else if (const auto count = static_cast<size_t>(*form.starts_per_programme); count > starts.size()) {
    AddRow(flow, LabelAndValue(flow, NumberedFrom("Start", starts.size() + 1, count), "OFF"));
  }
}

// What is keyed stands large; what it comes to stands beside it.
void AddMinutes(PageFlow& flow, const DevicePlan& device, const Programme& programme) {
  const int effective = EffectiveMinutes(device.form, device.settings, programme);
  const int percent = PercentOf(device.form, device.settings, programme);
  if (device.form.percent_scope == PercentScope::kEach) {
    AddRow(flow, LabelAndValue(flow, "Percentage", std::to_string(percent) + " %"));
  }
  std::string runs = "runs " + MinutesInWords(effective);
  if (effective != programme.minutes) {
    runs += " (" + std::to_string(programme.minutes) + " at " + std::to_string(percent) + " %)";
  }
  constexpr double kKeyed_pt = 54;
  AddRow(flow, {{"Key minutes", kLabel_pt, kNoteStyle},
                {std::to_string(programme.minutes), kKeyed_pt, kSettingStyle},
                {runs, flow.width_pt() - kLabel_pt - kKeyed_pt - 2 * kGutter_pt, {.size_pt = 13}}});
}

constexpr double kDayBox_pt = 24;

void PaintWeek(Canvas& canvas, Point at, double width_pt, Weekdays days) {
  constexpr const char* kNames[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
  const double box_pt = width_pt / 7;
  for (int day = 0; day < 7; ++day) {
    const Point corner{at.x_pt + day * box_pt, at.y_pt};
    TextStyle style{.size_pt = 12, .bold = days.Has(day), .align = Align::kCentre};
    if (days.Has(day)) {
      canvas.Fill({corner.x_pt + 1, corner.y_pt}, box_pt - 2, kDayBox_pt, kBlack);
      style.ink = kWhite;
    }
    canvas.Frame({corner.x_pt + 1, corner.y_pt}, box_pt - 2, kDayBox_pt, {});
    canvas.Text({corner.x_pt, corner.y_pt + 5}, box_pt, kNames[day], style);
  }
}

void AddDays(PageFlow& flow, const DayPattern& days, SheetUnits units) {
  AddRow(flow, LabelAndValue(flow, "Days", DaysInWords(days, units)));
  const auto* weekdays = std::get_if<Weekdays>(&days);
  if (weekdays == nullptr || *weekdays == kEveryWeekday) return;
  flow.Add(kDayBox_pt + 4, [week = *weekdays](Canvas& canvas, Point at, double width_pt) {
    const double left_pt = kLabel_pt + kGutter_pt;
    canvas.Text({at.x_pt, at.y_pt + 6}, kLabel_pt, "black = on", kSmallStyle);
    PaintWeek(canvas, {at.x_pt + left_pt, at.y_pt + 1}, width_pt - left_pt, week);
  });
}

void AddWater(PageFlow& flow, const DevicePlan& device, size_t index, SheetUnits units) {
  const Volume volume = VolumeARun(device, index);
  std::string text = volume > Volume()
                         ? "about " + VolumeText(volume, units) + " (pressure changes it by 10 to 20 %)"
                         : "not known: no flow noted";
  if (const auto& flow_rate = device.point.flow; flow_rate && volume > Volume()) {
    text += ", at " + FlowText(flow_rate->value, units) + ", " + Describe(flow_rate->origin);
  }
  AddRow(flow, {{"Water a run", kLabel_pt, kNoteStyle},
                {text, flow.width_pt() - kLabel_pt - kGutter_pt, kBodyStyle}});
}

void AddProgramme(PageFlow& flow, const DevicePlan& device, size_t index, SheetUnits units) {
  const Programme& programme = device.settings.programmes[index];
  flow.BeginTogether();
  AddHeading(flow, ProgrammeName(index, units));
  AddStarts(flow, device.form, programme);
  AddMinutes(flow, device, programme);
  AddDays(flow, programme.days, units);
  AddWater(flow, device, index, units);
  flow.EndTogether();
}

void AddUnusedProgramme(PageFlow& flow, const std::string& name, const std::string& what) {
  constexpr double kName_pt = 168;
  flow.BeginTogether();
  flow.AddGap(5);
  flow.AddRule({.width_pt = 1.5});
  AddRow(flow,
         {{name, kName_pt, kHeadingStyle}, {what, flow.width_pt() - kName_pt - kGutter_pt, kSettingStyle}});
  flow.EndTogether();
}

void AddStateAndPercentage(PageFlow& flow, const DevicePlan& device) {
  constexpr double kState_pt = 74;
  constexpr double kPercentage_pt = 62;
  std::vector<Cell> cells = LabelAndValue(flow, "State", device.settings.on ? "ON" : "OFF");
  if (device.form.percent_scope != PercentScope::kEach) {
    const bool none = device.form.percent_scope == PercentScope::kNone;
    const double value_pt = flow.width_pt() - kLabel_pt - kState_pt - kPercentage_pt - 3 * kGutter_pt;
    cells.back().width_pt = kState_pt;
    cells.push_back({"Percentage", kPercentage_pt, kNoteStyle});
    cells.push_back(
        {none ? "none here" : std::to_string(device.settings.percent) + " %", value_pt, kSettingStyle});
  }
  AddRow(flow, cells);
}

}  // namespace

Volume VolumeARun(const DevicePlan& device, size_t index) {
  const std::vector<Programme>& programmes = device.settings.programmes;
  const auto first = std::find_if(programmes.begin(), programmes.end(), IsUsed);
  if (first == programmes.end() || index >= programmes.size()) return Volume();
  const int first_minutes = EffectiveMinutes(device.form, device.settings, *first);
  if (first_minutes == 0) return Volume();
  const int minutes = EffectiveMinutes(device.form, device.settings, programmes[index]);
  return device.volume_a_run * (static_cast<double>(minutes) / first_minutes);
}

void AddSettings(PageFlow& flow, const DevicePlan& device, SheetUnits units) {
  AddStateAndPercentage(flow, device);
  const std::vector<Programme>& programmes = device.settings.programmes;
  for (size_t i = 0; i < programmes.size(); ++i) {
    if (IsUsed(programmes[i])) {
      AddProgramme(flow, device, i, units);
    } else {
      AddUnusedProgramme(flow, ProgrammeName(i, units), "OFF, no starts");
    }
  }
  if (!device.form.programmes) {
    AddUnusedProgramme(flow, units == SheetUnits::kUs ? "Other programs" : "Other programmes",
                       "OFF, no starts");
  } else if (const auto count = static_cast<size_t>(*device.form.programmes); count > programmes.size()) {
    AddUnusedProgramme(flow, NumberedFrom(ProgrammeWord(units), programmes.size() + 1, count),
                       "OFF, no starts");
  }
}

}  // namespace lastreach
