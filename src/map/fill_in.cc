#include "map/fill_in.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>

#include "map/elevation.h"
#include "map/map_index.h"
#include "map/street_name.h"
#include "network/roughness.h"
#include "network/structure.h"

namespace lastreach {
namespace {

constexpr const char* kRule = "filled in from neighbours";
constexpr size_t kMostNamed = 3;
constexpr const char* kHowAlike[] = {", the same street", ", branches to ends like it",
                                     ""};  // in order of Among

std::string Kilometres(double length_m) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f km", length_m / 1000);
  return text;
}

// Values of some kind, by the length of main that has them.
template <typename Value>
class Tally {
 public:
  void Add(const Value& value, double length_m, const std::string& id) {
    Entry& entry = entries_[value];
    entry.length_m += length_m;
    entry.ids.push_back(id);
  }
  bool empty() const { return entries_.empty(); }

  // What most length has; of equals the lesser. A micrometre apart is equal: the sums depend on their order.
  const Value& Commonest() const {
    auto best = entries_.begin();
    for (auto it = entries_.begin(); it != entries_.end(); ++it) {
      if (it->second.length_m > best->second.length_m + 1e-6) best = it;
    }
    return best->first;
  }
  std::string NamesOf(const Value& value) const {
    std::vector<std::string> ids = entries_.at(value).ids;
    std::sort(ids.begin(), ids.end());
    std::string names;
    for (size_t i = 0; i < std::min(ids.size(), kMostNamed); ++i) names += (i == 0 ? "" : ", ") + ids[i];
    if (ids.size() > kMostNamed) names += " and " + std::to_string(ids.size() - kMostNamed) + " more";
    return names;
  }

 private:
  struct Entry {
    double length_m = 0;
    std::vector<std::string> ids;
  };
  std::map<Value, Entry> entries_;
};

template <typename Value>
struct Found {
  Value value{};
  std::string note;
};

class Filler {
 public:
  Filler(Network& network, const Drawing& drawing, const FillOptions& options)
      : network_(network), drawing_(drawing), options_(options), links_at_(network.nodes.size()) {
    for (size_t i = 0; i < network.links.size(); ++i) {
      links_at_[At(network.links[i].from)].push_back(i);
      links_at_[At(network.links[i].to)].push_back(i);
      streets_.push_back(PlainStreet(network.links[i].street));
    }
    ring_of_.assign(network.links.size(), 0);
    FindBranches();
  }

  Result<FillSummary> Fill() {
    Status ground = Elevations();
    if (!ground.ok()) return ground.error();
    Diameters();
    Materials();
    RoughnessOfAll();
    summary_.zones = GiveZones(network_, drawing_.areas);
    Tell();
    return std::move(summary_);
  }

 private:
  enum class Among { kSameStreet, kBranches, kAll };

  // Mains that hang on the rest by one end. Where everything does, nothing tells a branch from a trunk.
  void FindBranches() {
    const Adjacency adjacency(network_, ShutLinks::kKept);
    std::vector<char> keep;
    for (const Node& node : network_.nodes) keep.push_back(IsFeeder(node) ? 1 : 0);
    is_branch_.assign(network_.links.size(), 0);
    for (const auto& parent : ForestOf(adjacency, keep).parent) {
      if (parent) is_branch_[At(*parent)] = 1;
    }
    if (std::count(is_branch_.begin(), is_branch_.end(), 0) == 0) is_branch_.assign(is_branch_.size(), 0);
  }

  // Links within `rings` of one, ring by ring, itself left out.
  std::vector<std::vector<size_t>> Rings(size_t start) {
    ++visit_;
    ring_of_[start] = visit_;
    std::vector<std::vector<size_t>> rings;
    std::vector<size_t> last{start};
    for (int ring = 0; ring < options_.rings && !last.empty(); ++ring) {
      std::vector<size_t> next;
      for (const size_t link : last) {
        for (const NodeIndex node : {network_.links[link].from, network_.links[link].to}) {
          for (const size_t other : links_at_[At(node)]) {
            if (ring_of_[other] == visit_) continue;
            ring_of_[other] = visit_;
            next.push_back(other);
          }
        }
      }
      rings.push_back(next);
      last = std::move(next);
    }
    return rings;
  }

