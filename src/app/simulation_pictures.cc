#include "app/simulation_pictures.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "app/files.h"
#include "app/us_zone.h"
#include "map/plane.h"
#include "report/ends_chart.h"
#include "report/network_map.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr size_t kNamedEnds = 8;
constexpr size_t kCharted = 6;

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// Where nodes and links lie on a plane.
class Ground {
 public:
  explicit Ground(const Network& network) : network_(network), plane_(Plane::Around(PositionsOf(network))) {}

  std::optional<MapPlace> Of(const Node& node) const {
    if (node.at) return Of(*node.at);
    if (node.xy_m) return MapPlace{node.xy_m->first, node.xy_m->second};
    return {};
  }
  MapPlace Of(Position at) const {
    const PlanePoint point = plane_.To(at);
    return {point.x_m, point.y_m};
  }
  std::vector<MapPlace> Of(const Link& link) const {
    std::vector<MapPlace> line;
    for (const Position at : link.line) line.push_back(Of(at));
    if (line.size() >= 2) return line;
    line.clear();
    const auto from = Of(network_[link.from]);
    const auto to = Of(network_[link.to]);
    if (from && to) line = {*from, *to};
    return line;
  }

 private:
  static std::vector<Position> PositionsOf(const Network& network) {
    std::vector<Position> positions;
    for (const Node& node : network.nodes) {
      if (node.at) positions.push_back(*node.at);
    }
    return positions;
  }

  const Network& network_;
  Plane plane_;
};

// One map to be.
struct Picture {
  MapValue value = MapValue::kAge;
  std::string file;
  std::string title;
  std::string words;
  std::vector<double> of_node;
  bool low_is_worse = false;
};

class Painter {
 public:
  Painter(const SimulationTold& told, Instant now) : told_(told), ground_(told.network) {
    if (told.project != nullptr) {
      options_.units = IsUsZone(told.project->zone.name()) ? SheetUnits::kUs : SheetUnits::kMetric;
      options_.printed_on = Date{std::chrono::floor<std::chrono::days>(told.project->zone.ToLocal(now))};
    } else {
      options_.units = SheetUnits::kMetric;
      options_.printed_on = DateOf(now);
    }
    options_.paper = options_.units == SheetUnits::kUs ? Paper::kLetter : Paper::kA4;
  }

  Status Map(const Picture& picture, const std::string& folder) const {
    NetworkMap map;
    map.title = picture.title;
    map.period = Period();
    map.words = picture.words;
    map.scale = ScaleOf(picture);
    map.notes = Notes();
    Pipes(picture, map);
    if (told_.project != nullptr) Marks(picture, map);
    Feeders(map);
    return WriteNetworkMap(map, options_, folder + "/" + picture.file);
  }

  Status SixEnds(const std::string& folder) const {
    const ProjectSimulation& project = *told_.project;
    EndsChart chart;
    chart.title = "The residual at six ends";
    chart.period = Period();
    chart.begin = project.begins;
    chart.zone = project.zone;
    chart.foot =
        "The six ends that come lowest against the target of their zone, those with a device first. Computed "
        "from the map, the settings last found or left, and numbers of which many are assumed: the command "
        "lists "
        "them. Readings are ±0.1 mg/L.";
    const std::vector<EndOutcome> outcomes = EndOutcomes(told_);
    for (const size_t i : LowestEnds(outcomes)) chart.ends.push_back(CurveOf(i, outcomes[i]));
    if (chart.ends.empty()) return Ok();
    return WriteEndsChart(chart, options_, folder + "/six-ends");
  }

  SheetUnits units() const { return options_.units; }

  // Where zones are held to different targets one colour for one concentration would mislead.
  Picture Residual() const {
    Picture picture{MapValue::kResidual,
                    "lowest-residual",
                    "How low the residual gets",
                    "The lowest residual of any hour; each pipe has that of its lower end.",
                    told_.answer.chlorine_mg_per_l.worst,
                    true};
    std::vector<double> targets;
    std::string words;
    for (const Link& link : told_.network.links) {
      const std::optional<double> target = TargetOf(link.zone);
      if (!target || std::find(targets.begin(), targets.end(), *target) != targets.end()) continue;
      targets.push_back(*target);
      words += (words.empty() ? "" : ", ") + link.zone + Number(" %.2g mg/L", *target);
    }
    if (targets.size() < 2) return picture;
    picture.value = MapValue::kAgainstTarget;
    picture.words += " Held against the target of its zone: " + words + ".";
    return picture;
  }

