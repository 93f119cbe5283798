#include "evidence/watch_lists.h"

#include <algorithm>
#include <cmath>

#include "evidence/expected_water.h"
#include "evidence/verdict_words.h"

namespace lastreach {
namespace {

Date LocalDate(const Zone& zone, Instant moment) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(moment))};
}

class DueLister {
 public:
  DueLister(const WatchFacts& facts, const WatchOptions& options)
      : facts_(facts), options_(options), records_(facts.records) {}

  std::vector<WatchItem> List() && {
    if (records_.point.kind == PointKind::kDevice) {
      ListSettings();
      ListBattery();
      ListFlowTest();
    }
    ListRefill();
    return std::move(items_);
  }

 private:
  int DaysUntil(Date day) const { return DayNumber(day) - DayNumber(options_.today); }

  void Due(WatchKind kind, Date due, const std::string& sentence, const std::string& what_to_do) {
    if (DaysUntil(due) > options_.soon_days) return;
    items_.push_back({kind, records_.point.code, sentence, what_to_do, due, DaysUntil(due) < 0});
  }
  void Now(WatchKind kind, const std::string& sentence, const std::string& what_to_do) {
    items_.push_back({kind, records_.point.code, sentence, what_to_do, {}, true});
  }

  // What stands in the ground by the last record of it.
  void ListSettings() {
    const SettingsRecord* latest = nullptr;
    const SettingsRecord* left = nullptr;
    for (const SettingsRecord& record : records_.settings) {
      if (record.kind == SettingsKind::kPlanned) continue;
      latest = &record;
      if (record.kind == SettingsKind::kAsLeft) left = &record;
    }
    if (latest == nullptr) return;
    const std::string when = FormatDate(LocalDate(records_.zone, latest->recorded));
    const bool same = left != nullptr && RunAlike(left->settings, latest->settings);
    const SettingsRecord& told = same ? *left : *latest;
    if (told.revert_by) {
      const std::string why = told.why.empty() ? "no reason noted" : told.why;
      Due(WatchKind::kTemporary, *told.revert_by,
          "settings of " + FormatDate(LocalDate(records_.zone, told.recorded)) + " (" + why +
              ") were to be put back by " + FormatDate(*told.revert_by),
          "put the settings back, or write down a new day");
    }
    if (latest->settings.on) return;
    if (told.why.empty() || !told.revert_by) {
      Now(WatchKind::kOffUnexplained,
          "off by the record of " + when + ", " +
              (told.why.empty() ? "without a reason" : "for: " + told.why) +
              (told.revert_by ? "" : ", with no day on which that ends"),
          "ask who turned it off; switch it on, or write down why and until when");
    }
  }

  std::optional<Date> LastVisitWith(bool Visit::*what) const {
    std::optional<Date> last;
    for (const Visit& visit : records_.visits) {
      if (visit.*what) last = LocalDate(records_.zone, visit.arrived);
    }
    return last;
  }

  void ListBattery() {
    const auto last = LastVisitWith(&Visit::new_battery);
    if (!last) {
      Now(WatchKind::kBattery, "no new battery was ever noted",
          "change the battery at the next visit, and note it");
      return;
    }
    Due(WatchKind::kBattery, AddDays(*last, options_.battery_days),
        "last new battery on " + FormatDate(*last), "change the battery and set its clock");
  }

  void ListFlowTest() {
    if (records_.flow_tests.empty()) {
      Now(WatchKind::kFlowTest, "its flow was never tested", "time its flow with the meter or a drum");
      return;
    }
    const Date last = records_.flow_tests.back().day;
    Due(WatchKind::kFlowTest, AddDays(last, options_.flow_test_days), "last flow test on " + FormatDate(last),
        "time its flow with the meter or a drum");
  }

  std::optional<double> MostBetweenRefills_m3() const {
    for (const Limit& limit : facts_.limits) {
      if (const auto* most = std::get_if<MostVolumeBetweenRefills>(&limit.rule)) {
        return most->volume.cubic_metres();
      }
    }
    return std::nullopt;
  }

  // By the water that should have gone through since, where the user says how much a charge treats.
  void ListRefill() {
    const std::string& feeder = records_.point.dechlorination;
    if (feeder.empty() || feeder == "none") return;
    const auto last = LastVisitWith(&Visit::dechlorination_refilled);
    if (!last) {
      Now(WatchKind::kRefill, "no refill of its " + feeder + " was ever noted",
          "look into the feeder, refill it, and note it");
      return;
    }
    const std::string sentence = "last refill of its " + feeder + " on " + FormatDate(*last);
    if (const auto most_m3 = MostBetweenRefills_m3()) {
      const Instant from = MomentOf(records_.zone, *last, {});
      const Instant now = MomentOf(records_.zone, options_.today, {});
      const ExpectedWater since = ExpectedBetween(records_, from, std::max(from, now));
      const double m3 = since.volume_m3 + since.by_hand_m3;
      const double days = std::max(1, DayNumber(options_.today) - DayNumber(*last));
      if (!since.flow || !(m3 > 0)) return;
      const double left_days = (*most_m3 - m3) * days / m3;
      Due(WatchKind::kRefill, AddDays(options_.today, static_cast<int>(std::floor(left_days))),
          sentence + "; " + WaterWords(m3) + " since, of " + WaterWords(*most_m3) + " that it treats",
          "refill it");
      return;
    }
    Due(WatchKind::kRefill, AddDays(*last, options_.refill_days), sentence, "refill it");
  }

  const WatchFacts& facts_;
  const WatchOptions& options_;
  const PointRecords& records_;
  std::vector<WatchItem> items_;
};

}  // namespace

std::vector<WatchItem> DueItems(const WatchFacts& facts, const WatchOptions& options) {
  return DueLister(facts, options).List();
}

}  // namespace lastreach
