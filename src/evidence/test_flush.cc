#include "evidence/test_flush.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/quantity.h"

namespace lastreach {
namespace {

constexpr double kOneInTwenty = 1.645;
constexpr double kNothingAfterVolumes = 3;
constexpr double kMargin = 1.1;
constexpr double kValve_min = 0.5;
constexpr double kFlowFallen = 0.8;

template <typename... Numbers>
std::string Say(const char* format, Numbers... numbers) {
  char text[240];
  std::snprintf(text, sizeof text, format, numbers...);
  return text;
}

std::string Gallons(double m3) { return Say("%.0f gal (%.3g m3)", Volume::CubicMetres(m3).gallons(), m3); }

class Reader {
 public:
  Reader(const TestFlushFacts& facts, const TestFlushOptions& options) : facts_(facts), options_(options) {}

  TestFlushReading Read() {
    out_.curve = CurveOf(facts_.flush, facts_.flow);
    MeanFlow();
    upstream_ =
        facts_.flush.upstream ? facts_.flush.upstream->milligrams_per_litre() : facts_.upstream_mg_per_l;
    out_.plateau = FindPlateau(out_.curve, options_.kit_mg_per_l, options_.flat_readings);
    if (out_.plateau && IsStaleYet()) out_.plateau.reset();
    if (out_.plateau) {
      Arrival();
      CompareWithMain();
    }
    CompareWithMap();
    Profile();
    Loss();
    Minutes();
    Advise();
    LookAtFlow();
    return std::move(out_);
  }

 private:
  void MeanFlow() {
    if (!out_.curve.empty() && out_.curve.back().volume_m3 && out_.curve.back().after_s > 0) {
      out_.flow_m3_per_s = *out_.curve.back().volume_m3 / out_.curve.back().after_s;
    } else if (facts_.flow) {
      out_.flow_m3_per_s = facts_.flow->flow_m3_per_s;
    }
  }

  double Kit() const { return options_.kit_mg_per_l * (1 + 1e-9); }
  bool IsNearMain(double mg_per_l) const { return upstream_ && mg_per_l >= *upstream_ - Kit(); }

  // Level readings before anything fresh could come are what stood there, not what arrives.
  bool IsStaleYet() const {
    const Plateau& plateau = *out_.plateau;
    if (IsNearMain(plateau.mg_per_l)) return false;
    const std::optional<double>& run = out_.curve.back().volume_m3;
    if (run && facts_.volume_m3)
      return *run < *facts_.volume_m3 * std::exp(kOneInTwenty * facts_.volume_log_sd);
    for (std::size_t i = 0; i < plateau.first; ++i) {
      if (plateau.mg_per_l - out_.curve[i].mg_per_l > Kit()) return false;
    }
    return true;
  }

  void Arrival() {
    const std::vector<CurvePoint>& curve = out_.curve;
    const std::size_t flat = out_.plateau->first;
    const double arrives = out_.plateau->mg_per_l;
    out_.flat_after_s = curve[flat].after_s;
    out_.flat_after_m3 = curve[flat].volume_m3;
    if (flat == 0) return;
    std::vector<double> stood;
    for (std::size_t i = 0; i < std::min<std::size_t>(3, flat); ++i) stood.push_back(curve[i].mg_per_l);
    std::sort(stood.begin(), stood.end());
    const double before = stood[(stood.size() - 1) / 2];
    if (arrives - before <= Kit()) return;
    const double half = (before + arrives) / 2;
    std::size_t low = flat;
    while (low > 0 && curve[low - 1].mg_per_l >= half) --low;
    if (low == 0) return;
    const CurvePoint& below = curve[low - 1];
    const CurvePoint& above = curve[low];
    const double share = std::clamp((half - below.mg_per_l) / (above.mg_per_l - below.mg_per_l), 0.0, 1.0);
    out_.breakthrough_s = std::lerp(below.after_s, above.after_s, share);
    if (below.volume_m3 && above.volume_m3)
      out_.breakthrough_m3 = std::lerp(*below.volume_m3, *above.volume_m3, share);
    Bracket();
  }

  // Where the water of the main came: between the last reading short of it and the first flat one.
  void Bracket() {
    const std::vector<CurvePoint>& curve = out_.curve;
    const std::size_t flat = out_.plateau->first;
    std::size_t last = flat;
    while (last > 0 && curve[last - 1].mg_per_l >= out_.plateau->mg_per_l - Kit()) --last;
    if (last == 0) return;
    const CurvePoint& short_of = curve[last - 1];
    double most_s = curve[flat].after_s;
    if (last >= 2) {
      const CurvePoint& before = curve[last - 2];
      const CurvePoint& next = curve[last];
      const double rise = (short_of.mg_per_l - before.mg_per_l) / (short_of.after_s - before.after_s);
      const double step = (next.mg_per_l - short_of.mg_per_l) / (next.after_s - short_of.after_s);
      // A slope that goes on; where the residual steps up at once, that was the front.
      if (rise > 0 && step < 2 * rise) {
        const double reaches = short_of.after_s + (out_.plateau->mg_per_l - short_of.mg_per_l) / rise;
        most_s = std::max(most_s, std::min(reaches, 1.5 * most_s));
      }
    }
    most_s_ = most_s;
    if (!short_of.volume_m3) return;
    out_.came_least_m3 = *short_of.volume_m3 / (1 + kOneInTwenty * facts_.front_share);
    out_.came_most_m3 = *curve[flat].volume_m3 + (most_s - curve[flat].after_s) * out_.flow_m3_per_s;
  }