 private:
  std::string Period() const {
    if (told_.project == nullptr) return Number("%g", told_.ask.hours) + " h from hour 0";
    const ProjectSimulation& project = *told_.project;
    const Instant last =
        project.begins + std::chrono::seconds(static_cast<int64_t>(told_.ask.hours * kSecondsPerHour) - 1);
    return (project.name.empty() ? "" : project.name + ", ") +
           ShortWeekdayAndDate(project.from, options_.units) + " to " +
           ShortWeekdayAndDate(Date{std::chrono::floor<std::chrono::days>(project.zone.ToLocal(last))},
                               options_.units) +
           " " + std::to_string(static_cast<int>(project.from.year()));
  }

  // The last classes are for the worst few in a hundred: one end that nobody draws from must not take all
  // the colours.
  MapScale ScaleOf(const Picture& picture) const {
    std::vector<double> known;
    for (const double value : picture.of_node) {
      if (std::isfinite(value)) known.push_back(value);
    }
    if (known.empty()) return ScaleFor(picture.value, 0, 1, {}, options_.units);
    std::sort(known.begin(), known.end());
    constexpr double kShown = 0.97;
    const double greatest = picture.value == MapValue::kAge
                                ? known[static_cast<size_t>(kShown * static_cast<double>(known.size() - 1))]
                                : known.back();
    const double least = picture.value == MapValue::kPressure ? known.front() : 0;
    return ScaleFor(picture.value, least, greatest, {}, options_.units);
  }

  void Pipes(const Picture& picture, NetworkMap& map) const {
    bool any_below = false;
    for (const Link& link : told_.network.links) {
      MapPipe pipe;
      pipe.line = ground_.Of(link);
      if (pipe.line.size() < 2) continue;
      const double from = picture.of_node[At(link.from)];
      const double to = picture.of_node[At(link.to)];
      pipe.value = !std::isfinite(from)   ? to
                   : !std::isfinite(to)   ? from
                   : picture.low_is_worse ? std::min(from, to)
                                          : std::max(from, to);
      const std::optional<double> target =
          picture.low_is_worse && picture.value != MapValue::kPressure ? TargetOf(link.zone) : std::nullopt;
      pipe.singled = target && std::isfinite(pipe.value) && pipe.value < *target;
      if (picture.value == MapValue::kAgainstTarget && target) pipe.value /= *target;
      any_below = any_below || pipe.singled;
      map.pipes.push_back(std::move(pipe));
    }
    if (any_below) map.singled_words = "below the target of its zone";
  }

  std::optional<double> TargetOf(const std::string& zone_name) const {
    if (told_.project == nullptr) return {};
    const SupplyZone* zone = FindZone(told_.project->zones, zone_name);
    if (zone == nullptr || !zone->target_residual) return {};
    return zone->target_residual->value.milligrams_per_litre();
  }

