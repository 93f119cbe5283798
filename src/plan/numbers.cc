#include "plan/numbers.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>

#include "core/stated_spread.h"
#include "plan/measure.h"
#include "quality/kinetics.h"

namespace lastreach {
namespace {

// Defaults where nobody has measured. All from memory or common practice, no source; each is printed as
// assumed. Free chlorine bulk loss 0.1-1.5 1/d in treated water, chloramine 0.02-0.15 1/d without
// nitrification.
constexpr double kFreeChlorinePerDay = 0.5;
constexpr double kChloraminePerDay = 0.06;
constexpr double kActivation_k = 7500;  // E/R of the loss in the bulk, 6,000-9,000 K
constexpr double kActivationSd_k = 750;
constexpr double kWorstWeek_c = 25;
constexpr double kWorstWeekSd_c = 1.5;
constexpr double kDefaultDiameter_in = 6;  // the least main with hydrants; bigger holds more, so say so
constexpr double kUsePerService_gpd = 150;
constexpr double kKitSd_mg_per_l = 0.05;  // readings are +-0.1, two sd
constexpr double kUpstreamSwing = 0.10;   // how much the main itself comes and goes

// log sd by how a number is known: measured, typed, estimated, assumed.
struct Spread {
  double measured, typed, estimated, assumed;
  double Of(OriginKind kind) const {
    switch (kind) {
      case OriginKind::kMeasured:
        return measured;
      case OriginKind::kTyped:
        return typed;
      case OriginKind::kEstimated:
        return estimated;
      case OriginKind::kAssumed:
        return assumed;
    }
    return assumed;
  }
};
constexpr Spread kLengthSpread{0.02, 0.05, 0.12, 0.25};
constexpr Spread kDiameterSpread{0.01, 0.02, 0.04, 0.10};
constexpr Spread kDemandSpread{0.10, 0.20, 0.25, 0.35};
// Meter 2-5 %, drum 5-10 %, pitot 10-15 %, a guess 30-50 % (common practice, no source).
constexpr Spread kFlowSpread{0.05, 0.10, 0.15, 0.30};
constexpr Spread kLossSpread{0.15, 0.25, 0.30, 0.45};

std::string Say(const char* format, double value) {
  char text[160];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

// First-order wall loss by material [m/d], from memory: plastic 0-0.05, lined 0.02-0.2, unlined iron 0.3-1.5.
double WallPerDay(const std::string& material) {
  const std::string text = Lower(material);
  const auto has = [&text](const char* word) { return text.find(word) != std::string::npos; };
  if (has("pvc") || has("hdpe") || text == "pe" || has("plastic") || has("poly")) return 0.01;
  if (has("unlined") || has("cast") || text == "ci" || has("galv") || has("steel")) return 0.5;
  return 0.05;
}

bool RunsOn(const DayPattern& days, const ControllerForm& form, Date date) {
  const auto day_of_month = static_cast<unsigned>(date.day());
  if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
    return weekdays->Has(static_cast<int>(std::chrono::weekday(std::chrono::sys_days(date)).iso_encoding()) -
                         1);
  }
  if (std::holds_alternative<EvenDates>(days)) return day_of_month % 2 == 0;
  if (std::holds_alternative<OddDates>(days))
    return day_of_month % 2 == 1 && (day_of_month < 31 || !form.odd_skips_31st.value_or(false));
  const auto& every = std::get<EveryNDays>(days);
  const int since = DayNumber(date) - DayNumber(*every.from);
  return since >= 0 && since % every.n == 0;
}

// The share of the season's time in which these settings have the valve open, if no start is lost.
double OpenShare(const ControllerForm& form, const TimerSettings& settings, const PlanOptions& options) {
  double minutes = 0;
  for (Date date = options.from; date < options.to; date = AddDays(date, 1)) {
    for (const Programme& programme : settings.programmes) {
      if (!RunsOn(programme.days, form, date)) continue;
      minutes +=
          static_cast<double>(programme.starts_min.size()) * EffectiveMinutes(form, settings, programme);
    }
  }
  return minutes / (1440.0 * (DayNumber(options.to) - DayNumber(options.from)));
}

class Gatherer {
 public:
  Gatherer(const DeviceFacts& facts, const PlanOptions& options) : facts_(facts), options_(options) {}

