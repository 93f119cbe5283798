#include "report/phone_script.h"

#include <algorithm>
#include <vector>

#include "report/desk_table.h"
#include "report/public_words.h"
#include "report/words.h"

namespace lastreach {
namespace {

void AddStep(PageFlow& flow, const std::string& number, const std::string& words, const TextStyle& style) {
  constexpr double kNumber_pt = 16;
  AddRow(flow,
         {{number, kNumber_pt, kStrongStyle}, {words, flow.width_pt() - kNumber_pt - kGutter_pt, style}}, 2);
}

void AddSteps(PageFlow& flow, const SheetOptions& options) {
  const std::string phone =
      options.emergency_phone.empty() ? "____________________" : options.emergency_phone;
  AddStep(
      flow, "1",
      "Ask: which street and number, since when, and is anybody or anything in harm's way? Ice on a road, "
      "water at a house or a broken pipe: do not look further, call " +
          phone + " at once.",
      kBodyStyle);
  AddStep(flow, "2",
          "Find the street below. A quarter of an hour either side of the hours given is in order.",
          kBodyStyle);
  AddStep(flow, "3",
          "Inside those hours say: \u201cYes, that water runs on purpose. A device opens for some minutes to "
          "keep the water in your street fresh, and shuts by itself. If it still runs a quarter of an hour "
          "after it should have stopped, please ring again.\u201d",
          kBodyStyle);
  AddStep(
      flow, "4",
      "Outside those hours, or where no device is listed, say: \u201cThank you, that is not planned. "
      "Somebody will come and look.\u201d A valve may be stuck open, or a main broken: write down street, "
      "time and number, and call " +
          phone + ".",
      kBodyStyle);
}

void AddTable(PageFlow& flow, const std::vector<PhoneWords>& rows) {
  DeskTable table(flow, {{"Street and place", 26, true},
                         {"Device", 10},
                         {"Runs", 34},
                         {"Until somebody has keyed that, runs", 30}});
  for (const PhoneWords& row : rows) {
    table.AddRow({row.place.empty() ? "place not noted" : row.place, row.code, row.planned,
                  row.till_then.empty() ? "the same" : row.till_then});
  }
  table.End();
}

}  // namespace

Status WritePhoneScript(const SystemPlan& plan, const SheetOptions& options, const std::string& path) {
  const Result<Zone> zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  std::vector<PhoneWords> rows;
  for (const DevicePlan& device : plan.devices) {
    rows.push_back(PhoneWordsFor(device, plan, *zone, options.units));
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const PhoneWords& a, const PhoneWords& b) { return a.place < b.place; });
  const std::string name = "Is that water supposed to run?";
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt,
                name + (plan.season.empty() ? "" : " " + plan.season) + ", printed " +
                    DateInWords(options.printed_on, options.units));
  flow.AddText(name, {.size_pt = 20, .bold = true});
  flow.AddText(DateInWords(plan.from, options.units) + " to " +
                   DateInWords(AddDays(plan.to, -1), options.units) + ", hours as on everybody's clock.",
               kBodyStyle);
  flow.AddGap(6);
  AddSteps(flow, options);
  flow.AddGap(8);
  AddTable(flow, rows);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
