#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "hydraulics/head_loss.h"

namespace lastreach {

// The laws of many pipes side by side, for one pass over all of them.
// ERROR: as LossOf(PipeLoss), and relative 1e-13 of power.h. COST: about 5 ns a pipe with Hazen-Williams,
// several at a time; as LossOf with Darcy-Weisbach. THREADS: evaluation is safe from several.
class PipeRows {
 public:
  void Reserve(size_t pipes);
  void Clear();
  // REQUIRES: of one kind of head loss.
  void Add(const PipeLoss& pipe);
  void Add(const PipeRows& other, size_t row);
  size_t size() const { return friction_.size(); }
  PipeLoss operator[](size_t row) const;
  HeadLoss kind() const { return kind_; }
  double Friction(size_t row) const { return friction_[row]; }

  // Head lost along each pipe at its flow, and the slope; all of size size().
  void Evaluate(std::span<const double> flow_m3_per_s, std::span<double> head_m,
                std::span<double> slope_s_per_m2) const;
  // Of the rows from `first` on, at their places.
  void EvaluateFrom(size_t first, std::span<const double> flow_m3_per_s, std::span<double> head_m,
                    std::span<double> slope_s_per_m2) const;
  // The losses as printed in papers: not rounded off near no flow.
  void EvaluateAsPrinted(std::span<const double> flow_m3_per_s, std::span<double> head_m) const;

 private:
  HeadLoss kind_ = HeadLoss::kHazenWilliams;
  std::vector<double> friction_, minor_, least_;  // as in PipeLoss
  std::vector<double> smooth_squared_;
  std::vector<double> reynolds_, relative_roughness_, laminar_;  // empty but for Darcy-Weisbach
};

}  // namespace lastreach
