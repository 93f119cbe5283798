#include "app/fit_records.h"

#include <algorithm>
#include <map>

#include "evidence/fit_occasion.h"
#include "year/hand_flush.h"

namespace lastreach {
namespace {

constexpr double kOneInTwenty = 1.645;
constexpr double kLongestReSample_h = 72;

OriginKind KindOf(MeasuredBy by) {
  return by == MeasuredBy::kEstimate ? OriginKind::kEstimated : OriginKind::kMeasured;
}

void TakeFlow(const std::vector<FlowTest>& tests, DeviceFacts& facts) {
  if (tests.empty()) return;
  const FlowTest& test = tests.back();
  const auto& known = facts.point.flow;
  if (known && known->origin.when && DateOf(*known->origin.when) > test.day) return;
  facts.point.flow = Sourced<Flow>{
      test.flow,
      {KindOf(test.by), test.who, {}, std::string(ToText(test.by)) + " on " + FormatDate(test.day)}};
}

MeasuredFlow FlowOf(const FlowTest& test) {
  return {test.flow.cubic_metres_per_second(), test.accuracy.value_or(UsualLogSd(test.by)), test.by};
}

const DeviceFacts* Find(const ProjectFacts& facts, const PointCode& code) {
  for (const auto* list : {&facts.devices, &facts.hand_ends}) {
    for (const DeviceFacts& device : *list) {
      if (device.point.code == code) return &device;
    }
  }
  return nullptr;
}

Result<FitPoint> PointOf(const Project& project, const DeviceFacts& facts) {
  const PointCode& code = facts.point.code;
  FitPoint point;
  point.facts = facts;
  auto settings = project.SettingsOf(code);
  if (!settings.ok()) return settings.error();
  auto samples = project.SamplesOf(code);
  if (!samples.ok()) return samples.error();
  auto flushes = project.TestFlushesOf(code);
  if (!flushes.ok()) return flushes.error();
  auto runs = project.FlushRunsOf(code);
  if (!runs.ok()) return runs.error();
  const auto tests = project.FlowTestsOf(code);
  if (!tests.ok()) return tests.error();
  point.settings = std::move(*settings);
  point.samples = std::move(*samples);
  point.test_flushes = std::move(*flushes);
  point.flush_runs = std::move(*runs);
  TakeFlow(*tests, point.facts);
  return point;
}

// The first sample after the flush at the same outlet, if nothing ran in between.
std::optional<TestFlushFacts::ReSample> ReSampleOf(const FitPoint& point, const TestFlush& flush,
                                                   const Zone& zone) {
  if (flush.readings.empty() || flush.begun == Instant{}) return std::nullopt;
  const Instant closed =
      flush.begun + std::chrono::seconds(static_cast<int64_t>(flush.readings.back().after.seconds()));
  for (const Sample& sample : point.samples) {
    if (!sample.minute_of_day || sample.below_detection || sample.analyte != flush.analyte) continue;
    const Instant when =
        zone.FirstInstant(Midnight(sample.day) + std::chrono::minutes(*sample.minute_of_day));
    const double after_s = static_cast<double>((when - closed).count());
    if (after_s <= 0) continue;
    if (after_s > kLongestReSample_h * kSecondsPerHour) return std::nullopt;
    FitOptions options;
    options.zone = zone;
    FitOccasion between;
    RunsOf(point, options, std::chrono::ceil<std::chrono::minutes>(closed) + std::chrono::minutes(1),
           std::chrono::floor<std::chrono::minutes>(when), between);
    if (!between.runs.empty()) return std::nullopt;
    return TestFlushFacts::ReSample{after_s, sample.residual.milligrams_per_litre()};
  }
  return std::nullopt;
}

}  // namespace

Result<std::vector<FitFacts>> FitFactsOf(const Project& project, const ProjectFacts& facts) {
  const auto water = project.MonthWaters();
  if (!water.ok()) return water.error();
  std::map<std::string, FitFacts> by_zone;
  for (const auto* list : {&facts.devices, &facts.hand_ends}) {
    for (const DeviceFacts& device : *list) {
      auto point = PointOf(project, device);
      if (!point.ok()) return point.error();
      if (point->samples.empty() && point->test_flushes.empty()) continue;
      FitFacts& zone = by_zone[device.supply.name];
      zone.water = *water;
      zone.points.push_back(std::move(*point));
    }
  }
  std::vector<FitFacts> zones;
  for (auto& [name, zone] : by_zone) zones.push_back(std::move(zone));
  return zones;
}

Result<TestFlushFacts> TestFlushFactsOf(const Project& project, const ProjectFacts& facts,
                                        const PointCode& code, const TestFlush& flush, const Zone& zone) {
  const DeviceFacts* device = Find(facts, code);
  if (device == nullptr) return NotFound("the project has no point '" + code.text() + "'");
  const auto point = PointOf(project, *device);
  if (!point.ok()) return point.error();
  const auto tests = project.FlowTestsOf(code);
  if (!tests.ok()) return tests.error();
  TestFlushFacts out;
  out.flush = flush;
  const auto& upstream =
      device->reach.upstream_residual ? device->reach.upstream_residual : device->supply.upstream_residual;
  if (upstream) out.upstream_mg_per_l = upstream->value.milligrams_per_litre();
  if (!tests->empty()) {
    out.last_tested = FlowOf(tests->back());
    out.flow = out.last_tested;
  } else if (device->point.flow) {
    const bool measured = device->point.flow->origin.kind == OriginKind::kMeasured;
    out.flow = MeasuredFlow{device->point.flow->value.cubic_metres_per_second(),
                            UsualLogSd(measured ? MeasuredBy::kDrum : MeasuredBy::kEstimate),
                            measured ? MeasuredBy::kDrum : MeasuredBy::kEstimate};
  }
  if (out.flow && device->point.kind == PointKind::kDevice)
    out.device_flow_m3_per_s = out.flow->flow_m3_per_s;
  for (const Limit& limit : facts.together) {
    const auto* least = std::get_if<LeastPressure>(&limit.rule);
    if (least != nullptr) out.least_pressure_pa = least->pressure.pascals();
  }
  out.resample = ReSampleOf(*point, flush, zone);
  FitOptions options;
  options.zone = zone;
  const Date day = DateOf(flush.begun);
  FitPoint known = *point;
  // Only volumes are asked for here.
  if (!upstream) known.facts.reach.upstream_residual = {Concentration::MilligramsPerLitre(1), {}};
  const auto numbers = NumbersOn(known, {}, options, day, std::nullopt);
  if (!numbers.ok()) return out;
  out.volume_m3 = numbers->volume_m3();
  out.volume_log_sd = numbers->log_sd[kReachVolume];
  if (out.flow)
    out.front_share = std::min(0.5, FrontAllowance(*numbers, out.flow->flow_m3_per_s) / kOneInTwenty);
  for (const PipeNumbers& pipe : numbers->pipes) {
    out.pipe_lengths_m.push_back(pipe.length_m);
    out.pipe_volumes_m3.push_back(
        PipeVolume(Length::Metres(pipe.length_m), Diameter::Millimetres(1000 * pipe.diameter_m))
            .cubic_metres());
  }
  return out;
}

}  // namespace lastreach
