#include "together/week_of_plan.h"

#include <algorithm>
#include <cstdio>

namespace lastreach {
namespace {

std::string LevelWords(const std::string& tank, const ConfirmedWeek::LowestLevel& level) {
  char text[160];
  std::snprintf(text, sizeof text, "Through a simulated week tank %s falls to %.1f m at the lowest",
                tank.c_str(), level.level_m);
  std::string words = text;
  if (level.least_m) {
    std::snprintf(text, sizeof text, " (its reserve is %.1f m)", *level.least_m);
    words += text;
  }
  return words + ".";
}

std::string PressureWords(const std::string& place, const ConfirmedWeek::LowestPressure& lowest) {
  char text[160];
  std::snprintf(text, sizeof text,
                "Through a simulated week the pressure nearest to its limit is %.0f m at %s (limit %.0f m).",
                lowest.pressure_m, place.c_str(), lowest.least_m);
  return text;
}

// Of all weeks the lowest each.
void SayLowest(const Network& network, const std::vector<ConfirmedWeek>& weeks, WeekOfPlan& of) {
  const ConfirmedWeek::LowestPressure* lowest = nullptr;
  std::vector<ConfirmedWeek::LowestLevel> levels;
  for (const ConfirmedWeek& week : weeks) {
    const bool is_lower =
        week.lowest && (lowest == nullptr || week.lowest->pressure_m - week.lowest->least_m <
                                                 lowest->pressure_m - lowest->least_m);
    if (is_lower) lowest = &*week.lowest;
    for (const ConfirmedWeek::LowestLevel& level : week.tanks) {
      const auto known = std::find_if(levels.begin(), levels.end(),
                                      [&](const auto& other) { return other.tank == level.tank; });
      if (known == levels.end()) {
        levels.push_back(level);
      } else if (level.level_m < known->level_m) {
        *known = level;
      }
    }
  }
  if (lowest != nullptr) of.words.push_back(PressureWords(network[lowest->node].id, *lowest));
  for (const auto& level : levels) of.words.push_back(LevelWords(network[level.tank].id, level));
}

}  // namespace

Result<WeekOfPlan> WeekOfPlanned(const Network& network, PressureJudge& judge, const JudgedOrder& order,
                                 const std::vector<DeviceFacts>& facts, const std::vector<DevicePlan>& plans,
                                 const std::vector<TankReserve>& reserves, const ConfirmOptions& options) {
  WeekOfPlan of;
  std::vector<TankReserve> known;
  for (const TankReserve& reserve : reserves) {
    const bool is_there = std::any_of(network.nodes.begin(), network.nodes.end(), [&](const Node& node) {
      return node.kind == NodeKind::kTank && node.id == reserve.tank;
    });
    if (is_there) {
      known.push_back(reserve);
    } else {
      of.words.push_back("There is no tank '" + reserve.tank + "' on the map: its reserve is not judged.");
    }
  }
  std::vector<TogetherDevice> devices;
  for (const size_t d : order.devices) devices.push_back(AsPlanned(facts[d], plans[d]));
  const std::vector<std::optional<uint32_t>> way(devices.size(), 0U);
  const auto weeks = ConfirmPressure(network, judge, order.points, devices, way, known, options);
  if (!weeks.ok()) return weeks.error();
  SayLowest(network, *weeks, of);
  for (const ConfirmedWeek& week : *weeks) {
    of.breaks.insert(of.breaks.end(), week.breaks.begin(), week.breaks.end());
    for (const std::string& words : week.words) {
      const std::string sentence =
          words + (week.clocks == "clocks right" ? "." : ", with clocks out: " + week.clocks + ".");
      if (std::find(of.broken.begin(), of.broken.end(), sentence) == of.broken.end())
        of.broken.push_back(sentence);
    }
  }
  return of;
}

}  // namespace lastreach
