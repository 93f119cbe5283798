#include "evidence/reconcile.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "evidence/posterior.h"
#include "evidence/verdict_words.h"

namespace lastreach {
namespace {

// Somebody opens it for a look, or a crew draws a bucket: this share of a run, in every interval.
constexpr double kOffCalendar = 0.3;
constexpr double kLeastOffCalendar_m3 = 0.05;
constexpr double kByHandDeviation = 0.2;
// Both predict the same where they differ by less than this many standard deviations in every interval.
constexpr double kSameWithin = 0.5;
constexpr int kLongUnread_days = 45;

Date LocalDay(const Zone& zone, Instant moment) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(moment))};
}

PointRecords Windowed(PointRecords records, const ReconcileOptions& options) {
  std::erase_if(records.reads, [&](const MeterRead& read) {
    return (options.from && DayNumber(read.day) < DayNumber(*options.from)) ||
           (options.to && DayNumber(read.day) > DayNumber(*options.to));
  });
  return records;
}

// Reads, intervals and expectations that go together, the ones without known settings left out.
struct Counting {
  std::vector<DialRead> dial;
  SeriesMoments moments;
  std::vector<ReadVolume> volumes;
};

double OffCalendar_m3(const std::vector<ReadInterval>& intervals, const PointRecords& records) {
  double runs = 0, volume_m3 = 0;
  for (const ReadInterval& interval : intervals) {
    const ExpectedWater water = ExpectedBetween(records, interval.from, interval.to);
    runs += water.runs;
    volume_m3 += water.volume_m3;
  }
  return std::max(kLeastOffCalendar_m3, runs > 0 ? kOffCalendar * volume_m3 / runs : 0);
}

void FillExpected(const PointRecords& records, double flow_m3_per_s, double relative_sd,
                  std::vector<ReadInterval>& intervals) {
  for (ReadInterval& interval : intervals) {
    const ExpectedWater water = ExpectedBetween(records, interval.from, interval.to);
    interval.counts = water.unknown_s <= 0;
    interval.by_hand_m3 = water.by_hand_m3;
    interval.expected_m3 = kSecondsPerMinute * flow_m3_per_s * water.open_minutes + water.by_hand_m3;
    interval.expected_sd_m3 = water.flow ? std::hypot(water.sd_m3, relative_sd * interval.expected_m3) : 0;
    interval.notes = water.notes;
  }
}

Counting Count(const PointRecords& records, const std::vector<DialRead>& dial,
               const std::vector<ReadInterval>& intervals) {
  Counting counting;
  // Only the time before the first record of settings is unknown, so that what counts comes last.
  size_t first = 0;
  while (first < intervals.size() && !intervals[first].counts) ++first;
  counting.dial.assign(dial.begin() + static_cast<ptrdiff_t>(first), dial.end());
  std::vector<Instant> moments;
  std::unique_ptr<bool[]> has_time(new bool[counting.dial.size()]);
  for (size_t i = 0; i < counting.dial.size(); ++i) {
    moments.push_back(counting.dial[i].at);
    has_time[i] = counting.dial[i].read.minute_of_day.has_value();
  }
  counting.moments = MomentsOf(records.zone, moments, {has_time.get(), counting.dial.size()});
  const double off_m3 = OffCalendar_m3(intervals, records);
  for (size_t i = first; i < intervals.size(); ++i) {
    const double by_hand_sd_m3 = kByHandDeviation * intervals[i].by_hand_m3;
    counting.volumes.push_back(
        {intervals[i].volume_m3 - intervals[i].by_hand_m3,
         intervals[i].sd_m3 * intervals[i].sd_m3 + off_m3 * off_m3 + by_hand_sd_m3 * by_hand_sd_m3});
  }
  return counting;
}

