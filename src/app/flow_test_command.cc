#include <charconv>
#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/subcommands.h"
#include "core/zone.h"
#include "evidence/flow_measure.h"
#include "import/units.h"
#include "store/project.h"

namespace lastreach {
namespace {

struct Options {
  std::string file, code, drum, before, after, step, pitot, outlet, who;
  double seconds = 0, minutes = 0, coefficient = 0.9;
  bool keep = false, json = false;
};

// "55 gal" in SI. ERROR: kBadRequest naming the option and the units there are.
Result<double> Measure(const std::string& option, const std::string& text, Dimension dimension) {
  double number = 0;
  const auto [rest, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  const std::string unit_text(rest, text.data() + text.size());
  const auto unit = FindUnit(dimension, unit_text);
  if (error != std::errc() || !unit) {
    return BadRequest(option + " '" + text + "': a number and its unit are wanted, one of " +
                      UnitNames(dimension));
  }
  return number * unit->factor + unit->offset;
}

Result<MeasuredFlow> ByDrum(const Options& options) {
  const auto filled_m3 = Measure("--drum", options.drum, Dimension::kVolume);
  if (!filled_m3.ok()) return filled_m3.error();
  return FlowByDrum(Volume::CubicMetres(*filled_m3), Duration::Seconds(options.seconds));
}

Result<MeasuredFlow> ByMeter(const Options& options) {
  const auto before_m3 = Measure("--before", options.before, Dimension::kVolume);
  if (!before_m3.ok()) return before_m3.error();
  const auto after_m3 = Measure("--after", options.after, Dimension::kVolume);
  if (!after_m3.ok()) return after_m3.error();
  double step_m3 = 0;
  if (!options.step.empty()) {
    const auto step = Measure("--dial-step", options.step, Dimension::kVolume);
    if (!step.ok()) return step.error();
    step_m3 = *step;
  }
  return FlowByMeter(Volume::CubicMetres(*before_m3), Volume::CubicMetres(*after_m3),
                     Duration::Minutes(options.minutes), Volume::CubicMetres(step_m3));
}

Result<MeasuredFlow> ByPitot(const Options& options) {
  const auto pressure_m = Measure("--pitot", options.pitot, Dimension::kPressure);
  if (!pressure_m.ok()) return pressure_m.error();
  const auto outlet_m = Measure("--outlet", options.outlet, Dimension::kDiameter);
  if (!outlet_m.ok()) return outlet_m.error();
  return FlowByPitot(Diameter::Millimetres(1000 * *outlet_m), options.coefficient,
                     Pressure::MetresOfWater(*pressure_m));
}

Result<MeasuredFlow> Measured(const Options& options) {
  const int ways = (options.drum.empty() ? 0 : 1) +
                   (options.before.empty() && options.after.empty() ? 0 : 1) +
                   (options.pitot.empty() ? 0 : 1);
  if (ways != 1)
    return BadRequest("one way of measuring is wanted: --drum, --before and --after, or --pitot");
  if (!options.drum.empty()) return ByDrum(options);
  return options.pitot.empty() ? ByMeter(options) : ByPitot(options);
}

Status Keep(Project& project, const Options& options, const MeasuredFlow& flow, Instant now) {
  if (options.who.empty()) return BadRequest("--keep wants --who: who measured it");
  const auto info = project.Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto local = zone->ToLocal(now);
  const auto day = std::chrono::floor<std::chrono::days>(local);
  FlowTest test;
  test.point = PointCode(options.code);
  test.day = Date{day};
  test.minute_of_day = static_cast<int>(std::chrono::floor<std::chrono::minutes>(local - day).count());
  test.flow = Flow::CubicMetresPerSecond(flow.flow_m3_per_s);
  test.by = flow.by;
  test.accuracy = std::expm1(flow.log_sd);
  test.who = options.who;
  const auto added = project.AddFlowTest(test);
  return added.ok() ? Ok() : Status(added.error());
}

Result<int> TestFlow(const Options& options, Surroundings& around) {
  auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto point = project->FindFlushPoint(PointCode(options.code));
  if (!point.ok()) return point.error();
  const auto flow = Measured(options);
  if (!flow.ok()) return BadRequest(flow.error().message);
  if (options.keep) {
    if (const Status kept = Keep(*project, options, *flow, around.now); !kept.ok()) return kept.error();
  }
  const Flow measured = Flow::CubicMetresPerSecond(flow->flow_m3_per_s);
  const double share = std::expm1(flow->log_sd);
  if (options.json) {
    nlohmann::ordered_json json = {{"point", options.code},
                                   {"flow_m3_per_s", flow->flow_m3_per_s},
                                   {"by", ToText(flow->by)},
                                   {"accuracy", share},
                                   {"kept", options.keep}};
    around.out << json.dump(2) << "\n";
    return 0;
  }
  char text[200];
  std::snprintf(text, sizeof text, "%s: %.3g gpm (%.3g L/s), give or take %.0f %%", options.code.c_str(),
                measured.gallons_per_minute(), measured.litres_per_second(), 100 * share);
  around.out << text;
  if (point->flow) {
    std::snprintf(text, sizeof text, "; on the lid stands %.3g gpm (%.3g L/s)",
                  point->flow->value.gallons_per_minute(), point->flow->value.litres_per_second());
    around.out << text;
  }
  around.out << (options.keep ? ". Kept.\n" : ". Not kept; --keep --who NAME keeps it.\n");
  return 0;
}

}  // namespace

void AddFlowTestCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("flow-test", "The flow of an open end, by drum, meter or pitot gauge");
  command->footer(
      "\n"
      "How much runs while the end is open, and how far that may be off: a drum and a watch to about 5 %, a\n"
      "meter to 2 % and half a step of its dial, a gauge at the middle of the open jet to about 10 %\n"
      "(q = 29.84 c d^2 sqrt(p) gpm, d in inches, p in psi; NFPA 291). With --keep the project counts on "
      "it:\n"
      "plans, reads against settings and the month use the latest.\n"
      "  lastreach flow-test town.gpkg D07 --drum \"55 gal\" --seconds 62 --keep --who \"J. Doe\"\n"
      "  lastreach flow-test town.gpkg D07 --before \"41200 gal\" --after \"41500 gal\" --minutes 5\n"
      "  lastreach flow-test town.gpkg H03 --pitot \"12 psi\" --outlet \"2.5 in\" --coefficient 0.9\n"
      "Stand clear of the jet, keep traffic and children away, and dechlorinate where it runs to a creek.");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option("CODE", options->code, "the point that is open")->required();
  command->add_option("--drum", options->drum, "what the container holds, with its unit");
  command->add_option("--seconds", options->seconds, "how long it took to fill");
  command->add_option("--before", options->before, "the dial at the beginning, with its unit");
  command->add_option("--after", options->after, "the dial at the end, with its unit");
  command->add_option("--minutes", options->minutes, "from one to the other");
  command->add_option("--dial-step", options->step, "the least the dial tells apart, with its unit");
  command->add_option("--pitot", options->pitot, "pressure at the middle of the jet, with its unit");
  command->add_option("--outlet", options->outlet, "width of the outlet, with its unit");
  command
      ->add_option("--coefficient", options->coefficient,
                   "0.9 smooth and rounded, 0.8 square, 0.7 reaching in")
      ->capture_default_str();
  command->add_flag("--keep", options->keep, "put it into the project");
  command->add_option("--who", options->who, "who measured");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return TestFlow(*options, around); }; });
}

}  // namespace lastreach
