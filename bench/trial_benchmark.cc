// How near plans come to their bound on a map somebody has: devices are stood at its quietest ends and
// planned, for one summer, ends that share mains together.
//
//   build/bench/trial_benchmark PROJECT.gpkg --devices N [--draws N] [--target MG_PER_L] [--residual
//   MG_PER_L]
//
// The project needs a map (lastreach map); nothing is written to it. Reaches, customers and their use are the
// map's; where a reach has no customer one is taken every 30 m. Of zones that say nothing: 0.3 mg/L wanted
// (--target), 0.8 mg/L in the well-fed main (--residual), 0.4 1/d lost at 20 C, 25 C. Devices let out 3 L/s
// and have a timer of three programmes of four starts. Prints, of the devices that can hold their reach by
// flushing:
//
//   planned, off     with settings, and those whose customers keep it fresh
//   m3/d, bound      water of them all, and what no schedule on any timer can do without, ends of one tree
//   together gap              the one over the other, less 1 sure             least share of fresh draws in
//   which one of them holds s, cpu_s         by the clock, and of the processor
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <map>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/reach_from_map.h"
#include "ends/quiet_places.h"
#include "plan/plan_tree.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

constexpr double kServiceEvery_m = 30;

struct Asked {
  std::string file;
  size_t devices = 30;
  int draws = 100;
  double target_mg_per_l = 0.3;
  double residual_mg_per_l = 0.8;
};

[[noreturn]] void Fail(const std::string& why) {
  std::fprintf(stderr, "%s\n", why.c_str());
  std::exit(3);
}

template <typename T>
T Must(Result<T> result) {
  if (!result.ok()) Fail(result.error().ToString());
  return *std::move(result);
}

// Ends that a device can stand at and has something to flush, the quietest first.
std::vector<QuietPlace> QuietestEnds(const Network& network, size_t most) {
  std::vector<QuietPlace> ends;
  for (QuietPlace& place : FindQuietPlaces(network)) {
    const bool is_end = place.kind == QuietKind::kDeadEnd || place.kind == QuietKind::kStub;
    if (is_end && !place.reach.empty() && ends.size() < most) ends.push_back(std::move(place));
  }
  return ends;
}

void ServeWhereNobodyIsKnown(std::vector<ReachPipe>& pipes) {
  for (const ReachPipe& pipe : pipes) {
    if (pipe.services.value > 0 || pipe.demand) return;
  }
  for (ReachPipe& pipe : pipes) {
    const auto services = static_cast<int>(pipe.length.value.metres() / kServiceEvery_m);
    pipe.services = From(OriginKind::kAssumed, services);
  }
}

SupplyZone ZoneOf(const std::string& name, const std::vector<SupplyZone>& zones, const Asked& asked) {
  SupplyZone zone;
  for (const SupplyZone& known : zones) {
    if (known.name == name) zone = known;
  }
  if (!zone.target_residual)
    zone.target_residual = Typed(Concentration::MilligramsPerLitre(asked.target_mg_per_l));
  if (!zone.upstream_residual)
    zone.upstream_residual = Typed(Concentration::MilligramsPerLitre(asked.residual_mg_per_l));
  if (!zone.bulk_per_day_at_20c) zone.bulk_per_day_at_20c = Typed(0.4);
  if (!zone.worst_week) zone.worst_week = Typed(Temperature::Celsius(25));
  return zone;
}

