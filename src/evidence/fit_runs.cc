// What moved the water of an occasion: runs by the clock and by hand.
#include <algorithm>
#include <cmath>

#include "evidence/fit_occasion.h"
#include "plan/measure.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

Date LocalDay(const Zone& zone, Instant when) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(when))};
}

std::chrono::seconds Whole(Duration duration) {
  return std::chrono::seconds(std::llround(duration.seconds()));
}

OwnRun OwnRunOf(const TestFlush& flush) {
  OwnRun run;
  run.start = std::chrono::floor<minutes>(flush.begun);
  run.end = run.start + minutes(1);
  double sum = 0;
  int told = 0;
  for (const FlushReading& reading : flush.readings) {
    run.end = std::max(run.end, std::chrono::ceil<minutes>(Instant(run.start) + Whole(reading.after)));
    if (!reading.flow) continue;
    sum += reading.flow->cubic_metres_per_second();
    ++told;
  }
  run.told_flow = told > 0 && sum > 0;
  if (run.told_flow) run.flow_m3_per_s = sum / told;
  return run;
}

OwnRun OwnRunOf(const FlushRun& flush) {
  OwnRun run;
  run.start = std::chrono::floor<minutes>(flush.begun);
  run.end = std::max(run.start + minutes(1), std::chrono::round<minutes>(flush.begun + Whole(flush.lasted)));
  run.told_flow = false;
  if (flush.volume)
    run.flow_m3_per_s = flush.volume->cubic_metres() /
                        Duration::Minutes(static_cast<double>((run.end - run.start).count())).seconds();
  return run;
}

// Runs by the clock, each stretch of time by the settings that stood then.
void AddScheduled(const FitPoint& point, const FitOptions& options, MinuteInstant begin, MinuteInstant end,
                  std::vector<Run>& runs) {
  std::vector<const SettingsRecord*> stood;
  for (const SettingsRecord& record : point.settings) {
    if (record.kind != SettingsKind::kPlanned) stood.push_back(&record);
  }
  for (std::size_t i = 0; i < stood.size(); ++i) {
    // What stood before the first record is taken to be what it found.
    const MinuteInstant from =
        i == 0 ? begin : std::max(begin, std::chrono::floor<minutes>(stood[i]->recorded));
    const MinuteInstant to =
        i + 1 == stood.size() ? end : std::min(end, std::chrono::floor<minutes>(stood[i + 1]->recorded));
    if (from >= to) continue;
    const ClockState clock{point.facts.form.follows_clock_change.value_or(false),
                           stood[i]->clock_fast_minutes.value_or(0)};
    const DateWindow days{AddDays(LocalDay(options.zone, Instant(from)), -1),
                          AddDays(LocalDay(options.zone, Instant(to)), 1)};
    for (const Run& run :
         ExpandRuns(point.facts.form, KeyedLongAgo(stood[i]->settings), options.zone, days, clock)) {
      Run cut = run;
      const MinuteInstant last = std::min(run.end(), to);
      cut.start = std::max(run.start, from);
      if (cut.start >= last) continue;
      cut.minutes = static_cast<int32_t>((last - cut.start).count());
      runs.push_back(cut);
    }
  }
}

std::vector<Run> Merged(std::vector<Run> runs) {
  std::sort(runs.begin(), runs.end(), [](const Run& a, const Run& b) { return a.start < b.start; });
  std::vector<Run> merged;
  for (const Run& run : runs) {
    if (merged.empty() || run.start > merged.back().end()) {
      merged.push_back(run);
      continue;
    }
    const MinuteInstant end = std::max(merged.back().end(), run.end());
    merged.back().minutes = static_cast<int32_t>((end - merged.back().start).count());
  }
  return merged;
}

}  // namespace

void RunsOf(const FitPoint& point, const FitOptions& options, MinuteInstant begin, MinuteInstant end,
            FitOccasion& occasion) {
  std::vector<Run> runs;
  AddScheduled(point, options, begin, end, runs);
  occasion.own.clear();
  occasion.told_flow_log_sd = 0;
  const auto add = [&](const OwnRun& own) {
    if (own.end <= begin || own.start >= end) return;
    occasion.own.push_back(own);
    const MinuteInstant start = std::max(own.start, begin);
    runs.push_back({start, static_cast<int32_t>((std::min(own.end, end) - start).count()), 0});
    if (own.told_flow) occasion.told_flow_log_sd = 0.05;
  };
  for (const TestFlush& flush : point.test_flushes) add(OwnRunOf(flush));
  for (const FlushRun& flush : point.flush_runs) add(OwnRunOf(flush));
  occasion.runs = Merged(std::move(runs));
}

BranchDrive DriveOfOccasion(const FitOccasion& occasion, const ReachModel& model, const Zone& zone,
                            double own_flow_factor, double flow_factor) {
  BranchDrive drive = DriveOf(model, occasion.runs, zone, occasion.begin, occasion.end);
  drive.root_mg_per_l.assign(drive.time_s.size(), 1.0);
  std::vector<double> instants;
  for (const OccasionReading& reading : occasion.readings) {
    for (const ShareQuery& query : reading.queries) instants.push_back(query.time_s);
  }
  const auto since_begin = [&](MinuteInstant t) {
    return static_cast<double>((t - occasion.begin).count()) * kSecondsPerMinute;
  };
  for (const OwnRun& own : occasion.own) {
    instants.push_back(since_begin(own.start));
    instants.push_back(since_begin(own.end));
  }
  drive = WithInstants(drive, instants);
  for (std::size_t i = 0; i < drive.steps(); ++i) {
    for (const OwnRun& own : occasion.own) {
      if (!(own.flow_m3_per_s > 0) || drive.time_s[i] < since_begin(own.start) ||
          drive.time_s[i] >= since_begin(own.end))
        continue;
      drive.end_flow_m3_per_s[i] = own.flow_m3_per_s * (own.told_flow ? own_flow_factor : flow_factor);
      break;
    }
  }
  return drive;
}

}  // namespace lastreach
