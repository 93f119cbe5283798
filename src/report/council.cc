#include "report/council.h"

#include <algorithm>
#include <cmath>

#include "report/desk_table.h"
#include "report/figures.h"
#include "report/water_charts.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr TextStyle kPlainStyle{.size_pt = 11};
constexpr char kCaution[] =
    "A planning aid; the licensed operator in charge decides, local rules come first.";

// Homes and other customers on the ends that were planned.
struct Homes {
  int all = 0;
  int held = 0;
  int held_now = 0;
  int now_not_known = 0;
};

Homes CountHomes(const SystemPlan& plan) {
  Homes homes;
  for (const DevicePlan& device : plan.devices) {
    const int here = device.reach.services;
    const auto holds = [&](const std::optional<Outcome>& outcome) {
      return outcome && outcome->sureness >= device.asked_sureness;
    };
    homes.all += here;
    if (holds(device.planned_outcome)) homes.held += here;
    if (holds(device.present_outcome)) homes.held_now += here;
    if (!device.present_outcome) homes.now_not_known += here;
  }
  return homes;
}

// Water once the plan is keyed: what cannot be held by flushing runs on as it was found.
struct PlannedWater {
  double m3_per_day = 0;
  int as_found = 0;  // devices that run on
};

PlannedWater WaterAsPlanned(const SystemPlan& plan) {
  PlannedWater water;
  for (const DevicePlan& device : plan.devices) {
    if (device.planned_outcome) {
      water.m3_per_day += device.planned_outcome->water_m3_per_day;
    } else if (device.present_outcome && device.present_outcome->water_m3_per_day > 0) {
      water.m3_per_day += device.present_outcome->water_m3_per_day;
      ++water.as_found;
    }
  }
  return water;
}

// Share of the present water that is spared; not told where the present is not known everywhere.
std::string AgainstNow(const SystemPlan& plan, const PlannedWater& planned) {
  const std::string as_found =
      planned.as_found == 0 ? "" : "with " + std::to_string(planned.as_found) + " left running as found";
  const bool known = std::all_of(plan.devices.begin(), plan.devices.end(),
                                 [](const DevicePlan& d) { return d.present_outcome || !d.planned_outcome; });
  if (!known || plan.present_m3_per_day <= 0) return as_found;
  const double less = 1 - planned.m3_per_day / plan.present_m3_per_day;
  return std::to_string(std::lround(100 * std::abs(less))) + " % " + (less >= 0 ? "less" : "more") +
         " than now" + (as_found.empty() ? "" : ", ") + as_found;
}

class CouncilPage {
 public:
  CouncilPage(const SystemPlan& plan, const CouncilPaper& paper, const SheetOptions& options)
      : plan_(plan),
        paper_(paper),
        options_(options),
        units_(options.units),
        planned_(WaterAsPlanned(plan)) {}

  struct Room {
    TextStyle type = kBodyStyle;
    size_t ends = 12;  // told of those that flushing cannot mend
    size_t notes = 4;

    // A little less of what matters least; false where there is nothing left to leave out.
    bool Shrink() {
      if (type.size_pt > kNoteStyle.size_pt) {
        type = kNoteStyle;
      } else if (notes > 1 || (notes > 0 && ends == 0)) {
        --notes;
      } else if (ends > 0) {
        --ends;
      } else {
        return false;
      }
      return true;
    }
  };

  // Returns the number of pages it takes.
  int Draw(Canvas& canvas, const Room& room) const {
    PageFlow flow(canvas, kDeskMargin_pt, "Printed " + DateInWords(options_.printed_on, units_));
    AddTitle(flow);
    AddNumbers(flow);
    AddChart(flow);
    AddCannot(flow, room);
    AddGrounds(flow, room);
    flow.AddGap(6);
    flow.AddRule({.width_pt = 1.2});
    flow.AddGap(3);
    flow.AddText(kCaution, kStrongStyle);
    return flow.Draw();
  }

 private:
  std::string AMonth(double m3_per_day) const { return WaterInSpeech(m3_per_day * kDaysPerMonth, units_); }

