#include "app/findings.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <utility>

#include "app/reach_from_map.h"

namespace lastreach {
namespace {

constexpr double kOddVolumeShare = 0.3;

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

class RecordFaults {
 public:
  explicit RecordFaults(const Project& project) : project_(project) {}

  Result<std::vector<Finding>> Find() {
    auto facts = FactsOf(project_);
    if (!facts.ok()) return facts.error();
    facts_ = *std::move(facts);
    Descriptions();
    Devices();
    Map();
    if (const Status limits = Limits(); !limits.ok()) return limits.error();
    if (const Status rows = RowsNotTaken(); !rows.ok()) return rows.error();
    return std::move(found_);
  }

 private:
  // One finding for the devices of the list; none if it is empty.
  void Add(const std::string& kind, double how_wrong, std::vector<std::string> points,
           const std::string& effect, const std::string& mend) {
    if (points.empty()) return;
    Finding finding;
    finding.kind = kind;
    finding.severity = how_wrong * static_cast<double>(points.size()) /
                       static_cast<double>(std::max<size_t>(1, facts_.devices.size()));
    finding.severity = std::min(1.0, finding.severity);
    finding.effect = effect;
    finding.mend = mend;
    for (size_t i = 0; i < std::min<size_t>(points.size(), 6); ++i) {
      finding.where += (i > 0 ? ", " : "") + points[i];
    }
    if (points.size() > 6) finding.where += " and " + std::to_string(points.size() - 6) + " more";
    for (const DeviceFacts& device : facts_.devices) {
      if (!finding.at && device.point.code.text() == points.front()) finding.at = device.point.position;
    }
    finding.points = std::move(points);
    found_.push_back(std::move(finding));
  }

  template <typename Is>
  std::vector<std::string> DevicesWhere(Is&& is) const {
    std::vector<std::string> codes;
    for (const DeviceFacts& device : facts_.devices) {
      if (is(device)) codes.push_back(device.point.code.text());
    }
    return codes;
  }

  void Descriptions() {
    for (const Undescribed& undescribed : facts_.undescribed) {
      const bool timer = undescribed.what == Undescribed::What::kTimer;
      Add(timer ? "timer not described" : "zone not described", timer ? 0.3 : 0.8, undescribed.devices,
          (timer ? "the timer '" : "the zone '") + undescribed.name + "' is not described: " +
              (timer ? "settings are planned so that any timer could be keyed so"
                     : "nothing is known of its water, so nothing can be predicted"),
          timer ? "fill in the timer's form and import it as controllers"
                : "import a sheet of zones with it");
    }
  }

  void Devices() {
    Add("no timer", 0.3, DevicesWhere([](const auto& d) { return d.point.controller.empty(); }),
        "no timer is named: settings are planned so that any timer could be keyed so",
        "write down what stands on the box and describe it");
    Add("no zone", 0.8, DevicesWhere([](const auto& d) { return d.point.supply_zone.empty(); }),
        "no zone is named: nothing is known of the water that comes", "name the supply zone");
    Add("no upstream residual", 1, DevicesWhere([](const auto& d) {
          return !d.supply.name.empty() && !d.supply.upstream_residual && !d.reach.upstream_residual;
        }),
        "the residual in the main upstream is not known: nothing can be planned or predicted",
        "take a reading there and put it into the zone");
    Add("no flow", 1, DevicesWhere([](const auto& d) { return !d.point.flow; }),
        "the flow while open is not known: nothing can be planned", "time a bucket or a drum");
    Add("no reach", 1, DevicesWhere([](const auto& d) { return d.reach.pipes.empty(); }),
        "the reach behind it is not known: nothing can be planned",
        "type its length, width and services, or give the device a position at its end of the map");
    Add("no position", 0.1, DevicesWhere([](const auto& d) { return !d.point.position; }),
        "no position: it is on no map, no route and no end", "note where it stands at the next visit");
    Add("no settings", 0.2, DevicesWhere([](const auto& d) { return !d.present; }),
        "what is keyed now is not known: nothing can be said of its water until it is looked at",
        "read the timer at the next visit and record it as found");
  }

