#include <array>

#include "town/map_faults.h"
#include "town/seeded.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

using Line = std::vector<TownPoint>;
constexpr const char* kLayer = "mains";

MapLine CopyOf(const MapLine& line, Line drawn) {
  MapLine copy = line;
  copy.parts = {std::move(drawn)};
  return copy;
}

}  // namespace

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
