#include <memory>
#include <ostream>

#include "app/evidence_facts.h"
#include "app/evidence_report.h"
#include "app/subcommands.h"

namespace lastreach {
namespace {

struct Options {
  std::string file;
  std::string point;
  std::string from, to, today;
  bool json = false;
};

Result<std::optional<Date>> DayIn(const std::string& option, const std::string& said) {
  if (said.empty()) return std::optional<Date>{};
  const auto day = ParseDate(said);
  if (!day.ok()) return BadRequest(option + ": " + day.error().ToString());
  return std::optional<Date>{*day};
}

Result<ReconcileOptions> ReconcileOptionsOf(const Options& options, const Zone& zone, Instant now) {
  ReconcileOptions asked;
  const auto from = DayIn("--from", options.from);
  if (!from.ok()) return from.error();
  const auto to = DayIn("--to", options.to);
  if (!to.ok()) return to.error();
  if (*from && *to && DayNumber(**to) <= DayNumber(**from)) {
    return BadRequest("--to " + options.to + " is not after --from " + options.from);
  }
  const auto today = TodayOf(options.today, zone, now);
  if (!today.ok()) return today.error();
  asked.from = *from;
  asked.to = *to;
  asked.today = *today;
  return asked;
}

Result<int> ReconcileProject(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto facts = EvidenceFactsOf(*project);
  if (!facts.ok()) return facts.error();
  const Zone zone = facts->empty() ? Zone::Utc() : facts->front().records.zone;
  const auto asked = ReconcileOptionsOf(options, zone, around.now);
  if (!asked.ok()) return asked.error();
  ReconcileReport report;
  bool found = false;
  for (const WatchFacts& each : *facts) {
    const FlushPoint& point = each.records.point;
    if (!options.point.empty() && point.code.text() != options.point) continue;
    found = true;
    if (point.kind != PointKind::kDevice) continue;
    const PointRecords records = KnownBy(each.records, *asked->today);
    report.points.push_back({point, Reconcile(records, *asked), SettingsDifferences(records.settings)});
  }
  if (!options.point.empty() && !found) {
    return NotFound("there is no flush point '" + options.point + "'", {options.file, {}, "", ""});
  }
  if (report.points.empty()) {
    return BadInput("there is no device whose meter could be held against its settings",
                    {options.file, {}, "", options.point});
  }
  report.zone = zone;
  report.told_whole = !options.point.empty();
  if (options.json) {
    around.out << ReconcileToJson(report) << "\n";
  } else {
    PrintReconcile(report, around.out);
  }
  return report.NeedsAPerson() ? 1 : 0;
}

}  // namespace

void AddReconcileCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "reconcile", "Meter reads held against the settings: did each device run, and what happened if not");
  command->footer(
      "\n"
      "For each device every likely explanation of its reads is weighed against all of them together: ran "
      "as\n"
      "set, stopped, stuck open, wrong clock or day, percentage changed, flow drifted, a mistaken read or\n"
      "unit, a valve that dribbles, the plan in place of what was left. They are told by their odds, each\n"
      "with its evidence and with the visit that would settle it; two that make the same volumes are named\n"
      "together. Reads that are estimates do not count, and fewer than two say nothing.\n"
      "Exit code 1 where something needs a person.\n"
      "  lastreach reconcile town.gpkg\n"
      "  lastreach reconcile town.gpkg --point D21\n"
      "  lastreach reconcile town.gpkg --from 2026-06-01 --to 2026-08-31 --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project")->required();
  command->add_option("--point", options->point, "only this device, with every read");
  command->add_option("--from", options->from, "only reads from this day on, yyyy-mm-dd");
  command->add_option("--to", options->to, "only reads up to this day");
  command->add_option("--today", options->today,
                      "judge as of this day, later records left out; today unless said");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, &around, &action] {
    action = [options, &around] { return ReconcileProject(*options, around); };
  });
}

}  // namespace lastreach
