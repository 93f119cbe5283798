#include <algorithm>
#include <memory>
#include <ostream>

#include "app/fit_records.h"
#include "app/fit_report.h"
#include "app/subcommands.h"
#include "evidence/fit.h"

namespace lastreach {
namespace {

struct Options {
  std::string file, zone, who;
  double kit_mg_per_l = 0.1;
  bool apply = false;
  bool json = false;
};

Status Write(Project& project, const AppliedFit& applied) {
  return project.InTransaction([&]() -> Status {
    if (applied.zone) {
      if (const Status put = project.PutSupplyZone(*applied.zone); !put.ok()) return put;
    }
    for (const Reach& reach : applied.reaches) {
      if (const Status put = project.PutReach(reach); !put.ok()) return put;
    }
    return Ok();
  });
}

Result<int> Fit(const Options& options, Surroundings& around) {
  if (!(options.kit_mg_per_l >= 0.01 && options.kit_mg_per_l <= 1))
    return BadRequest("--kit is the error of the kit in mg/L, from 0.01 to 1");
  if (options.apply && options.who.empty())
    return BadRequest("--apply needs --who NAME: whoever changes the zone's numbers stands by them");
  auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto info = project->Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto facts = FactsOf(*project);
  if (!facts.ok()) return facts.error();
  auto zones = FitFactsOf(*project, *facts);
  if (!zones.ok()) return zones.error();
  if (!options.zone.empty()) {
    std::erase_if(*zones, [&](const FitFacts& f) { return f.points[0].facts.supply.name != options.zone; });
  }
  if (zones->empty()) {
    return BadInput("no point" + (options.zone.empty() ? "" : " of zone '" + options.zone + "'") +
                        " has a reading to fit to: import samples or test flushes",
                    {options.file, {}, "", ""});
  }
  const auto reaches = project->Reaches();
  if (!reaches.ok()) return reaches.error();
  FitOptions how;
  how.zone = *zone;
  how.today = Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(around.now))};
  how.kit_mg_per_l = options.kit_mg_per_l;
  std::vector<ToldFit> fits;
  for (const FitFacts& zone_facts : *zones) {
    ToldFit told;
    told.fit = FitZone(zone_facts, how);
    const SupplyZone& supply = zone_facts.points[0].facts.supply;
    if (options.apply && told.fit.converged && !supply.name.empty()) {
      told.applied = ApplyFit(told.fit, supply, *reaches, options.who, around.now);
      if (const Status written = Write(*project, told.applied); !written.ok()) return written.error();
      told.is_written = true;
    }
    fits.push_back(std::move(told));
  }
  if (options.json) {
    around.out << FitsToJson(fits) << "\n";
  } else {
    PrintFits(fits, around.out);
  }
  const bool all_fitted =
      std::all_of(fits.begin(), fits.end(), [](const ToldFit& told) { return told.fit.converged; });
  return all_fitted ? 0 : 1;
}

}  // namespace

void AddFitCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("fit", "Losses, use and the main's residual from what was read");
  command->footer(
      "\n"
      "Takes every sample and test flush of the project, with the runs before it, and finds the losses,\n"
      "the customers' use, the volumes and the residual of the mains that explain them best; how far each\n"
      "may still be off; what the readings cannot tell apart; and the one sample that would tell most.\n"
      "Readings below the kit's limit count as that, and a bad one pulls little. --apply writes the zone's\n"
      "losses, the use and the residual upstream of each reach, with their spread, so that the next plan\n"
      "stands on them; what stood there before is kept in words. Exit code 1 if a zone could not be fitted.\n"
      "  lastreach fit town.gpkg\n"
      "  lastreach fit town.gpkg --zone North --apply --who 'J. Doe'");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project")->required();
  command->add_option("--zone", options->zone, "this supply zone only");
  command->add_flag("--apply", options->apply, "write what was fitted into the project");
  command->add_option("--who", options->who, "whoever applies it");
  command->add_option("--kit", options->kit_mg_per_l, "error of the kit, mg/L")->capture_default_str();
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Fit(*options, around); }; });
}

}  // namespace lastreach
