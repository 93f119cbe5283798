#include "report/changes_list.h"

#include <optional>
#include <vector>

#include "report/changes.h"
#include "report/desk_table.h"
#include "report/words.h"

namespace lastreach {
namespace {

const std::vector<Column> kColumns = {{"Device", 12, true}, {"Place", 28}, {"What to alter", 60}};

// Changes of one programme follow each other; its name is said once.
std::string OnOneLine(const std::vector<std::string>& changes) {
  std::string line;
  std::string programme;
  for (const std::string& change : changes) {
    const size_t colon = change.find(": ");
    const std::string name = colon == std::string::npos ? "" : change.substr(0, colon + 2);
    const bool again = !name.empty() && name == programme;
    if (!line.empty()) line += again ? ", " : "; ";
    line += again ? change.substr(name.size()) : change;
    programme = name;
  }
  return line;
}

std::string WhatToAlter(const ControllerForm& form, const std::optional<TimerSettings>& present,
                        const TimerSettings& settings, SheetUnits units) {
  if (!settings.on) return present && !present->on ? "Nothing: check that it is OFF" : "Turn it OFF";
  if (!present) {
    return "Read off and write down what is keyed, then key " + SettingsInOneLine(form, settings, units);
  }
  const std::string changes = OnOneLine(ChangesBetween(form, *present, settings, units));
  return changes.empty() ? "Nothing: check only" : changes;
}

void AddChange(DeskTable& table, const PointCode& code, const std::string& place, const std::string& what) {
  table.AddRow({code.text(), place, what});
}

Status Finish(PageFlow& flow, Canvas& canvas, const std::string& path) {
  flow.Draw();
  const Result<std::string> bytes = canvas.Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

std::string PrintedOn(const SheetOptions& options) {
  return "Printed " + DateInWords(options.printed_on, options.units) + ". ";
}

constexpr char kFromTheCard[] = "Key from the key-in sheet; this list only says what differs.";

struct YearLists {
  const YearPlan& year;
  const YearPaper& paper;
  SheetUnits units;

  std::string PlaceOf(const PointCode& code) const {
    for (const DeviceYear& device : year.devices) {
      if (device.point.code == code) return device.point.place;
    }
    return "";
  }

  std::string What(const SettingsChange& change, const std::optional<TimerSettings>& before) const {
    const auto form = paper.forms.find(change.point);
    std::string what = WhatToAlter(form == paper.forms.end() ? ControllerForm{} : form->second, before,
                                   change.settings, units);
    if (!change.settings.on) what += ", with date and name";
    // There is no card for every part of the year: all of it stands here.
    if (change.settings.on && before && !change.percent_only) {
      what += ". It then stands at " + SettingsInShort(change.settings, units);
    }
    if (change.on_a_trip) what += " (somebody is there that month anyway)";
    return what;
  }

  void AddTable(PageFlow& flow, const std::vector<const SettingsChange*>& changes, bool to_begin) const {
    DeskTable table(flow, kColumns, true);
    for (const SettingsChange* change : changes) {
      std::optional<TimerSettings> before = SettingsBefore(year, *change);
      if (to_begin) {
        const auto present = paper.present.find(change->point);
        before = present == paper.present.end() ? std::nullopt : std::optional(present->second);
      }
      AddChange(table, change->point, PlaceOf(change->point), What(*change, before));
    }
    table.End();
  }

  void AddDates(PageFlow& flow) const {
    const Date first = year.parts.empty() ? Date() : year.parts.front().days.from;
    std::vector<const SettingsChange*> next_year;
    for (size_t i = 0; i < year.changes.size();) {
      std::vector<const SettingsChange*> on_that_day;
      const Date when = year.changes[i].when;
      for (; i < year.changes.size() && year.changes[i].when == when; ++i) {
        on_that_day.push_back(&year.changes[i]);
      }
      if (when == first) {
        next_year = std::move(on_that_day);
        continue;
      }
      AddHeading(flow, "By " + WeekdayAndDate(when, units) + ", before the first start of that day");
      AddTable(flow, on_that_day, false);
    }
    if (next_year.empty()) return;
    AddHeading(flow, "When the year comes round: by " + WeekdayAndDate(AddYears(first, 1), units));
    AddTable(flow, next_year, false);
  }
};

std::string Times(int count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

}  // namespace

Status WriteChangesList(const SystemPlan& plan, const SheetOptions& options, const std::string& path) {
  const std::string name = "What to alter" + (plan.season.empty() ? "" : ", " + plan.season);
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt, name);
  flow.AddText(name, {.size_pt = 20, .bold = true});
  flow.AddText(PrintedOn(options) + kFromTheCard, kBodyStyle);
  flow.AddGap(8);
  std::vector<std::string> unchanged;
  DeskTable table(flow, kColumns, true);
  for (const DevicePlan& device : plan.devices) {
    if (device.verdict != Verdict::kChange) {
      unchanged.push_back(device.point.code.text() + " (" + std::string(ToWords(device.verdict)) + ")");
      continue;
    }
    AddChange(table, device.point.code, device.point.place,
              WhatToAlter(device.form, device.present, device.settings, options.units));
  }
  table.End();
  flow.AddGap(8);
  if (unchanged.size() == plan.devices.size())
    flow.AddText("Nothing is to be altered anywhere.", kStrongStyle);
  if (!unchanged.empty()) flow.AddText("Nothing to alter at " + JoinedWithAnd(unchanged) + ".", kNoteStyle);
  return Finish(flow, *canvas, path);
}

Status WriteYearChangesList(const YearPlan& year, const YearPaper& paper, const SheetOptions& options,
                            const std::string& path) {
  const std::string name = "What to alter when" + (paper.name.empty() ? "" : ", " + paper.name);
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt, name);
  flow.AddText(name, {.size_pt = 20, .bold = true});
  flow.AddText(PrintedOn(options) + Times(static_cast<int>(year.changes.size()), "change") +
                   " of settings a year, " + Times(year.visits, "visit") + " for that alone.",
               kBodyStyle);
  const YearLists lists{year, paper, options.units};
  if (!year.to_begin.empty()) {
    AddHeading(flow, "Once, to begin with: by " + WeekdayAndDate(year.to_begin.front().when, options.units));
    std::vector<const SettingsChange*> first;
    for (const SettingsChange& change : year.to_begin) first.push_back(&change);
    lists.AddTable(flow, first, true);
  }
  lists.AddDates(flow);
  if (year.changes.empty()) {
    flow.AddGap(8);
    flow.AddText("After that nothing changes all year round.", kStrongStyle);
  }
  return Finish(flow, *canvas, path);
}

}  // namespace lastreach
