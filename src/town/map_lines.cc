#include "town/map_lines.h"

#include <algorithm>

#include "core/civil_time.h"
#include "town/map_faults.h"
#include "town/seeded.h"
#include "town/sheet_text.h"
#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

constexpr int64_t kMsPerDay = 86400000;
constexpr double kLongest_m = 650;

int64_t MidJune_ms(int year) {
  return DayNumber(std::chrono::year(year) / std::chrono::June / 15) * kMsPerDay;
}

// Pipes of one street, `first` up to `last`, drawn as one line.
MapLine LineOf(const TrueNetwork& network, size_t first, size_t last, Seeded& seeded) {
  const TruePipe& pipe = network.pipes[first];
  const PlannedStreet& street = StreetPlan()[pipe.street];
  MapLine line;
  const std::vector<TownPoint> whole = PartOf(street.line, pipe.from_m, network.pipes[last].to_m);
  // Half of the tees are a vertex of the line they are on.
  std::vector<TownPoint> drawn = {whole.front()};
  for (size_t i = first; i <= last; ++i) {
    const std::vector<TownPoint> piece = PartOf(street.line, network.pipes[i].from_m, network.pipes[i].to_m);
    drawn.insert(drawn.end(), piece.begin() + 1, piece.end());
    const bool is_own = std::any_of(street.line.begin(), street.line.end(),
                                    [&](TownPoint p) { return Distance_m(p, piece.back()) < 1e-6; });
    if (i < last && !is_own && seeded.Unit() < 0.5) drawn.pop_back();
  }
  line.parts = {drawn};
  line.street = street.name;
  line.zone = street.zone;
  line.diameter = Digits(pipe.diameter_in, 0);
  line.material = street.material;
  line.status = "active";
  line.contents = "drinking water";
  line.laid_ms = MidJune_ms(street.year_laid);
  return line;
}

bool MustBreak(const TrueNetwork& network, size_t before, size_t next, double so_far_m) {
  const TruePipe &a = network.pipes[before], &b = network.pipes[next];
  if (a.street != b.street || a.diameter_in != b.diameter_in) return true;
  return so_far_m + (b.to_m - b.from_m) > kLongest_m &&
         StreetPlan()[a.street].kind != StreetKind::kTransmission;
}

std::vector<MapLine> DrawLines(const TrueNetwork& network, const std::vector<size_t>& drawn_through) {
  Seeded seeded(20260511);
  std::vector<MapLine> lines;
  for (size_t first = 0; first < network.pipes.size();) {
    size_t last = first;
    for (; last + 1 < network.pipes.size(); ++last) {
      const size_t node = network.pipes[last].to;
      const bool through = std::find(drawn_through.begin(), drawn_through.end(), node) != drawn_through.end();
      const bool stops = seeded.Unit() < 0.3;
      const double so_far_m = network.pipes[last].to_m - network.pipes[first].from_m;
      if (through && network.pipes[last + 1].street == network.pipes[first].street) continue;
      if (stops || MustBreak(network, last, last + 1, so_far_m)) break;
    }
    lines.push_back(LineOf(network, first, last, seeded));
    first = last + 1;
  }
  return lines;
}

}  // namespace

MainsAsDrawn DrawMains() {
  const TrueNetwork& network = TheTrueNetwork();
  const std::vector<size_t> crossings = PlainCrossings(network);
  MainsAsDrawn drawn;
  drawn.lines = DrawLines(network, crossings);
  CutSome(drawn);
  int number = 0;
  for (MapLine& line : drawn.lines) line.id = MainId(++number);
  HidePlainCrossings(network, crossings, drawn);
  ListBridges(drawn);
  MoveEnds(drawn);
  SplitInParts(drawn);
  AddStrayLines(drawn);
  ForgetSome(drawn);
  return drawn;
}

}  // namespace lastreach