  void Marks(const Picture& picture, NetworkMap& map) const {
    const ProjectSimulation& project = *told_.project;
    std::vector<size_t> order(project.ends.size());
    for (size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto value = [&](size_t i) {
      const EndNode& end = project.ends[i];
      const double at = picture.of_node[At(end.device ? end.node : end.last_customer)];
      // Water that only stands is no news: its ends are named last.
      const std::vector<NodeIndex>& stands = told_.answer.warm_up.from_start;
      const bool named_last =
          !end.device && std::binary_search(stands.begin(), stands.end(), end.last_customer);
      if (named_last || !std::isfinite(at)) return std::numeric_limits<double>::infinity();
      return picture.low_is_worse ? at : -at;
    };
    std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) { return value(a) < value(b); });
    size_t named = 0;
    for (const size_t i : order) {
      const EndNode& end = project.ends[i];
      const auto at = ground_.Of(told_.network[end.node]);
      if (!at) continue;
      if (end.device) {
        map.marks.push_back({MapMarkKind::kDevice, *at, project.devices[*end.device].code});
      } else {
        map.marks.push_back({MapMarkKind::kEnd, *at, named++ < kNamedEnds ? end.place.id : ""});
      }
    }
  }

  void Feeders(NetworkMap& map) const {
    for (const Node& node : told_.network.nodes) {
      if (node.kind == NodeKind::kJunction) continue;
      const auto at = ground_.Of(node);
      if (!at) continue;
      // In front: what a map begins with must have its name.
      map.marks.insert(
          map.marks.begin(),
          {node.kind == NodeKind::kSource ? MapMarkKind::kSource : MapMarkKind::kTank, *at, node.id});
    }
  }

  std::vector<std::string> Notes() const {
    std::vector<std::string> notes;
    if (told_.project == nullptr) return {"Computed from plain tables, from water of age 0 at hour 0."};
    const ProjectSimulation& project = *told_.project;
    notes.push_back("Computed, not read; devices run by the settings last found or left.");
    const WarmUp& warm = told_.answer.warm_up;
    if (!warm.settled) {
      notes.push_back("At " + std::to_string(warm.from_start.size()) + " of " +
                      std::to_string(told_.network.nodes.size()) +
                      " nodes the water is older than can be told.");
    }
    std::string assumed;
    for (const NumberUsed& used : project.numbers) {
      if (used.origin.rfind("assumed", 0) != 0) continue;
      assumed += (assumed.empty() ? "Assumed: " : "; ") + used.what + " " + used.value;
    }
    if (!assumed.empty()) notes.push_back(assumed + ".");
    for (const std::string& note : project.notes) notes.push_back(note);
    return notes;
  }

  std::vector<size_t> LowestEnds(const std::vector<EndOutcome>& outcomes) const {
    const ProjectSimulation& project = *told_.project;
    std::vector<size_t> order;
    for (size_t i = 0; i < outcomes.size(); ++i) {
      if (std::isfinite(outcomes[i].chlorine_mg_per_l)) order.push_back(i);
    }
    const auto against_target = [&](size_t i) {
      return outcomes[i].chlorine_mg_per_l / TargetOf(project.ends[i].place.zone).value_or(1);
    };
    std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) {
      const bool device_a = project.ends[a].device.has_value();
      const bool device_b = project.ends[b].device.has_value();
      if (device_a != device_b) return device_a;
      return against_target(a) < against_target(b);
    });
    order.resize(std::min(order.size(), kCharted));
    return order;
  }

  EndCurve CurveOf(size_t i, const EndOutcome& outcome) const {
    const ProjectSimulation& project = *told_.project;
    const EndNode& end = project.ends[i];
    EndCurve curve;
    curve.title = end.place.street.empty() ? end.place.id : end.place.street + ", " + end.place.id;
    curve.hours = told_.answer.times_h;
    curve.mg_per_l = told_.answer.series.back()[i];
    curve.target_mg_per_l = TargetOf(end.place.zone);
    curve.judged_words = Number("%.1f mg/L", outcome.chlorine_mg_per_l);
    if (end.device) {
      curve.title += ", device " + project.devices[*end.device].code;
      curve.runs = project.devices[*end.device].runs;
    }
    if (outcome.at_gap_end) {
      curve.judged_hour = outcome.hour;
      curve.judged_mg_per_l = outcome.chlorine_mg_per_l;
      curve.judged_words += " at the end of " + Number("%.0f h", outcome.gap_h) + " without a run";
    } else {
      curve.judged_words += " at the last customer in the worst hour";
      if (end.device) curve.judged_words += "; the device does not run";
    }
    return curve;
  }

  const SimulationTold& told_;
  Ground ground_;
  SheetOptions options_;
};

std::vector<double> Scaled(std::vector<double> values, double factor) {
  for (double& value : values) value *= factor;
  return values;
}

}  // namespace

SeriesWanted SeriesOfEnds(const ProjectSimulation& project) {
  SeriesWanted wanted{Quantity::kChlorine, {}};
  for (const EndNode& end : project.ends) {
    wanted.nodes.push_back(end.device && !project.devices[*end.device].runs.empty() ? end.node
                                                                                    : end.last_customer);
  }
  return wanted;
}

Status DrawPictures(const SimulationTold& told, const std::string& folder, Instant now) {
  if (Status made = MakeFolder(folder); !made.ok()) return made;
  const Painter painter(told, now);
  Picture pressure{
      MapValue::kPressure,          "lowest-pressure",
      "The lowest pressure",        "The lowest pressure at any moment; each pipe has that of its lower end.",
      told.answer.pressure_m.worst, true};
  for (double& value : pressure.of_node) value = PressureOnMap(value, painter.units());
  if (Status drawn = painter.Map(pressure, folder); !drawn.ok()) return drawn;
  if (told.ask.age) {
    const Status drawn = painter.Map({MapValue::kAge, "oldest-water", "How old the water gets",
                                      "The oldest water of any hour; each pipe has that of its older end.",
                                      Scaled(told.answer.age_s.worst, 1 / kSecondsPerHour), false},
                                     folder);
    if (!drawn.ok()) return drawn;
  }
  if (told.ask.chlorine) {
    const Status drawn = painter.Map(painter.Residual(), folder);
    if (!drawn.ok()) return drawn;
  }
  return told.project != nullptr ? painter.SixEnds(folder) : Ok();
}

}  // namespace lastreach
