#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <vector>

#include "quality/log_linear.h"
#include "quality/reacting_water.h"
#include "quality/water_column.h"
#include "quality/water_piece.h"

namespace lastreach {

// What comes out where streams meet, each value straight in time over the stretch. Passive values: the mean
// by flow, exactly. Of the disinfectant the sum of c_i(t) = m_i exp(h_i x), x from -1 to 1, is put on one
// line in ln c, tangent in the middle and moved so that its integral is the sum's. In between ln c bends by
// no more than V = SUM p_i exp|h_i - h| (h_i - h)^2 in x, p_i = w_i m_i / SUM w m and h = SUM p_i h_i, so
// that it is within V / 2 of the line.
template <class C>
class NodeMixer {
 public:
  // What reacting quantities need to know. See MixReacting.
  void SetLaw(const TwoReactantLaw& law) { law_ = law; }
  void BeginPeriod(double begin_s) { period_begin_s_ = begin_s; }

  // Fills first, last, error and mean of `stretch` for its seconds. `stretch.seconds` is made shorter where
  // needed to keep V / 2 within `tolerance`.
  void Mix(std::span<const WaterInflow<C>> in, double flow_m3_per_s, double tolerance,
           NodeStretch<C>& stretch) {
    if constexpr (C::kReacting) {
      return MixReacting<C>(law_, period_begin_s_, in, flow_m3_per_s, tolerance, stretch);
    }
    if (in.size() == 1) {
      PassOn(in[0], stretch);
      return;
    }
    double bend = 0;
    if constexpr (C::kDisinfectant) bend = MixDisinfectant(in, flow_m3_per_s, tolerance, stretch);
    for (std::size_t k = 0; k < C::kPassive; ++k) {
      double first = 0;
      double change = 0;
      double error = 0;
      for (const WaterInflow<C>& one : in) {
        first += one.flow_m3_per_s * one.now[k];
        change += one.flow_m3_per_s * one.Change(k, stretch.seconds);
        error += one.flow_m3_per_s * one.error[k];
      }
      stretch.first[k] = first / flow_m3_per_s;
      stretch.last[k] = (first + change) / flow_m3_per_s;
      stretch.error[k] = static_cast<float>(error / flow_m3_per_s);
    }
    if constexpr (C::kDisinfectant) AddLogError(bend, stretch.error[C::kLog]);
  }

 private:
  struct Stream {
    double weight, half;
  };
  // The most ln c may rise or fall in half a stretch, so that exp of it is a number.
  static constexpr double kSteepest = 300;

  static void PassOn(const WaterInflow<C>& one, NodeStretch<C>& stretch) {
    stretch.first = one.now;
    for (std::size_t k = 0; k < C::kCount; ++k) {
      stretch.last[k] = one.now[k] + one.Change(k, stretch.seconds);
    }
    stretch.error = one.error;
    if constexpr (C::kDisinfectant) {
      stretch.first[C::kLog] -= one.loss;
      stretch.last[C::kLog] -= one.loss + one.loss_per_s * stretch.seconds;
      stretch.mean_mg_per_l = LogLinearMean(stretch.first[C::kLog], stretch.last[C::kLog]);
    }
  }

  double MixDisinfectant(std::span<const WaterInflow<C>> in, double flow, double tolerance,
                         NodeStretch<C>& stretch) {
    constexpr std::size_t kLog = C::kLog;
    for (;;) {
      streams_.clear();
      double level = 0;
      double tilt = 0;
      double mean = 0;
      double steepest = 0;
      for (const WaterInflow<C>& one : in) {
        const double half = (one.Change(kLog, stretch.seconds) - one.loss_per_s * stretch.seconds) / 2;
        const double mid = one.now[kLog] - one.loss + half;
        const double share = one.flow_m3_per_s / flow;
        const double part = share * std::exp(mid);
        streams_.push_back({part, half});
        level += part;
        tilt += part * half;
        mean += std::abs(half) < 1 ? part * SinhRatio(half) : share * MeanOfExp(mid, half);
        steepest = std::max(steepest, std::abs(half));
      }
      if (steepest > kSteepest && stretch.seconds > 1e-3) {
        stretch.seconds *= 0.9 * kSteepest / steepest;
        continue;
      }
      if (!(level > 0)) return MixNothing(in, stretch);
      tilt /= level;
      double bend = 0;
      double error = 0;
      for (std::size_t i = 0; i < in.size(); ++i) {
        const double off = streams_[i].half - tilt;
        bend += streams_[i].weight / level * off * off * NearExp(std::min(std::abs(off), kSteepest));
        error += streams_[i].weight / level * in[i].error[kLog];
      }
      if (bend / 2 > tolerance && stretch.seconds > 1e-3) {
        stretch.seconds *= std::max(0.1, 0.9 * std::sqrt(tolerance / (bend / 2)));
        continue;
      }
      const double middle =
          std::abs(tilt) < 1 ? std::log(mean / SinhRatio(tilt)) : std::log(mean) - LnSinhRatio(tilt);
      stretch.first[kLog] = middle - tilt;
      stretch.last[kLog] = middle + tilt;
      stretch.error[kLog] = static_cast<float>(error);
      stretch.mean_mg_per_l = mean;
      return bend / 2;
    }
  }

  // What all streams hold is less than a number can tell.
  static double MixNothing(std::span<const WaterInflow<C>> in, NodeStretch<C>& stretch) {
    double highest = -std::numeric_limits<double>::infinity();
    double error = 0;
    for (const WaterInflow<C>& one : in) {
      highest = std::max(highest, one.now[C::kLog] - one.loss);
      error = std::max<double>(error, one.error[C::kLog]);
    }
    stretch.first[C::kLog] = stretch.last[C::kLog] = highest;
    stretch.error[C::kLog] = static_cast<float>(error);
    stretch.mean_mg_per_l = 0;
    return 0;
  }

  TwoReactantLaw law_;
  double period_begin_s_ = 0;
  std::vector<Stream> streams_;
};

}  // namespace lastreach
