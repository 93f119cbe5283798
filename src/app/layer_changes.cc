#include "app/layer_changes.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace lastreach {
namespace {

// Numbers may lose their last bits in the file.
bool Near(double a, double b) { return std::abs(a - b) <= 1e-9 * std::max(1.0, std::abs(a)); }
bool Same(const Position& a, const Position& b) {
  return std::abs(a.longitude_deg - b.longitude_deg) < 1e-8 &&
         std::abs(a.latitude_deg - b.latitude_deg) < 1e-8;
}
bool Same(const std::vector<Position>& a, const std::vector<Position>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Position& p, const Position& q) { return Same(p, q); });
}
template <typename T, typename Read>
bool SameNumber(const std::optional<T>& a, const std::optional<T>& b, Read read) {
  return a.has_value() == b.has_value() && (!a || Near(read(*a), read(*b)));
}

bool Same(const DrawnMain& a, const DrawnMain& b) {
  return Same(a.line, b.line) && a.material == b.material && a.year_laid == b.year_laid &&
         a.street == b.street && a.zone == b.zone && a.status == b.status && a.level == b.level &&
         SameNumber(a.diameter, b.diameter, [](const auto& d) { return d.value.metres(); }) &&
         SameNumber(a.written_length, b.written_length, [](const Length& l) { return l.metres(); });
}
bool Same(const DrawnThing& a, const DrawnThing& b) {
  return Same(a.at, b.at) && a.kind == b.kind && a.name == b.name && a.zone == b.zone &&
         a.closed == b.closed && SameNumber(a.head_m, b.head_m, [](double m) { return m; });
}
bool Same(const DrawnService& a, const DrawnService& b) {
  return Same(a.at, b.at) && a.street == b.street && a.count == b.count &&
         SameNumber(a.use, b.use, [](const auto& use) { return use.value.cubic_metres_per_day(); });
}
bool Same(const DrawnArea& a, const DrawnArea& b) {
  if (a.name != b.name || a.polygons.size() != b.polygons.size()) return false;
  for (size_t i = 0; i < a.polygons.size(); ++i) {
    if (!std::equal(a.polygons[i].begin(), a.polygons[i].end(), b.polygons[i].begin(), b.polygons[i].end(),
                    [](const auto& ring, const auto& other) { return Same(ring, other); })) {
      return false;
    }
  }
  return true;
}

template <typename Feature, typename Keep>
LayerChanges Compare(const std::vector<Feature>& before, const std::vector<Feature>& now,
                     const std::string& layer, Keep keep) {
  std::map<std::string, const Feature*> old;
  for (const Feature& feature : before) {
    if (feature.key.layer == layer && keep(feature)) old.emplace(feature.key.key, &feature);
  }
  LayerChanges changes;
  changes.before = old.size();
  for (const Feature& feature : now) {
    const auto found = old.find(feature.key.key);
    if (found == old.end()) {
      ++changes.added;
      continue;
    }
    if (!Same(*found->second, feature)) ++changes.changed;
    old.erase(found);
  }
  changes.gone = old.size();
  return changes;
}

}  // namespace

LayerChanges CompareWith(const Drawing& before, const ImportedLayer& now, const std::string& layer,
                         TableKind kind) {
  const auto any = [](const auto&) { return true; };
  switch (kind) {
    case TableKind::kMains:
      return Compare(before.mains, now.mains, layer, any);
    case TableKind::kServicePlaces:
      return Compare(before.services, now.services, layer, any);
    case TableKind::kZoneAreas:
      return Compare(before.areas, now.areas, layer, any);
    default:
      return Compare(before.things, now.things, layer, [kind](const DrawnThing& thing) {
        const std::vector<ThingKind> kinds = ThingsOf(kind);
        return std::find(kinds.begin(), kinds.end(), thing.kind) != kinds.end();
      });
  }
}

}  // namespace lastreach
