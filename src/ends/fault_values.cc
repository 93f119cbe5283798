#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "ends/fault_finder.h"

namespace lastreach {
namespace {

bool IsGuessed(const Link& link) {
  if (link.kind != LinkKind::kPipe && link.kind != LinkKind::kCheck) return false;
  return !link.inner_diameter_m || (link.inner_diameter_m->origin.kind == OriginKind::kAssumed &&
                                    !link.inner_diameter_m->origin.by.empty());
}

std::string Millimetres(double width_m) {
  char text[48];
  std::snprintf(text, sizeof text, "%.0f mm (%.1f in)", 1000 * width_m, width_m / kMetresPerInch);
  return text;
}

}  // namespace

void FaultFinder::FindUnknownWidths() {
  // Where hardly any main has a width there is one thing to mend, not hundreds.
  constexpr double kHardlyAny = 0.1;
  double all_m = 0;
  double known_m = 0;
  for (const Link& link : network_.links) {
    if (link.kind != LinkKind::kPipe) continue;
    all_m += link.length_m.value;
    if (!IsGuessed(link)) known_m += link.length_m.value;
  }
  if (all_m > 0 && known_m < kHardlyAny * all_m) {
    Add(FaultKind::kUnknownWidth, all_, 0.5,
        "nobody knows the width of " + Metres(all_m - known_m) + " of " + Metres(all_m) +
            " of main: volumes and days stand on a guess",
        "import the mains with their widths, or say which column holds them (--columns)");
    return;
  }
  std::vector<char> told(network_.links.size(), 0);
  for (const QuietPlace& place : records_.quiet_places) {
    double guessed_m = 0;
    std::vector<LinkIndex> links;
    for (const ReachPiece& piece : place.reach) {
      if (!IsGuessed(network_[piece.link]) || told[At(piece.link)] != 0) continue;
      told[At(piece.link)] = 1;
      guessed_m += std::abs(piece.to_m - piece.from_m);
      links.push_back(piece.link);
    }
    if (!(guessed_m > 0) || place.kind == QuietKind::kHydrantLead) continue;
    // One size up or down (150 to 200 mm) changes the volume by nearly four fifths.
    Fault& fault =
        Add(FaultKind::kUnknownWidth, Weight(place.services + place.services_beyond, place.length_m),
            0.5 * guessed_m / std::max(place.length_m, guessed_m),
            "nobody knows the width of " + Metres(guessed_m) + " on the way to " + place.id +
                ": its volume and days may be out by four fifths for one size of pipe",
            "look it up or measure it, and put it into the layer");
    for (const LinkIndex link : links) PutAt(fault, link);
  }
}

void FaultFinder::FindOddWidths() {
  for (size_t i = 0; i < network_.links.size(); ++i) {
    const auto& width = network_.links[i].inner_diameter_m;
    if (!width || (width->value >= options_.least_width_m && width->value <= options_.greatest_width_m))
      continue;
    const double in_other_unit_m =
        width->value > options_.greatest_width_m ? width->value / 25.4 : width->value * 25.4;
    Fault& fault = Add(FaultKind::kOddWidth, Weight(services_[i], network_.links[i].length_m.value), 1,
                       "a width of " + Millimetres(width->value) +
                           " is no main's: its volume and all flows near it come out wrong",
                       "look it up; in the other unit it would be " + Millimetres(in_other_unit_m));
    PutAt(fault, LinkIndex(i));
  }
}

void FaultFinder::FindOddLengths() {
  struct Odd {
    const DrawnMain* main;
    double drawn_m;
    double written_m;
  };
  std::vector<Odd> odd;
  size_t written = 0;
  double ratios = 0;
  for (const DrawnMain& main : records_.drawing.mains) {
    if (!main.written_length || main.line.empty()) continue;
    ++written;
    const Plane plane(main.line.front());
    double drawn_m = 0;
    for (size_t k = 1; k < main.line.size(); ++k) {
      drawn_m += Distance_m(plane.To(main.line[k - 1]), plane.To(main.line[k]));
    }
    const double written_m = main.written_length->metres();
    if (std::abs(written_m - drawn_m) <= options_.odd_length_share * drawn_m + options_.odd_length_m)
      continue;
    odd.push_back({&main, drawn_m, written_m});
    ratios += std::log(std::max(written_m, 0.01) / drawn_m);
  }
  if (odd.empty()) return;
  double length_m = 0;
  for (const Odd& o : odd) length_m += o.drawn_m;
  if (2 * odd.size() > written && odd.size() > 2) {
    char text[160];
    std::snprintf(text, sizeof text, "written lengths are %.3g times the drawn ones on %zu of %zu mains",
                  std::exp(ratios / static_cast<double>(odd.size())), odd.size(), written);
    Fault& fault = Add(FaultKind::kOddLength, Weight(0, length_m), 0.2,
                       std::string(text) + ": one of the two is in another unit",
                       "give the unit of the length column, or of the layer's coordinates, at import");
    fault.at = odd.front().main->line.front();
    fault.where = odd.front().main->key.layer;
    return;
  }
  for (const Odd& o : odd) {
    Fault& fault = Add(FaultKind::kOddLength, Weight(0, o.drawn_m), 0.3,
                       "written as " + Metres(o.written_m) + " but drawn " + Metres(o.drawn_m) + " long",
                       "see whether part of the line is missing or it was copied from another");
    fault.at = o.main->line[o.main->line.size() / 2];
    fault.where = o.main->street.empty() ? o.main->key.layer + " " + o.main->key.key : o.main->street;
    fault.features = {o.main->key};
  }
}

void FaultFinder::FindOddElevations() {
  std::vector<double> known;
  size_t missing = 0;
  std::optional<size_t> first_missing;
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    if (network_.nodes[i].elevation_m) {
      known.push_back(network_.nodes[i].elevation_m->value);
    } else {
      ++missing;
      if (!first_missing) first_missing = i;
    }
  }
  if (missing > 0) {
    const double share = static_cast<double>(missing) / static_cast<double>(network_.nodes.size());
    Fault& fault = Add(FaultKind::kNoElevation, all_, 0.1 * share,
                       (known.empty() ? "no node"
                                      : Counted(static_cast<int>(missing), "node") + " of " +
                                            std::to_string(network_.nodes.size())) +
                           std::string(known.empty() ? " has an elevation" : " without an elevation") +
                           ": pressure there cannot be told",
                       "import an elevation raster that covers the mains");
    fault.at = network_.nodes[*first_missing].at;
    fault.where = "node " + network_.nodes[*first_missing].id;
  }
  if (known.size() < 3) return;
  std::sort(known.begin(), known.end());
  const size_t in_hundred = known.size() / 100;
  const double low_m = known[in_hundred] - options_.odd_elevation_m;
  const double high_m = known[known.size() - 1 - in_hundred] + options_.odd_elevation_m;
  // With few nodes the odd one is among the middle 98 %: hold each against the median too.
  const double median_m = known[known.size() / 2];
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    const Node& node = network_.nodes[i];
    if (!node.elevation_m) continue;
    const double z_m = node.elevation_m->value;
    const bool is_odd_of_few = in_hundred == 0 && std::abs(z_m - median_m) > 2 * options_.odd_elevation_m;
    if (z_m >= low_m && z_m <= high_m && !is_odd_of_few) continue;
    char text[96];
    std::snprintf(text, sizeof text, "an elevation of %.0f m where others lie near %.0f m", z_m, median_m);
    Fault& fault = Add(FaultKind::kOddElevation, Weight(feed_.services[i], 0) + 1, 0.3,
                       std::string(text) + ": pressure there comes out wrong",
                       "look it up, or take it out to have it read from the raster");
    fault.at = node.at;
    fault.where = "node " + node.id;
  }
}

}  // namespace lastreach
