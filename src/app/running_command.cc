#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/evidence_facts.h"
#include "app/subcommands.h"
#include "evidence/running_now.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

struct Options {
  std::string file;
  std::string at;
  std::string near;
  bool json = false;
};

struct Asked {
  const WatchFacts* facts = nullptr;
  RunningDevice device;
};

struct RunningReport {
  Zone zone = Zone::Utc();
  Instant at{};
  std::vector<Asked> devices;  // the nearest first
  std::vector<const FlushPoint*> by_hand;
  bool asked_near = false;
};

// Local time, as people say it; or with its offset.
Result<Instant> MomentSaid(const std::string& said, const Zone& zone) {
  if (const auto exact = ParseRfc3339(said); exact.ok()) return *exact;
  const Error wrong =
      BadRequest("--at '" + said + "' is not like '2026-07-21 07:45' (local) or 2026-07-21T07:45:00-05:00");
  const size_t gap = said.find_first_of(" T");
  if (gap == std::string::npos) return wrong;
  const auto day = ParseDate(said.substr(0, gap));
  const auto minute = ParseTimeOfDay(said.substr(gap + 1));
  if (!day.ok() || !minute.ok()) return wrong;
  return zone.FirstInstant(Midnight(*day) + std::chrono::minutes(*minute));
}

std::string Clock(const Zone& zone, MinuteInstant moment) {
  return FormatLocal(zone.ToLocal(Instant(moment)));
}

std::string RunWords(const Zone& zone, const Run& run) {
  return Clock(zone, run.start) + " to " + Clock(zone, run.end()).substr(11);
}

// What is known of one device, in a line.
std::string LineOf(const RunningReport& report, const Asked& asked) {
  const FlushPoint& point = asked.facts->records.point;
  std::string line = point.code.text() + (point.place.empty() ? "" : " " + point.place) + ": ";
  if (!asked.device.settings_known) return line + "nobody wrote down its settings for that day";
  if (!asked.device.is_on) return line + "it is off by its settings";
  const ClockRuns* on = asked.device.FirstOn();
  if (on != nullptr) {
    line += (asked.device.ShouldRun() ? "should run " : "would run ") + RunWords(report.zone, *on->on);
    line += asked.device.ShouldRun() && on->clock == ClockIs::kRight
                ? ""
                : ", with its clock " + std::string(ToText(on->clock));
    return line;
  }
  line += "should not run then";
  const ClockRuns& first = asked.device.clocks.front();
  if (first.last) line += "; last before it " + RunWords(report.zone, *first.last);
  if (first.next) line += "; next " + RunWords(report.zone, *first.next);
  return line;
}

size_t CountOf(const RunningReport& report, bool (RunningDevice::*which)() const) {
  return static_cast<size_t>(std::count_if(report.devices.begin(), report.devices.end(),
                                           [&](const Asked& asked) { return (asked.device.*which)(); }));
}

std::string Sentence(const RunningReport& report) {
  const size_t should = CountOf(report, &RunningDevice::ShouldRun);
  const size_t may = CountOf(report, &RunningDevice::MayRun);
  const std::string when = FormatLocal(report.zone.ToLocal(report.at));
  const std::string where = report.asked_near ? " there" : "";
  if (should > 0) {
    return "Yes: at " + when + " " + std::to_string(should) +
           (should == 1 ? " device should be running" : " devices should be running") + where + ".";
  }
  if (may > 0) {
    return "Not as they are set: at " + when + " no device should be running" + where + ", but " +
           std::to_string(may) + " would with a clock that is an hour out.";
  }
  return "No: at " + when + " no device should be running" + where + ".";
}

std::string TellCaller(const RunningReport& report) {
  if (CountOf(report, &RunningDevice::ShouldRun) > 0) {
    return "Yes, that water runs on purpose, to keep the water in your street fresh, and shuts by itself. If "
           "it still runs a quarter of an hour after it should have stopped, please ring again.";
  }
  return "Thank you, that is not planned. Somebody will come and look.";
}

std::vector<std::string> WhatToDo(const RunningReport& report) {
  if (CountOf(report, &RunningDevice::ShouldRun) > 0) return {"nothing, unless it runs on"};
  std::vector<std::string> steps;
  if (CountOf(report, &RunningDevice::MayRun) > 0) {
    steps.emplace_back("send somebody to set its clock, and to see that it shuts");
  }
  steps.emplace_back(
      "ask for street and number, since when, and whether anybody or anything is in harm's way");
  steps.emplace_back("send somebody now: a valve stuck open, a crew at work, or a broken main");
  if (report.asked_near) {
    for (const Asked& asked : report.devices) {
      const FlushPoint& point = asked.facts->records.point;
      if (!point.isolation_valve.empty()) {
        steps.push_back("to shut " + point.code.text() + ": " + point.isolation_valve);
      }
    }
    for (const FlushPoint* point : report.by_hand) {
      steps.push_back("ask whether a crew flushes " + point->code.text() +
                      (point->place.empty() ? "" : " " + point->place) + " by hand");
    }
  }
  return steps;
}

