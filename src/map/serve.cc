#include "map/serve.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <tuple>

#include "map/map_index.h"
#include "map/street_name.h"
#include "network/hydrant_leads.h"

namespace lastreach {
namespace {

std::string PerDay(double m3_per_s) {
  char text[64];
  std::snprintf(text, sizeof text, "%.4g m3/d", m3_per_s * kSecondsPerDay);
  return text;
}

class Server {
 public:
  Server(Network& network, const Drawing& drawing, const ServeOptions& options)
      : network_(network), services_(drawing.services), options_(options) {}

  Result<ServeSummary> Serve() {
    network_.connections.clear();
    is_lead_ = FindHydrantLeads(network_, Adjacency(network_), options_.hydrant_lead_m).is_lead;
    Status enough = Account();
    if (!enough.ok()) return enough.error();
    if (services_.empty()) {
      ByLength();
    } else {
      ByService();
    }
    Lose();
    std::stable_sort(network_.connections.begin(), network_.connections.end(),
                     [](const Connection& a, const Connection& b) {
                       return std::tie(a.link, a.along_m, a.service) < std::tie(b.link, b.along_m, b.service);
                     });
    return std::move(summary_);
  }

 private:
  static bool IsMetered(const DrawnService& service) {
    return service.use && std::isfinite(service.use->value.cubic_metres_per_second()) &&
           service.use->value.cubic_metres_per_second() >= 0;
  }
  double Unmetered(const DrawnService& service) const {
    return std::max(0, service.count) * options_.demand_per_service_m3_per_s;
  }
  bool IsTransmission(const Link& link) const {
    return link.inner_diameter_m && link.inner_diameter_m->value > options_.transmission_diameter_m;
  }
  bool TakesByLength(size_t link) const {
    return IsMain(network_.links[link]) && !IsTransmission(network_.links[link]) && is_lead_[link] == 0;
  }

  double LengthThatTakes_m() const {
    double length_m = 0;
    for (size_t i = 0; i < network_.links.size(); ++i) {
      if (TakesByLength(i)) length_m += network_.links[i].length_m.value;
    }
    return length_m;
  }

  // What is drawn in all, and the factor that makes it meet the inflow.
  Status Account() {
    double unmetered = 0;
    int negative = 0;
    for (const DrawnService& service : services_) {
      if (IsMetered(service)) {
        summary_.metered_m3_per_s += service.use->value.cubic_metres_per_second();
      } else {
        unmetered += Unmetered(service);
        negative += service.use ? 1 : 0;
      }
    }
    if (negative > 0) {
      summary_.notes.push_back("the use of " + std::to_string(negative) +
                               " services is below 0 or no number; they are taken as not metered");
    }
    if (services_.empty()) {
      unmetered =
          LengthThatTakes_m() / 1000 * options_.services_per_km * options_.demand_per_service_m3_per_s;
    }
    summary_.unmetered_m3_per_s = unmetered;
    if (options_.system_inflow_m3_per_s) return Balance(*options_.system_inflow_m3_per_s);
    if (unmetered > 0) {
      summary_.notes.push_back(
          "the demand of " + std::string(services_.empty() ? "the mains" : "unmetered services") +
          " is assumed: " + PerDay(options_.demand_per_service_m3_per_s) + " a service" +
          (services_.empty() ? ", " + std::to_string(static_cast<int>(options_.services_per_km)) +
                                   " services a kilometre of main"
                             : ""));
    }
    return Ok();
  }

  Status Balance(double inflow) {
    const double metered = summary_.metered_m3_per_s;
    if (!(inflow > 0) || !std::isfinite(inflow)) {
      return BadInput("the water put into the system must be above 0", {"", {}, "", PerDay(inflow)});
    }
    if (metered > inflow) {
      return BadInput("metered use alone, " + PerDay(metered) + ", is more than what is put into the system",
                      {"", {}, "", PerDay(inflow)});
    }
    const double unmetered = summary_.unmetered_m3_per_s;
    double losses = std::clamp(options_.losses_share, 0.0, 1.0) * inflow;
    const double left = inflow - metered;
    if (unmetered == 0) {
      losses = left;
      summary_.notes.push_back("every service is metered; what is left of the inflow, " + PerDay(left) +
                               ", is loss");
    } else if (left <= losses) {
      losses = left * losses / (losses + unmetered);
      summary_.notes.push_back("metered use leaves less than the losses; what is left, " + PerDay(left) +
                               ", is shared by unmetered use and losses");
    }
    summary_.losses_m3_per_s = losses;
    summary_.unmetered_m3_per_s = left - losses;
    if (unmetered > 0) summary_.unmetered_factor = (left - losses) / unmetered;
    return Ok();
  }

