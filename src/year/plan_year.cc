#include "year/plan_year.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <thread>

#include "year/planned_parts.h"
#include "year/turned_settings.h"
#include "year/visit_frontier.h"
#include "year/year_words.h"

namespace lastreach {
namespace {

class YearPlanner {
 public:
  YearPlanner(const std::vector<YearPart>& year, const std::vector<DeviceInYear>& devices,
              const YearOptions& options)
      : year_(year), devices_(devices), options_(options) {}

  YearPlan Plan(const std::function<void(size_t done)>& progress) {
    ChooseAll(progress);
    plan_.parts = year_;
    Worth();
    const VisitFrontier frontier = Frontier();
    const int most = options_.most_visits.value_or(frontier.most_visits());
    const int visits = frontier.WorthTheVisits(plan_.worth_m3_a_visit, most);
    if (visits > most) {
      plan_.notes.push_back(std::to_string(most) +
                            " visits a year will not do: devices that must be off for " +
                            "part of the year take at least " + std::to_string(visits) + ".");
    }
    Points(frontier);
    Name("one setting all year", &DeviceChoices::unchanged);
    Name("two changes a year", &DeviceChoices::two_changes);
    Name("four changes a year", &DeviceChoices::four_changes);
    if (year_.size() > 4) Name("a change with every part of the year", &DeviceChoices::every_part);
    Name("percentage only", &DeviceChoices::percentage);
    const std::vector<int> split = frontier.Split(visits);
    size_t next = 0;
    for (size_t d = 0; d < devices_.size(); ++d) {
      const DeviceChoices& choices = choices_[d];
      Device(d, choices.exists() ? choices.by_visits[static_cast<size_t>(split[next++])] : ChangeSchedule{});
    }
    plan_.cost = Cost(plan_.visits, plan_.water_m3);
    std::stable_sort(plan_.changes.begin(), plan_.changes.end(),
                     [](const SettingsChange& a, const SettingsChange& b) { return a.when < b.when; });
    return std::move(plan_);
  }

 private:
  void ChooseAll(const std::function<void(size_t done)>& progress) {
    choices_.resize(devices_.size());
    as_worst_week_.resize(devices_.size());
    std::atomic<size_t> next{0};
    size_t done = 0;
    std::mutex reporting;
    const auto work = [&] {
      for (size_t d = next++; d < devices_.size(); d = next++) {
        Choose(d);
        const std::lock_guard<std::mutex> lock(reporting);
        if (progress) progress(++done);
      }
    };
    std::vector<std::thread> threads;
    const size_t cores = std::max(1U, std::thread::hardware_concurrency());
    for (size_t i = 1; i < std::min(cores, devices_.size()); ++i) threads.emplace_back(work);
    work();
    for (std::thread& thread : threads) thread.join();
  }

  void Choose(size_t d) {
    const DeviceInYear& device = devices_[d];
    ChoiceOptions options{options_.sureness, device.frost, device.trip_months, {}};
    if (device.present_may_stay) options.present = device.present;
    const std::unique_ptr<DeviceParts> parts = device.open();
    choices_[d] = ChoicesOf(*parts, year_, options);
    for (size_t p = 0; p < year_.size(); ++p) {
      for (std::string& sentence : parts->AsWorstWeek(p)) as_worst_week_[d].push_back(std::move(sentence));
    }
  }

  void Worth() {
    plan_.worth_m3_a_visit = kWorthOfAVisit_m3;
    std::string source = "common practice, no source";
    if (options_.worth_m3_a_visit) {
      plan_.worth_m3_a_visit = *options_.worth_m3_a_visit;
      source = "as asked";
    } else if (options_.prices && options_.prices->per_m3 > 0) {
      plan_.worth_m3_a_visit = options_.prices->per_visit / options_.prices->per_m3;
      source = "from the prices; source: " + options_.prices->source;
    }
    plan_.notes.push_back("A visit counts as much as " + std::to_string(std::lround(plan_.worth_m3_a_visit)) +
                          " m3 of water (" + source + ").");
    // Devices of one zone say the same.
    for (const auto& sentences : as_worst_week_) {
      for (const std::string& sentence : sentences) {
        if (std::find(plan_.notes.begin(), plan_.notes.end(), sentence) == plan_.notes.end())
          plan_.notes.push_back(sentence);
      }
    }
  }

  VisitFrontier Frontier() const {
    std::vector<std::vector<double>> least;
    for (const DeviceChoices& choices : choices_) {
      if (choices.exists()) least.push_back(LeastByVisits(choices));
    }
    return VisitFrontier(least);
  }

  static std::vector<double> LeastByVisits(const DeviceChoices& choices) {
    std::vector<double> least;
    for (const ChangeSchedule& schedule : choices.by_visits) least.push_back(schedule.water_m3);
    return least;
  }

  std::optional<double> Cost(int visits, double water_m3) const {
    if (!options_.prices) return std::nullopt;
    return options_.prices->per_m3 * water_m3 + options_.prices->per_visit * visits;
  }

  void Points(const VisitFrontier& frontier) {
    const int first = frontier.fewest_visits();
    const double least = frontier.water_m3(frontier.most_visits());
    for (int v = first; v <= frontier.most_visits(); ++v) {
      const double water = frontier.water_m3(v);
      if (v > first && frontier.water_m3(v - 1) <= least) break;
      plan_.frontier.push_back({v, water, v > first ? frontier.SavedByVisit_m3(v) : 0, Cost(v, water)});
    }
  }

