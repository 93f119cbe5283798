#include "quality/reactants.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "quality/kinetics.h"

namespace lastreach {
namespace {

// Terms of the series, and what the last two taken may still add to ln C. The step that 20 terms bear is near
// the best in cost per second of stay; fewer or more by six cost a tenth more.
constexpr std::size_t kTerms = 20;
constexpr double kTermTolerance = 1e-12;
// Far from where numbers end, so that what is divided by it does not overflow.
constexpr double kNoChlorine_mg_per_l = 1e-200;

// Terms in powers of time over the stay, or over one time of the reactions if the stay is longer.
struct StaySeries {
  std::array<double, kTerms + 1> log_chlorine;  // of ln C; the first is left 0
  std::array<double, kTerms + 1> dose;          // of x
  std::size_t last = 0;                         // the last term worked out
  double stretch = 1;                           // how many unit times the step takes
  double unit_s = 0;
};

struct Stay {
  double chlorine, fast, slow;  // mg/L
};

// A term of x counts by what it makes of ln C later: d(ln C) <= (loss rate / C) dx.
void WorkOutTerms(const TwoReactantLaw& law, const Stay& stay, double wall_per_s, double left_s,
                  StaySeries& series) {
  std::array<double, kTerms + 1> c;
  std::array<double, kTerms + 1> f;
  std::array<double, kTerms + 1> s;
  std::array<double, kTerms + 1> rate;
  std::array<double, kTerms + 1> size;
  c[0] = stay.chlorine;
  f[0] = law.fast_l_per_mg_per_s * stay.fast;
  s[0] = law.slow_l_per_mg_per_s * stay.slow;
  rate[0] = f[0] + s[0] + wall_per_s;
  const double quickest = rate[0] + std::max(law.fast_l_per_mg_per_s, law.slow_l_per_mg_per_s) * c[0];
  series.unit_s = left_s * quickest <= 1 ? left_s : 1 / quickest;
  const double per_dose = rate[0] / c[0];
  series.last = kTerms;
  for (std::size_t n = 0; n < kTerms; ++n) {
    // Two sums each, so that additions need not wait for one another.
    double fast[2] = {};
    double slow[2] = {};
    for (std::size_t i = 0; i < n; i += 2) {
      fast[0] += f[i] * c[n - i];
      slow[0] += s[i] * c[n - i];
      fast[1] += f[i + 1] * c[n - i - 1];
      slow[1] += s[i + 1] * c[n - i - 1];
    }
    if (n % 2 == 0) {
      fast[0] += f[n] * c[0];
      slow[0] += s[n] * c[0];
    }
    const double fast_product = fast[0] + fast[1];
    const double slow_product = slow[0] + slow[1];
    const double chlorine_product = fast_product + slow_product + wall_per_s * c[n];
    const double w = series.unit_s / static_cast<double>(n + 1);
    c[n + 1] = -w * chlorine_product;
    f[n + 1] = -w * law.fast_l_per_mg_per_s * fast_product;
    s[n + 1] = -w * law.slow_l_per_mg_per_s * slow_product;
    rate[n + 1] = f[n + 1] + s[n + 1];
    series.log_chlorine[n + 1] = -w * rate[n];
    series.dose[n + 1] = w * c[n];
    size[n + 1] = std::abs(series.log_chlorine[n + 1]) + per_dose * std::abs(series.dose[n + 1]);
    if (series.unit_s == left_s && n > 0 && std::max(size[n], size[n + 1]) < kTermTolerance) {
      series.last = n + 1;
      break;
    }
  }
  series.stretch = left_s / series.unit_s;
  if (series.last < kTerms) return;
  for (const std::size_t n : {kTerms - 1, kTerms}) {
    if (size[n] > 0) {
      const double bearable = std::pow(kTermTolerance / size[n], 1 / static_cast<double>(n));
      series.stretch = std::min(series.stretch, bearable);
    }
  }
}

double SumOf(const std::array<double, kTerms + 1>& terms, std::size_t last, double stretch) {
  double sum = 0;
  for (std::size_t n = last; n > 0; --n) sum = (sum + terms[n]) * stretch;
  return sum;
}

Stay StayOn(const TwoReactantLaw& law, Stay stay, double wall_per_s, double seconds) {
  StaySeries series;
  double left_s = seconds;
  while (left_s > 0 && stay.chlorine > 0) {
    const double rate_per_s =
        law.fast_l_per_mg_per_s * stay.fast + law.slow_l_per_mg_per_s * stay.slow + wall_per_s;
    // Nothing there to use it up, or too little chlorine to be felt by it.
    if (rate_per_s == wall_per_s || stay.chlorine < kNoChlorine_mg_per_l) {
      stay.chlorine *= std::exp(-rate_per_s * left_s);
      break;
    }
    WorkOutTerms(law, stay, wall_per_s, left_s, series);
    const double log_chlorine = std::min(SumOf(series.log_chlorine, series.last, series.stretch), 0.0);
    const double dose = std::max(SumOf(series.dose, series.last, series.stretch), 0.0);
    stay.chlorine *= std::exp(log_chlorine);
    stay.fast *= std::exp(-law.fast_l_per_mg_per_s * dose);
    stay.slow *= std::exp(-law.slow_l_per_mg_per_s * dose);
    const double step_s = series.stretch * series.unit_s;
    left_s = step_s < left_s ? left_s - step_s : 0;
  }
  return stay;
}

bool IsOneReactantAlone(const TwoReactantLaw& law, const ReactingWater& water, double wall_per_s) {
  return wall_per_s == 0 && (law.slow_l_per_mg_per_s * water.slow_mg_per_l == 0 ||
                             law.fast_l_per_mg_per_s * water.fast_mg_per_l == 0);
}

Stay StayBesideOne(const TwoReactantLaw& law, const ReactingWater& water, double seconds) {
  Stay stay{water.chlorine_mg_per_l, water.fast_mg_per_l, water.slow_mg_per_l};
  const bool fast = law.fast_l_per_mg_per_s * stay.fast > 0;
  double& reactant = fast ? stay.fast : stay.slow;
  const double rate = fast ? law.fast_l_per_mg_per_s : law.slow_l_per_mg_per_s;
  stay.chlorine = ChlorineBesideOneReactant(water.chlorine_mg_per_l, reactant, rate, seconds);
  // The model is the same with the two exchanged.
  reactant = ChlorineBesideOneReactant(reactant, water.chlorine_mg_per_l, rate, seconds);
  return stay;
}

}  // namespace

Status CheckTwoReactants(const TwoReactantLaw& law, const ReactingWater& water) {
  struct Named {
    const char* name;
    double value;
  };
  for (const Named& entry :
       {Named{"rate of the fast reactant", law.fast_l_per_mg_per_s},
        Named{"rate of the slow reactant", law.slow_l_per_mg_per_s},
        Named{"THM formed by a milligram of chlorine", law.thm_ug_per_mg},
        Named{"chlorine", water.chlorine_mg_per_l}, Named{"fast reactant", water.fast_mg_per_l},
        Named{"slow reactant", water.slow_mg_per_l}, Named{"THM", water.thm_ug_per_l}}) {
    if (!(entry.value >= 0) || !std::isfinite(entry.value)) {
      return BadInput(std::string(entry.name) + " must be 0 or more",
                      {"", {}, "", std::to_string(entry.value)});
    }
  }
  return Ok();
}

TwoReactantLaw LawAt(const TwoReactantLaw& at_20_c, double fast_activation_k, double slow_activation_k,
                     Temperature water) {
  return {.fast_l_per_mg_per_s = at_20_c.fast_l_per_mg_per_s * RateFactor(fast_activation_k, water),
          .slow_l_per_mg_per_s = at_20_c.slow_l_per_mg_per_s * RateFactor(slow_activation_k, water),
          .thm_ug_per_mg = at_20_c.thm_ug_per_mg};
}

ReactingWater React(const TwoReactantLaw& law, const ReactingWater& water, double wall_per_s,
                    double seconds) {
  const Stay stay = IsOneReactantAlone(law, water, wall_per_s)
                        ? StayBesideOne(law, water, seconds)
                        : StayOn(law, {water.chlorine_mg_per_l, water.fast_mg_per_l, water.slow_mg_per_l},
                                 wall_per_s, seconds);
  const double used_mg_per_l = (water.fast_mg_per_l - stay.fast) + (water.slow_mg_per_l - stay.slow);
  return {.chlorine_mg_per_l = stay.chlorine,
          .fast_mg_per_l = stay.fast,
          .slow_mg_per_l = stay.slow,
          .thm_ug_per_l = water.thm_ug_per_l + law.thm_ug_per_mg * used_mg_per_l};
}

double ChlorineBesideOneReactant(double chlorine_mg_per_l, double reactant_mg_per_l,
                                 double rate_l_per_mg_per_s, double seconds) {
  // C0 / (1 + B0 (1 - exp(-u t)) / (C0 - B0)): nothing is 0 / 0 but the fraction at R = 1.
  const double more = chlorine_mg_per_l - reactant_mg_per_l;
  const double time = rate_l_per_mg_per_s * seconds;
  const double fraction = more == 0 ? time : -std::expm1(-more * time) / more;
  return std::min(chlorine_mg_per_l / (1 + reactant_mg_per_l * fraction), chlorine_mg_per_l);
}

ReactingWater MixStreams(std::span<const ReactingWater> streams, std::span<const double> flows_m3_per_s) {
  ReactingWater sum;
  double flow = 0;
  for (std::size_t i = 0; i < streams.size(); ++i) {
    flow += flows_m3_per_s[i];
    sum.chlorine_mg_per_l += flows_m3_per_s[i] * streams[i].chlorine_mg_per_l;
    sum.fast_mg_per_l += flows_m3_per_s[i] * streams[i].fast_mg_per_l;
    sum.slow_mg_per_l += flows_m3_per_s[i] * streams[i].slow_mg_per_l;
    sum.thm_ug_per_l += flows_m3_per_s[i] * streams[i].thm_ug_per_l;
  }
  return {sum.chlorine_mg_per_l / flow, sum.fast_mg_per_l / flow, sum.slow_mg_per_l / flow,
          sum.thm_ug_per_l / flow};
}

}  // namespace lastreach
