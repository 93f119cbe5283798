#pragma once

namespace lastreach {

// What a month's sampling of the distribution system found, in the letters of 40 CFR 141.72. "Bacteria" is
// the heterotrophic plate count; at or below 500/mL it stands for a residual that was not measured.
struct DetectionCounts {
  int measured = 0;         // a: residual measured
  int bacteria_only = 0;    // b: residual not measured, bacteria counted
  int undetected = 0;       // c: measured and not detected, bacteria not counted
  int undetected_high = 0;  // d: measured and not detected, bacteria over 500/mL
  int unmeasured_high = 0;  // e: not measured, bacteria over 500/mL
};

inline constexpr double kMostUndetectedPercent = 5;

// V = 100 (c + d + e) / (a + b), in percent; NaN where nothing was sampled.
// SOURCE: 40 CFR 141.72(a)(4)(i), (b)(3)(i); the two "over 500" signs (from memory).
double UndetectedPercent(const DetectionCounts& counts);

// Whether the limit is broken: over 5 % in this month and in the one before. A month without samples is not
// over.
bool IsOverInBoth(double percent, double percent_before);

}  // namespace lastreach
