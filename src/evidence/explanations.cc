#include "evidence/explanations.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lastreach {
namespace {

// Minutes a clock may stand off: an hour or half a day, or whole days.
constexpr int kClocks_min[] = {-60, 60, 720, 1440, 2880, 4320, 5760, 7200, 8640};
constexpr double kFlowRatios[] = {0.25, 0.33, 0.4, 0.5, 0.6, 0.7, 0.8, 1.25, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0};
// Strainers clog and valves are throttled; flow hardly ever grows. SOURCE: common practice, no source.
double WeightOf(double flow_ratio) { return flow_ratio < 1 ? 1 : 0.1; }
constexpr double kDribbles[] = {0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2};
constexpr int kMostPercents = 40;

PointRecords WithClock(PointRecords records, int fast_min) {
  for (SettingsRecord& record : records.settings) {
    record.clock_fast_minutes = record.clock_fast_minutes.value_or(0) + fast_min;
  }
  return records;
}

PointRecords WithPercent(PointRecords records, int percent) {
  for (SettingsRecord& record : records.settings) {
    record.settings.percent = percent;
    for (Programme& programme : record.settings.programmes) {
      if (programme.percent) programme.percent = percent;
    }
  }
  return records;
}

// As if every visit after a plan had left what was planned. None where that makes the same runs.
std::optional<PointRecords> WithPlanned(PointRecords records) {
  std::optional<TimerSettings> planned;
  bool differs = false;
  for (SettingsRecord& record : records.settings) {
    if (record.kind == SettingsKind::kPlanned) {
      planned = record.settings;
    } else if (planned) {
      differs = differs || !RunAlike(*planned, record.settings);
      record.settings = *planned;
    }
  }
  if (!differs) return std::nullopt;
  return records;
}

std::vector<int> PercentsOf(const PointRecords& records) {
  std::vector<int> percents;
  if (records.form.percent_scope == PercentScope::kNone || records.settings.empty()) return percents;
  const int least = records.form.percent_min.value_or(10), most = records.form.percent_max.value_or(200);
  int step = std::max(1, records.form.percent_step.value_or(10));
  while ((most - least) / step > kMostPercents) step *= 2;
  for (int percent = least; percent <= most; percent += step) {
    if (percent > 0 && percent != records.settings.back().settings.percent) percents.push_back(percent);
  }
  return percents;
}

class Lister {
 public:
  Lister(const PointRecords& records, const SeriesMoments& moments, const KnownFlow& flow)
      : records_(records), moments_(moments), flow_m3_per_s_(flow.flow_m3_per_s) {
    found_.series.push_back(Of(records, 0));
  }

  Explanations List() && {
    const std::vector<LikelyRun> none;
    Add(VerdictKind::kStopped, 0, SeriesOf(moments_, none, flow_m3_per_s_), 1, true);
    Add(VerdictKind::kStuckOpen, 0, SeriesOf(moments_, none, flow_m3_per_s_, flow_m3_per_s_), 1, true);
    for (const int fast_min : kClocks_min) {
      Add(VerdictKind::kWrongClockOrDay, fast_min, Of(WithClock(records_, fast_min), 0),
          1.0 / std::ssize(kClocks_min));
    }
    const std::vector<int> percents = PercentsOf(records_);
    for (const int percent : percents) {
      Add(VerdictKind::kPercentChanged, percent, Of(WithPercent(records_, percent), 0),
          1.0 / static_cast<double>(percents.size()));
    }
    double weights = 0;
    for (const double ratio : kFlowRatios) weights += WeightOf(ratio);
    for (const double ratio : kFlowRatios) {
      Add(VerdictKind::kFlowDrifted, ratio, Times(found_.series[0], ratio), WeightOf(ratio) / weights);
    }
    for (const double share : kDribbles) {
      Add(VerdictKind::kDribbling, share, Of(records_, share * flow_m3_per_s_), 1.0 / std::ssize(kDribbles));
    }
    if (const auto planned = WithPlanned(records_)) Add(VerdictKind::kRanPlanned, 0, Of(*planned, 0), 1);
    return std::move(found_);
  }

 private:
  WaterSeries Of(const PointRecords& records, double always_m3_per_s) const {
    const auto runs = RunsInGround(records, moments_.reads.front() - std::chrono::days(1),
                                   moments_.reads.back() + std::chrono::days(1));
    return SeriesOf(moments_, runs, flow_m3_per_s_, always_m3_per_s);
  }