  Sourced<double> DemandOf(const DrawnService& service) const {
    if (IsMetered(service)) return {service.use->value.cubic_metres_per_second(), service.use->origin};
    const double demand = Unmetered(service) * summary_.unmetered_factor;
    if (options_.system_inflow_m3_per_s) {
      return {demand, {OriginKind::kEstimated, "share of the inflow by count of services", {}, ""}};
    }
    return {demand, {OriginKind::kAssumed, "demand per service", {}, ""}};
  }

  void ByService() {
    const MapIndex index(network_, IsMain);
    for (const Link& link : network_.links) streets_.push_back(PlainStreet(link.street));
    for (size_t i = 0; i < services_.size(); ++i) {
      const PlanePoint at = index.plane().To(services_[i].at);
      const std::optional<NearMain> main = MainOf(i, at, index);
      const Sourced<double> demand = DemandOf(services_[i]);
      if (!main) {
        const auto nearest = index.NearestMain(at);
        summary_.unserved.push_back({i, nearest ? std::optional(nearest->distance_m) : std::nullopt});
        summary_.unserved_m3_per_s += demand.value;
        continue;
      }
      ++summary_.served;
      summary_.connections += std::max(0, services_[i].count);
      if (main->distance_m > options_.reach_m) summary_.far.push_back({i, main->distance_m});
      network_.connections.push_back(
          {main->link, main->along_m, std::max(0, services_[i].count), demand, services_[i].key});
    }
  }

  std::optional<NearMain> MainOf(size_t i, PlanePoint at, const MapIndex& index) {
    const std::vector<NearMain> mains =
        index.MainsWithin(at, std::max(options_.reach_m, options_.far_reach_m));
    std::vector<NearMain> local, transmission;
    for (const NearMain& main : mains) {
      if (is_lead_[At(main.link)] != 0) continue;
      (IsTransmission(network_[main.link]) ? transmission : local).push_back(main);
    }
    const auto within = [&](const std::vector<NearMain>& some) {
      return !some.empty() && some.front().distance_m <= options_.reach_m;
    };
    if (!within(local) && within(transmission)) {
      ++summary_.by_transmission;
      return transmission.front();
    }
    if (local.empty()) {
      if (transmission.empty()) return {};
      ++summary_.by_transmission;
      return transmission.front();
    }
    const double far_m = options_.same_street_times * local.front().distance_m + options_.same_street_plus_m;
    for (const NearMain& main : local) {
      if (main.distance_m > far_m) break;
      if (!IsOnStreet(services_[i].street, streets_[At(main.link)])) continue;
      // Nobody is served from far only because a street's name is the same.
      if (main.distance_m > options_.reach_m && within(local)) break;
      summary_.by_street += main.link == local.front().link ? 0 : 1;
      return main;
    }
    return local.front();
  }

  void ByLength() {
    summary_.by_length = true;
    const double length_m = LengthThatTakes_m();
    if (!(length_m > 0)) return;
    const OriginKind kind = OriginKind::kAssumed;
    for (size_t i = 0; i < network_.links.size(); ++i) {
      const Link& link = network_.links[i];
      if (!TakesByLength(i)) continue;
      Connection connection;
      connection.link = static_cast<LinkIndex>(i);
      connection.along_m = link.length_m.value / 2;
      connection.count = 0;
      connection.demand_m3_per_s = {summary_.unmetered_m3_per_s * link.length_m.value / length_m,
                                    {kind, "spread by length of main", {}, ""}};
      network_.connections.push_back(connection);
    }
    summary_.notes.emplace_back("no service is drawn; demand is spread by length of main");
  }

  void Lose() {
    if (summary_.losses_m3_per_s == 0) return;
    // Water lost at a tank or source itself would not show in any flow.
    const auto loses = [&](NodeIndex node) { return network_[node].kind == NodeKind::kJunction; };
    double length_m = 0;
    for (const Link& link : network_.links) {
      if (IsMain(link) && (loses(link.from) || loses(link.to))) length_m += link.length_m.value;
    }
    if (!(length_m > 0)) {
      summary_.notes.emplace_back("there is no main that the losses could be spread over");
      return;
    }
    for (const Link& link : network_.links) {
      if (!IsMain(link)) continue;
      const int ends = (loses(link.from) ? 1 : 0) + (loses(link.to) ? 1 : 0);
      if (ends == 0) continue;
      const double each = summary_.losses_m3_per_s * link.length_m.value / length_m / ends;
      if (loses(link.from)) network_[link.from].demand_m3_per_s += each;
      if (loses(link.to)) network_[link.to].demand_m3_per_s += each;
    }
  }

  Network& network_;
  const std::vector<DrawnService>& services_;
  const ServeOptions& options_;
  ServeSummary summary_;
  std::vector<std::string> streets_;  // of each link, in one spelling
  std::vector<char> is_lead_;         // size links
};

}  // namespace

Result<ServeSummary> ServeCustomers(Network& network, const Drawing& drawing, const ServeOptions& options) {
  return Server(network, drawing, options).Serve();
}

}  // namespace lastreach
