#include "town/map_faults.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "town/seeded.h"
#include "town/sheet_text.h"
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

MapLine CopyOf(const MapLine& line, Line drawn) {
  MapLine copy = line;
  copy.parts = {std::move(drawn)};
  return copy;
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

void CutSome(MainsAsDrawn& drawn) {
  constexpr int kGaps = 12;
  Seeded seeded(20260512);
  std::vector<MapLine> pieces;
  int gaps = 0, since = 0;
  bool bits_done = false;
  for (MapLine& line : drawn.lines) {
    const Line whole = line.parts.front();
    const double length_m = LineLength_m(whole);
    // Only lines of one straight stretch are cut, so that no tee is near the cut.
    const bool plain = whole.size() == 2 && length_m > 70 && length_m < 260 && line.street != "Plant main";
    ++since;
    if (plain && gaps < kGaps && since > 30) {
      const double gap_m = 0.1 + 0.14 * gaps, cut_m = length_m / 2;
      pieces.push_back(CopyOf(line, PartOf(whole, 0, cut_m)));
      pieces.push_back(CopyOf(line, PartOf(whole, cut_m + gap_m, length_m)));
      drawn.faults.push_back({"gap between ends", kLayer, MainId(static_cast<int>(pieces.size())),
                              pieces.back().parts.front().front(), gap_m, ""});
      ++gaps;
      since = 0;
    } else if (plain && !bits_done && gaps == 3 && since > 5) {
      double from_m = 0;
      for (int bit = 0; bit < 12; ++bit) {
        const double to_m = from_m + 2 + 3 * seeded.Unit();
        pieces.push_back(CopyOf(line, PartOf(whole, from_m, to_m)));
        from_m = to_m;
      }
      drawn.faults.push_back({"main cut in short bits", kLayer, MainId(static_cast<int>(pieces.size())),
                              pieces.back().parts.front().back(), LineLength_m(pieces.back().parts.front()),
                              "the last of twelve"});
      pieces.push_back(CopyOf(line, PartOf(whole, from_m, length_m)));
      bits_done = true;
    } else {
      pieces.push_back(line);
    }
  }
  drawn.lines = std::move(pieces);
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

void SplitInParts(MainsAsDrawn& drawn) {
  for (MapLine& line : drawn.lines) {
    Line& whole = line.parts.front();
    if (line.street != "Skyline Road" || LineLength_m(whole) < 300) continue;
    const double half_m = LineLength_m(whole) / 2;
    const Line first = PartOf(whole, 0, half_m), second = PartOf(whole, half_m, 2 * half_m);
    line.parts = {first, Line(second.rbegin(), second.rend())};
    drawn.faults.push_back(
        {"second part drawn backwards", kLayer, line.id, first.back(), half_m, "length of the part"});
    return;
  }
}

void AddStrayLines(MainsAsDrawn& drawn) {
  const size_t drawn_once = drawn.lines.size();
  const auto add = [&](const MapLine& like, Line line) -> MapLine& {
    drawn.lines.push_back(CopyOf(like, std::move(line)));
    drawn.lines.back().id = MainId(static_cast<int>(drawn.lines.size()));
    return drawn.lines.back();
  };
  for (int copy = 0; copy < 5; ++copy) {
    const MapLine once = drawn.lines[drawn_once / 6 * static_cast<size_t>(copy + 1)];
    const Line& line = once.parts.front();
    const MapLine& twice = add(once, copy % 2 == 0 ? line : Line(line.rbegin(), line.rend()));
    drawn.faults.push_back(
        {"doubled line", kLayer, twice.id, line.front(), LineLength_m(line), "of " + once.id});
  }
  for (const size_t like : {drawn_once / 4, drawn_once / 3}) {
    const MapLine once = drawn.lines[like];
    const TownPoint at = once.parts.front().front();
    drawn.faults.push_back({"line without length", kLayer, add(once, {at, at}).id, at, 0, ""});
  }
  MapLine like = drawn.lines.front();
  like.street = "Millrace Road";
  like.status = "abandoned";
  const Line given_up = {{2330, 1194}, {2905, 1194}};
  drawn.faults.push_back({"main given up", kLayer, add(like, given_up).id, given_up.front(),
                          LineLength_m(given_up), "status says so"});
  like.street = "";
  like.status = "active";
  like.contents = "raw water";
  like.diameter = "20";
  const Line river = {{40, 250}, {120, 330}, kPlant};
  drawn.faults.push_back({"main of raw water", kLayer, add(like, river).id, river.front(),
                          LineLength_m(river), "from the river to the plant"});
}

void ForgetSome(MainsAsDrawn& drawn) {
  constexpr std::array<const char*, 4> kUnknown = {"UNK", "0", "-9.99", ""};
  Seeded seeded(20260514);
  size_t forgotten = 0;
  for (MapLine& line : drawn.lines) {
    const TownPoint at = line.parts.front().front();
    const bool no_diameter = seeded.Unit() < 0.1, no_material = seeded.Unit() < 0.06,
               no_date = seeded.Unit() < 0.08;
    const bool with_inch = seeded.Unit() < 0.05;
    if (no_diameter) {
      const std::string was = line.diameter;
      line.diameter = kUnknown[forgotten++ % kUnknown.size()];
      drawn.faults.push_back({"diameter unknown", kLayer, line.id, at, 0, "really " + was + " in"});
    } else if (with_inch) {
      line.diameter += "\"";
    }
    if (no_material) {
      drawn.faults.push_back({"material unknown", kLayer, line.id, at, 0, "really " + line.material});
      line.material = "UNK";
    }
    if (no_date) line.laid_ms.reset();
  }
}

}  // namespace lastreach
