#include <algorithm>
#include <cstdio>
#include <map>
#include <ostream>

#include "app/ends_report.h"
#include "app/text_table.h"
#include "plan/words.h"

namespace lastreach {
namespace {

// So that a line stays within 100 letters: a screen, or a sheet of paper on its side.
constexpr size_t kWidestWord = 16;

std::string Number(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string Plural(size_t count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

std::string WhereOf(const Network& network, const QuietPlace& place) {
  if (!place.street.empty()) return place.street;
  if (place.node) return "node " + network[*place.node].id;
  return place.zone.empty() ? "link " + network[place.reach.back().link].id : place.zone;
}

// Two digits, and no part of a metre.
std::string Metres(double length_m) {
  return length_m < 10 ? Number("%.0f", length_m) : TwoFigures(length_m);
}

// "200 Elm Street": the main's millimetres and street.
std::string FedByOf(const Network& network, const QuietPlace& place) {
  if (!place.fed_through) return place.fed_by.empty() ? "-" : place.fed_by;
  const Link& main = network[*place.fed_through];
  std::string words;
  if (main.inner_diameter_m) words = Number("%.0f ", 1000 * main.inner_diameter_m->value);
  return words + (main.street.empty() ? "link " + main.id : main.street);
}

std::string BandOf(const EndOutlook& outlook) {
  if (!outlook.low) return "-";
  return Number("%.1f", outlook.low->middle_mg_per_l) + Number(" (%.1f-", outlook.low->low_mg_per_l) +
         Number("%.1f)", outlook.low->high_mg_per_l);
}

std::string Table(const EndsFound& found, size_t shown) {
  const bool has_lows = std::any_of(found.outlooks.begin(), found.outlooks.end(),
                                    [](const EndOutlook& outlook) { return outlook.low.has_value(); });
  std::vector<std::vector<std::string>> rows = {
      {"id", "kind", "where", "m", "m3", "serv.", "days", "tail m", "outlet"}};
  if (has_lows) rows[0].emplace_back("lowest mg/L");
  rows[0].emplace_back("fed by, mm");
  for (size_t i = 0; i < shown; ++i) {
    const QuietPlace& place = found.places[i];
    const EndOutlook& outlook = found.outlooks[i];
    const std::string beyond = place.services_beyond > 0 ? "+" + std::to_string(place.services_beyond) : "";
    rows.push_back(
        {place.id, std::string(ToText(place.kind)), Shortened(WhereOf(found.network, place), kWidestWord),
         Metres(place.length_m), TwoFigures(place.volume_m3), std::to_string(place.services) + beyond,
         place.days_to_last_customer ? TwoFigures(*place.days_to_last_customer) : "-", Metres(place.tail_m),
         !outlook.device.empty() ? outlook.device
         : place.outlet.empty()  ? "-"
                                 : place.outlet});
    if (has_lows) rows.back().push_back(BandOf(outlook));
    rows.back().push_back(Shortened(FedByOf(found.network, place), kWidestWord));
  }
  return TextTable(rows);
}

// Why some have no residual, each reason once.
std::string WithoutResidual(const EndsFound& found, size_t shown) {
  std::map<std::string, size_t> counts;
  for (size_t i = 0; i < shown; ++i) {
    if (!found.outlooks[i].low) ++counts[found.outlooks[i].why_none];
  }
  std::string text;
  for (const auto& [why, count] : counts) {
    text += "No residual predicted for " + std::to_string(count) + " of them:\n  " + why + "\n";
  }
  return text;
}

void PrintEnd(const Network& network, const QuietPlace& place, const EndOutlook& outlook, std::ostream& out) {
  out << "\n" << place.id << "  " << ToText(place.kind);
  if (!place.street.empty()) out << ", " << place.street;
  if (!place.zone.empty()) out << " (" << place.zone << ")";
  if (place.node) out << ", node " << network[*place.node].id;
  if (!outlook.device.empty()) out << ", " << outlook.device << " stands here";
  out << "\n  " << Number("%.0f m", place.length_m) << ", " << TwoFigures(place.volume_m3) << " m3, "
      << Plural(static_cast<size_t>(place.services), "service");
  if (place.services_beyond > 0) out << " and " << place.services_beyond << " on side branches";
  out << ", " << TwoFigures(place.demand_m3_per_s * kSecondsPerDay) << " m3/d";
  if (place.tail_m >= 0.5) out << "; " << Number("%.0f m", place.tail_m) << " past the last customer";
  if (place.days_to_last_customer) {
    out << "\n  " << TwoFigures(*place.days_to_last_customer) << " days to the last customer";
    if (place.days_from_source) out << ", " << TwoFigures(*place.days_from_source) << " from the source";
  }
  if (outlook.low) {
    out << "\n  lowest " << Residual(outlook.low->middle_mg_per_l) << " ("
        << Number("%.1f", outlook.low->low_mg_per_l) << " to " << Number("%.1f", outlook.low->high_mg_per_l)
        << ")";
  } else if (!outlook.why_none.empty()) {
    out << "\n  no residual predicted: " << outlook.why_none;
  }
  if (!place.fed_by.empty()) out << "\n  fed by " << place.fed_by;
  if (!place.outlet.empty()) out << "\n  outlet: " << place.outlet;
  for (const std::string& note : place.notes) out << "\n  - " << note;
  out << "\n";
}

std::string KindsOf(const std::vector<QuietPlace>& places) {
  std::map<std::string, int> counts;
  for (const QuietPlace& place : places) ++counts[std::string(ToText(place.kind))];
  std::string text;
  for (const auto& [kind, count] : counts) {
    text += (text.empty() ? ": " : ", ") + std::to_string(count) + " " + kind;
  }
  return text;
}

}  // namespace

void PrintEnds(const EndsFound& found, bool in_detail, std::ostream& out) {
  const size_t count = found.places.size();
  const size_t shown = found.outlooks.size();
  out << Plural(count, "quiet place") << KindsOf(found.places) << ".\n";
  if (found.meetings > 0) {
    out << "Of " << Plural(static_cast<size_t>(found.meetings), "loop") << " looked at, "
        << QuietLoops(found.places) << (QuietLoops(found.places) == 1 ? " is" : " are")
        << " told: where waters meet and are old or stand.\n";
  }
  if (count == 0) return;
  out << "Oldest water at a customer first; days without a solver.\n";
  if (in_detail) {
    for (size_t i = 0; i < shown; ++i) PrintEnd(found.network, found.places[i], found.outlooks[i], out);
    out << "\n";
  } else {
    out << "\n" << Table(found, shown);
  }
  if (shown < count) {
    out << "and " << count - shown << " more (--all lists them"
        << (in_detail ? ").\n" : "; --detail tells all of each).\n");
  } else if (!in_detail) {
    out << "(--detail tells all of each)\n";
  }
  if (!in_detail) out << WithoutResidual(found, shown);
  out << "A planning aid: the licensed operator in charge decides, and local rules come first.\n";
}

}  // namespace lastreach
