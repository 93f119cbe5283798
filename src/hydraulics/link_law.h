#pragma once

#include <limits>
#include <optional>

#include "hydraulics/head_loss.h"
#include "network/network.h"

namespace lastreach {

// How the head lost from one end of a link to the other goes with its flow, for every kind of link: rising
// without a jump, so that heads and flows have one answer.
//
//   pipe, check    as in head_loss.h
//   pump           -(a - (a - b) (Q/B)^2), with a the head at no flow and b the head at the design flow B:
//                  the parabola through both points, level at no flow
//   opening        (Q / (c A sqrt(2 g)))^2, to the open air
//   demand         that falls with pressure: none + (full - none) (Q/d)^2, to the open air
//   tank           nothing, from its node to its water
//   valves, open   K v^2/2g
//
// A flow that must stay within bounds is held there by a wall of kWall beyond them, moved by a push until the
// flow stands at the bound: the multiplier of that bound, which is the head the link holds back.
// SOURCE: augmented Lagrangian of a convex programme (Rockafellar 1973, from memory): the pushes converge
// from anywhere, so a one-way link or a flow limit cannot switch to and fro.
struct LinkLaw {
  PipeLoss pipe;                // of pipes and check pipes; nothing elsewhere
  double offset_m = 0;          // - head at no flow of a pump
  double square_s2_per_m5 = 0;  // of pump, opening, valve
  double linear_s_per_m2 = 0;   // least slope of those
  double lower_m3_per_s = -std::numeric_limits<double>::infinity();
  double upper_m3_per_s = std::numeric_limits<double>::infinity();
  double push_up_m = 0;          // at the lower bound
  double push_down_m = 0;        // at the upper bound
  bool resists_nothing = false;  // moved by its offset until linear_s_per_m2 costs no head either
  bool is_out = false;           // shut for now, or nothing at all: joins nothing, whatever the heads
};

inline constexpr double kWall_s_per_m2 = 1e7;

// With its bounds and pushes.
LossAndSlope LossOf(const LinkLaw& law, double flow_m3_per_s);

// Moves the pushes to where the flow now presses against its bounds. Gives how far outside it is [m3/s].
double MovePushes(LinkLaw& law, double flow_m3_per_s);

// Nothing passes from now on, or what the link lets pass by its kind again.
void Shut(LinkLaw& law);

// The law of a link as the network has it. ERROR: kBadInput naming the link and what it lacks: diameter,
// roughness, a pump's curve, a valve's setting.
Result<LinkLaw> LawOf(const Link& link, const NetworkOptions& options);

// Of an opening: c A sqrt(2 g) [m^2.5/s]. Through it flows this times the square root of the pressure [m].
double OpeningConductance(double diameter_m, double coefficient);
LinkLaw LawOfOpening(double conductance_m25_per_s);

// Of a demand that falls with pressure, to the open air at its node: the pressure at which a share of it is
// drawn, none + (full - none) (q/d)^2, between no flow and d. REQUIRES: demand above 0.
LinkLaw LawOfDemand(double demand_m3_per_s, const ShortPressure& pressure);

// From a tank's node to its water: resists nothing. As far as the tank takes and gives.
LinkLaw LawOfTank();

}  // namespace lastreach
