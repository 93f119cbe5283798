#include "evidence/reconcile.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

#include "evidence/posterior.h"
#include "evidence/settle_reads.h"
#include "evidence/tell_verdicts.h"
#include "evidence/verdict_words.h"

namespace lastreach {
namespace {

// Somebody opens it for a look, or a crew draws a bucket: this share of a run, in every interval.
constexpr double kOffCalendar = 0.3;
constexpr double kLeastOffCalendar_m3 = 0.05;
constexpr double kByHandDeviation = 0.2;
constexpr int kLongUnread_days = 45;

PointRecords Windowed(PointRecords records, const ReconcileOptions& options) {
  std::erase_if(records.reads, [&](const MeterRead& read) {
    return (options.from && DayNumber(read.day) < DayNumber(*options.from)) ||
           (options.to && DayNumber(read.day) > DayNumber(*options.to));
  });
  return records;
}

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

// Reads `first` to `last`, both taken in.
CountingReads Count(const PointRecords& records, const std::vector<DialRead>& dial,
                    const std::vector<ReadInterval>& intervals, size_t first, size_t last) {
  CountingReads counting;
  counting.dial.assign(dial.begin() + static_cast<ptrdiff_t>(first),
                       dial.begin() + static_cast<ptrdiff_t>(last + 1));
  std::vector<Instant> moments;
  std::unique_ptr<bool[]> has_time(new bool[counting.dial.size()]);
  for (size_t i = 0; i < counting.dial.size(); ++i) {
    moments.push_back(counting.dial[i].at);
    has_time[i] = counting.dial[i].read.minute_of_day.has_value();
  }
  counting.moments = MomentsOf(records.zone, moments, {has_time.get(), counting.dial.size()});
  const double off_m3 = OffCalendar_m3(intervals, records);
  for (size_t i = first; i < last; ++i) {
    const double by_hand_sd_m3 = kByHandDeviation * intervals[i].by_hand_m3;
    counting.volumes.push_back(
        {intervals[i].volume_m3 - intervals[i].by_hand_m3,
         intervals[i].sd_m3 * intervals[i].sd_m3 + off_m3 * off_m3 + by_hand_sd_m3 * by_hand_sd_m3});
  }
  return counting;
}

struct Judgement {
  std::vector<RankedVerdict> verdicts;
  double flow_factor = 1;  // if it ran as set
  double variance_m6 = 0;  // of what was expected, the flow's part left out
  bool IsExplained() const { return verdicts.front().kind != VerdictKind::kNoneOfThese; }
};

Judgement Judge(const PointRecords& records, const CountingReads& counting, const KnownFlow& flow,
                double least_probability) {
  const Explanations explanations = ExplanationsFor(records, counting.moments, flow);
  const SwitchLikelihood likelihood(counting.moments, counting.volumes, explanations.series);
  const auto odds = SumUp(WeighAll(records, counting.moments, counting.dial, explanations, likelihood, flow));
  const VerdictTeller teller(records, counting, explanations, likelihood, flow);
  Judgement judgement;
  judgement.verdicts = teller.Tell(odds, least_probability);
  judgement.flow_factor = teller.FactorOf({});
  const auto& variance_m6 = explanations.series[0].read_variance_m6;
  judgement.variance_m6 = std::max(0.0, variance_m6.back() - variance_m6.front());
  return judgement;
}

std::string OddsWords(const RankedVerdict& verdict) {
  return VerdictWords(verdict) + " (" + OddsText(verdict.probability) + ")";
}

// All reads that count together; where no one cause explains them, the most of the latest that one does, and
// those before them on their own.
Judgement JudgeTheMost(const PointRecords& records, const std::vector<DialRead>& dial, const KnownFlow& flow,
                       double least_probability, PointReconciliation& result) {
  size_t first = 0;
  while (first < result.intervals.size() && !result.intervals[first].counts) ++first;
  const size_t last = dial.size() - 1;
  const auto judge = [&](size_t from, size_t to) {
    return Judge(records, Count(records, dial, result.intervals, from, to), flow, least_probability);
  };
  Judgement all = judge(first, last);
  constexpr size_t kFewIntervals = 2;
  if (all.IsExplained() || first + kFewIntervals >= last) return all;
  size_t from = last - kFewIntervals;
  Judgement latest = judge(from, last);
  if (!latest.IsExplained()) return all;
  // Fewer reads are explained the more easily, so that halving finds the first that are.
  for (size_t unexplained = first; from - unexplained > 1;) {
    const size_t middle = (unexplained + from) / 2;
    Judgement longer = judge(middle, last);
    if (longer.IsExplained()) {
      from = middle;
      latest = std::move(longer);
    } else {
      unexplained = middle;
    }
  }
  const Judgement before = judge(first, from);
  result.notes.push_back("no one cause explains all reads; those up to " + FormatDate(dial[from].read.day) +
                         " on their own: " + OddsWords(before.verdicts.front()));
  for (size_t i = first; i < from; ++i) result.intervals[i].counts = false;
  return latest;
}

std::string UnreadWords(const PointReconciliation& result) {
  const std::string& code = result.point.text();
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
  return result.point.text() + ": most likely " + OddsWords(result.verdicts.front()) + ".";
}

PointReconciliation Unjudged(PointReconciliation result, ReconcileState state) {
  result.state = state;
  result.sentence = UnreadWords(result);
  return result;
}

}  // namespace

bool PointReconciliation::NeedsAPerson() const {
  if (state != ReconcileState::kJudged || verdicts.empty()) return true;
  const RankedVerdict& first = verdicts.front();
  return first.kind != VerdictKind::kRanAsSet && !first.IsStartUp();
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

  std::vector<DialRead> dial = DialReads(records, flow_m3_per_s, &result.notes);
  result.wrong_reads = SettleReads(records, *result.flow, dial, result.notes);
  result.intervals = ReadIntervals(dial);
  if (result.intervals.empty()) return Unjudged(std::move(result), ReconcileState::kNoReads);
  FillExpected(records, flow_m3_per_s, result.flow->relative_sd, result.intervals);
  if (!result.intervals.back().counts) return Unjudged(std::move(result), ReconcileState::kNoSettings);
  const Judgement judgement = JudgeTheMost(records, dial, *result.flow, options.least_probability, result);
  for (const ReadInterval& interval : result.intervals) {
    if (!interval.counts) continue;
    result.read_m3 += interval.volume_m3;
    result.expected_m3 += interval.expected_m3;
  }
  result.verdicts = judgement.verdicts;
  result.flow_by_reads_m3_per_s = flow_m3_per_s * judgement.flow_factor;
  result.expected_sd_m3 =
      std::hypot(result.flow->relative_sd * result.expected_m3, std::sqrt(judgement.variance_m6));
  result.sentence = JudgedWords(result);
  if (options.today && DayNumber(*options.today) - DayNumber(*result.last_read) > kLongUnread_days) {
    result.notes.push_back("nobody can know what it did after " + FormatDate(*result.last_read) +
                           ": it was not read since");
  }
  return result;
}

}  // namespace lastreach
