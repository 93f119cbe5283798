#include <algorithm>
#include <cctype>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/device_facts.h"
#include "app/files.h"
#include "app/progress.h"
#include "app/subcommands.h"
#include "app/us_zone.h"
#include "plan/plan_json.h"
#include "report/form_sheet.h"
#include "report/key_in_sheet.h"
#include "report/overview.h"
#include "report/route_sheet.h"
#include "store/project.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string out = "sheets";
  std::string paper;
  std::string units;
  std::string page = "http://localhost:8080";
  std::string phone;
  bool json = false;
};

Result<SheetOptions> SheetOptionsOf(const Options& options, const SystemPlan& plan, Instant now) {
  SheetOptions sheet;
  const bool us = options.units.empty() ? IsUsZone(plan.zone) : options.units == "us";
  if (!options.units.empty() && options.units != "us" && options.units != "metric") {
    return BadRequest("--units " + options.units + ": us or metric");
  }
  sheet.units = us ? SheetUnits::kUs : SheetUnits::kMetric;
  sheet.paper = us ? Paper::kHalfLetter : Paper::kA5;
  if (options.paper == "a5") {
    sheet.paper = Paper::kA5;
  } else if (options.paper == "half-letter") {
    sheet.paper = Paper::kHalfLetter;
  } else if (!options.paper.empty()) {
    return BadRequest("--paper " + options.paper + ": a5 or half-letter");
  }
  sheet.page_base_url = options.page;
  sheet.emergency_phone = options.phone;
  const auto zone = Zone::Find(plan.zone);
  if (!zone.ok()) return zone.error();
  sheet.printed_on = Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(now))};
  return sheet;
}

// A code may hold anything people write on lids; a file name may not. Two codes that come out alike are told
// apart by a number. Capitals count as alike: on some disks they are.
std::string FileName(const std::string& code, const std::vector<std::string>& taken) {
  std::string name = "key-in-";
  for (const char c : code) {
    const bool plain =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    name += plain ? c : '_';
  }
  const auto is_taken = [&taken](const std::string& wanted) {
    return std::any_of(taken.begin(), taken.end(), [&](const std::string& other) {
      return std::equal(wanted.begin(), wanted.end(), other.begin(), other.end(),
                        [](unsigned char a, unsigned char b) { return std::tolower(a) == std::tolower(b); });
    });
  };
  std::string file = name + ".pdf";
  for (int number = 2; is_taken(file); ++number) file = name + "-" + std::to_string(number) + ".pdf";
  return file;
}

Result<int> Print(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto stored = project->LatestPlan(PointCode());
  if (!stored.ok()) return stored.error();
  if (!*stored)
    return BadInput("there is no plan yet: lastreach plan " + options.file, {options.file, {}, "", ""});
  const auto plan = PlanFromJson((*stored)->json, options.file);
  if (!plan.ok()) return plan.error();
  const auto facts = FactsOf(*project);
  if (!facts.ok()) return facts.error();
  auto sheet = SheetOptionsOf(options, *plan, around.now);
  if (!sheet.ok()) return sheet.error();
  if (const Status made = MakeFolder(options.out); !made.ok()) return made.error();

  std::vector<std::string> files;
  {
    Progress progress(around.err, around.err_is_terminal, "printing", plan->devices.size());
    for (const DevicePlan& device : plan->devices) {
      files.push_back(FileName(device.point.code.text(), files));
      const Status printed = WriteKeyInSheet(device, *plan, *sheet, options.out + "/" + files.back());
      if (!printed.ok()) return printed.error();
      progress.Show(files.size());
    }
  }
  SheetOptions desk = *sheet;
  desk.paper = sheet->paper == Paper::kHalfLetter ? Paper::kLetter : Paper::kA4;
  const Status route = WriteRouteSheet(*plan, facts->hand_points, desk, options.out + "/route.pdf");
  if (!route.ok()) return route.error();
  const Status overview = WriteOverview(*plan, desk, options.out + "/overview.pdf");
  if (!overview.ok()) return overview.error();
  const Status form = WriteControllerFormBlank(*sheet, options.out + "/timer-form.pdf");
  if (!form.ok()) return form.error();
  for (const char* name : {"route.pdf", "overview.pdf", "timer-form.pdf"}) files.emplace_back(name);

  if (options.json) {
    const nlohmann::ordered_json json = {{"folder", options.out}, {"files", files}};
    around.out << json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
  } else {
    around.out << "Printed " << plan->devices.size()
               << " key-in sheets, route.pdf, overview.pdf and timer-form.pdf for " << plan->season
               << " into " << options.out << "\n";
  }
  return 0;
}

}  // namespace

void AddSheetsCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("sheets", "Key-in sheets, route sheet, overview and a blank timer form, as PDF");
  command->footer("\nPrints the latest plan of the project.\n  lastreach sheets town.gpkg --out sheets");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option("--out", options->out, "the folder to write into")->capture_default_str();
  command->add_option("--paper", options->paper, "a5 or half-letter; else by the project's zone");
  command->add_option("--units", options->units, "us or metric; else by the project's zone");
  command->add_option("--page", options->page, "address of the page, for the QR codes")
      ->capture_default_str();
  command->add_option("--phone", options->phone, "whom to ring, printed on every sheet");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Print(*options, around); }; });
}

}  // namespace lastreach