// From explanations and weights to verdicts in words.
class Teller {
 public:
  Teller(const PointRecords& records, const Counting& counting, const Explanations& explanations,
         const SwitchLikelihood& likelihood, const KnownFlow& flow)
      : records_(records),
        counting_(counting),
        explanations_(explanations),
        likelihood_(likelihood),
        flow_(flow),
        lean_(records, counting.moments) {}

  std::vector<RankedVerdict> Tell(const std::array<KindOdds, kVerdictKinds>& odds, double least) const {
    std::vector<RankedVerdict> verdicts;
    for (size_t kind = 0; kind < odds.size(); ++kind) {
      if (odds[kind].probability < least) continue;
      verdicts.push_back(VerdictOf(static_cast<VerdictKind>(kind), odds[kind]));
      for (size_t other = 0; other < odds.size(); ++other) {
        if (other != kind && odds[other].probability >= least && SameVolumes(odds[kind], odds[other])) {
          verdicts.back().same_volumes.push_back(static_cast<VerdictKind>(other));
        }
      }
    }
    std::stable_sort(verdicts.begin(), verdicts.end(), [](const RankedVerdict& a, const RankedVerdict& b) {
      return a.probability > b.probability;
    });
    return verdicts;
  }

  // Flow by the reads over that written down, if this is what happened.
  double FactorOf(const Weighed& weighed) const {
    if (weighed.way < 0) return FlowFactor(likelihood_.BaseTerms(), flow_.relative_sd);
    return FlowFactor(likelihood_.Terms(SeriesIn(weighed), First(weighed), Last(weighed)), flow_.relative_sd);
  }

 private:
  static size_t First(const Weighed& weighed) { return static_cast<size_t>(weighed.first); }
  static size_t Last(const Weighed& weighed) {
    return weighed.last < 0 ? SwitchLikelihood::kNever : static_cast<size_t>(weighed.last);
  }
  size_t SeriesIn(const Weighed& weighed) const {
    return weighed.way < 0 ? 0 : explanations_.ways[static_cast<size_t>(weighed.way)].series;
  }
  double ExpectedBy(const Weighed& weighed, size_t interval) const {
    if (weighed.way < 0) return likelihood_.Expected_m3(interval, 0, 0, SwitchLikelihood::kNever);
    return likelihood_.Expected_m3(interval, SeriesIn(weighed), First(weighed), Last(weighed));
  }

  bool SameVolumes(const KindOdds& a, const KindOdds& b) const {
    const auto has_series = [](const Weighed& w) {
      return w.kind != VerdictKind::kReadMistake && w.kind != VerdictKind::kNoneOfThese;
    };
    if (!has_series(a.best) || !has_series(b.best)) return false;
    const double of_a = FactorOf(a.best), of_b = FactorOf(b.best);
    for (size_t i = 0; i < counting_.volumes.size(); ++i) {
      const double a_m3 = of_a * ExpectedBy(a.best, i), b_m3 = of_b * ExpectedBy(b.best, i);
      const double sd_m3 = std::hypot(std::sqrt(counting_.volumes[i].variance_m6), kIntervalScatter * a_m3);
      if (std::abs(a_m3 - b_m3) > kSameWithin * sd_m3) return false;
    }
    return true;
  }

  Date DayOf(int32_t index) const {
    return LocalDay(records_.zone, counting_.moments.days[static_cast<size_t>(index)]);
  }

  RankedVerdict VerdictOf(VerdictKind kind, const KindOdds& odds) const {
    RankedVerdict verdict;
    verdict.kind = kind;
    verdict.probability = odds.probability;
    verdict.parameter = odds.best.parameter;
    if (kind == VerdictKind::kReadMistake) {
      if (odds.best.first >= 0) {
        verdict.since = counting_.dial[static_cast<size_t>(odds.best.first)].read.day;
      }
    } else if (odds.best.way >= 0) {
      if (odds.median > 0) {
        verdict.since = DayOf(odds.median);
        verdict.earliest = DayOf(odds.early);
        verdict.latest = DayOf(odds.late);
      }
      if (odds.best.last >= 0) verdict.until = DayOf(odds.best.last);
    }
    verdict.evidence = EvidenceWords(verdict, FiguresOf(odds.best));
    verdict.settle = SettleWords(verdict);
    return verdict;
  }