  bool IsAmong(size_t other, size_t link, Among among) const {
    if (among == Among::kSameStreet) return !streets_[link].empty() && streets_[other] == streets_[link];
    return among == Among::kAll || is_branch_[other] != 0;
  }

  // What most length of the nearest neighbours has, looked for in turn among those that tell most.
  // `known(link)` gives a neighbour's value or none.
  template <typename Value>
  std::optional<Found<Value>> OfNeighbours(size_t link, const std::vector<Among>& in_turn,
                                           const std::function<std::optional<Value>(size_t)>& known) {
    const std::vector<std::vector<size_t>> rings = Rings(link);
    for (const Among among : in_turn) {
      for (const std::vector<size_t>& ring : rings) {
        Tally<Value> tally;
        for (const size_t other : ring) {
          if (!IsAmong(other, link, among)) continue;
          if (const auto value = known(other)) {
            tally.Add(*value, network_.links[other].length_m.value, network_.links[other].id);
          }
        }
        if (tally.empty()) continue;
        const Value value = tally.Commonest();
        return Found<Value>{value, "as " + tally.NamesOf(value) + kHowAlike[static_cast<size_t>(among)]};
      }
    }
    return {};
  }

  void Diameters() {
    const std::vector<Link> drawn = network_.links;  // what is filled in must not count as known
    Tally<double> all, branches;
    const auto known = [&](size_t i) -> std::optional<double> {
      if (!IsMain(drawn[i]) || !drawn[i].inner_diameter_m) return {};
      return drawn[i].inner_diameter_m->value;
    };
    for (size_t i = 0; i < drawn.size(); ++i) {
      const auto value = known(i);
      if (value) all.Add(*value, drawn[i].length_m.value, drawn[i].id);
      if (value && is_branch_[i] != 0) branches.Add(*value, drawn[i].length_m.value, drawn[i].id);
    }
    for (size_t i = 0; i < drawn.size(); ++i) {
      if (!IsMain(drawn[i])) continue;
      Count(summary_.diameter, drawn[i], !drawn[i].inner_diameter_m);
      if (drawn[i].inner_diameter_m) continue;
      // A branch to an end is rarely as wide as the main it leaves.
      std::optional<Found<double>> found;
      if (is_branch_[i] != 0) {
        found = OfNeighbours<double>(i, {Among::kSameStreet, Among::kBranches}, known);
        if (!found && !branches.empty()) found = {branches.Commonest(), "the commonest of branches to ends"};
      }
      if (!found) found = OfNeighbours<double>(i, {Among::kSameStreet, Among::kAll}, known);
      if (!found && !all.empty()) found = {all.Commonest(), "the commonest of the network"};
      if (!found) found = {options_.default_diameter_m, "no main of the network has one"};
      network_.links[i].inner_diameter_m =
          Sourced<double>{found->value, {OriginKind::kAssumed, kRule, {}, found->note}};
    }
  }

  void Materials() {
    const std::vector<Link> drawn = network_.links;
    const auto known = [&](size_t i) -> std::optional<std::string> {
      if (!IsMain(drawn[i]) || IsNoMaterial(drawn[i].material)) return {};
      return drawn[i].material;
    };
    Tally<std::string> all;
    for (size_t i = 0; i < drawn.size(); ++i) {
      if (const auto value = known(i)) all.Add(*value, drawn[i].length_m.value, drawn[i].id);
    }
    for (size_t i = 0; i < drawn.size(); ++i) {
      if (!IsMain(drawn[i])) continue;
      const bool blank = IsNoMaterial(drawn[i].material);
      Count(summary_.material, drawn[i], blank);
      if (!blank) continue;
      std::optional<Found<std::string>> found;
      if (drawn[i].year_laid) {
        found = OfNeighbours<std::string>(
            i, {Among::kSameStreet, Among::kAll}, [&](size_t other) -> std::optional<std::string> {
              const auto year = drawn[other].year_laid;
              if (!year || std::abs(*year - *drawn[i].year_laid) > options_.similar_years) return {};
              return known(other);
            });
      }
      if (!found) found = OfNeighbours<std::string>(i, {Among::kSameStreet, Among::kAll}, known);
      if (!found && !all.empty()) found = {all.Commonest(), ""};
      if (!found) continue;
      network_.links[i].material = found->value;
      network_.links[i].material_assumed = true;
    }
  }

