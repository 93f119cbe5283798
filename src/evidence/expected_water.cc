#include "evidence/expected_water.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lastreach {
namespace {

constexpr int kMostPhases = 64;

MinuteInstant ToMinute(Instant instant) { return std::chrono::floor<std::chrono::minutes>(instant); }

// After how many days every count whose first day nobody knows is at the same place again; 1 for none.
int PhasesOf(const TimerSettings& settings) {
  int together = 1;
  for (const Programme& programme : settings.programmes) {
    const auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every == nullptr || every->from || programme.starts_min.empty()) continue;
    together = std::lcm(together, std::max(1, every->n));
  }
  return std::min(together, kMostPhases);
}

struct Phases {
  std::vector<std::vector<Run>> runs;  // of each phase
};

Phases ExpandPhases(const PointRecords& records, const TimerSettings& settings, int fast_min,
                    MinuteInstant from, MinuteInstant to) {
  const auto local = [&](MinuteInstant t) {
    return Date{std::chrono::floor<std::chrono::days>(records.zone.ToLocal(Instant(t)))};
  };
  // A run of the eve may still be on, and a clock that is out puts runs onto other days.
  const DateWindow window{AddDays(local(from), -2), AddDays(local(to), 2)};
  const ClockState clock{records.form.follows_clock_change.value_or(false), fast_min};
  Phases phases;
  const int count = PhasesOf(settings);
  for (int phase = 0; phase < count; ++phase) {
    const std::vector<int> each(settings.programmes.size(), phase);
    std::vector<Run> runs = ExpandRuns(records.form, settings, records.zone, window, clock, each);
    std::vector<Run> cut;
    for (Run run : runs) {
      const MinuteInstant end = std::min(run.end(), to);
      run.start = std::max(run.start, from);
      if (end <= run.start) continue;
      run.minutes = static_cast<int32_t>((end - run.start).count());
      cut.push_back(run);
    }
    phases.runs.push_back(std::move(cut));
  }
  return phases;
}

struct Span {
  std::vector<LikelyRun> runs;
  double variance_min2 = 0;  // of the minutes, for not knowing which settings or phase
};

double MinutesOf(const std::vector<Run>& runs) {
  double minutes = 0;
  for (const Run& run : runs) minutes += run.minutes;
  return minutes;
}

// Adds runs of one of the settings; `share` tells the odds of a moment.
template <typename Share>
void AddLikely(const Phases& phases, Share share, Span& span) {
  const double each = 1.0 / static_cast<double>(phases.runs.size());
  double mean = 0;
  double squares = 0;
  for (const std::vector<Run>& runs : phases.runs) {
    const double minutes = MinutesOf(runs);
    mean += each * minutes;
    squares += each * minutes * minutes;
    for (const Run& run : runs) {
      const double odds = each * share(run.start);
      if (odds > 0) span.runs.push_back({run, odds});
    }
  }
  span.variance_min2 += std::max(0.0, squares - mean * mean);
}

double MeanMinutes(const Phases& phases) {
  double minutes = 0;
  for (const std::vector<Run>& runs : phases.runs) minutes += MinutesOf(runs);
  return minutes / static_cast<double>(phases.runs.size());
}

Span SpanOf(const PointRecords& records, const SettingsStretch& stretch, Instant from, Instant to) {
  Span span;
  const MinuteInstant begin = ToMinute(std::max(from, stretch.from));
  const MinuteInstant end = ToMinute(std::min(to, stretch.to));
  if (end <= begin) return span;
  const Phases before = ExpandPhases(records, stretch.settings, stretch.ClockFast_min(), begin, end);
  if (!stretch.found) {
    AddLikely(
        before, [](MinuteInstant) { return 1.0; }, span);
    return span;
  }
  const Phases after = ExpandPhases(records, *stretch.found, stretch.ClockFast_min(), begin, end);
  const double whole = static_cast<double>((stretch.to - stretch.from).count());
  const auto changed = [&](MinuteInstant t) {
    return std::clamp(static_cast<double>((Instant(t) - stretch.from).count()) / whole, 0.0, 1.0);
  };
  AddLikely(
      before, [&](MinuteInstant t) { return 1 - changed(t); }, span);
  AddLikely(after, changed, span);
  // A change at an evenly likely moment: the deviation of an even distribution between the two sums.
  const double apart = MeanMinutes(before) - MeanMinutes(after);
  span.variance_min2 += apart * apart / 12;
  std::sort(span.runs.begin(), span.runs.end(),
            [](const LikelyRun& a, const LikelyRun& b) { return a.run.start < b.run.start; });
  return span;
}