  void Name(const std::string& name, ChangeSchedule DeviceChoices::*schedule) {
    NamedPoint point;
    point.name = name;
    for (size_t d = 0; d < devices_.size(); ++d) {
      if (!choices_[d].exists()) continue;
      const bool has = (choices_[d].*schedule).exists();
      const ChangeSchedule& taken = has ? choices_[d].*schedule : choices_[d].unchanged;
      if (!has) point.note += (point.note.empty() ? "" : ", ") + devices_[d].point.code.text();
      point.water_m3 += taken.water_m3;
      point.visits += taken.visits;
      point.changes += taken.changes;
    }
    if (!point.note.empty()) point.note = "not for " + point.note + ": left on one setting";
    point.cost = Cost(point.visits, point.water_m3);
    plan_.named.push_back(std::move(point));
  }

  void Device(size_t d, const ChangeSchedule& schedule) {
    const DeviceChoices& choices = choices_[d];
    DeviceYear& device = plan_.devices.emplace_back();
    device.point = devices_[d].point;
    if (!schedule.exists()) {
      device.notes.push_back("No part of the year can be planned" +
                             (choices.plans.empty() || choices.plans.front().reasons.empty()
                                  ? std::string(".")
                                  : ": " + choices.plans.front().reasons.front()));
      return;
    }
    device.water_m3 = schedule.water_m3;
    device.visits = schedule.visits;
    device.changes = schedule.changes;
    device.least_m3_by_visits = LeastByVisits(choices);
    plan_.water_m3 += schedule.water_m3;
    plan_.visits += schedule.visits;
    for (size_t p = 0; p < year_.size(); ++p) Part(d, p, schedule, device);
    Begin(d, device);
  }

  void Part(size_t d, size_t p, const ChangeSchedule& schedule, DeviceYear& device) {
    const DeviceChoices& choices = choices_[d];
    const size_t c = schedule.candidate[p];
    PartOfDevice& part = device.parts.emplace_back();
    part.state = choices.states[p];
    part.settings = KeyedOn(KeyedDay(schedule, p), choices.candidates[c]);
    part.water_m3 = choices.table.water_m3[c][p];
    if (const auto found = choices.outcomes.find({c, p}); found != choices.outcomes.end())
      part.outcome = found->second;
    part.words = WordsOnPart(part, choices.plans[p], devices_[d].frost, options_.sureness);
    const size_t before = schedule.candidate[p > 0 ? p - 1 : year_.size() - 1];
    if (before == c) return;
    SettingsChange change;
    change.when = year_[p].days.from;
    change.point = device.point.code;
    change.settings = part.settings;
    if (DifferOnlyInPercent(choices.candidates[before], choices.candidates[c]))
      change.percent_only = PercentOf(part.settings);
    change.on_a_trip = choices.table.visits_to_change[p] == 0;
    change.words = WordsOnChange(change);
    plan_.changes.push_back(std::move(change));
  }

  // The first day of the stretch of parts that a part's settings stand through; for a stretch that reaches
  // over the year's end, and for one without any, the year's first day.
  Date KeyedDay(const ChangeSchedule& schedule, size_t p) const {
    while (p > 0 && schedule.candidate[p - 1] == schedule.candidate[p]) --p;
    return year_[p].days.from;
  }

  // What must be keyed before the year begins.
  void Begin(size_t d, const DeviceYear& device) {
    const TimerSettings& first = device.parts.front().settings;
    const auto& present = devices_[d].present;
    const bool both_off = present && !present->on && !first.on;
    if (both_off || (present && WithoutFirstDays(*present) == WithoutFirstDays(first))) return;
    SettingsChange change;
    change.when = year_.front().days.from;
    change.point = device.point.code;
    change.settings = first;
    if (present && DifferOnlyInPercent(WithoutFirstDays(*present), WithoutFirstDays(first)))
      change.percent_only = PercentOf(first);
    change.words = WordsOnChange(change);
    plan_.to_begin.push_back(std::move(change));
  }

  const std::vector<YearPart>& year_;
  const std::vector<DeviceInYear>& devices_;
  const YearOptions& options_;
  std::vector<DeviceChoices> choices_;
  std::vector<std::vector<std::string>> as_worst_week_;
  YearPlan plan_;
};

}  // namespace

YearPlan PlanYear(const std::vector<YearPart>& year, const std::vector<DeviceInYear>& devices,
                  const YearOptions& options, const std::function<void(size_t done)>& progress) {
  return YearPlanner(year, devices, options).Plan(progress);
}

std::vector<DeviceInYear> DevicesInYear(const std::vector<DeviceFacts>& facts, const PlanOptions& options,
                                        const std::vector<YearPart>& year, const YearRecords& records) {
  std::vector<DeviceInYear> devices;
  for (const DeviceFacts& device : facts) {
    DeviceInYear& in_year = devices.emplace_back();
    in_year.point = device.point;
    in_year.open = [&device, &options, &year, &records] {
      const auto roots = records.roots.find(device.point.code);
      return PlannedParts(device, options, year, records.water,
                          roots != records.roots.end() ? roots->second : RootsByPart{});
    };
    in_year.present = device.present;
    in_year.present_may_stay = PresentToKeep(device, options, year).has_value();
    if (const auto frost = records.frost.find(device.point.code); frost != records.frost.end())
      in_year.frost = frost->second;
    if (const auto trips = records.trip_months.find(device.point.code); trips != records.trip_months.end())
      in_year.trip_months = trips->second;
  }
  return devices;
}

}  // namespace lastreach
