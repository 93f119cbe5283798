#include "quality/mixed_tank.h"

namespace lastreach {
namespace {

// The share of the water held at `seconds` that was there at the begin.
double OldShare(const TankFlow& flow, double seconds) {
  if (flow.in_m3_per_s == 0) return 1;
  if (flow.begin_m3 <= 0) return 0;
  const double growth = (flow.end_m3 - flow.begin_m3) / flow.begin_m3 * (seconds / flow.seconds);
  if (growth <= -1) return 0;
  const double per_growth = std::abs(growth) < 1e-12 ? 1 : std::log1p(growth) / growth;
  return std::exp(-flow.in_m3_per_s * seconds / flow.begin_m3 * per_growth);
}

}  // namespace

// X = A + B t + (X0 - A) old, with B = Q_in b / (Q_in + n), A = a - V0 B / Q_in, n = Q_in - Q_out, X_in = a +
// b t.
TankAnswer SolveMixedTank(const TankFlow& flow, double begin, double in_first, double in_last,
                          double in_mean) {
  const double in = flow.in_m3_per_s;
  if (in == 0) return {.end = begin, .mean = begin, .old_share = 1};
  TankAnswer answer;
  answer.old_share = OldShare(flow, flow.seconds);
  const double out_m3 = flow.out_m3_per_s * flow.seconds;
  const double amount = flow.begin_m3 * begin + in * flow.seconds * in_mean;
  if (flow.out_m3_per_s == 0) {
    answer.end = flow.end_m3 > 0 ? amount / flow.end_m3 : in_mean;
    const double half = flow.begin_m3 + in * flow.seconds / 2;
    const double middle =
        half > 0 ? (flow.begin_m3 * begin + in * flow.seconds * (in_first + in_mean) / 4) / half : in_mean;
    answer.bend = std::abs(middle - (begin + answer.end) / 2);
    answer.mean = (begin + answer.end) / 2;
    return answer;
  }
  const double slope = (in_last - in_first) / flow.seconds;
  const double level = in_mean - slope * flow.seconds / 2;
  double both = in + (flow.end_m3 - flow.begin_m3) / flow.seconds;
  if (std::abs(both) < 1e-6 * in) both = both < 0 ? -1e-6 * in : 1e-6 * in;  // an ln t there; next to it none
  const double b = in * slope / both;
  const double a = level - flow.begin_m3 * b / in;
  const double middle = a + b * flow.seconds / 2 + (begin - a) * OldShare(flow, flow.seconds / 2);
  answer.end = a + b * flow.seconds + (begin - a) * answer.old_share;
  answer.bend = std::abs(middle - (begin + answer.end) / 2);
  answer.mean = (begin + 4 * middle + answer.end) / 6;
  if (out_m3 <= flow.end_m3 / 2) {
    answer.end = (amount - out_m3 * answer.mean) / flow.end_m3;
  } else {
    answer.mean = (amount - flow.end_m3 * answer.end) / out_m3;
  }
  return answer;
}

}  // namespace lastreach