  void AddTitle(PageFlow& flow) const {
    flow.AddText("Fresh water at the far ends", {.size_pt = 22, .bold = true});
    flow.AddText("For the council. " + (plan_.season.empty() ? "" : "Plan for " + plan_.season + ", ") +
                     DateInWords(plan_.from, units_) + " to " + DateInWords(AddDays(plan_.to, -1), units_) +
                     ".",
                 kNoteStyle);
    flow.AddGap(6);
    const size_t count = plan_.devices.size();
    flow.AddText(
        "Where a main ends, water stands and its disinfectant fades. " + std::to_string(count) +
            (count == 1 ? " timed device lets" : " timed devices let") +
            " a little water out so that fresh water follows. This plan sets them so that every home there "
            "keeps the residual that is asked for, with as little water and as few trips as that takes.",
        kPlainStyle);
    flow.AddGap(8);
  }

  void AddNumbers(PageFlow& flow) const {
    const bool proven = std::all_of(plan_.devices.begin(), plan_.devices.end(), [](const DevicePlan& d) {
      return d.bound_m3_per_day <= 0 || d.bound_kind == BoundKind::kProven;
    });
    const std::string unit = ", " + WaterUnitInSpeech(units_) + " a month";
    const auto number = [&](double m3_per_day) {
      return RoughWaterNumber(m3_per_day * kDaysPerMonth, units_);
    };
    AddBigNumbers(flow,
                  {{"Water now" + unit, number(plan_.present_m3_per_day), ""},
                   {"Planned" + unit, number(planned_.m3_per_day), AgainstNow(plan_, planned_)},
                   {"Least possible" + unit, number(plan_.bound_m3_per_day),
                    proven ? "proven, for numbers as bad as planned for" : "checked, but not all proven"}});
    flow.AddGap(8);
    const Homes homes = CountHomes(plan_);
    std::string now = "now " + std::to_string(homes.held_now);
    if (homes.now_not_known > 0) now += ", not known for " + std::to_string(homes.now_not_known);
    AddBigNumbers(flow, {{"Homes surely held at target",
                          std::to_string(homes.held) + " of " + std::to_string(homes.all), now},
                         Visits(),
                         Cost()});
    flow.AddGap(8);
  }

  size_t ToKey() const {
    return static_cast<size_t>(
        std::count_if(plan_.devices.begin(), plan_.devices.end(),
                      [](const DevicePlan& d) { return d.verdict == Verdict::kChange; }));
  }

  BigNumber Visits() const {
    if (paper_.year != nullptr) {
      const size_t changes = paper_.year->changes.size();
      const std::string on_trips =
          changes > 0 ? "; " + std::to_string(changes) + " changes, the others on trips made anyway" : "";
      return {"Visits to change settings", std::to_string(paper_.year->visits), "a year" + on_trips};
    }
    return {"Visits to change settings", std::to_string(ToKey()), "once, one a device"};
  }

  BigNumber Cost() const {
    constexpr char kLabel[] = "Cost of water and visits";
    if (!paper_.prices) return {kLabel, "–", "no prices were given"};
    const YearPrices& prices = *paper_.prices;
    const std::string source = prices.source.empty() ? "" : "; prices: " + prices.source;
    if (paper_.year != nullptr) {
      const double cost = paper_.year->water_m3 * prices.per_m3 + paper_.year->visits * prices.per_visit;
      return {kLabel, prices.currency + " " + ToTwoDigits(cost), "a year" + source};
    }
    const double days = DayNumber(plan_.to) - DayNumber(plan_.from);
    const double cost =
        planned_.m3_per_day * days * prices.per_m3 + static_cast<double>(ToKey()) * prices.per_visit;
    const double now = plan_.present_m3_per_day * days * prices.per_m3;
    return {kLabel, prices.currency + " " + ToTwoDigits(cost),
            "this season; the water alone costs " + ToTwoDigits(now) + " as it is now" + source};
  }

  void AddChart(PageFlow& flow) const {
    if (paper_.year != nullptr && paper_.year->frontier.size() >= 2) {
      constexpr double kChart_pt = 190;
      AddHeading(flow, "Water against visits");
      flow.Add(kChart_pt, [year = paper_.year, units = units_](Canvas& canvas, Point at, double width_pt) {
        DrawFrontierChart(canvas, at, width_pt, kChart_pt, *year, units);
      });
      return;
    }
    AddHeading(flow, "Water let out in a month");
    const std::vector<WaterBar> bars = {
        {"now", plan_.present_m3_per_day, AMonth(plan_.present_m3_per_day), false},
        {"planned", planned_.m3_per_day, AMonth(planned_.m3_per_day), false},
        {"least possible", plan_.bound_m3_per_day, AMonth(plan_.bound_m3_per_day), true}};
    const double height_pt = HeightOfWaterBars(bars.size()) + 4;
    flow.Add(height_pt, [bars](Canvas& canvas, Point at, double width_pt) {
      DrawWaterBars(canvas, {at.x_pt, at.y_pt + 2}, width_pt, bars);
    });
  }

