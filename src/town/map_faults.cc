#include "town/map_faults.h"

#include <algorithm>
#include <array>
#include <cstdio>

#include "town/seeded.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

using Line = std::vector<TownPoint>;
constexpr double kSamePoint_m = 1e-4;
constexpr const char* kLayer = "mains";

bool Touches(const MapLine& line, TownPoint point) {
  return Distance_m(point, line.parts.front()) < kSamePoint_m;
}

bool EndsAt(const MapLine& line, TownPoint point) {
  const Line& drawn = line.parts.front();
  return Distance_m(point, drawn.front()) < kSamePoint_m || Distance_m(point, drawn.back()) < kSamePoint_m;
}

bool IsStraightAt(const Line& line, TownPoint point) {
  for (size_t i = 1; i + 1 < line.size(); ++i) {
    if (Distance_m(line[i], point) > kSamePoint_m) continue;
    return Distance_m(line[i], {line[i - 1], line[i + 1]}) < 1e-9;
  }
  return false;
}

// The line that runs on through `point` where only `ending` ends; none if others end there too.
const MapLine* HostOf(const std::vector<MapLine>& lines, const MapLine& ending, TownPoint point) {
  const MapLine* host = nullptr;
  for (const MapLine& line : lines) {
    if (&line == &ending || !Touches(line, point)) continue;
    if (host != nullptr || EndsAt(line, point)) return nullptr;
    host = &line;
  }
  return host;
}

// Takes `by_m` off the end, or adds it where negative.
void Shorten(Line& line, bool at_front, double by_m) {
  TownPoint& end = at_front ? line.front() : line.back();
  const TownPoint before = at_front ? line[1] : line[line.size() - 2];
  const double last_m = Distance_m(before, end);
  end = end + by_m / last_m * (before - end);
}

}  // namespace

std::string MainId(int number) {
  std::array<char, 16> text{};
  std::snprintf(text.data(), text.size(), "W-%04d", number);
  return text.data();
}

std::vector<size_t> PlainCrossings(const TrueNetwork& network) {
  constexpr size_t kWanted = 4;
  constexpr double kApart_m = 250;
  std::vector<size_t> crossings;
  for (size_t i = 0; i < network.nodes.size() && crossings.size() < kWanted; ++i) {
    const TownPoint at = network.nodes[i].at;
    if (network.nodes[i].pipes != 4) continue;
    const auto straight = std::count_if(StreetPlan().begin(), StreetPlan().end(),
                                        [&](const PlannedStreet& s) { return IsStraightAt(s.line, at); });
    const bool apart = std::all_of(crossings.begin(), crossings.end(), [&](size_t other) {
      return Distance_m(network.nodes[other].at, at) > kApart_m;
    });
    if (straight == 2 && apart) crossings.push_back(i);
  }
  return crossings;
}

void HidePlainCrossings(const TrueNetwork& network, const std::vector<size_t>& crossings,
                        MainsAsDrawn& drawn) {
  for (const size_t node : crossings) {
    const TownPoint at = network.nodes[node].at;
    std::string ids;
    for (MapLine& line : drawn.lines) {
      if (!Touches(line, at)) continue;
      std::erase_if(line.parts.front(), [&](TownPoint p) { return Distance_m(p, at) < kSamePoint_m; });
      ids = ids.empty() ? line.id : ids + " and " + line.id;
    }
    drawn.faults.push_back({"crossing joined without a vertex", kLayer, ids.substr(0, ids.find(' ')), at, 0,
                            ids + " are joined in the ground"});
  }
}

void ListBridges(MainsAsDrawn& drawn) {
  for (const MapLine& under : drawn.lines) {
    if (under.street != "Plant main") continue;
    for (const MapLine& over : drawn.lines) {
      const Line &a = under.parts.front(), &b = over.parts.front();
      for (size_t i = 1; i < a.size() && &over != &under; ++i) {
        for (size_t j = 1; j < b.size(); ++j) {
          const auto at = Crossing(a[i - 1], a[i], b[j - 1], b[j]);
          const bool joint = at && std::any_of(a.begin(), a.end(), [&](TownPoint p) {
                               return Distance_m(p, *at) < kSamePoint_m;
                             });
          if (at && !joint) {
            drawn.faults.push_back({"crossing that is a bridge", kLayer, under.id, *at, 0,
                                    "the plant's main passes under " + over.id + "; not joined"});
          }
        }
      }
    }
  }
}

void MoveEnds(MainsAsDrawn& drawn) {
  Seeded seeded(20260513);
  const std::vector<MapLine> true_lines = drawn.lines;
  for (size_t i = 0; i < drawn.lines.size(); ++i) {
    MapLine& line = drawn.lines[i];
    Line& moved = line.parts.front();
    for (const bool at_front : {true, false}) {
      const TownPoint end = at_front ? moved.front() : moved.back();
      const MapLine* host = HostOf(true_lines, true_lines[i], end);
      const double pick = seeded.Unit(), share = seeded.Unit();
      const double last_m =
          at_front ? Distance_m(moved[0], moved[1]) : Distance_m(end, moved[moved.size() - 2]);
      if (host == nullptr || last_m < 12 || line.street == "Plant main") continue;
      // The host's own ends may move too: keep clear of them.
      const Line& on = host->parts.front();
      if (Distance_m(end, on.front()) < 10 || Distance_m(end, on.back()) < 10) continue;
      const bool island = line.street == "Larkspur Drive" && Distance_m(end, {4115, 4200}) < 1;
      if (island) {
        Shorten(moved, at_front, 3);
        drawn.faults.push_back({"island behind a gap", kLayer, line.id,
                                at_front ? moved.front() : moved.back(), 3,
                                "all of Larkspur hangs on this one pipe"});
      } else if (pick < 0.07) {
        Shorten(moved, at_front, 0.05 + 1.95 * share * share);
        const TownPoint now = at_front ? moved.front() : moved.back();
        drawn.faults.push_back(
            {"end falls short", kLayer, line.id, now, Distance_m(now, on), "of " + host->id});
      } else if (pick < 0.12) {
        Shorten(moved, at_front, -0.1 - 1.1 * share);
        const TownPoint now = at_front ? moved.front() : moved.back();
        drawn.faults.push_back(
            {"end runs past", kLayer, line.id, now, Distance_m(now, on), "of " + host->id});
      }
    }
  }
}

}  // namespace lastreach
