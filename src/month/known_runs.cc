#include "month/known_runs.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

// One that is on the log overlaps it: the same opening.
bool IsLogged(const KnownRun& run, const std::vector<KnownRun>& logged) {
  return std::any_of(logged.begin(), logged.end(),
                     [&](const KnownRun& other) { return other.begin < run.end && run.begin < other.end; });
}

Date LocalDate(const Zone& zone, Instant when) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(when))};
}

KnownRun LoggedRun(const PointRecords& records, const FlushRun& flush) {
  KnownRun run;
  run.begin = flush.begun;
  run.end = flush.begun + std::chrono::seconds(std::max<int64_t>(1, std::llround(flush.lasted.seconds())));
  run.logged = &flush;
  if (flush.volume) {
    run.volume_m3 = flush.volume->cubic_metres();
    run.own_sd_m3 = RelativeSdOf(flush.by) * run.volume_m3;
  } else if (const auto flow = FlowOn(records, LocalDate(records.zone, flush.begun))) {
    run.volume_m3 = flow->flow_m3_per_s * flush.lasted.seconds();
    run.shared_sd_m3 = flow->relative_sd * run.volume_m3;
  }
  return run;
}

KnownRun TimerRun(const PointRecords& records, const LikelyRun& likely) {
  KnownRun run;
  run.begin = Instant(likely.run.start);
  run.end = Instant(likely.run.end());
  run.odds = likely.odds;
  const auto flow = FlowOn(records, LocalDate(records.zone, run.begin));
  const double whole_m3 =
      (flow ? flow->flow_m3_per_s : 1.0) * static_cast<double>((run.end - run.begin).count());
  run.volume_m3 = likely.odds * whole_m3;
  run.shared_sd_m3 = (flow ? flow->relative_sd : 0.0) * run.volume_m3;
  return run;
}

}  // namespace

KnownRuns KnownRunsBetween(const PointRecords& records, Instant from, Instant to) {
  KnownRuns known;
  std::vector<KnownRun> logged;
  for (const FlushRun& flush : records.flush_runs) {
    KnownRun run = LoggedRun(records, flush);
    if (run.begin < to && from < run.end) logged.push_back(run);
  }
  known.flow_known = FlowOn(records, LocalDate(records.zone, from)).has_value();
  if (records.point.kind == PointKind::kDevice) {
    for (const LikelyRun& likely : RunsInGround(records, from, to)) {
      const KnownRun run = TimerRun(records, likely);
      if (!IsLogged(run, logged)) known.runs.push_back(run);
    }
    known.unknown_s = ExpectedBetween(records, from, to).unknown_s;
  }
  known.runs.insert(known.runs.end(), logged.begin(), logged.end());
  std::stable_sort(known.runs.begin(), known.runs.end(),
                   [](const KnownRun& a, const KnownRun& b) { return a.begin < b.begin; });
  return known;
}

double ShareWithin(const KnownRun& run, Instant from, Instant to) {
  const auto inside = std::min(run.end, to) - std::max(run.begin, from);
  if (inside.count() <= 0) return 0;
  return static_cast<double>(inside.count()) / static_cast<double>((run.end - run.begin).count());
}

double WaterBetween(const std::vector<KnownRun>& runs, Instant from, Instant to) {
  double water_m3 = 0;
  for (const KnownRun& run : runs) water_m3 += run.volume_m3 * ShareWithin(run, from, to);
  return water_m3;
}

}  // namespace lastreach
