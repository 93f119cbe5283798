#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/evidence_facts.h"
#include "app/subcommands.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

struct Options {
  std::string file;
  std::string today;
  double nitrite_mg_n_per_l = 0;
  double ammonia_mg_n_per_l = 0;
  WatchOptions watch;
  bool json = false;
};

struct Watched {
  std::string place;
  WatchItem item;
};

size_t OverdueIn(const std::vector<Watched>& list) {
  return static_cast<size_t>(
      std::count_if(list.begin(), list.end(), [](const Watched& each) { return each.item.overdue; }));
}

std::string Sentence(const std::vector<Watched>& list) {
  if (list.empty()) return "Nothing wants looking at.";
  const size_t now = OverdueIn(list);
  return std::to_string(now) + (now == 1 ? " thing wants" : " things want") + " looking at now, " +
         std::to_string(list.size() - now) + " soon.";
}

void PrintJson(const std::vector<Watched>& list, Date today, std::ostream& out) {
  Json json = {{"today", FormatDate(today)}, {"sentence", Sentence(list)}};
  json["items"] = Json::array();
  for (const Watched& each : list) {
    json["items"].push_back({{"kind", ToText(each.item.kind)},
                             {"point", each.item.point.text()},
                             {"place", each.place},
                             {"sentence", each.item.sentence},
                             {"what_to_do", each.item.what_to_do},
                             {"due", each.item.due ? Json(FormatDate(*each.item.due)) : Json(nullptr)},
                             {"overdue", each.item.overdue}});
  }
  out << json.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

// One heading for each kind, since one round mends all of a kind. What nobody ever noted is told of all
// points at once.
void PrintText(const std::vector<Watched>& list, std::ostream& out) {
  out << Sentence(list) << "\n";
  for (size_t i = 0; i < list.size();) {
    const WatchItem& first = list[i].item;
    size_t end = i;
    while (end < list.size() && list[end].item.kind == first.kind &&
           list[end].item.sentence == first.sentence) {
      ++end;
    }
    if (i == 0 || list[i - 1].item.kind != first.kind) out << "\n" << ToText(first.kind) << "\n";
    out << "  ";
    for (size_t each = i; each < end; ++each) out << (each > i ? ", " : "") << list[each].item.point.text();
    if (end == i + 1 && !list[i].place.empty()) out << " " << list[i].place;
    out << ": " << first.sentence;
    if (first.due) out << (first.overdue ? "; was due " : "; due ") << FormatDate(*first.due);
    out << "\n    " << first.what_to_do << "\n";
    i = end;
  }
}

Result<int> WatchProject(const Options& options, Surroundings& around) {
  const auto project = Project::Open(options.file);
  if (!project.ok()) return project.error();
  const auto facts = EvidenceFactsOf(*project);
  if (!facts.ok()) return facts.error();
  const Zone zone = facts->empty() ? Zone::Utc() : facts->front().records.zone;
  const auto today = TodayOf(options.today, zone, around.now);
  if (!today.ok()) return today.error();
  WatchOptions watch = options.watch;
  watch.today = *today;
  if (options.nitrite_mg_n_per_l > 0) watch.nitrite_mg_n_per_l = options.nitrite_mg_n_per_l;
  if (options.ammonia_mg_n_per_l > 0) watch.free_ammonia_mg_n_per_l = options.ammonia_mg_n_per_l;
  std::vector<Watched> list;
  for (const WatchFacts& each : *facts) {
    WatchFacts known = each;
    known.records = KnownBy(each.records, *today);
    for (WatchItem& item : Watch(known, watch)) {
      list.push_back({each.records.point.place, std::move(item)});
    }
  }
  std::stable_sort(list.begin(), list.end(), [](const Watched& a, const Watched& b) {
    if (a.item.kind != b.item.kind) return a.item.kind < b.item.kind;
    if (a.item.due.has_value() != b.item.due.has_value()) return a.item.due.has_value();
    return a.item.due && DayNumber(*a.item.due) < DayNumber(*b.item.due);
  });
  if (options.json) {
    PrintJson(list, *today, around.out);
  } else {
    PrintText(list, around.out);
  }
  return OverdueIn(list) > 0 ? 1 : 0;
}

}  // namespace

void AddWatchCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand("watch", "What wants looking at before it is trouble");
  command->footer(
      "\n"
      "Residuals below target just after a full run, where flushing is not the answer; low before the next\n"
      "run; trends that reach the target soon; signs of nitrification in zones of chloramine, in their "
      "order;\n"
      "temporary settings and the day they are to be put back; devices off without a reason or an end;\n"
      "batteries, dechlorination refills and flow tests that are due. Thresholds of nitrification are your\n"
      "own: none is used unless given.\n"
      "Exit code 1 where something wants looking at now.\n"
      "  lastreach watch town.gpkg\n"
      "  lastreach watch town.gpkg --nitrite 0.02 --ammonia 0.1 --today 2026-09-01 --json");
  const auto options = std::make_shared<Options>();
  WatchOptions& watch = options->watch;
  command->add_option("FILE", options->file, "the project")->required();
  command->add_option("--today", options->today, "the day to look from, yyyy-mm-dd; today unless said");
  command
      ->add_option("--nitrite", options->nitrite_mg_n_per_l, "sign of nitrification from here on, mg/L as N")
      ->check(CLI::PositiveNumber);
  command->add_option("--ammonia", options->ammonia_mg_n_per_l, "free ammonia likewise, mg/L as N")
      ->check(CLI::PositiveNumber);
  command->add_option("--battery-days", watch.battery_days, "a battery is due after so many days")
      ->check(CLI::Range(1, 3650))
      ->capture_default_str();
  command->add_option("--refill-days", watch.refill_days, "a dechlorination refill")
      ->check(CLI::Range(1, 3650))
      ->capture_default_str();
  command->add_option("--flow-test-days", watch.flow_test_days, "a flow test")
      ->check(CLI::Range(1, 3650))
      ->capture_default_str();
  command->add_option("--soon-days", watch.soon_days, "what is due within so many days is told")
      ->check(CLI::Range(0, 365))
      ->capture_default_str();
  command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->callback([options, &around, &action] {
    action = [options, &around] { return WatchProject(*options, around); };
  });
}

}  // namespace lastreach
