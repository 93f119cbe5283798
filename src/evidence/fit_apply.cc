#include "evidence/fit_apply.h"

#include <algorithm>
#include <cstdio>

#include "core/stated_spread.h"
#include "evidence/fit_posterior.h"

namespace lastreach {
namespace {

constexpr double kWorthWriting = 0.9;

std::string Say(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

class Applier {
 public:
  Applier(const ZoneFit& fit, const SupplyZone& zone, const std::vector<Reach>& reaches,
          const std::string& who, Instant now)
      : fit_(fit), zone_(zone), reaches_(reaches), who_(who), now_(now) {}

  AppliedFit Apply() {
    const auto walls = std::count_if(fit_.numbers.begin(), fit_.numbers.end(),
                                     [](const FittedNumber& n) { return n.kind == FittedKind::kWall; });
    for (const FittedNumber& number : fit_.numbers) {
      if (number.kind > FittedKind::kUpstream) continue;
      if (number.log_sd > kWorthWriting * number.before_log_sd) {
        out_.kept.push_back(NameOf(number) + ": the readings say next to nothing of it");
      } else if (number.kind == FittedKind::kBulk) {
        Put(number, "1/d", zone_.bulk_per_day_at_20c, number.value, number.before);
        out_.zone = zone_;
      } else if (number.kind == FittedKind::kWall && walls == 1) {
        Put(number, "m/d", zone_.wall_m_per_day, number.value, number.before);
        out_.zone = zone_;
      } else if (number.kind == FittedKind::kWall) {
        out_.kept.push_back(NameOf(number) +
                            ": a zone keeps one number, and its reaches are of several materials");
      } else if (number.kind == FittedKind::kUpstream) {
        Put(number, "mg/L", ReachOf(number.point).upstream_residual,
            Concentration::MilligramsPerLitre(number.value), number.before);
      } else if (number.kind == FittedKind::kDemand) {
        PutDemand(number);
      } else {
        out_.kept.push_back(NameOf(number) +
                            (number.kind == FittedKind::kVolume ? ": it is the map's" : ": it is measured"));
      }
    }
    return std::move(out_);
  }

 private:
  template <typename T>
  void Put(const FittedNumber& number, const char* unit, std::optional<Sourced<T>>& place, T value,
           double before) {
    const std::string was =
        Say("%.3g ", before) + unit + ", " + (place ? Describe(WithoutSpread(place->origin)) : "assumed");
    place = Sourced<T>{value,
                       {OriginKind::kEstimated, who_, now_,
                        LogSdNote(number.log_sd) + ", fitted to " + std::to_string(fit_.readings.size()) +
                            " readings; before: " + was}};
    out_.changed.push_back(NameOf(number) + ": " + Say("%.3g ", number.value) + unit + ", before " + was);
  }

  // So that notes of one fit after another do not nest for ever.
  static Origin WithoutSpread(Origin origin) {
    if (StatedLogSd(origin)) origin.note = "an earlier fit";
    return origin;
  }

  Reach& ReachOf(const PointCode& point) {
    auto found = std::find_if(out_.reaches.begin(), out_.reaches.end(),
                              [&](const Reach& reach) { return reach.point == point; });
    if (found != out_.reaches.end()) return *found;
    const auto kept = std::find_if(reaches_.begin(), reaches_.end(),
                                   [&](const Reach& reach) { return reach.point == point; });
    out_.reaches.push_back(kept != reaches_.end() ? *kept : Reach{point, {}, {}});
    return out_.reaches.back();
  }

  void PutDemand(const FittedNumber& number) {
    const auto kept = std::find_if(reaches_.begin(), reaches_.end(),
                                   [&](const Reach& reach) { return reach.point == number.point; });
    int services = 0;
    bool each_told = kept != reaches_.end();
    bool none_told = each_told;
    if (kept != reaches_.end()) {
      for (const ReachPipe& pipe : kept->pipes) {
        services += pipe.services.value;
        if (pipe.services.value == 0 && !pipe.demand) continue;
        (pipe.demand ? none_told : each_told) = false;
      }
    }
    if (!(each_told || (none_told && services > 0)) || kept->pipes.empty()) {
      out_.kept.push_back(NameOf(number) + ": its reach is the map's, or tells the use of some pipes only");
      return;
    }
    for (ReachPipe& pipe : ReachOf(number.point).pipes) {
      if (pipe.services.value == 0 && !pipe.demand) continue;
      const double before = pipe.demand ? pipe.demand->value.cubic_metres_per_day()
                                        : number.before * pipe.services.value / services;
      Put(number, "m3/d", pipe.demand, Flow::CubicMetresPerDay(before * number.value / number.before),
          before);
    }
  }

  const ZoneFit& fit_;
  SupplyZone zone_;
  const std::vector<Reach>& reaches_;
  const std::string& who_;
  Instant now_;
  AppliedFit out_;
};

}  // namespace

AppliedFit ApplyFit(const ZoneFit& fit, const SupplyZone& zone, const std::vector<Reach>& reaches,
                    const std::string& who, Instant now) {
  return Applier(fit, zone, reaches, who, now).Apply();
}

}  // namespace lastreach
