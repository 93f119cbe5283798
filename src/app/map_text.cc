#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/map_report.h"
#include "app/text_table.h"

namespace lastreach {
namespace {

constexpr size_t kShown = 20;
constexpr double kPlainlyABridge = 0.2;

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string Distance(double length_m) {
  if (length_m >= 1000) return Number("%.1f km", length_m / 1000);
  return Number(length_m >= 10 ? "%.0f m" : "%.2f m", length_m);
}

std::string Counted(size_t count, const std::string& what) {
  return std::to_string(count) + " " + what + (count == 1 ? "" : "s");
}

// Three digits, as good as a demand is known, and no power of ten.
std::string ThreeDigits(double value) { return Number(std::abs(value) >= 1000 ? "%.0f" : "%.3g", value); }

std::string FlowWords(double flow_m3_per_s) {
  const Flow flow = Flow::CubicMetresPerSecond(flow_m3_per_s);
  return ThreeDigits(flow.litres_per_second()) + " L/s (" + ThreeDigits(flow.gallons_per_minute()) +
         " gal/min)";
}

std::string PlaceWords(const Position& at) {
  return Number("%.6f", at.longitude_deg) + Number(" %.6f", at.latitude_deg);
}

std::string KeyWords(const FeatureKey& key) { return key.layer + " " + key.key; }

std::string AndMore(size_t shown, size_t of) {
  if (shown >= of) return "";
  return "  and " + std::to_string(of - shown) + " more (--all lists them)\n";
}

size_t ShownOf(size_t count, bool all) { return all ? count : std::min(count, kShown); }

std::string RepairTable(const std::vector<const Repair*>& repairs, bool all) {
  std::vector<std::vector<std::string>> rows = {
      {"id", "kind", "gap", "sure", "longitude latitude", "between", "why"}};
  const size_t shown = ShownOf(repairs.size(), all);
  for (size_t i = 0; i < shown; ++i) {
    const Repair& repair = *repairs[i];
    const std::string said = repair.decision ? std::string(ToText(*repair.decision)) + "; " : "";
    rows.push_back({repair.id, std::string(ToText(repair.kind)), Distance(repair.gap_m),
                    Number("%.0f %%", 100 * repair.confidence), PlaceWords(repair.at),
                    KeyWords(repair.first) + " | " + KeyWords(repair.second), said + repair.why});
  }
  return TextTable(rows) + AndMore(shown, repairs.size());
}

std::string RepairWords(const MapMade& made, const std::string& file, bool all) {
  std::vector<const Repair*> done, offered, bridges;
  for (const Repair& repair : made.repairs) {
    // A crossing that is plainly a bridge asks nobody for anything.
    const bool bridge = !repair.made && repair.kind == RepairKind::kCrossing && !repair.decision &&
                        repair.confidence < kPlainlyABridge;
    (bridge ? bridges : repair.made ? done : offered).push_back(&repair);
  }
  std::stable_sort(done.begin(), done.end(),
                   [](const Repair* a, const Repair* b) { return a->confidence < b->confidence; });
  std::stable_sort(offered.begin(), offered.end(),
                   [](const Repair* a, const Repair* b) { return a->confidence > b->confidence; });
  std::string text;
  if (!offered.empty()) {
    text += "\n" + Counted(offered.size(), "repair") +
            " offered and not made, the likeliest first (lastreach map " + file + " --accept " +
            offered.front()->id + " makes one):\n" + RepairTable(offered, all);
  }
  if (!done.empty()) {
    text += "\n" + Counted(done.size(), "repair") + " made, the least sure first (--refuse " +
            done.front()->id + " undoes one):\n" + RepairTable(done, all);
  }
  if (!bridges.empty()) {
    text +=
        "\n" + Counted(bridges.size(), "crossing") + " taken for a bridge" +
        (all ? ":\n" + RepairTable(bridges, all) : ", each less than 1 in 5 a joint (--all lists them).\n");
  }
  if (made.repairs.empty()) text += "\nNothing had to be repaired.\n";
  return text;
}

std::string SetAsideWords(const MapMade& made, bool all) {
  if (made.set_aside.empty()) return "";
  double length_m = 0;
  for (const SetAside& feature : made.set_aside) length_m += feature.length_m;
  std::string text = "\n" + Counted(made.set_aside.size(), "feature") + " set aside, " + Distance(length_m) +
                     " of them in all:\n";
  std::vector<std::vector<std::string>> rows;
  const size_t shown = ShownOf(made.set_aside.size(), all);
  for (size_t i = 0; i < shown; ++i) {
    const SetAside& feature = made.set_aside[i];
    rows.push_back({KeyWords(feature.key), Distance(feature.length_m), feature.reason});
  }
  return text + TextTable(rows) + AndMore(shown, made.set_aside.size());
}

std::string ThingWords(const MapMade& made, bool all) {
  const PlaceSummary& things = made.things;
  if (things.placed.empty() && things.too_far.empty()) return "";
  std::string text = "\n" + Counted(things.placed.size(), "thing") + " placed on the network:";
  for (size_t kind = 0; kind < things.placed_by_kind.size(); ++kind) {
    const int count = things.placed_by_kind[kind];
    if (count == 0) continue;
    text +=
        " " + Counted(static_cast<size_t>(count), std::string(ToText(static_cast<ThingKind>(kind)))) + ",";
  }
  if (text.back() == ',' || text.back() == ':') text.pop_back();
  if (things.valves_shut > 0) text += "; " + std::to_string(things.valves_shut) + " of the valves shut";
  text += ".\n";
  const auto list = [&](const std::vector<UnplacedThing>& unplaced, const std::string& title) {
    if (unplaced.empty()) return;
    text += Counted(unplaced.size(), "thing") + title + ":\n";
    std::vector<std::vector<std::string>> rows;
    const size_t shown = ShownOf(unplaced.size(), all);
    for (size_t i = 0; i < shown; ++i) {
      const DrawnThing& thing = made.drawn_things[unplaced[i].thing];
      rows.push_back(
          {std::string(ToText(thing.kind)), KeyWords(thing.key), PlaceWords(thing.at), unplaced[i].reason});
    }
    text += TextTable(rows) + AndMore(shown, unplaced.size());
  };
  list(things.too_far, " left out");
  list(things.doubtful, " to look at");
  return text;
}

std::string ServedWords(const ServeSummary& served) {
  if (served.by_length) return "\nCustomers: none is drawn";
  std::string text =
      "\nCustomers: " + Counted(static_cast<size_t>(served.connections), "connection") + " on the mains";
  if (served.by_street > 0) text += ", " + std::to_string(served.by_street) + " by the name of their street";
  if (!served.far.empty()) text += ", " + std::to_string(served.far.size()) + " of them far from it";
  if (!served.unserved.empty()) text += "; " + std::to_string(served.unserved.size()) + " with no main near";
  return text;
}

std::string CustomerWords(const ServeSummary& served) {
  std::string text = ServedWords(served) + ". Demand " +
                     FlowWords(served.metered_m3_per_s + served.unmetered_m3_per_s) + ", of that metered " +
                     FlowWords(served.metered_m3_per_s);
  if (served.losses_m3_per_s > 0) text += "; lost from the mains " + FlowWords(served.losses_m3_per_s);
  text += ".\n";
  for (const std::string& note : served.notes) text += "  " + note + "\n";
  return text;
}

std::string FilledWords(const FillSummary& filled) {
  if (filled.notes.empty()) return "";
  std::string text = "\nFilled in, each number saying so:\n";
  for (const std::string& note : filled.notes) text += "  " + note + "\n";
  return text;
}

}  // namespace

std::string MapText(const MapMade& made, const std::string& file, bool all) {
  const JoinSummary& joined = made.joined;
  const double share = joined.drawn_m > 0 ? 100 * joined.largest_part_m / joined.drawn_m : 0;
  return "Network of " + file + ": " + Counted(made.network.nodes.size(), "node") + ", " +
         Counted(made.network.links.size(), "link") + ", " + Distance(joined.drawn_m) + " of mains.\n" +
         "Tolerance " + Distance(joined.tolerance_m) + ": " + joined.tolerance_why +
         ". Lines that nothing feeds are brought in from up to " + Distance(joined.island_reach_m) + ".\n" +
         "Connected parts: " + std::to_string(joined.parts_before) + " as drawn, " +
         std::to_string(joined.parts) + " now; the largest holds " + Number("%.1f %%", share) +
         " of the length.\n" + RepairWords(made, file, all) + SetAsideWords(made, all) +
         ThingWords(made, all) + CustomerWords(made.customers) + FilledWords(made.filled);
}

}  // namespace lastreach
