#include <algorithm>
#include <cctype>
#include <functional>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>
#include <utility>

#include "app/device_facts.h"
#include "app/files.h"
#include "app/progress.h"
#include "app/subcommands.h"
#include "app/us_zone.h"
#include "app/year_on_paper.h"
#include "plan/plan_json.h"
#include "report/changes_list.h"
#include "report/council.h"
#include "report/form_sheet.h"
#include "report/key_in_sheet.h"
#include "report/overview.h"
#include "report/phone_script.h"
#include "report/route_sheet.h"
#include "report/signs.h"
#include "report/week_calendar.h"
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

// What is printed once for the whole plan. `desk`: the same options on paper for a desk.
struct PlanSheets {
  const SystemPlan& plan;
  const std::vector<FlushPoint>& hand_points;
  const SheetOptions& lid;
  const SheetOptions& desk;
  const CouncilPaper& council;

  // In the order in which they are named; the first that fails ends it.
  Status Write(const std::string& folder, std::vector<std::string>& files) const {
    const std::pair<const char*, std::function<Status(const std::string&)>> sheets[] = {
        {"route.pdf",
         [&](const std::string& path) { return WriteRouteSheet(plan, hand_points, desk, path); }},
        {"changes.pdf", [&](const std::string& path) { return WriteChangesList(plan, desk, path); }},
        {"overview.pdf", [&](const std::string& path) { return WriteOverview(plan, desk, path); }},
        {"week.pdf", [&](const std::string& path) { return WriteWeekCalendar(plan, desk, path); }},
        {"signs.pdf", [&](const std::string& path) { return WriteSigns(plan, desk, path); }},
        {"phone-script.pdf", [&](const std::string& path) { return WritePhoneScript(plan, desk, path); }},
        {"council.pdf", [&](const std::string& path) { return WriteCouncilPage(plan, council, desk, path); }},
        {"timer-form.pdf", [&](const std::string& path) { return WriteControllerFormBlank(lid, path); }},
    };
    for (const auto& sheet : sheets) {
      if (const Status written = sheet.second(folder + "/" + sheet.first); !written.ok()) return written;
      files.emplace_back(sheet.first);
    }
    return Ok();
  }
};

Result<int> Print(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto stored = project->LatestPlan(PointCode());
  if (!stored.ok()) return stored.error();
  if (!*stored)
    return BadInput("there is no plan yet: lastreach plan " + options.file, {options.file, {}, "", ""});
  const auto plan = PlanFromJson((*stored)->json, options.file);
  if (!plan.ok()) return plan.error();
  const auto year = LatestYear(*project, options.file);
  if (!year.ok()) return year.error();
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
  const size_t cards = files.size();
  CouncilPaper council;
  if (*year && !(*year)->plan.devices.empty()) council = {&(*year)->plan, (*year)->prices};
  const PlanSheets sheets{*plan, facts->hand_points, *sheet, desk, council};
  if (const Status printed = sheets.Write(options.out, files); !printed.ok()) return printed.error();
  if (*year) {
    const Status printed = PrintYearSheets(**year, *facts, desk, options.out, files);
    if (!printed.ok()) return printed.error();
  }

  if (options.json) {
    const nlohmann::ordered_json json = {{"folder", options.out}, {"files", files}};
    around.out << json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
  } else {
    around.out << "Printed " << cards << " key-in sheets";
    for (size_t i = cards; i < files.size(); ++i) {
      around.out << (i + 1 < files.size() ? ", " : " and ") << files[i];
    }
    around.out << " for " << plan->season << " into " << options.out << "\n";
  }
  return 0;
}

}  // namespace

void AddSheetsCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("sheets", "Key-in sheets and all that is printed of a plan beside them, as PDF");
  command->footer(
      "\nPrints the latest plan of the project, and of its latest year (lastreach year) the calendar, what "
      "is "
      "changed when and the drought stages: a card for the lid of every device, the round, what to "
      "alter, "
      "the overview, who runs when, signs for the outlets, a script for the phone, a page for the council "
      "and "
      "a blank timer form.\n  lastreach sheets town.gpkg --out sheets --phone '555 0100'");
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
