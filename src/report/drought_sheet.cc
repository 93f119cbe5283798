#include "report/drought_sheet.h"

#include <algorithm>

#include "report/desk_table.h"
#include "report/figures.h"
#include "report/words.h"

namespace lastreach {
namespace {

using Places = std::map<PointCode, std::string>;

std::string PlaceOf(const Places& places, const PointCode& code) {
  const auto found = places.find(code);
  return found == places.end() ? "" : found->second;
}

const DroughtChoice* ChoiceOf(const DroughtPlan& stage, const PointCode& code) {
  const auto found = std::find_if(stage.choices.begin(), stage.choices.end(),
                                  [&](const DroughtChoice& choice) { return choice.point == code; });
  return found == stage.choices.end() ? nullptr : &*found;
}

// "3 of 5 devices stay on and take 720 gal a day".
std::string WhatStaysOn(const DroughtPlan& stage, SheetUnits units) {
  const auto on = std::count_if(stage.choices.begin(), stage.choices.end(),
                                [](const DroughtChoice& choice) { return choice.on; });
  return std::to_string(on) + " of " + std::to_string(stage.choices.size()) + " devices " +
         (on == 1 ? "stays on and takes " : "stay on and take ") + WaterText(stage.water_m3_per_day, units) +
         " a day";
}

// The reason alone: whether it is on and what it takes stand in columns of their own, the latter in the
// sheet's units.
std::string Because(const DroughtChoice& choice) {
  std::string reason = choice.reason.substr(0, choice.reason.find("; it takes "));
  for (const std::string_view prefix : {"stays on: ", "shut: "}) {
    if (reason.starts_with(prefix)) reason.erase(0, prefix.size());
  }
  return reason;
}

// More stages than go side by side are told one after the other only.
void AddSideBySide(PageFlow& flow, const std::vector<DroughtPlan>& stages, const Places& places,
                   SheetUnits units) {
  constexpr size_t kMostSideBySide = 5;
  if (stages.size() < 2 || stages.size() > kMostSideBySide) return;
  std::vector<Column> columns = {
      {"Device", 14, true}, {"Place", 36}, {WaterUnit(units) + " a day", 16, false, Align::kRight}};
  for (const DroughtPlan& stage : stages) columns.push_back({stage.cap.name, 16, true, Align::kCentre});
  DeskTable table(flow, columns);
  for (const DroughtChoice& choice : stages.front().choices) {
    std::vector<std::string> texts = {choice.point.text(), PlaceOf(places, choice.point),
                                      WaterNumber(choice.water_m3_per_day, units)};
    for (const DroughtPlan& stage : stages) {
      const DroughtChoice* here = ChoiceOf(stage, choice.point);
      texts.emplace_back(here == nullptr ? "–" : here->on ? "on" : "SHUT");
    }
    table.AddRow(texts);
  }
  std::vector<std::string> sums = {"Those left on", "", ""};
  for (const DroughtPlan& stage : stages) sums.push_back(WaterNumber(stage.water_m3_per_day, units));
  table.AddRow(sums);
  table.End();
  flow.AddGap(8);
}

void AddStage(PageFlow& flow, const DroughtPlan& stage, const Places& places, SheetUnits units) {
  AddHeading(flow, stage.cap.name + ": at most " + WaterText(stage.cap.most_m3_per_day, units) + " a day");
  std::string words = WhatStaysOn(stage, units);
  words += stage.fits ? "." : ": MORE THAN THE STAGE ALLOWS.";
  if (stage.services_below_target > 0) {
    words += " " + std::to_string(stage.services_below_target) +
             (stage.services_below_target == 1 ? " home is" : " homes are") +
             " on ends that go below their target: tell them, read the residual there, and flush by hand as "
             "far as "
             "the stage allows.";
  }
  flow.AddText(words, kStrongStyle);
  flow.KeepWithNext();
  if (!stage.cap.source.empty()) {
    flow.AddText("Source of the limit: " + stage.cap.source, kNoteStyle);
    flow.KeepWithNext();
  }
  flow.AddGap(2);
  flow.KeepWithNext();
  DeskTable table(flow, {{"Device", 11, true},
                         {"Place", 24},
                         {"", 8, true},
                         {WaterUnit(units) + " a day", 12, false, Align::kRight},
                         {"Because", 44}});
  for (const DroughtChoice& choice : stage.choices) {
    table.AddRow({choice.point.text(), PlaceOf(places, choice.point), choice.on ? "on" : "SHUT",
                  WaterNumber(choice.water_m3_per_day, units), Because(choice)});
  }
  table.End();
}

}  // namespace

Status WriteDroughtSheet(const std::vector<DroughtPlan>& stages, const Places& places,
                         const SheetOptions& options, const std::string& path) {
  const std::string name = "When water is short";
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt,
                name + ", printed " + DateInWords(options.printed_on, options.units));
  flow.AddText(name, {.size_pt = 20, .bold = true});
  flow.AddText(
      "Which devices stay on in which drought stage. Turning one off needs a date and a name beside it.",
      kBodyStyle);
  flow.AddGap(8);
  if (stages.empty()) flow.AddText("No drought stage has been entered.", kStrongStyle);
  AddSideBySide(flow, stages, places, options.units);
  for (const DroughtPlan& stage : stages) AddStage(flow, stage, places, options.units);
  flow.AddGap(6);
  flow.AddText("A planning aid; the licensed operator in charge decides, local rules come first.",
               kSmallStyle);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