  Result<PlanningNumbers> Gather() {
    if (const Status status = Needed(); !status.ok()) return status.error();
    Temperature();
    Losses();
    for (size_t i = 0; i < facts_.reach.pipes.size(); ++i) Pipe(facts_.reach.pipes[i], i + 1);
    if (const Status status = Beside(); !status.ok()) return status.error();
    out_.log_sd[kReachVolume] = std::sqrt(volume_variance_ / (out_.volume_m3() * out_.volume_m3()));
    return std::move(out_);
  }

 private:
  // What nothing can stand in for.
  Status Needed() {
    const auto missing = [](const std::string& what) { return BadInput(what); };
    if (facts_.reach.pipes.empty()) return missing("the reach has no pipe: give its length and diameter");
    for (const ReachPipe& pipe : facts_.reach.pipes) {
      if (!(pipe.length.value.metres() > 0)) return missing("the length of the reach is not known");
    }
    if (!facts_.point.flow || !(facts_.point.flow->value.cubic_metres_per_second() > 0)) {
      return missing("the device's flow is not known: time a bucket or a drum");
    }
    out_.flow_m3_per_s = facts_.point.flow->value.cubic_metres_per_second();
    out_.log_sd[kDeviceFlow] = kFlowSpread.Of(facts_.point.flow->origin.kind);

    if (const Status status = Upstream(); !status.ok()) return status;
    return Target();
  }

  Status Upstream() {
    const auto& upstream =
        facts_.reach.upstream_residual ? facts_.reach.upstream_residual : facts_.supply.upstream_residual;
    if (facts_.root_mg_per_l_by_hour) {
      out_.upstream_by_hour = facts_.root_mg_per_l_by_hour;
      out_.upstream_mg_per_l =
          *std::min_element(out_.upstream_by_hour->begin(), out_.upstream_by_hour->end());
    } else if (upstream) {
      out_.upstream_mg_per_l = upstream->value.milligrams_per_litre();
    }
    if (!(out_.upstream_mg_per_l > 0)) {
      return BadInput("the residual in the main upstream is not known: take a reading there");
    }
    double level = kKitSd_mg_per_l / out_.upstream_mg_per_l;
    if (upstream && !facts_.root_mg_per_l_by_hour) level = StatedLogSd(upstream->origin).value_or(level);
    out_.log_sd[kUpstream] = std::hypot(kUpstreamSwing, level);
    return Ok();
  }

  Status Beside() {
    std::vector<BesideNumbers> beside;
    for (const BesideFlow& flow : facts_.beside) {
      if (flow.pipe >= facts_.reach.pipes.size()) {
        return BadInput("a device beside draws at pipe " + std::to_string(flow.pipe + 1) + " of a reach of " +
                        std::to_string(facts_.reach.pipes.size()));
      }
      BesideNumbers numbers{flow.pipe,
                            flow.form,
                            KeyedLongAgo(flow.settings),
                            flow.flow_m3_per_s,
                            kFlowSpread.Of(flow.flow_known),
                            0};
      if (numbers.form.overlap == Overlap::kUnknown) numbers.form.overlap = Overlap::kDrop;
      std::erase_if(numbers.settings.programmes, [](const Programme& programme) {
        const auto* every = std::get_if<EveryNDays>(&programme.days);
        return programme.starts_min.empty() || (every != nullptr && !every->from);
      });
      if (!numbers.settings.on || numbers.settings.programmes.empty() || !(flow.flow_m3_per_s > 0)) continue;
      numbers.open_share = OpenShare(numbers.form, numbers.settings, options_);
      beside.push_back(std::move(numbers));
    }
    if (!beside.empty()) out_.beside = std::make_shared<const std::vector<BesideNumbers>>(std::move(beside));
    return Ok();
  }