  VerdictFigures FiguresOf(const Weighed& best) const {
    VerdictFigures figures;
    const double factor = FactorOf(best);
    for (size_t i = 0; i < counting_.volumes.size(); ++i) {
      const double by_settings_m3 = ExpectedBy({}, i);
      const double by_this_m3 = ExpectedBy(best, i);
      const bool differs = best.way < 0 || std::abs(by_this_m3 - by_settings_m3) > 1e-3 * by_settings_m3;
      if (!differs) continue;
      if (figures.intervals++ == 0) figures.from = counting_.dial[i].read.day;
      figures.to = counting_.dial[i + 1].read.day;
      figures.read_m3 += counting_.volumes[i].volume_m3;
      figures.expected_m3 += by_settings_m3;
      figures.explained_m3 += factor * by_this_m3;
    }
    if (best.kind == VerdictKind::kStopped) figures.low_residuals = lean_.low(First(best), Last(best));
    if (best.kind == VerdictKind::kRanAsSet) figures.flow_by_reads_m3_per_s = factor * flow_.flow_m3_per_s;
    if (best.kind == VerdictKind::kReadMistake && best.first >= 0) {
      figures.read_as_written = counting_.dial[First(best)].read.original;
    }
    return figures;
  }

  const PointRecords& records_;
  const Counting& counting_;
  const Explanations& explanations_;
  const SwitchLikelihood& likelihood_;
  const KnownFlow& flow_;
  ResidualLean lean_;
};

std::string UnreadWords(const PointReconciliation& result) {
  const std::string code = result.point.text();
  switch (result.state) {
    case ReconcileState::kNoMeter:
      return code + ": nobody can know: it has no meter.";
    case ReconcileState::kNoSettings:
      return code + ": nobody can know: no settings were written down for the time between its reads.";
    case ReconcileState::kNoFlow:
      return code + ": nobody can know: no flow is given, so no volume can be expected.";
    default:
      break;
  }
  return code + ": nobody can know: " +
         (result.last_read ? "no read since " + FormatDate(*result.last_read)
                           : std::string("no read at all")) +
         ".";
}

std::string JudgedWords(const PointReconciliation& result) {
  const RankedVerdict& first = result.verdicts.front();
  const int percent = static_cast<int>(std::floor(100 * first.probability));
  return result.point.text() + ": most likely " + VerdictWords(first) + " (" +
         (percent >= 99 ? std::string("over 99") : std::to_string(percent)) + " %).";
}

PointReconciliation Unjudged(PointReconciliation result, ReconcileState state) {
  result.state = state;
  result.sentence = UnreadWords(result);
  return result;
}

}  // namespace

std::string_view ToText(VerdictKind kind) {
  switch (kind) {
    case VerdictKind::kRanAsSet:
      return "ran as set";
    case VerdictKind::kStopped:
      return "stopped";
    case VerdictKind::kStuckOpen:
      return "stuck open";
    case VerdictKind::kWrongClockOrDay:
      return "wrong clock or day";
    case VerdictKind::kPercentChanged:
      return "percentage changed";
    case VerdictKind::kFlowDrifted:
      return "flow drifted";
    case VerdictKind::kReadMistake:
      return "read or unit mistake";
    case VerdictKind::kDribbling:
      return "dribbling valve";
    case VerdictKind::kRanPlanned:
      return "ran planned settings";
    case VerdictKind::kNoneOfThese:
      break;
  }
  return "none of these";
}