  void Map() {
    std::vector<std::string> far;
    for (const OnMap& on_map : facts_.on_map) {
      if (on_map.place.empty()) far.push_back(on_map.point.text());
    }
    Add("far from any end", 0.3, far,
        "stands more than " + Number("%.0f", kAtAnEnd_m) + " m from every dead end of the map",
        "see whether its position is right, or the main it stands on is missing or goes on");
    for (const DeviceFacts& device : facts_.devices) {
      const auto on_map = std::find_if(facts_.on_map.begin(), facts_.on_map.end(), [&](const OnMap& m) {
        return m.point == device.point.code && !m.used;
      });
      if (on_map != facts_.on_map.end()) CompareReaches(device, *on_map);
    }
  }

  void CompareReaches(const DeviceFacts& device, const OnMap& on_map) {
    const auto typed_m3 = VolumeOf_m3(device.reach.pipes);
    const auto traced_m3 = VolumeOf_m3(on_map.traced);
    if (!typed_m3 || !traced_m3 || !(*traced_m3 > 0)) return;
    const double differs = std::abs(*typed_m3 - *traced_m3) / *traced_m3;
    if (differs <= kOddVolumeShare) return;
    Add("reach unlike the map's", std::min(1.0, differs), {device.point.code.text()},
        "the typed reach holds " + Number("%.1f m3", *typed_m3) + ", that of " + on_map.place +
            " on the map " + Number("%.1f m3", *traced_m3) +
            ": the run to refresh it is as wrong as the wrong one",
        "measure it on the ground; then mend the sheet or the map");
  }

  Status Limits() {
    const auto limits = project_.Limits();
    if (!limits.ok()) return limits.error();
    for (const Limit& limit : *limits) {
      if (!limit.source.empty()) continue;
      Finding finding;
      finding.kind = "limit without source";
      finding.severity = 0.02;
      finding.effect = "the limit '" + Describe(limit.rule) +
                       "' says not where it comes from: nobody can tell "
                       "whether it still holds";
      finding.mend = "fill in its source";
      finding.where = limit.subject.empty() ? std::string(ToText(limit.scope)) : limit.subject;
      found_.push_back(finding);
    }
    return Ok();
  }

  Status RowsNotTaken() {
    const auto imports = project_.Imports();
    if (!imports.ok()) return imports.error();
    std::map<std::pair<std::string, std::string>, ImportEntry> latest;
    for (const ImportEntry& entry : *imports) {
      auto& kept = latest[{entry.file, entry.kind}];
      if (kept.file.empty() || kept.when <= entry.when) kept = entry;
    }
    for (const auto& [key, entry] : latest) {
      if (entry.rows_rejected == 0) continue;
      const auto rows = project_.RejectedRows(entry.id);
      if (!rows.ok()) return rows.error();
      Finding finding;
      finding.kind = "rows not taken";
      finding.severity = 0.5 * entry.rows_rejected / std::max(1, entry.rows_in + entry.rows_rejected);
      finding.effect = std::to_string(entry.rows_rejected) +
                       (entry.rows_rejected == 1 ? " row of " : " rows of ") + entry.file + " (" +
                       entry.kind + ") did not come in" + (rows->empty() ? "" : ": " + rows->front().reason);
      finding.mend = "mend them in the sheet and import it again";
      finding.where = entry.file + (rows->empty() ? "" : ", line " + std::to_string(rows->front().line));
      found_.push_back(finding);
    }
    return Ok();
  }

  const Project& project_;
  ProjectFacts facts_;
  std::vector<Finding> found_;
};

}  // namespace

Finding FindingOf(const Fault& fault) {
  return {std::string(ToText(fault.kind)),
          fault.severity,
          fault.effect,
          fault.mend,
          fault.at,
          fault.where,
          fault.features,
          {}};
}

Result<std::vector<Finding>> FindRecordFaults(const Project& project) { return RecordFaults(project).Find(); }

}  // namespace lastreach