  static std::string WhereToLook(const DevicePlan& device) {
    const int here = device.reach.services;
    std::string text = device.point.place.empty()
                           ? device.point.code.text()
                           : device.point.place + " (" + device.point.code.text() + ")";
    if (here > 0) text += ", " + std::to_string(here) + (here == 1 ? " home: " : " homes: ");
    if (here == 0) text += ": ";
    if (device.verdict == Verdict::kFlushingIsNotTheAnswer) {
      return text +
             "the water arrives too weak or loses too much on the way. Look at the main, the tank and the "
             "valves upstream.";
    }
    if (device.verdict == Verdict::kTooLittleKnown) {
      return text + "too little is known to plan. Measure first.";
    }
    return text + "not within what this timer and the limits allow. " +
           (!device.binds.empty()    ? device.binds.front()
            : device.reasons.empty() ? ""
                                     : device.reasons.front());
  }

  void AddCannot(PageFlow& flow, const Room& room) const {
    std::vector<const DevicePlan*> cannot;
    for (const DevicePlan& device : plan_.devices) {
      if (device.verdict == Verdict::kFlushingIsNotTheAnswer || device.verdict == Verdict::kCannotHold ||
          device.verdict == Verdict::kTooLittleKnown) {
        cannot.push_back(&device);
      }
    }
    std::stable_sort(cannot.begin(), cannot.end(), [](const DevicePlan* a, const DevicePlan* b) {
      return a->reach.services > b->reach.services;
    });
    AddHeading(flow, "What flushing cannot mend");
    if (cannot.empty()) flow.AddText("Nothing: every end can be held by flushing.", room.type);
    for (size_t i = 0; i < std::min(room.ends, cannot.size()); ++i)
      AddItem(flow, WhereToLook(*cannot[i]), room.type);
    if (cannot.size() > room.ends) {
      AddItem(flow, std::to_string(cannot.size() - room.ends) + " more ends, listed in the overview.",
              room.type);
    }
  }

  void AddGrounds(PageFlow& flow, const Room& room) const {
    AddHeading(flow, "What this rests on");
    const auto assumed = std::count_if(plan_.devices.begin(), plan_.devices.end(),
                                       [](const DevicePlan& d) { return !d.assumed.empty(); });
    double asked = 1;
    for (const DevicePlan& device : plan_.devices) {
      if (device.asked_sureness > 0) asked = std::min(asked, device.asked_sureness);
    }
    std::string sure =
        "Held means: in at least " + std::to_string(std::lround(100 * asked)) +
        " of 100 combinations of what is uncertain, at every home, all season, with the timer's "
        "clock an hour out either way. ";
    if (assumed > 0) {
      sure += std::to_string(assumed) + " of " + std::to_string(plan_.devices.size()) +
              " devices rest on numbers nobody measured; the overview lists them. ";
    }
    if (plan_.network) {
      sure += plan_.network->confirmed ? "The whole network was run with the plan and agrees."
                                       : "The whole network was run with the plan and does not yet agree.";
    }
    flow.AddText(sure, room.type);
    std::vector<std::string> notes;
    for (const std::string& note : plan_.notes) {
      if (note.find("source: ") != std::string::npos) notes.push_back(note);
    }
    for (size_t i = 0; i < std::min(room.notes, notes.size()); ++i) flow.AddText(notes[i], room.type);
    if (notes.size() > room.notes) flow.AddText("Further limits stand in the overview.", room.type);
  }

  const SystemPlan& plan_;
  const CouncilPaper& paper_;
  const SheetOptions& options_;
  SheetUnits units_;
  PlannedWater planned_;
};

}  // namespace

Status WriteCouncilPage(const SystemPlan& plan, const CouncilPaper& paper, const SheetOptions& options,
                        const std::string& path) {
  const CouncilPage page(plan, paper, options);
  const std::string name = "For the council" + (plan.season.empty() ? "" : ", " + plan.season);
  for (CouncilPage::Room room;;) {
    const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
    if (page.Draw(*canvas, room) > 1 && room.Shrink()) continue;
    const Result<std::string> bytes = canvas->Finish();
    if (!bytes.ok()) return bytes.error();
    return WriteWhole(path, *bytes);
  }
}

}  // namespace lastreach