// A visit in the middle of a run ends one stretch and begins the next; the run goes on.
void JoinOverVisits(const std::vector<MinuteInstant>& visits, std::vector<LikelyRun>& runs) {
  size_t kept = 0;
  for (size_t i = 1; i < runs.size(); ++i) {
    LikelyRun& before = runs[kept];
    const LikelyRun& now = runs[i];
    const bool at_visit = std::find(visits.begin(), visits.end(), now.run.start) != visits.end();
    const bool goes_on = at_visit && before.run.end() == now.run.start &&
                         before.run.programme == now.run.programme && before.odds >= 1 && now.odds >= 1;
    if (goes_on) {
      before.run.minutes += now.run.minutes;
    } else {
      runs[++kept] = now;
    }
  }
  if (!runs.empty()) runs.resize(kept + 1);
}

// Flushes that were logged while no run of the timer was on.
double ByHand_m3(const PointRecords& records, const std::vector<LikelyRun>& runs,
                 const std::optional<KnownFlow>& flow, Instant from, Instant to) {
  double volume_m3 = 0;
  for (const FlushRun& flush : records.flush_runs) {
    if (flush.begun < from || flush.begun >= to) continue;
    const Instant end = flush.begun + std::chrono::seconds(std::llround(flush.lasted.seconds()));
    const bool is_run = std::any_of(runs.begin(), runs.end(), [&](const LikelyRun& likely) {
      return likely.odds > 0.5 && Instant(likely.run.start) < end && Instant(likely.run.end()) > flush.begun;
    });
    if (is_run) continue;
    if (flush.volume) {
      volume_m3 += flush.volume->cubic_metres();
    } else if (flow) {
      volume_m3 += flow->flow_m3_per_s * flush.lasted.seconds();
    }
  }
  return volume_m3;
}

}  // namespace

std::vector<LikelyRun> RunsInGround(const PointRecords& records, Instant from, Instant to) {
  std::vector<LikelyRun> runs;
  std::vector<MinuteInstant> visits;
  for (const SettingsStretch& stretch : SettingsTimeline(records.settings, from, to)) {
    const Span span = SpanOf(records, stretch, from, to);
    runs.insert(runs.end(), span.runs.begin(), span.runs.end());
    visits.push_back(ToMinute(stretch.from));
  }
  std::stable_sort(runs.begin(), runs.end(),
                   [](const LikelyRun& a, const LikelyRun& b) { return a.run.start < b.run.start; });
  JoinOverVisits(visits, runs);
  return runs;
}

ExpectedWater ExpectedBetween(const PointRecords& records, Instant from, Instant to) {
  ExpectedWater water;
  const Date day{std::chrono::floor<std::chrono::days>(records.zone.ToLocal(from))};
  water.flow = FlowOn(records, day);
  if (!water.flow) water.notes.emplace_back("nobody has given its flow");
  double covered_s = 0;
  double minutes_variance = 0;
  double scatter_min2 = 0;
  std::vector<LikelyRun> runs;
  for (const SettingsStretch& stretch : SettingsTimeline(records.settings, from, to)) {
    const Span span = SpanOf(records, stretch, from, to);
    minutes_variance += span.variance_min2;
    covered_s += static_cast<double>((std::min(to, stretch.to) - std::max(from, stretch.from)).count());
    if (stretch.found) {
      water.notes.push_back(
          "settings changed at an unknown moment between " +
          FormatDate(Date{std::chrono::floor<std::chrono::days>(records.zone.ToLocal(stretch.from))}) +
          " and " +
          FormatDate(Date{std::chrono::floor<std::chrono::days>(records.zone.ToLocal(stretch.to))}));
    }
    if (stretch.only_found) water.notes.emplace_back("taken to have stood as it was first found");
    runs.insert(runs.end(), span.runs.begin(), span.runs.end());
  }
  for (const LikelyRun& likely : runs) {
    const double minutes = likely.run.minutes;
    water.runs += likely.odds;
    water.open_minutes += likely.odds * minutes;
    scatter_min2 += likely.odds * kRunScatter * kRunScatter * minutes * minutes;
  }
  water.unknown_s = std::max(0.0, static_cast<double>((to - from).count()) - covered_s);
  if (water.unknown_s > 0) water.notes.emplace_back("nobody wrote down its settings before the first record");
  water.by_hand_m3 = ByHand_m3(records, runs, water.flow, from, to);
  if (!water.flow) return water;
  const double m3_per_min = water.flow->flow_m3_per_s * kSecondsPerMinute;
  water.volume_m3 = m3_per_min * water.open_minutes;
  water.sd_m3 = std::hypot(water.flow->relative_sd * water.volume_m3,
                           m3_per_min * std::sqrt(minutes_variance + scatter_min2));
  return water;
}

Instant MomentOf(const Zone& zone, Date day, std::optional<int> minute_of_day) {
  constexpr int kMiddle_min = (kReadHourFirst + kReadHourLast) * 30;
  return zone.FirstInstant(Midnight(day) + std::chrono::minutes(minute_of_day.value_or(kMiddle_min)));
}

}  // namespace lastreach