Json JsonOf(const RunningReport& report, const ClockRuns& runs) {
  const auto run = [&](const std::optional<Run>& each) -> Json {
    if (!each) return nullptr;
    const auto text = [&](MinuteInstant t) {
      return FormatRfc3339(Instant(t), report.zone.OffsetAt(Instant(t)));
    };
    return {{"start", text(each->start)}, {"end", text(each->end())}, {"programme", each->programme}};
  };
  return {{"clock", ToText(runs.clock)},
          {"clock_fast_min", runs.fast_min},
          {"running", run(runs.on)},
          {"last", run(runs.last)},
          {"next", run(runs.next)}};
}

void PrintJson(const RunningReport& report, std::ostream& out) {
  Json json = {{"at", FormatRfc3339(report.at, report.zone.OffsetAt(report.at))},
               {"sentence", Sentence(report)},
               {"tell_the_caller", TellCaller(report)},
               {"what_to_do", WhatToDo(report)}};
  json["devices"] = Json::array();
  for (const Asked& asked : report.devices) {
    const FlushPoint& point = asked.facts->records.point;
    Json device = {{"point", point.code.text()},
                   {"place", point.place},
                   {"settings_known", asked.device.settings_known},
                   {"on", asked.device.is_on},
                   {"should_run", asked.device.ShouldRun()},
                   {"may_run", asked.device.MayRun()}};
    device["clocks"] = Json::array();
    for (const ClockRuns& runs : asked.device.clocks) device["clocks"].push_back(JsonOf(report, runs));
    json["devices"].push_back(device);
  }
  out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

void PrintText(const RunningReport& report, std::ostream& out) {
  out << Sentence(report) << "\n\n";
  size_t not_told = 0;
  for (const Asked& asked : report.devices) {
    // Asked for the whole system, those that are shut are too many to tell.
    if (!report.asked_near && !asked.device.MayRun()) {
      ++not_told;
      continue;
    }
    out << "  " << LineOf(report, asked) << "\n";
  }
  if (not_told > 0) out << "  " << not_told << " others should be shut then.\n";
  out << "\nTell the caller: \"" << TellCaller(report) << "\"\n";
  for (const std::string& step : WhatToDo(report)) out << "To do: " << step << "\n";
}

Result<int> TellRunning(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto facts = EvidenceFactsOf(*project);
  if (!facts.ok()) return facts.error();
  if (facts->empty()) return BadInput("there is no flush point in it yet", {options.file, {}, "", ""});
  RunningReport report;
  report.zone = facts->front().records.zone;
  const auto at = MomentSaid(options.at, report.zone);
  if (!at.ok()) return at.error();
  report.at = *at;
  report.asked_near = !options.near.empty();
  std::vector<size_t> order;
  for (size_t i = 0; i < facts->size(); ++i) order.push_back(i);
  if (report.asked_near) {
    const auto near = PointsNear(*facts, options.near);
    if (!near.ok()) return near.error();
    order = *near;
  }
  for (const size_t i : order) {
    const WatchFacts& each = (*facts)[i];
    if (each.records.point.kind == PointKind::kHand) {
      report.by_hand.push_back(&each.records.point);
    } else {
      report.devices.push_back({&each, RunningAt(each.records, report.at)});
    }
  }
  if (options.json) {
    PrintJson(report, around.out);
  } else {
    PrintText(report, around.out);
  }
  return CountOf(report, &RunningDevice::ShouldRun) > 0 ? 0 : 1;
}

}  // namespace

void AddRunningCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("running", "Is it supposed to be running? For whoever answers the phone");
  command->footer(
      "\n"
      "Which devices should be running at a moment, by the settings that stood in the ground then: with a\n"
      "clock that is right, as it was last seen, and an hour out. A quarter of an hour either side counts.\n"
      "PLACE is a street in any spelling, the code of a point, or lat,lon (within 500 m).\n"
      "Exit code 1 where none should: then somebody has to go and look.\n"
      "  lastreach running town.gpkg --at '2026-07-21 07:45' --near 'Alder Wy'\n"
      "  lastreach running town.gpkg --at '2026-07-21 07:45' --near 39.12,-93.41\n"
      "  lastreach running town.gpkg --at 2026-07-21T02:10:00-05:00 --json");
  const auto options = std::make_shared<Options>();
  command->add_option("FILE", options->file, "the project")->required();
  command->add_option("--at", options->at, "the moment, local: '2026-07-21 07:45'")->required();
  command->add_option("--near", options->near, "a street, a code, or lat,lon");
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback(
      [options, &around, &action] { action = [options, &around] { return TellRunning(*options, around); }; });
}

}  // namespace lastreach