  void CompareWithMain() {
    if (!upstream_) {
      out_.arrives = PlateauVerdict::kMainNotKnown;
      out_.reasons.push_back("Nobody read the main that day: take a reading there to know what should come.");
      return;
    }
    const double arrives = out_.plateau->mg_per_l;
    const std::string both = Say("%.2g mg/L arrives, the main carries %.2g", arrives, *upstream_);
    if (arrives < *upstream_ - Kit()) {
      out_.arrives = PlateauVerdict::kBelowTheMain;
      out_.reasons.push_back(both +
                             ": that is more than the kit's error. Flushing cannot mend it; look for "
                             "a tank, another feed or a valve between.");
    } else if (arrives > *upstream_ + Kit()) {
      out_.arrives = PlateauVerdict::kAboveTheMain;
      out_.reasons.push_back(both + ": the main was read elsewhere, at another hour, or wrong.");
    } else {
      out_.arrives = PlateauVerdict::kAsTheMain;
      out_.reasons.push_back(both + ": the same within the kit's error.");
    }
  }

  double VolumeSd() const {
    const double flow_sd = facts_.flow ? facts_.flow->log_sd : UsualLogSd(MeasuredBy::kMeter);
    return std::hypot(facts_.volume_log_sd, flow_sd);
  }

  void CompareWithMap() {
    if (out_.curve.empty() || !out_.curve.back().volume_m3 || !facts_.volume_m3) return;
    const double map_m3 = *facts_.volume_m3;
    const double within = std::exp(2 * VolumeSd());
    const double run = *out_.curve.back().volume_m3;
    if (!out_.came_most_m3) {
      const bool weak = !out_.plateau || out_.arrives == PlateauVerdict::kBelowTheMain;
      if (weak && upstream_ && !IsNearMain(out_.curve.back().mg_per_l) && run > 2 * map_m3 * within) {
        out_.volume = VolumeVerdict::kNeverCame;
        out_.reasons.push_back(Gallons(run) +
                               " ran, twice what the reach holds and more, and the main's water "
                               "never came: a valve may be closed, or the map has the wrong feed.");
      }
      return;
    }
    out_.share_of_map = (*out_.came_least_m3 + *out_.came_most_m3) / 2 / map_m3;
    const std::string came = "Fresh water came between " + Gallons(*out_.came_least_m3) + " and " +
                             Gallons(*out_.came_most_m3) + "; the map says " + Gallons(map_m3) + ": ";
    if (*out_.came_most_m3 < map_m3 / within) {
      out_.volume = VolumeVerdict::kLessThanMap;
      out_.reasons.push_back(came +
                             "the pipe is shorter or narrower, or a loop is open and feeds it from "
                             "nearer.");
    } else if (*out_.came_least_m3 > map_m3 * within) {
      out_.volume = VolumeVerdict::kMoreThanMap;
      out_.reasons.push_back(came +
                             "the pipe is longer or wider, or its water comes another way: a valve "
                             "closed, a loop open, a leak.");
    } else {
      out_.volume = VolumeVerdict::kMapRight;
      out_.reasons.push_back(came + "the map is right.");
    }
  }

  std::optional<double> DistanceOf(double volume_m3) const {
    double before_m = 0;
    const std::size_t pipes = std::min(facts_.pipe_lengths_m.size(), facts_.pipe_volumes_m3.size());
    for (std::size_t i = pipes; i-- > 0;) {
      if (volume_m3 <= facts_.pipe_volumes_m3[i])
        return before_m + facts_.pipe_lengths_m[i] * volume_m3 / facts_.pipe_volumes_m3[i];
      volume_m3 -= facts_.pipe_volumes_m3[i];
      before_m += facts_.pipe_lengths_m[i];
    }
    return std::nullopt;
  }

  void Profile() {
    const std::size_t until = out_.plateau ? out_.plateau->first + 1 : out_.curve.size();
    for (std::size_t i = 0; i < until; ++i) {
      const CurvePoint& point = out_.curve[i];
      if (!point.volume_m3) return;
      out_.profile.push_back(
          {*point.volume_m3, DistanceOf(*point.volume_m3), point.mg_per_l, point.below_detection});
    }
  }

