#include <algorithm>
#include <memory>
#include <ostream>

#include "app/end_prediction.h"
#include "app/map_source.h"
#include "app/progress.h"
#include "app/reach_from_map.h"
#include "app/seasons.h"
#include "app/spread_report.h"
#include "app/subcommands.h"
#include "app/text_table.h"
#include "ends/maybe_gap.h"
#include "ends/quiet_places.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string device;
  std::string end;
  std::string season = "summer";
  int weeks = 64;
  std::string name = "households";
  bool no_dispersion = false;
  bool json = false;
};

constexpr int kFewestWeeks = 8;
constexpr int kMostWeeks = 1000;

// The reach asked for, with all that is known of it.
struct Subject {
  DeviceFacts facts;
  std::string id;
  std::string where;
  std::string device;  // code; empty for none
  bool one_of_two_arms = false;
};

Result<Subject> SubjectOfDevice(const std::string& code, const ProjectFacts& known) {
  const auto found = std::find_if(known.devices.begin(), known.devices.end(),
                                  [&](const DeviceFacts& d) { return d.point.code.text() == code; });
  if (found == known.devices.end()) return BadRequest("the project has no device '" + code + "'");
  return Subject{*found, code, found->point.place, code, false};
}

Result<Subject> SubjectAtEnd(const std::string& id, const MapSource& source, const ProjectFacts& known) {
  if (!source.network) {
    return BadInput("there is no network yet: import its mains and make it with lastreach map " + source.file,
                    {source.file, {}, "", ""});
  }
  const auto repairs = source.project->Repairs();
  if (!repairs.ok()) return repairs.error();
  const auto zones = source.project->SupplyZones();
  if (!zones.ok()) return zones.error();
  EndOptions options;
  options.gap_look_m = GapLook_m(*repairs);
  const std::vector<QuietPlace> places = FindQuietPlaces(*source.network, options);
  const auto place =
      std::find_if(places.begin(), places.end(), [&](const QuietPlace& p) { return p.id == id; });
  if (place == places.end()) {
    return BadRequest("the project has no end '" + id + "': lastreach ends " + source.file + " lists them");
  }
  if (!AnyoneDrawsAt(*place)) return BadRequest("no customer draws at " + id + ": nothing is left to chance");
  const DeviceFacts* device = DevicesAt(places, known.devices)[static_cast<size_t>(place - places.begin())];
  return Subject{FactsAt(*source.network, *place, *zones, device), id, place->street,
                 device != nullptr ? device->point.code.text() : "", place->kind == QuietKind::kNullPoint};
}

Status CheckOptions(const Options& options) {
  if (options.device.empty() == options.end.empty()) {
    return BadRequest("name one reach: --device D01 or --end E0001");
  }
  if (options.weeks < kFewestWeeks || options.weeks > kMostWeeks) {
    return BadRequest("--weeks " + std::to_string(options.weeks) + " is not from " +
                      std::to_string(kFewestWeeks) + " to " + std::to_string(kMostWeeks));
  }
  if (options.name.empty()) return BadRequest("--name is empty");
  return Ok();
}

std::vector<std::string> NotesOn(const Subject& subject, const ReachSpread& spread) {
  std::vector<std::string> notes;
  if (!subject.device.empty() && !subject.facts.present) {
    notes.push_back("No settings found or left are recorded for " + subject.device +
                    ": it is taken not to run.");
  } else if (!subject.device.empty() && spread.runs == 0) {
    notes.push_back(subject.device + (subject.facts.present->on ? " makes no run in the week as it is set."
                                                                : " is switched off: it makes no runs."));
  }
  if (subject.one_of_two_arms) {
    notes.push_back(
        "Waters of two arms of the main meet here: the longer arm is told, up to where they meet.");
  }
  if (spread.standing_m > 0) {
    notes.push_back("The last " + TwoFigures(spread.standing_m) +
                    " m, past the last service, only stand: nothing is told of them.");
  }
  if (spread.older_than_warm_up) {
    notes.push_back("Some of this water is older than the " + std::to_string(spread.warm_up_days) +
                    " days followed before the week: it is at least as old as told, and counts as empty.");
  }
  return notes;
}

Result<int> Spread(const Options& options, Surroundings& around) {
  if (const Status checked = CheckOptions(options); !checked.ok()) return checked.error();
  auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  if (!source->project) {
    return BadInput("a folder of plain tables has no water and no devices: spread wants a project",
                    {options.file, {}, "", ""});
  }
  const auto info = source->project->Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto known = FactsOf(*source->project);
  if (!known.ok()) return known.error();
  const auto subject = options.end.empty() ? SubjectOfDevice(options.device, *known)
                                           : SubjectAtEnd(options.end, *source, *known);
  if (!subject.ok()) return subject.error();
  const auto season = SeasonOf(
      options.season, Date{std::chrono::floor<std::chrono::days>(zone->ToLocal(around.now))}, known->south);
  if (!season.ok()) return season.error();

  SpreadTold told{subject->id, subject->where, subject->device, season->name, {}, {}, {}};
  told.ask.season = season->days;
  told.ask.weeks = static_cast<size_t>(options.weeks);
  told.ask.name = options.name;
  told.ask.along_the_pipe = !options.no_dispersion;
  {
    Progress progress(around.err, around.err_is_terminal, "random weeks", told.ask.weeks);
    auto spread = SpreadOnReach(subject->facts, *zone, told.ask, [&](size_t done) { progress.Show(done); });
    if (!spread.ok()) return BadInput(subject->id + ": " + spread.error().message);
    told.spread = *std::move(spread);
  }
  told.notes = NotesOn(*subject, told.spread);
  if (options.json) {
    around.out << SpreadToJson(told) << "\n";
  } else {
    PrintSpread(told, around.out);
  }
  return 0;
}

}  // namespace

void AddSpreadCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "spread", "How far chance in what households draw moves one reach's residual and age");
  command->footer(
      "\n"
      "Planning takes every household to draw its average, smoothly by the hour. Here the worst week of the\n"
      "season is drawn many times over: each use of water comes at random, as many as the average takes, "
      "and\n"
      "water also spreads along the pipe. Told for each service: the lowest residual and the oldest water\n"
      "met in a week, in the weeks at 5, 50 and 95 %, beside what smooth use gives. The device runs by its\n"
      "latest settings. The same --name gives the same weeks.\n"
      "Left out: households that are away or draw more than others for days, leaks and fire flow; what is\n"
      "not known of loss, widths and the average use, which stand at their middle (plan and ends tell what\n"
      "they may do); a residual upstream that comes and goes.\n"
      "It advises; nothing is kept in the project.\n"
      "  lastreach spread town.gpkg --device D07\n"
      "  lastreach spread town.gpkg --end E0044 --weeks 200 --name august --season summer-2027 --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE.gpkg", options->file, "the project")->required();
  command->add_option("--device", options->device, "the reach of this device");
  command->add_option("--end", options->end, "the reach of this end, as lastreach ends numbers them");
  command->add_option("--weeks", options->weeks, "how many are drawn")->capture_default_str();
  command->add_option("--name", options->name, "of the draws: another name, other weeks")
      ->capture_default_str();
  command
      ->add_option("--season", options->season,
                   "spring, summer, autumn, winter or year, with a year if you like")
      ->capture_default_str();
  command->add_flag("--no-dispersion", options->no_dispersion, "water does not spread along the pipe");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Spread(*options, around); }; });
}

}  // namespace lastreach
