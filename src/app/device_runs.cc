#include "app/device_runs.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/reach_from_map.h"
#include "plan/measure.h"
#include "together/node_runs.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

constexpr int kDaysBefore = 8;  // a week to warm up in, and the run on the eve of it
constexpr double kHoursPerWeek = 168;

std::vector<QuietPlace> PlacesOf(const std::vector<EndNode>& ends) {
  std::vector<QuietPlace> places;
  for (const EndNode& end : ends) places.push_back(end.place);
  return places;
}

class DevicePutter {
 public:
  DevicePutter(double hours, ProjectSimulation& simulation)
      : hours_(hours), out_(simulation), places_(PlacesOf(simulation.ends)) {}

  void Put(const DeviceFacts& device) {
    const std::string& code = device.point.code.text();
    const auto without = [&](const std::string& why) { out_.notes.push_back("Device " + code + " " + why); };
    if (!device.point.position) return without("has no place on the map: it draws nothing here.");
    const QuietPlace* place = PlaceNear(places_, *device.point.position);
    if (place == nullptr) return without("stands at no end of the map: it draws nothing here.");
    if (!device.point.flow) return without("has no flow given: it draws nothing here.");
    if (!device.present) return without("has no settings found or left: it draws nothing here.");
    EndNode& end = out_.ends[static_cast<size_t>(place - places_.data())];
    const Date first = AddDays(out_.from, -kDaysBefore);
    const int days = static_cast<int>(std::ceil(hours_ / 24)) + 1;
    const CalendarAnswer answer =
        AnswerCalendar({device.form, KeyedLongAgo(*device.present)}, out_.zone,
                       {first, AddDays(out_.from, days)}, device.present_clock_fast_minutes);
    if (!device.present->on) without("is switched off: it makes no runs.");
    if (!answer.phases.empty()) {
      without("runs every few days and nobody wrote which: the days with the longest gap are taken.");
    }
    end.device = out_.devices.size();
    out_.devices.push_back({code, place->id, end.node, answer.runs});
    const auto& flow = *device.point.flow;
    char text[48];
    std::snprintf(text, sizeof text, "%.3g L/s", 1000 * flow.value.cubic_metres_per_second());
    out_.numbers.push_back({"flow of device " + code, text, Describe(flow.origin)});
    const double flow_m3_per_s = flow.value.cubic_metres_per_second();
    const Instant begins = out_.begins;
    const Instant week_begins = begins - std::chrono::seconds(static_cast<int64_t>(kHoursPerWeek * 3600));
    AddRuns(answer.runs, end.node, flow_m3_per_s, begins, hours_, out_.network);
    AddRuns(answer.runs, end.node, flow_m3_per_s, week_begins, kHoursPerWeek, out_.warm_week);
  }

 private:
  double hours_;
  ProjectSimulation& out_;
  std::vector<QuietPlace> places_;
};

}  // namespace

void PutDeviceRuns(const ProjectFacts& facts, double hours, ProjectSimulation& simulation) {
  simulation.warm_week = simulation.network;
  DevicePutter putter(hours, simulation);
  for (const DeviceFacts& device : facts.devices) putter.Put(device);
}

std::vector<Gap> LongestGapsEndingIn(const std::vector<Run>& runs, Instant begins, Instant ends) {
  std::vector<Gap> longest;
  for (size_t i = 1; i < runs.size(); ++i) {
    const Gap gap{runs[i - 1].end(), runs[i].start};
    // At the very first moment nothing has been simulated yet.
    if (Instant(gap.to) <= begins || Instant(gap.to) >= ends || gap.to <= gap.from) continue;
    if (!longest.empty() && gap.to - gap.from < longest.front().to - longest.front().from) continue;
    if (!longest.empty() && gap.to - gap.from > longest.front().to - longest.front().from) longest.clear();
    longest.push_back(gap);
  }
  return longest;
}

}  // namespace lastreach