  // The strictest of the limits given, or the target asked for, or the zone's.
  Status Target() {
    if (options_.target_mg_per_l) {
      out_.target_mg_per_l = *options_.target_mg_per_l;
    } else if (facts_.supply.target_residual) {
      out_.target_mg_per_l = facts_.supply.target_residual->value.milligrams_per_litre();
    }
    for (const Limit& limit : facts_.limits) {
      if (const auto* least = std::get_if<LeastResidual>(&limit.rule)) {
        out_.target_mg_per_l = std::max(out_.target_mg_per_l, least->residual.milligrams_per_litre());
      }
    }
    if (!(out_.target_mg_per_l > 0))
      return BadInput("no target residual is set for zone '" + facts_.supply.name + "'");
    return Ok();
  }

  void Temperature() {
    out_.temperature_c = kWorstWeek_c;
    if (options_.temperature_c) {
      out_.temperature_c = *options_.temperature_c;
    } else if (facts_.supply.worst_week) {
      out_.temperature_c = facts_.supply.worst_week->value.celsius();
    } else {
      out_.assumed.push_back(Say("water temperature in the worst week %.0f C", kWorstWeek_c));
    }
  }

  void Losses() {
    const bool free = facts_.supply.disinfectant == Disinfectant::kFreeChlorine;
    double at_20c_per_day = free ? kFreeChlorinePerDay : kChloraminePerDay;
    const double sd = LossLogSd(facts_.supply.bulk_per_day_at_20c);
    if (facts_.supply.bulk_per_day_at_20c) {
      at_20c_per_day = facts_.supply.bulk_per_day_at_20c->value;
    } else {
      out_.assumed.push_back(Say("loss in the bulk of the water %.2g per day at 20 C", at_20c_per_day));
    }
    const auto temperature = lastreach::Temperature::Celsius(out_.temperature_c);
    out_.bulk_per_s = at_20c_per_day / kSecondsPerDay * RateFactor(kActivation_k, temperature);
    // d ln k / dT = (E/R) / T^2, and d ln k / d(E/R) = 1/293.15 - 1/T.
    const double by_temperature =
        kActivation_k / (temperature.kelvin() * temperature.kelvin()) * kWorstWeekSd_c;
    const double by_activation = (1 / 293.15 - 1 / temperature.kelvin()) * kActivationSd_k;
    out_.log_sd[kBulkLoss] =
        std::sqrt(sd * sd + by_temperature * by_temperature + by_activation * by_activation);
    out_.log_sd[kWallLoss] = LossLogSd(facts_.supply.wall_m_per_day);
  }

  void Pipe(const ReachPipe& pipe, size_t number) {
    PipeNumbers numbers;
    const std::string name = facts_.reach.pipes.size() > 1 ? " of pipe " + std::to_string(number) : "";
    numbers.length_m = pipe.length.value.metres();
    numbers.diameter_m = pipe.inner_diameter.value.metres();
    OriginKind diameter_kind = pipe.inner_diameter.origin.kind;
    if (!(numbers.diameter_m > 0)) {
      numbers.diameter_m = Diameter::Inches(kDefaultDiameter_in).metres();
      diameter_kind = OriginKind::kAssumed;
      out_.assumed.push_back("diameter" + name + Say(" %.0f in", kDefaultDiameter_in));
    }
    const double length_sd = kLengthSpread.Of(pipe.length.origin.kind);
    const double diameter_sd = 2 * kDiameterSpread.Of(diameter_kind);  // the volume goes with its square
    const double volume =
        PipeVolume(Length::Metres(numbers.length_m), Diameter::Millimetres(numbers.diameter_m * 1000))
            .cubic_metres();
    volume_variance_ += volume * volume * (length_sd * length_sd + diameter_sd * diameter_sd);
    if (pipe.length.origin.kind == OriginKind::kEstimated)
      out_.assumed.push_back("length" + name + " is about right");

    numbers.services = std::max(0, pipe.services.value);
    if (pipe.services.origin.kind == OriginKind::kAssumed) {
      out_.assumed.push_back("services" + name + ": " + std::to_string(numbers.services));
    }
    Demand(pipe, name, numbers);
    if (facts_.supply.wall_m_per_day) {
      numbers.wall_m_per_s = facts_.supply.wall_m_per_day->value / kSecondsPerDay;
    } else {
      const double per_day = WallPerDay(pipe.material);
      numbers.wall_m_per_s = per_day / kSecondsPerDay;
      out_.assumed.push_back("loss at the wall" + name + Say(" %.2g m/d", per_day) +
                             (pipe.material.empty() ? ", material not known" : " for " + pipe.material));
    }
    out_.pipes.push_back(numbers);
  }

