#include <memory>
#include <ostream>

#include "app/fit_records.h"
#include "app/fit_report.h"
#include "app/flush_csv.h"
#include "app/subcommands.h"

namespace lastreach {
namespace {

struct Options {
  std::string file, code, csv;
  double upstream_mg_per_l = 0;
  bool upstream_given = false;
  double kit_mg_per_l = 0.1;
  bool json = false;
};

Result<TestFlush> FlushOf(const Options& options, const Project& project, const PointCode& code,
                          Instant now) {
  if (!options.csv.empty()) {
    auto flush = ReadFlushCsv(options.csv, options.kit_mg_per_l);
    if (!flush.ok()) return flush.error();
    flush->point = code;
    flush->begun = now;
    return flush;
  }
  const auto flushes = project.TestFlushesOf(code);
  if (!flushes.ok()) return flushes.error();
  if (flushes->empty()) {
    return NotFound("the project has no test flush of '" + code.text() +
                    "': import one (--as test-flushes) or give its readings with --csv");
  }
  return flushes->back();
}

// What no run of its timer can last.
void SayIfTooLong(const std::vector<DeviceFacts>& devices, const PointCode& code, int minutes,
                  std::vector<std::string>& reasons) {
  for (const DeviceFacts& device : devices) {
    const auto& most = device.form.minutes_max;
    if (device.point.code != code || !most || minutes <= *most) continue;
    reasons.push_back("That is more than the " + std::to_string(*most) +
                      " min its timer takes for one run: share it out over several, as a plan does.");
  }
}

Result<int> Read(const Options& options, Surroundings& around) {
  if (!(options.kit_mg_per_l >= 0.01 && options.kit_mg_per_l <= 1))
    return BadRequest("--kit is the error of the kit in mg/L, from 0.01 to 1");
  if (options.upstream_given && !(options.upstream_mg_per_l > 0 && options.upstream_mg_per_l <= 10))
    return BadRequest("--upstream is the residual in the main in mg/L, above 0 and up to 10");
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto info = project->Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto facts = FactsOf(*project);
  if (!facts.ok()) return facts.error();
  const PointCode code(options.code);
  if (const auto point = project->FindFlushPoint(code); !point.ok()) return point.error();
  auto flush = FlushOf(options, *project, code, around.now);
  if (!flush.ok()) return flush.error();
  if (options.upstream_given) flush->upstream = Concentration::MilligramsPerLitre(options.upstream_mg_per_l);
  const auto known = TestFlushFactsOf(*project, *facts, code, *flush, *zone);
  if (!known.ok()) return known.error();
  TestFlushOptions how;
  how.kit_mg_per_l = options.kit_mg_per_l;
  TestFlushReading read = ReadTestFlush(*known, how);
  if (read.minutes) SayIfTooLong(facts->devices, code, *read.minutes, read.reasons);
  if (options.json) {
    around.out << TestFlushToJson(code, read) << "\n";
  } else {
    PrintTestFlush(code, project->FindFlushPoint(code)->place, read, around.out);
  }
  const bool something_else = read.advice == FlushAdvice::kFlatButWeak ||
                              read.advice == FlushAdvice::kNothingArrives ||
                              read.advice == FlushAdvice::kPressureTooLow;
  return something_else ? 1 : 0;
}

}  // namespace

void AddTestFlushCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("test-flush", "Reads a test flush: is it flat, is the map right, how long");
  command->footer(
      "\n"
      "Open an end, read the residual at its outlet until it is flat, and ask after every reading:\n"
      "go on, or flat - you can stop. It then says what arrives against what the main carries, the volume\n"
      "after which fresh water came against the map's, and the minutes to key in. --csv takes the readings\n"
      "of a file, as many as there are so far; without it the latest flush of the project is read.\n"
      "The columns: minutes, residual_mg_per_l, and any of temperature_f, turbidity_ntu, flow_gpm,\n"
      "pressure_psi (docs/formats/fit.md). Exit code 1 if more flushing is not the answer.\n"
      "  lastreach test-flush town.gpkg FP-014 --csv today.csv --upstream 1.1\n"
      "  lastreach test-flush town.gpkg FP-014 --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project")->required();
  command->add_option("CODE", options->code, "the point that was flushed")->required();
  command->add_option("--csv", options->csv, "a file of readings in place of the project's");
  auto* upstream =
      command->add_option("--upstream", options->upstream_mg_per_l,
                          "residual in the main that day, mg/L; else what the flush or zone has");
  command->add_option("--kit", options->kit_mg_per_l, "readings so far apart are the same, mg/L")
      ->capture_default_str();
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, upstream, &around, &action] {
    options->upstream_given = upstream->count() > 0;
    action = [options, &around] { return Read(*options, around); };
  });
}

}  // namespace lastreach