  void RoughnessOfAll() {
    for (Link& link : network_.links) {
      if (!IsMain(link)) continue;
      Count(summary_.roughness, link, !link.roughness);
      if (link.roughness) continue;
      const Roughness found = RoughnessOf(link);
      link.roughness =
          Sourced<double>{found.value, {OriginKind::kAssumed, "material and age", {}, found.source}};
    }
  }

  Roughness RoughnessOf(const Link& link) const {
    const PipeMaterial material = ReadMaterial(link.material);
    if (network_.options.head_loss == HeadLoss::kDarcyWeisbach) return RoughnessHeight_m(material);
    std::optional<double> age_years;
    if (options_.reference_year && link.year_laid) {
      age_years = std::max(0, *options_.reference_year - *link.year_laid);
    }
    if (options_.growth_m_per_year && age_years && IsUnlinedMetal(material) && link.inner_diameter_m) {
      const double c = CByGrowth(link.inner_diameter_m->value, *options_.growth_m_per_year, *age_years);
      // A main grown shut would give nonsense; the table of cast iron ends at 40.
      return {std::max(40.0, c), "growth of roughness by age, Sharp & Walski 1988"};
    }
    return HazenWilliamsC(material, age_years);
  }

  Status Elevations() {
    const Result<Ground> ground = Ground::Of(drawing_.elevations);
    if (!ground.ok()) return ground.error();
    for (Node& node : network_.nodes) {
      if (node.elevation_m) continue;
      const auto height = node.at ? ground->At(*node.at) : std::nullopt;
      if (height) {
        node.elevation_m =
            Sourced<double>{height->metres, {OriginKind::kEstimated, "ground", {}, height->grid}};
      }
      ++(height ? summary_.elevations_filled : summary_.elevations_missing);
    }
    return Ok();
  }

  static void Count(FilledShare& share, const Link& link, bool filled) {
    ++share.links;
    share.length_m += link.length_m.value;
    if (!filled) return;
    ++share.filled_links;
    share.filled_m += link.length_m.value;
  }

  void Tell() {
    const auto tell = [&](const char* what, const FilledShare& share) {
      if (share.filled_links == 0) return;
      summary_.notes.push_back(std::string(what) + ": " + Kilometres(share.filled_m) + " of " +
                               Kilometres(share.length_m) + " of main filled in");
    };
    tell("diameter", summary_.diameter);
    tell("material", summary_.material);
    tell("roughness", summary_.roughness);
    if (summary_.elevations_missing > 0) {
      summary_.notes.push_back("elevation: " + std::to_string(summary_.elevations_missing) + " of " +
                               std::to_string(network_.nodes.size()) + " nodes have none");
    }
  }

  Network& network_;
  const Drawing& drawing_;
  const FillOptions& options_;
  std::vector<std::vector<size_t>> links_at_;
  std::vector<std::string> streets_;  // of each link, in one spelling
  std::vector<char> is_branch_;       // size links
  std::vector<int> ring_of_;          // the visit that last met each link
  int visit_ = 0;
  FillSummary summary_;
};

}  // namespace

Result<FillSummary> FillIn(Network& network, const Drawing& drawing, const FillOptions& options) {
  return Filler(network, drawing, options).Fill();
}

}  // namespace lastreach
