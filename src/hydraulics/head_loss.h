#pragma once

#include "network/network.h"

namespace lastreach {

struct LossAndSlope {
  double head_m = 0;
  double slope_s_per_m2 = 0;  // dh/dQ
};

// What is the same in the loss of one pipe whatever flows. Made once, asked often.
struct PipeLoss {
  HeadLoss kind = HeadLoss::kHazenWilliams;
  double friction = 0;              // h = friction |Q|^0.852 Q, or friction f |Q| Q; SI
  double minor_s2_per_m5 = 0;       // of bends and valves: 8 K / (pi^2 g D^4)
  double smooth_m3_per_s = 0;       // Hazen-Williams: below about this flow the law is rounded off
  double reynolds_s_per_m3 = 0;     // Re over |Q|
  double relative_roughness = 0;    // height over inner diameter
  double laminar_s_per_m2 = 0;      // h over Q of laminar flow
  double least_slope_s_per_m2 = 0;  // added throughout, where nothing else resists
};

// Loss of head along a pipe and its slope by flow, both finite everywhere; odd in the flow and rising.
//
//   Hazen-Williams:  h = w L Q^1.852 / (C^1.852 D^4.871) + K v^2/2g
//   Darcy-Weisbach:  h = f L/D v^2/2g + K v^2/2g,  f from friction.h
//
// ERROR: Hazen-Williams has no slope at zero flow; Q^0.852 is replaced by (Q^2 + e^2)^0.426, with e chosen
// for each pipe so that this costs at most 1e-8 m of head at any flow. A pipe of no length and no minor loss
// has a slope of kLeastSlope. REQUIRES: the pipe has been made by PipeLossOf. COST: one power, or 3 to 5
// logarithms.
LossAndSlope LossOf(const PipeLoss& pipe, double flow_m3_per_s);

// 1e-5 m lost for each m3/s: keeps flows unique through links that resist nothing.
inline constexpr double kLeastSlope_s_per_m2 = 1e-5;

struct PipeSize {
  double length_m = 0;
  double inner_diameter_m = 0;  // not read where there is neither length nor minor loss
  double roughness = 0;         // C, or metres
  double minor_loss = 0;
};
PipeLoss PipeLossOf(const PipeSize& size, const NetworkOptions& options);

// 8 K / (pi^2 g D^4): K v^2/2g = this Q^2 [s2/m5].
double MinorCoefficient(double minor_loss, double inner_diameter_m);

}  // namespace lastreach
