#include "app/zone_water.h"

#include <algorithm>
#include <cstdio>
#include <map>

#include "plan/numbers.h"
#include "quality/kinetics.h"

namespace lastreach {
namespace {

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// What planning would take for a pipe of one zone and material: asked of planning itself, so that the two can
// never differ.
Result<PlanningNumbers> NumbersFor(const SupplyZone& zone, const std::string& material) {
  DeviceFacts facts;
  facts.supply = zone;
  const Origin typed{OriginKind::kTyped, "", {}, ""};
  facts.point.flow = Sourced<Flow>{Flow::LitresPerSecond(1), typed};
  // Neither bears on the losses, and nothing is gathered without them.
  facts.supply.target_residual = Sourced<Concentration>{Concentration::MilligramsPerLitre(1), typed};
  facts.supply.upstream_residual = Sourced<Concentration>{Concentration::MilligramsPerLitre(1), typed};
  ReachPipe pipe;
  pipe.length = {Length::Metres(1), typed};
  pipe.inner_diameter = {Diameter::Millimetres(100), typed};
  pipe.services = {0, typed};
  pipe.material = material;
  facts.reach.pipes.push_back(pipe);
  return GatherNumbers(facts, {});
}

class ZoneWater {
 public:
  ZoneWater(const std::vector<SupplyZone>& zones, Network& network, std::vector<NumberUsed>& used)
      : zones_(zones), network_(network), used_(used) {}

  void Put() {
    for (Node& node : network_.nodes) Feeder(node);
    for (Link& link : network_.links) Losses(link);
    if (!(warmest_c_ > 0)) return;
    const Kinetics kinetics = KineticsAt(Temperature::Celsius(warmest_c_));
    network_.options.temperature_c = warmest_c_;
    network_.options.viscosity_m2_per_s = kinetics.viscosity_m2_per_s;
    network_.options.diffusivity_m2_per_s = kinetics.diffusivity_m2_per_s;
  }

 private:
  void Use(const std::string& what, const std::string& value, const std::string& origin) {
    const NumberUsed number{what, value, origin};
    if (std::find(used_.begin(), used_.end(), number) == used_.end()) used_.push_back(number);
  }

  static std::string Of(const SupplyZone& zone) {
    return zone.name.empty() ? ", zone not known" : ", zone " + zone.name;
  }

  // The zone of that name; one of which only the name is known for any other.
  SupplyZone ZoneNamed(const std::string& name) const {
    if (const SupplyZone* zone = FindZone(zones_, name)) return *zone;
    SupplyZone unknown;
    unknown.name = name;
    return unknown;
  }

  void Feeder(Node& node) {
    if (node.kind == NodeKind::kJunction || node.tank || node.chlorine_mg_per_l) return;
    const std::string what = "residual in the water of " + node.id;
    const SupplyZone zone = ZoneNamed(node.zone);
    if (!zone.upstream_residual) {
      // What nobody knows must not look good.
      node.chlorine_mg_per_l = 0;
      Use(what, "0 mg/L", "assumed, as nobody gave one for its zone");
      return;
    }
    node.chlorine_mg_per_l = zone.upstream_residual->value.milligrams_per_litre();
    Use(what, Number("%.3g mg/L", *node.chlorine_mg_per_l),
        "that of the mains of zone " + zone.name + ", " + Describe(zone.upstream_residual->origin));
  }

  // A network that came with its own losses keeps them where no zone is described.
  bool HasOwnLosses(const Link& link) const {
    const NetworkOptions& options = network_.options;
    const bool gives = options.bulk_per_day > 0 || options.wall_m_per_day > 0 || options.two_reactants;
    return gives && FindZone(zones_, link.zone) == nullptr;
  }

  void TellOwnLosses() {
    const NetworkOptions& options = network_.options;
    const std::string origin = "came with the network";
    if (options.two_reactants) Use("loss of chlorine in the bulk", "to two reactants", origin);
    if (!options.two_reactants) {
      Use("loss of chlorine in the bulk", Number("%.2g per day", options.bulk_per_day), origin);
    }
    Use("loss at the wall", Number("%.2g m per day", options.wall_m_per_day), origin);
  }

  void Losses(Link& link) {
    if (HasOwnLosses(link)) return TellOwnLosses();
    const PlanningNumbers* numbers = NumbersOf(link.zone, link.material);
    if (numbers == nullptr) return;
    if (!link.bulk_per_day) link.bulk_per_day = numbers->bulk_per_s * kSecondsPerDay;
    if (!link.wall_m_per_day) link.wall_m_per_day = numbers->pipes.front().wall_m_per_s * kSecondsPerDay;
  }

  const PlanningNumbers* NumbersOf(const std::string& zone_name, const std::string& material) {
    const auto [place, is_new] = known_.try_emplace({zone_name, material});
    if (!is_new) return place->second ? &*place->second : nullptr;
    const SupplyZone zone = ZoneNamed(zone_name);
    const auto numbers = NumbersFor(zone, material);
    if (!numbers.ok()) return nullptr;
    place->second = *numbers;
    warmest_c_ = std::max(warmest_c_, numbers->temperature_c);
    Tell(zone, material, *numbers);
    return &*place->second;
  }

  void Tell(const SupplyZone& zone, const std::string& material, const PlanningNumbers& numbers) {
    Use("water in the worst week" + Of(zone), Number("%.3g C", numbers.temperature_c),
        zone.worst_week ? Describe(zone.worst_week->origin) : "assumed");
    const std::string words =
        zone.disinfectant == Disinfectant::kFreeChlorine ? "free chlorine" : "chloramine";
    Use("loss of " + words + " in the bulk at that temperature" + Of(zone),
        Number("%.2g per day", numbers.bulk_per_s * kSecondsPerDay),
        zone.bulk_per_day_at_20c ? "from " + Number("%.2g", zone.bulk_per_day_at_20c->value) + " at 20 C, " +
                                       Describe(zone.bulk_per_day_at_20c->origin)
                                 : "assumed");
    Use("loss at the wall" + Of(zone) +
            (zone.wall_m_per_day ? ""
             : material.empty()  ? ", material not known"
                                 : ", " + material),
        Number("%.2g m per day", numbers.pipes.front().wall_m_per_s * kSecondsPerDay),
        zone.wall_m_per_day ? Describe(zone.wall_m_per_day->origin) : "assumed");
  }

  const std::vector<SupplyZone>& zones_;
  Network& network_;
  std::vector<NumberUsed>& used_;
  std::map<std::pair<std::string, std::string>, std::optional<PlanningNumbers>> known_;
  double warmest_c_ = 0;
};

}  // namespace

const SupplyZone* FindZone(const std::vector<SupplyZone>& zones, const std::string& name) {
  const auto named =
      std::find_if(zones.begin(), zones.end(), [&](const SupplyZone& z) { return z.name == name; });
  if (named != zones.end()) return &*named;
  return zones.size() == 1 && name.empty() ? &zones.front() : nullptr;
}

void PutZoneWater(const std::vector<SupplyZone>& zones, Network& network, std::vector<NumberUsed>& used) {
  ZoneWater(zones, network, used).Put();
}

}  // namespace lastreach