  void Add(VerdictKind kind, double parameter, WaterSeries series, double share, bool any_end = false) {
    found_.ways.push_back({kind, parameter, found_.series.size(), share, any_end});
    found_.series.push_back(std::move(series));
  }

  const PointRecords& records_;
  const SeriesMoments& moments_;
  double flow_m3_per_s_;
  Explanations found_;
};

size_t FirstDayFrom(const SeriesMoments& moments, Instant moment) {
  const auto at = std::lower_bound(moments.days.begin(), moments.days.end(), moment);
  return static_cast<size_t>(at - moments.days.begin());
}

}  // namespace

Explanations ExplanationsFor(const PointRecords& records, const SeriesMoments& moments,
                             const KnownFlow& flow) {
  return Lister(records, moments, flow).List();
}

double FromTheStart(VerdictKind kind) {
  switch (kind) {
    case VerdictKind::kFlowDrifted:
    case VerdictKind::kRanPlanned:
      return 0.5;
    case VerdictKind::kWrongClockOrDay:
    case VerdictKind::kPercentChanged:
    case VerdictKind::kDribbling:
      return 0.25;
    default:
      return 0.1;
  }
}

bool IsByAPerson(VerdictKind kind) {
  return kind == VerdictKind::kPercentChanged || kind == VerdictKind::kWrongClockOrDay ||
         kind == VerdictKind::kRanPlanned;
}

std::vector<size_t> DaysSomebodyWasThere(const PointRecords& records, const SeriesMoments& moments) {
  std::vector<size_t> days;
  for (const SettingsRecord& record : records.settings) {
    if (record.kind != SettingsKind::kPlanned) days.push_back(FirstDayFrom(moments, record.recorded));
  }
  for (const Visit& visit : records.visits) days.push_back(FirstDayFrom(moments, visit.arrived));
  std::sort(days.begin(), days.end());
  days.erase(std::unique(days.begin(), days.end()), days.end());
  std::erase_if(days, [&](size_t day) { return day == 0 || day >= moments.days.size(); });
  return days;
}

ResidualLean::ResidualLean(const PointRecords& records, const SeriesMoments& moments)
    : lean_(moments.days.size() + 1, 0), low_(moments.days.size() + 1, 0) {
  constexpr size_t kFew = 4;
  std::vector<double> residuals;
  for (const Sample& sample : records.samples) {
    if (IsResidual(sample.analyte)) residuals.push_back(sample.residual.milligrams_per_litre());
  }
  if (residuals.size() < kFew) return;
  any_ = true;
  std::sort(residuals.begin(), residuals.end());
  const double usual_mg_per_l = residuals[residuals.size() * 3 / 4];
  for (const Sample& sample : records.samples) {
    if (!IsResidual(sample.analyte)) continue;
    const Instant when = MomentOf(records.zone, sample.day, sample.minute_of_day);
    if (when < moments.reads.front() || when >= moments.reads.back()) continue;
    const double mg_per_l = sample.residual.milligrams_per_litre();
    const size_t day = FirstDayFrom(moments, when);
    if (sample.below_detection || mg_per_l < usual_mg_per_l / 2) {
      lean_[day] += std::log(2.0);
      ++low_[day];
    } else if (mg_per_l >= usual_mg_per_l) {
      lean_[day] -= std::log(2.0);
    }
  }
  for (size_t i = 1; i < lean_.size(); ++i) {
    lean_[i] += lean_[i - 1];
    low_[i] += low_[i - 1];
  }
}

namespace {

// The first days after a stop still have the water of the last run.
constexpr size_t kDaysStillFresh = 3;

template <typename T>
T Between(const std::vector<T>& sums, size_t first, size_t last) {
  const size_t end = last == SwitchLikelihood::kNever ? sums.size() - 1 : last;
  const size_t begin = std::min(first + kDaysStillFresh, end);
  return sums[end] - sums[begin];
}

}  // namespace

double ResidualLean::LnOdds(size_t first, size_t last) const {
  const double most = std::log(8.0);
  return std::clamp(Between(lean_, first, last), -most, most);
}

int ResidualLean::low(size_t first, size_t last) const { return Between(low_, first, last); }

}  // namespace lastreach