std::vector<DeviceFacts> DevicesOn(const MapSource& source, const Asked& asked) {
  const Network& network = *source.network;
  const std::vector<QuietPlace> ends = QuietestEnds(network, asked.devices);
  std::vector<const QuietPlace*> places;
  for (const QuietPlace& end : ends) places.push_back(&end);
  std::vector<NamedPipes> reaches = NamedPipesOf(network, places);
  const std::vector<SupplyZone> zones = Must(source.project->SupplyZones());
  std::vector<DeviceFacts> devices;
  for (size_t i = 0; i < ends.size(); ++i) {
    DeviceFacts facts = MadeUpDevice(0, 1);
    facts.point.code = PointCode("T" + std::to_string(i + 1));
    facts.point.flow = Typed(Flow::LitresPerSecond(3));
    facts.supply = ZoneOf(ends[i].zone, zones, asked);
    ServeWhereNobodyIsKnown(reaches[i].pipes);
    facts.reach.pipes = std::move(reaches[i].pipes);
    facts.pipe_ids = std::move(reaches[i].ids);
    devices.push_back(std::move(facts));
  }
  return devices;
}

void PlanAndTell(const Asked& asked) {
  const MapSource source = Must(OpenMapSource(asked.file));
  if (!source.network || !source.project) Fail(asked.file + " has no map: lastreach map " + asked.file);
  const std::vector<DeviceFacts> devices = DevicesOn(source, asked);
  PlanOptions options;
  options.zone = *Zone::Find(Must(source.project->Info()).zone);
  options.from = *ParseDate("2027-06-01");
  options.to = *ParseDate("2027-10-01");
  options.season = "summer 2027";
  options.draws = options.confirming_draws = asked.draws;
  options.what_binds = false;

  const auto begin = std::chrono::steady_clock::now();
  const std::clock_t cpu_begin = std::clock();
  const std::vector<TreePlan> trees = PlanTrees(devices, options);
  const double cpu_s = static_cast<double>(std::clock() - cpu_begin) / CLOCKS_PER_SEC;
  const double wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();

  std::map<Verdict, int> count;
  double water_m3_per_day = 0, least_sure = 1;
  size_t shared = 0;
  for (const TreePlan& tree : trees) {
    shared += tree.devices.size() > 1 ? tree.devices.size() : 0;
    for (const DevicePlan& plan : tree.devices) {
      ++count[plan.verdict];
      if (!plan.planned_outcome) continue;
      water_m3_per_day += plan.planned_outcome->water_m3_per_day;
      least_sure = std::min(least_sure, plan.planned_outcome->sureness);
    }
  }
  if (least_sure < options.sureness) Fail("a plan is not sure");
  const double bound_m3_per_day = BoundTogether_m3_per_day(trees);
  if (water_m3_per_day < bound_m3_per_day) Fail("a plan takes less than its bound");
  std::printf(
      "%3zu devices, %zu on shared mains: %3d planned, %3d off, %3d hopeless, %3d cannot hold; %7.1f m3/d, "
      "bound "
      "%7.1f, gap %3.0f %%; sure %.3f; %6.1f s, %6.1f cpu_s\n",
      devices.size(), shared, count[Verdict::kChange] + count[Verdict::kKeep], count[Verdict::kNoFlushNeeded],
      count[Verdict::kFlushingIsNotTheAnswer] + count[Verdict::kTooLittleKnown], count[Verdict::kCannotHold],
      water_m3_per_day, bound_m3_per_day,
      bound_m3_per_day > 0 ? 100 * (water_m3_per_day / bound_m3_per_day - 1) : 0, least_sure, wall_s, cpu_s);
}

}  // namespace
}  // namespace lastreach

int main(int argc, char** argv) {
  lastreach::Asked asked;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word.starts_with("--") && i + 1 == argc) lastreach::Fail(word + " wants a value");
    if (word == "--devices")
      asked.devices = static_cast<size_t>(std::atoi(argv[++i]));
    else if (word == "--draws")
      asked.draws = std::atoi(argv[++i]);
    else if (word == "--target")
      asked.target_mg_per_l = std::atof(argv[++i]);
    else if (word == "--residual")
      asked.residual_mg_per_l = std::atof(argv[++i]);
    else if (word.starts_with("--"))
      lastreach::Fail("unknown: " + word);
    else
      asked.file = word;
  }
  if (asked.file.empty()) lastreach::Fail("which project?");
  lastreach::PlanAndTell(asked);
  return 0;
}
