#include "hydraulics/pipe_rows.h"

#include <algorithm>
#include <cmath>

#include "hydraulics/power.h"

namespace lastreach {
namespace {

constexpr double kHalfPower = 0.426;  // (1.852 - 1) / 2
// Keeps the power defined where nothing flows and nothing is rounded off; its root is no flow.
constexpr double kTiny = 1e-200;

LASTREACH_WIDEST
void EvaluateHazenWilliams(size_t count, const double* __restrict friction, const double* __restrict smooth,
                           const double* __restrict minor, const double* __restrict least,
                           const double* __restrict flow, double* __restrict head, double* __restrict slope) {
  for (size_t i = 0; i < count; ++i) {
    const double q = flow[i];
    const double size = std::abs(q);
    const double square = q * q + smooth[i] + kTiny;
    const double power = friction[i] * PowerOf(square, kHalfPower);
    const double fittings = minor[i] * size + least[i];
    head[i] = (power + fittings) * q;
    slope[i] = power * (1 + 2 * kHalfPower * (q * q) / square) + fittings + minor[i] * size;
  }
}

LASTREACH_WIDEST
void PrintedHazenWilliams(size_t count, const double* __restrict friction, const double* __restrict minor,
                          const double* __restrict least, const double* __restrict flow,
                          double* __restrict head) {
  for (size_t i = 0; i < count; ++i) {
    const double q = flow[i];
    const double power = friction[i] * PowerOf(q * q + kTiny, kHalfPower);
    head[i] = (power + minor[i] * std::abs(q) + least[i]) * q;
  }
}

}  // namespace

void PipeRows::Reserve(size_t pipes) {
  for (auto* column : {&friction_, &minor_, &least_, &smooth_squared_}) column->reserve(pipes);
}

void PipeRows::Clear() {
  for (auto* column :
       {&friction_, &minor_, &least_, &smooth_squared_, &reynolds_, &relative_roughness_, &laminar_}) {
    column->clear();
  }
}

void PipeRows::Add(const PipeLoss& pipe) {
  kind_ = pipe.kind;
  friction_.push_back(pipe.friction);
  minor_.push_back(pipe.minor_s2_per_m5);
  least_.push_back(pipe.least_slope_s_per_m2);
  smooth_squared_.push_back(pipe.smooth_m3_per_s * pipe.smooth_m3_per_s);
  if (kind_ == HeadLoss::kHazenWilliams) return;
  reynolds_.push_back(pipe.reynolds_s_per_m3);
  relative_roughness_.push_back(pipe.relative_roughness);
  laminar_.push_back(pipe.laminar_s_per_m2);
}

void PipeRows::Add(const PipeRows& other, size_t row) {
  kind_ = other.kind_;
  friction_.push_back(other.friction_[row]);
  minor_.push_back(other.minor_[row]);
  least_.push_back(other.least_[row]);
  smooth_squared_.push_back(other.smooth_squared_[row]);
  if (kind_ == HeadLoss::kHazenWilliams) return;
  reynolds_.push_back(other.reynolds_[row]);
  relative_roughness_.push_back(other.relative_roughness_[row]);
  laminar_.push_back(other.laminar_[row]);
}

PipeLoss PipeRows::operator[](size_t row) const {
  PipeLoss pipe;
  pipe.kind = kind_;
  pipe.friction = friction_[row];
  pipe.minor_s2_per_m5 = minor_[row];
  pipe.least_slope_s_per_m2 = least_[row];
  pipe.smooth_m3_per_s = std::sqrt(smooth_squared_[row]);
  if (kind_ == HeadLoss::kHazenWilliams) return pipe;
  pipe.reynolds_s_per_m3 = reynolds_[row];
  pipe.relative_roughness = relative_roughness_[row];
  pipe.laminar_s_per_m2 = laminar_[row];
  return pipe;
}

void PipeRows::Evaluate(std::span<const double> flow, std::span<double> head, std::span<double> slope) const {
  EvaluateFrom(0, flow, head, slope);
}

void PipeRows::EvaluateFrom(size_t first, std::span<const double> flow, std::span<double> head,
                            std::span<double> slope) const {
  if (kind_ == HeadLoss::kHazenWilliams) {
    EvaluateHazenWilliams(size() - first, friction_.data() + first, smooth_squared_.data() + first,
                          minor_.data() + first, least_.data() + first, flow.data() + first,
                          head.data() + first, slope.data() + first);
    return;
  }
  for (size_t i = first; i < size(); ++i) {
    const LossAndSlope loss = LossOf((*this)[i], flow[i]);
    head[i] = loss.head_m;
    slope[i] = loss.slope_s_per_m2;
  }
}

void PipeRows::EvaluateAsPrinted(std::span<const double> flow, std::span<double> head) const {
  if (kind_ == HeadLoss::kHazenWilliams) {
    PrintedHazenWilliams(size(), friction_.data(), minor_.data(), least_.data(), flow.data(), head.data());
    return;
  }
  for (size_t i = 0; i < size(); ++i) head[i] = LossOf((*this)[i], flow[i]).head_m;
}

}  // namespace lastreach
