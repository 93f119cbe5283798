#include <algorithm>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/findings.h"
#include "app/map_source.h"
#include "app/record_findings.h"
#include "app/subcommands.h"
#include "app/text_table.h"
#include "ends/maybe_gap.h"
#include "map/join_up.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

struct Options {
  std::string file;
  bool json = false;
  bool all = false;
};

// What a screen or a sheet of paper holds, two lines each.
constexpr size_t kShown = 30;

// What joining up leaves out is not kept; it is the same each time.
Status AddSetAsideAtJoining(const Project& project, MapRecords& records) {
  if (records.drawing.mains.empty()) return Ok();
  const auto decisions = project.RepairDecisions();
  if (!decisions.ok()) return decisions.error();
  auto joined = JoinUp(records.drawing, *decisions);
  if (!joined.ok()) return joined.error();
  records.set_aside.insert(records.set_aside.end(), joined->set_aside.begin(), joined->set_aside.end());
  return Ok();
}

Result<std::vector<Finding>> MapFindings(const MapSource& source) {
  MapRecords records;
  if (source.project) {
    auto drawing = source.project->LoadDrawing();
    if (!drawing.ok()) return drawing.error();
    records.drawing = *std::move(drawing);
    auto repairs = source.project->Repairs();
    if (!repairs.ok()) return repairs.error();
    records.repairs = *std::move(repairs);
    auto set_aside = source.project->ImportSetAside();
    if (!set_aside.ok()) return set_aside.error();
    records.set_aside = *std::move(set_aside);
    if (const Status joined = AddSetAsideAtJoining(*source.project, records); !joined.ok()) {
      return joined.error();
    }
  }
  std::vector<Finding> findings;
  if (source.network) {
    EndOptions ends;
    ends.gap_look_m = GapLook_m(records.repairs);
    records.quiet_places = FindQuietPlaces(*source.network, ends);
    for (const Fault& fault : FindFaults(*source.network, records)) findings.push_back(FindingOf(fault));
  } else if (!records.drawing.mains.empty()) {
    Finding finding;
    finding.kind = "no network";
    finding.severity = 1;
    finding.effect = "the mains of the map are not joined up yet: no end and no reach is known";
    finding.mend = "lastreach map " + source.file;
    findings.push_back(finding);
  }
  return findings;
}

Json JsonOf(const Finding& finding) {
  Json json = {{"kind", finding.kind},
               {"severity", finding.severity},
               {"effect", finding.effect},
               {"mend", finding.mend}};
  json["longitude_deg"] = finding.at ? Json(finding.at->longitude_deg) : Json(nullptr);
  json["latitude_deg"] = finding.at ? Json(finding.at->latitude_deg) : Json(nullptr);
  json["where"] = finding.where;
  json["features"] = Json::array();
  for (const FeatureKey& feature : finding.features) {
    json["features"].push_back({{"layer", feature.layer}, {"key", feature.key}});
  }
  json["points"] = finding.points;
  return json;
}

// Two digits; what is next to nothing is said so.
std::string ShareOf(const Finding& finding) {
  const double percent = 100 * finding.severity;
  char text[32];
  std::snprintf(text, sizeof text, "%5s %%", percent < 0.01 ? "<0.01" : TwoFigures(percent).c_str());
  return text;
}

void Print(const std::vector<Finding>& findings, bool all, std::ostream& out) {
  if (findings.empty()) {
    out << "No faults found.\n";
    return;
  }
  out << findings.size() << (findings.size() == 1 ? " fault" : " faults")
      << ", those that change most of the answer first.\n\n";
  const size_t shown = all ? findings.size() : std::min(findings.size(), kShown);
  for (size_t i = 0; i < shown; ++i) {
    const Finding& finding = findings[i];
    out << ShareOf(finding) << "  " << finding.kind;
    if (!finding.where.empty()) out << ", " << finding.where;
    out << ": " << finding.effect << "\n         mend: " << finding.mend;
    if (finding.at) {
      char place[64];
      std::snprintf(place, sizeof place, " (%.6f, %.6f)", finding.at->longitude_deg,
                    finding.at->latitude_deg);
      out << place;
    }
    out << "\n";
  }
  if (shown < findings.size()) out << "and " << findings.size() - shown << " more (--all lists them)\n";
}

// A project of which nothing can be said is not a sound one.
Finding NothingThere() {
  Finding finding;
  finding.kind = "nothing to check";
  finding.severity = 1;
  finding.effect = "the project holds no device and no main yet: nothing can be said of it";
  finding.mend = "import a sheet of devices, or the mains of a map";
  return finding;
}

Result<int> Check(const Options& options, Surroundings& around) {
  const auto source = OpenMapSource(options.file);
  if (!source.ok()) return source.error();
  auto findings = MapFindings(*source);
  if (!findings.ok()) return findings.error();
  if (source->project) {
    const auto records = FindRecordFaults(*source->project);
    if (!records.ok()) return records.error();
    findings->insert(findings->end(), records->begin(), records->end());
    const auto seen = FindFlushFaults(*source->project, around.now);
    if (!seen.ok()) return seen.error();
    findings->insert(findings->end(), seen->begin(), seen->end());
    const auto points = source->project->FlushPoints();
    if (!points.ok()) return points.error();
    if (!source->network && points->empty()) findings->push_back(NothingThere());
  }
  std::stable_sort(findings->begin(), findings->end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
  if (options.json) {
    Json json;
    json["faults"] = Json::array();
    for (const Finding& finding : *findings) json["faults"].push_back(JsonOf(finding));
    json["count"] = findings->size();
    around.out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
  } else {
    Print(*findings, options.all, around.out);
  }
  return findings->empty() ? 0 : 1;
}

}  // namespace

void AddCheckCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("check", "Faults of the map and the records, ranked, each with a place and a mend");
  command->footer(
      "\n"
      "First those that would change most of the answer; the percentage is the share of the system whose\n"
      "answer they would change. The 30 worst are told; --json tells all. A folder of plain tables may\n"
      "stand for FILE.\n"
      "  lastreach check town.gpkg\n"
      "Exit code 1: there are faults.");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project, or a folder of plain tables")->required();
  command->add_flag("--all", options->all, "list all of them, not only the 30 worst");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Check(*options, around); }; });
}

}  // namespace lastreach
