#include "app/year_text.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <ostream>
#include <utility>

#include "app/text_table.h"
#include "ledger/months.h"
#include "plan/words.h"
#include "report/figures.h"
#include "year/year_words.h"

namespace lastreach {
namespace {

constexpr size_t kMostFrontierRows = 12;
constexpr size_t kWidestPlace = 28;

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string Count(size_t count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

// Three digits, as good as a year's water is known: "12,300", "812", "34.2".
std::string Cubic(double water_m3) {
  if (water_m3 >= 1000) return ThreeDigits(water_m3);
  return Number(water_m3 >= 100 ? "%.0f" : "%.1f", water_m3);
}

// "December to February" where they follow each other, else a list.
std::string MonthsInWords(const std::set<int>& months) {
  std::vector<int> firsts, lasts;
  for (const int month : months) {
    if (!months.contains((month + 10) % 12 + 1)) firsts.push_back(month);
    if (!months.contains(month % 12 + 1)) lasts.push_back(month);
  }
  if (months.size() > 2 && firsts.size() == 1) {
    return std::string(MonthWord(firsts[0])) + " to " + std::string(MonthWord(lasts[0]));
  }
  Months bits;
  for (const int month : months) bits.bits |= 1U << static_cast<unsigned>(month - 1);
  return Describe(bits);
}

class YearPrinter {
 public:
  YearPrinter(const YearAnswer& answer, std::ostream& out) : answer_(answer), plan_(answer.plan), out_(out) {}

  void Print() {
    Head();
    if (!plan_.devices.empty()) {
      Ways();
      Frontier();
      Changes("Key in once, before the year begins:", plan_.to_begin, false);
      Changes("Change each year, as it comes round:", plan_.changes, true);
      Devices();
    }
    Frost();
    Trips();
    HandEnds();
    for (const DroughtPlan& drought : answer_.drought) Drought(drought);
    Network();
    if (!plan_.notes.empty() || !answer_.notes.empty()) out_ << "\nNotes\n";
    for (const auto* notes : {&plan_.notes, &answer_.notes}) {
      for (const std::string& note : *notes) out_ << "  " << note << "\n";
    }
    out_ << "\nA planning aid: the licensed operator in charge decides, and local rules come first.\n";
  }

 private:
  std::string Money(const std::optional<double>& cost) const {
    if (!cost || !answer_.prices) return "-";
    const std::string& currency = answer_.prices->currency;
    return currency == "$" ? "$" + ThreeDigits(*cost) : ThreeDigits(*cost) + " " + currency;
  }

  std::string PlaceOf(const PointCode& code) const {
    for (const DeviceYear& device : plan_.devices) {
      if (device.point.code == code) return Shortened(device.point.place, kWidestPlace);
    }
    return "";
  }

  void Head() {
    out_ << "Settings from " << answer_.name << ": " << Count(plan_.parts.size(), "part") << " of the year, "
         << Count(plan_.devices.size(), "device") << ", " << Count(answer_.hand_ends.size(), "end")
         << " flushed by hand\n";
    if (plan_.devices.empty()) return;
    out_ << "Taken: " << Cubic(plan_.water_m3) << " m3 of water and "
         << Count(static_cast<size_t>(plan_.visits), "visit") << " a year to change settings"
         << (plan_.cost ? ", " + Money(plan_.cost) : "") << ".\n";
  }

  void Row(std::vector<std::vector<std::string>>& rows, std::vector<std::string> row,
           const std::optional<double>& cost, std::string last) const {
    if (answer_.prices) row.push_back(Money(cost));
    row.push_back(std::move(last));
    rows.push_back(std::move(row));
  }

  void Ways() {
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> head = {"way of going about it", "m3 a year", "visits", "changes"};
    if (answer_.prices) head.emplace_back("cost");
    head.emplace_back("");
    rows.push_back(std::move(head));
    size_t changes = 0;
    for (const DeviceYear& device : plan_.devices) changes += static_cast<size_t>(device.changes);
    Row(rows, {"as taken here", Cubic(plan_.water_m3), std::to_string(plan_.visits), std::to_string(changes)},
        plan_.cost, "");
    for (const NamedPoint& point : plan_.named) {
      Row(rows,
          {point.name, Cubic(point.water_m3), std::to_string(point.visits), std::to_string(point.changes)},
          point.cost, point.note);
    }
    out_ << "\n" << TextTable(rows);
  }

  // The first point, the last, the one taken, and what is spread between them.
  std::vector<size_t> FrontierRows() const {
    const size_t count = plan_.frontier.size();
    std::set<size_t> rows;
    for (size_t i = 0; i < std::min(count, kMostFrontierRows - 1); ++i) {
      rows.insert(count <= kMostFrontierRows ? i : i * (count - 1) / (kMostFrontierRows - 2));
    }
    if (count > 0) rows.insert(count - 1);
    for (size_t i = 0; i < count; ++i) {
      if (plan_.frontier[i].visits == plan_.visits) rows.insert(i);
    }
    return {rows.begin(), rows.end()};
  }

  void Frontier() {
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> head = {"visits a year", "least m3 a year", "saved by the last visit, m3"};
    if (answer_.prices) head.emplace_back("cost");
    head.emplace_back("");
    rows.push_back(std::move(head));
    for (const size_t i : FrontierRows()) {
      const FrontierPoint& point = plan_.frontier[i];
      Row(rows, {std::to_string(point.visits), Cubic(point.water_m3), i > 0 ? Cubic(point.saved_m3) : "-"},
          point.cost, point.visits == plan_.visits ? "taken" : "");
    }
    out_ << "\nWater against visits\n" << TextTable(rows);
  }

  void Changes(const char* head, const std::vector<SettingsChange>& changes, bool with_date) {
    out_ << "\n" << head << (changes.empty() ? " nothing\n" : "\n");
    bool any_on_a_trip = false;
    for (size_t i = 0; i < changes.size();) {
      std::vector<std::vector<std::string>> rows;
      const Date when = changes[i].when;
      for (; i < changes.size() && changes[i].when == when; ++i) {
        SettingsChange change = changes[i];
        const std::string mark = change.on_a_trip ? " *" : "";
        any_on_a_trip = any_on_a_trip || change.on_a_trip;
        change.on_a_trip = false;  // a mark stands for the words
        rows.push_back({(with_date ? "  " : "") + change.point.text(), PlaceOf(change.point),
                        WordsOnChange(change) + mark});
      }
      if (with_date) out_ << "  " << FormatDate(when) << "\n";
      out_ << TextTable(rows);
    }
    if (any_on_a_trip) {
      out_ << "  * on a trip made in that month anyway, and no visit: go in its first days\n";
    }
  }

  // Neighbouring parts that stand on the same settings are one line; its outcome is that of the worst.
  void Devices() {
    out_ << "\nDevices through the year\n";
    for (const DeviceYear& device : plan_.devices) {
      out_ << "  " << device.point.code.text()
           << (device.point.place.empty() ? "" : "  " + device.point.place) << ": " << Cubic(device.water_m3)
           << " m3, " << Count(static_cast<size_t>(device.visits), "visit") << "\n";
      for (size_t p = 0; p < device.parts.size();) {
        size_t last = p;
        while (last + 1 < device.parts.size() && IsAlike(device.parts[p], device.parts[last + 1])) ++last;
        Stretch(device, p, last);
        p = last + 1;
      }
      for (const std::string& note : device.notes) out_ << "    " << note << "\n";
    }
  }

  static bool IsAlike(const PartOfDevice& a, const PartOfDevice& b) {
    return a.state == b.state && a.settings == b.settings;
  }

  void Stretch(const DeviceYear& device, size_t first, size_t last) {
    double water_m3 = 0;
    const Outcome* worst = nullptr;
    std::string words;
    for (size_t p = first; p <= last; ++p) {
      const PartOfDevice& part = device.parts[p];
      water_m3 += part.water_m3;
      if (part.outcome && (worst == nullptr || part.outcome->lowest_mg_per_l < worst->lowest_mg_per_l))
        worst = &*part.outcome;
      if (words.empty()) words = part.words;
    }
    const DateWindow days{plan_.parts[first].days.from, plan_.parts[last].days.to};
    out_ << "    " << FormatDate(days.from) << " to " << FormatDate(AddDays(days.to, -1)) << ": "
         << SettingsInWords(device.parts[first].settings);
    if (worst != nullptr && device.parts[first].state == PartState::kHeld) {
      out_ << "; lowest " << Residual(worst->lowest_mg_per_l) << " (sure " << Percent(worst->sureness) << ")";
    }
    out_ << "; " << Cubic(water_m3) << " m3\n";
    if (!words.empty()) out_ << "      " << words << "\n";
  }

  void Frost() {
    if (answer_.frost.empty()) return;
    out_ << "\nShut for frost\n";
    std::vector<std::vector<std::string>> rows;
    for (const auto& [point, spell] : answer_.frost) {
      rows.push_back(
          {point.text(), PlaceOf(point), MonthsInWords(spell.months) + " (source: " + spell.source + ")"});
    }
    out_ << TextTable(rows);
  }

  // Devices with the same months stand in one line.
  void Trips() {
    std::map<std::set<int>, std::string> by_months;
    for (const auto& [point, months] : answer_.trip_months) {
      std::string& points = by_months[months];
      points += (points.empty() ? "" : ", ") + point.text();
    }
    if (by_months.empty()) return;
    out_ << "\nTrips made anyway; a change on one takes no visit\n";
    for (const auto& [months, points] : by_months) {
      out_ << "  " << MonthsInWords(months) << ": " << points << "\n";
    }
  }

  void HandEnds() {
    if (answer_.hand_ends.empty()) return;
    std::vector<std::vector<std::string>> rows = {
        {"end", "where", "minutes", "m3 each", "days apart", "trips a year", "m3 a year", "what it is"}};
    for (const HandEndYear& end : answer_.hand_ends) {
      const std::vector<HandFlushPlan>& parts = end.year.parts;
      int minutes = 0;
      double each_m3 = 0;
      std::set<int> days;
      std::set<std::string> verdicts;
      std::string verdict_words;
      for (const HandFlushPlan& plan : parts) {
        minutes = std::max(minutes, plan.minutes);
        each_m3 = std::max(each_m3, plan.water_m3_a_flush);
        if (plan.days_between) days.insert(*plan.days_between);
        if (!verdicts.insert(std::string(ToText(plan.verdict))).second) continue;
        verdict_words += (verdict_words.empty() ? "" : " / ") + std::string(ToText(plan.verdict));
      }
      std::string apart = "-";
      if (!days.empty()) apart = std::to_string(*days.begin());
      if (days.size() > 1) apart += " to " + std::to_string(*days.rbegin());
      rows.push_back({end.point.code.text(), Shortened(end.point.place, kWidestPlace),
                      minutes > 0 ? std::to_string(minutes) : "-", minutes > 0 ? Cubic(each_m3) : "-", apart,
                      std::to_string(end.year.trips), Cubic(end.year.water_m3), verdict_words});
    }
    out_ << "\nEnds flushed by hand\n" << TextTable(rows);
    HandSentences();
  }

  // What is to be said beyond the table, each sentence once with the ends it is said of: why an end is not
  // one for a crew, rules, cautions.
  void HandSentences() {
    std::vector<std::pair<std::string, std::vector<std::string>>> said;
    const auto say = [&](const std::string& sentence, const std::string& code) {
      auto found = std::find_if(said.begin(), said.end(), [&](const auto& s) { return s.first == sentence; });
      if (found == said.end()) found = said.insert(said.end(), {sentence, {}});
      if (found->second.empty() || found->second.back() != code) found->second.push_back(code);
    };
    for (const HandEndYear& end : answer_.hand_ends) {
      const std::string& code = end.point.code.text();
      const int fewest_days = FewestDaysThatHold(end);
      for (const HandFlushPlan& plan : end.year.parts) {
        // The hardest part of the year speaks for an end that is too much for a crew.
        if (plan.verdict == HandVerdict::kTooOften && plan.days_that_hold != fewest_days) continue;
        // The table says it already of an end that a crew can hold.
        const bool in_table =
            plan.verdict == HandVerdict::kFlushEvery || plan.verdict == HandVerdict::kNoFlushNeeded;
        for (size_t i = in_table ? 1 : 0; i < plan.reasons.size(); ++i) say(plan.reasons[i], code);
        for (const std::string& caution : plan.cautions) say(caution, code);
      }
    }
    for (const auto& [sentence, codes] : said) {
      out_ << "  " << List(codes) << ": " << sentence << "\n";
    }
  }

  static int FewestDaysThatHold(const HandEndYear& end) {
    int fewest = std::numeric_limits<int>::max();
    for (const HandFlushPlan& plan : end.year.parts) {
      if (plan.verdict == HandVerdict::kTooOften) fewest = std::min(fewest, plan.days_that_hold.value_or(0));
    }
    return fewest;
  }

  // Many are counted: nobody reads a list that long.
  static std::string List(const std::vector<std::string>& codes) {
    constexpr size_t kMostNamed = 20;
    if (codes.size() > kMostNamed) return Count(codes.size(), "end");
    std::string list;
    for (const std::string& code : codes) list += (list.empty() ? "" : ", ") + code;
    return list;
  }

  void Drought(const DroughtPlan& drought) {
    out_ << "\nDrought " << drought.cap.name << ": at most " << Cubic(drought.cap.most_m3_per_day)
         << " m3 a day (source: " << drought.cap.source << ")\n";
    for (const bool on : {true, false}) {
      for (const DroughtChoice& choice : drought.choices) {
        if (choice.on != on) continue;
        out_ << "  " << choice.point.text() << "  " << (on ? "on    " : "SHUT  ") << choice.reason << "\n";
      }
    }
    for (const std::string& note : drought.notes) out_ << "  " << note << "\n";
  }

  void Network() {
    if (answer_.on_network.empty()) return;
    out_ << "\nThe whole network was run with this in each part of the year\n";
    for (size_t p = 0; p < answer_.on_network.size(); ++p) {
      const PartOnNetwork& part = answer_.on_network[p];
      out_ << "  " << plan_.parts[p].name << ": ";
      if (part.confirmed) {
        out_ << "every main carries what the settings count on";
      } else {
        out_ << "LESS THAN THE SETTINGS COUNT ON, by up to " << Residual(part.greatest_shortfall_mg_per_l)
             << ", at";
        for (const PointCode& point : part.short_at) out_ << " " << point.text();
      }
      out_ << "; lowest pressure " << Number("%.0f m", part.lowest_pressure_m) << " at "
           << part.lowest_pressure_at << "\n";
    }
  }

  const YearAnswer& answer_;
  const YearPlan& plan_;
  std::ostream& out_;
};

}  // namespace

void PrintYear(const YearAnswer& answer, std::ostream& out) { YearPrinter(answer, out).Print(); }

}  // namespace lastreach