  void Loss() {
    if (!facts_.resample || !out_.plateau || !(facts_.resample->after_closed_s > 0)) return;
    const double closed = out_.plateau->mg_per_l;
    const double later = facts_.resample->mg_per_l;
    if (!(closed > 0) || !(later > 0)) return;
    const double days = facts_.resample->after_closed_s / kSecondsPerDay;
    // The kit's error is two standard deviations of one reading.
    const double sd = options_.kit_mg_per_l / 2;
    out_.loss = LocalLoss{std::log(closed / later) / days, std::hypot(sd / closed, sd / later) / days};
    out_.reasons.push_back(
        Say("%.1f h after closing %.2g mg/L was left of %.2g: the water loses %.2g +- %.1g of "
            "itself a day here.",
            days * 24, later, closed, out_.loss->per_day, out_.loss->sd_per_day));
  }

  void Minutes() {
    if (!most_s_ || out_.arrives == PlateauVerdict::kBelowTheMain) return;
    double scale = 1;
    if (facts_.device_flow_m3_per_s && out_.flow_m3_per_s > 0)
      scale = out_.flow_m3_per_s / *facts_.device_flow_m3_per_s;
    const double minutes = *most_s_ / kSecondsPerMinute * scale * kMargin + kValve_min;
    out_.minutes = static_cast<int>(std::ceil(minutes - 1e-9));
    out_.reasons.push_back(
        Say("A run of %d min brings what the main carries to the outlet: %.3g min as read, a "
            "tenth more for a weaker day, half a minute for the valve.",
            *out_.minutes, *most_s_ / kSecondsPerMinute * scale));
  }

  void LookAtFlow() {
    if (!facts_.last_tested || !(out_.flow_m3_per_s > 0)) return;
    const double share = out_.flow_m3_per_s / facts_.last_tested->flow_m3_per_s;
    const double sure = std::exp(-2 * std::hypot(facts_.last_tested->log_sd, UsualLogSd(MeasuredBy::kMeter)));
    if (share >= std::min(kFlowFallen, sure)) return;
    out_.reasons.push_back(
        Say("It flowed %.0f %% of the last test: a valve upstream may be partly closed, or "
            "the outlet is choked.",
            100 * share));
  }

  bool PressureIsTooLow() const {
    if (!facts_.least_pressure_pa || facts_.flush.readings.empty()) return false;
    const FlushReading& last = facts_.flush.readings.back();
    return last.pressure && last.pressure->pascals() < *facts_.least_pressure_pa;
  }

  bool IsCloudy() const {
    if (facts_.flush.readings.empty()) return false;
    const FlushReading& last = facts_.flush.readings.back();
    return last.turbidity_ntu && *last.turbidity_ntu >= options_.clear_ntu;
  }

  void Set(FlushAdvice advice, std::string words) {
    out_.advice = advice;
    out_.advice_words = std::move(words);
  }

  void Advise() {
    if (PressureIsTooLow())
      return Set(FlushAdvice::kPressureTooLow, "Stop: the pressure is below its limit.");
    if (out_.curve.empty()) return Set(FlushAdvice::kGoOn, "Go on: no residual has been read yet.");
    const std::optional<double>& run = out_.curve.back().volume_m3;
    if (!out_.plateau) {
      if (run && facts_.volume_m3 && *run > kNothingAfterVolumes * *facts_.volume_m3 && upstream_ &&
          !IsNearMain(out_.curve.back().mg_per_l)) {
        return Set(FlushAdvice::kNothingArrives,
                   "Stop: three times the reach has run and the main's water has not come. Look for a closed "
                   "valve or another feed.");
      }
      std::string words = "Go on: not flat yet.";
      if (run && facts_.volume_m3 && out_.flow_m3_per_s > 0 && *run < *facts_.volume_m3) {
        words += Say(" By the map fresh water comes in about %.0f min.",
                     std::ceil((*facts_.volume_m3 - *run) / out_.flow_m3_per_s / kSecondsPerMinute));
      }
      return Set(FlushAdvice::kGoOn, words);
    }
    if (out_.arrives == PlateauVerdict::kBelowTheMain) {
      return Set(FlushAdvice::kFlatButWeak,
                 "Flat, but below the main: you can stop, more water changes nothing. Look for why.");
    }
    if (IsCloudy()) return Set(FlushAdvice::kGoOn, "The residual is flat; go on until the water is clear.");
    Set(FlushAdvice::kFlat, out_.arrives == PlateauVerdict::kMainNotKnown
                                ? "Flat: you can stop. Read the main too, to know that this is all it has."
                                : "Flat: you can stop.");
  }

  const TestFlushFacts& facts_;
  const TestFlushOptions& options_;
  TestFlushReading out_;
  std::optional<double> upstream_;
  std::optional<double> most_s_;
};

}  // namespace

TestFlushReading ReadTestFlush(const TestFlushFacts& facts, const TestFlushOptions& options) {
  return Reader(facts, options).Read();
}

}  // namespace lastreach