std::string_view ToText(ReconcileState state) {
  switch (state) {
    case ReconcileState::kJudged:
      return "judged";
    case ReconcileState::kNoMeter:
      return "no meter";
    case ReconcileState::kNoReads:
      return "no reads";
    case ReconcileState::kNoSettings:
      return "no settings";
    case ReconcileState::kNoFlow:
      break;
  }
  return "no flow";
}

double PriorOf(VerdictKind kind) {
  switch (kind) {
    case VerdictKind::kRanAsSet:
      return 0.72;
    case VerdictKind::kStopped:
      return 0.08;
    case VerdictKind::kStuckOpen:
      return 0.03;
    case VerdictKind::kWrongClockOrDay:
      return 0.04;
    case VerdictKind::kPercentChanged:
      return 0.04;
    case VerdictKind::kFlowDrifted:
      return 0.03;
    case VerdictKind::kReadMistake:
      return 0.03;
    case VerdictKind::kDribbling:
      return 0.015;
    case VerdictKind::kRanPlanned:
      return 0.01;
    case VerdictKind::kNoneOfThese:
      break;
  }
  return 0.005;
}

bool PointReconciliation::NeedsAPerson() const {
  return state != ReconcileState::kJudged || verdicts.empty() ||
         verdicts.front().kind != VerdictKind::kRanAsSet;
}

PointReconciliation Reconcile(const PointRecords& all, const ReconcileOptions& options) {
  const PointRecords records = Windowed(all, options);
  PointReconciliation result;
  result.point = records.point.code;
  if (!records.reads.empty()) result.last_read = records.reads.back().day;
  if (records.reads.empty() && (records.point.meter.empty() || records.point.meter == "none")) {
    return Unjudged(std::move(result), ReconcileState::kNoMeter);
  }
  if (records.reads.size() < 2) return Unjudged(std::move(result), ReconcileState::kNoReads);
  result.flow = FlowOn(records, records.reads.back().day);
  if (!result.flow) return Unjudged(std::move(result), ReconcileState::kNoFlow);
  const double flow_m3_per_s = result.flow->flow_m3_per_s;

  const std::vector<DialRead> dial = DialReads(records, flow_m3_per_s, &result.notes);
  result.intervals = ReadIntervals(dial);
  if (result.intervals.empty()) return Unjudged(std::move(result), ReconcileState::kNoReads);
  FillExpected(records, flow_m3_per_s, result.flow->relative_sd, result.intervals);
  if (!result.intervals.back().counts) return Unjudged(std::move(result), ReconcileState::kNoSettings);
  for (const ReadInterval& interval : result.intervals) {
    if (!interval.counts) continue;
    result.read_m3 += interval.volume_m3;
    result.expected_m3 += interval.expected_m3;
  }
  const Counting counting = Count(records, dial, result.intervals);
  const Explanations explanations = ExplanationsFor(records, counting.moments, *result.flow);
  const SwitchLikelihood likelihood(counting.moments, counting.volumes, explanations.series);
  const auto odds =
      SumUp(WeighAll(records, counting.moments, counting.dial, explanations, likelihood, *result.flow));
  const Teller teller(records, counting, explanations, likelihood, *result.flow);
  result.verdicts = teller.Tell(odds, options.least_probability);
  result.flow_by_reads_m3_per_s = flow_m3_per_s * teller.FactorOf({});
  double variance_m6 = 0;
  for (size_t i = 0; i < counting.volumes.size(); ++i) {
    const auto& base = explanations.series[0];
    variance_m6 += base.read_variance_m6[i + 1] - base.read_variance_m6[i];
  }
  result.expected_sd_m3 =
      std::hypot(result.flow->relative_sd * result.expected_m3, std::sqrt(std::max(0.0, variance_m6)));
  result.sentence = JudgedWords(result);
  if (options.today && DayNumber(*options.today) - DayNumber(*result.last_read) > kLongUnread_days) {
    result.notes.push_back("nobody can know what it did after " + FormatDate(*result.last_read) +
                           ": it was not read since");
  }
  return result;
}

}  // namespace lastreach