  void Demand(const ReachPipe& pipe, const std::string& name, PipeNumbers& numbers) {
    double spread = kDemandSpread.Of(OriginKind::kAssumed);
    if (pipe.demand) {
      numbers.demand_m3_per_s = pipe.demand->value.cubic_metres_per_second();
      spread = StatedLogSd(pipe.demand->origin).value_or(kDemandSpread.Of(pipe.demand->origin.kind));
    } else if (numbers.services > 0) {
      double each = Flow::GallonsPerDay(kUsePerService_gpd).cubic_metres_per_second();
      if (facts_.supply.demand_per_service) {
        each = facts_.supply.demand_per_service->value.cubic_metres_per_second();
        spread = kDemandSpread.Of(facts_.supply.demand_per_service->origin.kind);
      } else if (!said_use_of_a_service_) {
        said_use_of_a_service_ = true;
        out_.assumed.push_back(Say("use of a service %.0f gal/d", kUsePerService_gpd));
      }
      numbers.demand_m3_per_s = each * numbers.services;
    }
    if (pipe.demand && numbers.services == 0 && numbers.demand_m3_per_s > 0) {
      numbers.services = 1;
      out_.assumed.push_back("the use" + name + " is drawn at its end");
    }
    if (numbers.demand_m3_per_s > 0) out_.log_sd[kDemand] = std::max(out_.log_sd[kDemand], spread);
  }

  const DeviceFacts& facts_;
  const PlanOptions& options_;
  PlanningNumbers out_;
  double volume_variance_ = 0;
  bool said_use_of_a_service_ = false;
};

}  // namespace

double PlanningNumbers::volume_m3() const {
  double sum = 0;
  for (const PipeNumbers& pipe : pipes) {
    sum += PipeVolume(Length::Metres(pipe.length_m), Diameter::Millimetres(pipe.diameter_m * 1000))
               .cubic_metres();
  }
  return sum;
}

double PlanningNumbers::demand_m3_per_s() const {
  double sum = 0;
  for (const PipeNumbers& pipe : pipes) sum += pipe.demand_m3_per_s;
  return sum;
}

int PlanningNumbers::services() const {
  int sum = 0;
  for (const PipeNumbers& pipe : pipes) sum += pipe.services;
  return sum;
}

Result<PlanningNumbers> GatherNumbers(const DeviceFacts& facts, const PlanOptions& options) {
  return Gatherer(facts, options).Gather();
}

double LossLogSd(const std::optional<Sourced<double>>& loss) {
  if (!loss) return kLossSpread.Of(OriginKind::kAssumed);
  return StatedLogSd(loss->origin).value_or(kLossSpread.Of(loss->origin.kind));
}

double Factor(const PlanningNumbers& numbers, Uncertain which, const Deviates& deviates) {
  const bool more_is_worse = which == kBulkLoss || which == kWallLoss || which == kReachVolume;
  return std::exp((more_is_worse ? 1 : -1) * numbers.log_sd[which] * deviates[which]);
}

}  // namespace lastreach
