// A year of the invented town with twelve troubles at twelve of its 24 devices, drawn anew for every seed:
// how many are named, how soon, and how often somebody is sent out for nothing. Not a timing: the table is
// the answer, as docs/troubles.md shows it.
//
//   build/bench/troubles_benchmark            200 years
//   build/bench/troubles_benchmark 20         fewer
//   build/bench/troubles_benchmark 20 --each  and every miss and false alarm by seed and device
//
// After each meter read of a device the records written down by then are judged. A trouble that reads show is
// named in time if its right name leads after the first or second read that could show it; others when the
// record that tells comes in. A false alarm is a month in which somebody would have been sent to a device
// without trouble (or to one before its trouble began).
#include <cstdio>
#include <cstdlib>
#include <map>
#include <mutex>
#include <string_view>
#include <thread>

#include "tests/end_to_end/told_troubles.h"

namespace lastreach {
namespace {

struct Score {
  int planted = 0;
  int in_time = 0;        // named first, within two reads
  int second = 0;         // of those not: named second
  int ever = 0;           // named first at any read of the year while it lasted
  std::vector<int> days;  // from its beginning until named first
};

struct Alarms {
  long device_months = 0;
  long months_with_one = 0;
  std::map<VerdictKind, long> by_name;
};

struct Scores {
  std::map<TroubleKind, Score> troubles;
  Alarms by_reads, by_samples;
  long boxes = 0, boxes_false = 0;      // devices with nothing wrong in the box, and found wrong
  long flushes = 0, flushes_false = 0;  // test flushes of mains that are as the map says
};

bool g_each = false;

void Tell(uint64_t seed, const DeviceYear& device, Date day, const char* what, const std::string& said) {
  if (!g_each) return;
  std::printf("seed %d %s %s: %s; said: %s\n", static_cast<int>(seed), device.point.code.text().c_str(),
              FormatDate(day).c_str(), what, said.c_str());
}

int DaysFrom(Date from, Date to) { return DayNumber(to) - DayNumber(from); }

void ScoreReads(uint64_t seed, const DeviceYear& device, Scores& scores) {
  const std::optional<Trouble>& trouble = device.happened.trouble;
  const bool by_reads = trouble && ToldByOf(trouble->kind) == ToldBy::kMeterReads;
  // Only the water of these is as the card says all year.
  const bool is_clean = !trouble || ToldByOf(trouble->kind) == ToldBy::kZoneSamples ||
                        ToldByOf(trouble->kind) == ToldBy::kRevertDate ||
                        trouble->kind == TroubleKind::kMapDiameter;
  Score* score = by_reads ? &scores.troubles[trouble->kind] : nullptr;
  if (score != nullptr) ++score->planted;
  const PointRecords records = RecordsOf(device);
  int after = 0;
  bool named = false;
  std::map<int, std::optional<VerdictKind>> months;
  for (size_t i = 1; i < device.reads.size(); ++i) {
    const Date today = device.reads[i].day;
    const int since_days = trouble ? DaysFrom(trouble->since, today) : -1;
    if (!is_clean && since_days > 0 && (score == nullptr || named)) break;
    const PointReconciliation told = ReconciledBy(records, today);
    if (is_clean || since_days <= 0) {
      const int month = static_cast<int>(static_cast<unsigned>(today.month()));
      std::optional<VerdictKind>& alarm = months[month];
      // A read that was typed wrongly and is said to be so is no false alarm.
      const bool slipped = !device.slips.empty() && DaysFrom(device.slips.front(), today) >= 0;
      const bool is_slip =
          slipped && !told.verdicts.empty() && told.verdicts[0].kind == VerdictKind::kReadMistake;
      if (told.state == ReconcileState::kJudged && told.NeedsAPerson() && !is_slip) {
        if (!alarm) Tell(seed, device, today, "false alarm", told.sentence);
        alarm = told.verdicts[0].kind;
      }
      continue;
    }
    ++after;
    const size_t rank = RankOf(told, *trouble);
    if (rank == 1) {
      named = true;
      ++score->ever;
      score->days.push_back(since_days);
      score->in_time += after <= 2 ? 1 : 0;
    } else if (after == 2) {
      score->second += rank == 2 ? 1 : 0;
      Tell(seed, device, today, std::string(ToText(trouble->kind)).c_str(), told.sentence);
    }
    if (trouble->until && DaysFrom(*trouble->until, today) > 0 && after >= 2) break;
  }
  for (const auto& [month, alarm] : months) {
    ++scores.by_reads.device_months;
    if (!alarm) continue;
    ++scores.by_reads.months_with_one;
    ++scores.by_reads.by_name[*alarm];
  }
}

void ScoreFound(const DeviceYear& device, Scores& scores) {
  const PointRecords records = RecordsOf(device);
  const std::optional<Trouble>& trouble = device.happened.trouble;
  const Found found = FoundBy(records, std::chrono::year(kDirtyYear) / 12 / 31);
  if (!trouble || ToldByOf(trouble->kind) != ToldBy::kFoundAtVisit) {
    ++scores.boxes;
    scores.boxes_false += found == Found::kNothing ? 0 : 1;
    return;
  }
  Score& score = scores.troubles[trouble->kind];
  ++score.planted;
  const Found wanted = trouble->kind == TroubleKind::kClockHourOut ? Found::kClockOff : Found::kOtherStarts;
  if (FoundBy(records, trouble->told_from) != wanted) return;
  ++score.in_time;
  ++score.ever;
  score.days.push_back(DaysFrom(trouble->since, trouble->told_from));
}

void ScoreFlush(uint64_t seed, const DeviceYear& device, Scores& scores) {
  const std::optional<Trouble>& trouble = device.happened.trouble;
  const TestFlushReading reading = FlushOf(device.test_flushes.front(), device.reach, device.flow_tests);
  if (!trouble || ToldByOf(trouble->kind) != ToldBy::kTestFlush) {
    ++scores.flushes;
    if (IsMapWrongBy(reading) || IsFeedWrongBy(reading)) {
      ++scores.flushes_false;
      Tell(seed, device, device.happened.test_flush_on, "false alarm",
           std::string(ToText(reading.volume)) + ", " + std::string(ToText(reading.arrives)));
    }
    return;
  }
  Score& score = scores.troubles[trouble->kind];
  ++score.planted;
  if (!IsRightReading(reading, *trouble)) {
    Tell(seed, device, device.happened.test_flush_on, std::string(ToText(trouble->kind)).c_str(),
         std::string(ToText(reading.volume)) + ", " + std::string(ToText(reading.arrives)));
    return;
  }
  ++score.in_time;
  ++score.ever;
  score.days.push_back(DaysFrom(trouble->since, trouble->told_from));
}

// Looked at every other week, when the samples come in. Nitrification goes on for a month before it is full;
// it is named in time if it is within two monthly rounds.
void ScoreWatch(uint64_t seed, const DirtyYear& year, const DeviceYear& device, Scores& scores) {
  constexpr int kTwoRounds_days = 61;
  const std::optional<Trouble>& trouble = device.happened.trouble;
  const PointRecords records = RecordsOf(device);
  const SupplyZone& supply = year.zones[device.basis.is_chloramine ? 1 : 0];
  const bool nitrifies = trouble && trouble->kind == TroubleKind::kNitrification;
  const bool burns = trouble && trouble->kind == TroubleKind::kForgottenBurn;
  if (nitrifies || burns) ++scores.troubles[trouble->kind].planted;
  const auto named = [&](Date today) {
    const int since_days = DaysFrom(trouble->since, today);
    Score& score = scores.troubles[trouble->kind];
    ++score.ever;
    score.in_time += since_days <= kTwoRounds_days ? 1 : 0;
    score.days.push_back(since_days);
  };
  if (burns && TellsOverdue(WatchedBy(records, supply, trouble->told_from))) {
    named(trouble->told_from);
  }
  std::map<int, bool> months;
  Date last{};
  for (const Sample& sample : device.samples) {
    if (sample.day == last) continue;
    last = sample.day;
    const std::vector<WatchItem> items = WatchedBy(records, supply, sample.day);
    const bool says_nitrified = SignsOfNitrification(items) >= 2;
    const bool says_overdue = TellsOverdue(items);
    if (nitrifies && DaysFrom(trouble->since, sample.day) > 0) {
      if (says_nitrified) {
        named(sample.day);
        break;
      }
      continue;
    }
    // Two kinds of word here can be false: a sign of nitrification, and a day for putting back that is past.
    const bool is_false = says_nitrified || (says_overdue && !burns);
    if (is_false)
      Tell(seed, device, sample.day, "false alarm", says_nitrified ? "nitrification" : "to put back");
    bool& alarm = months[static_cast<int>(static_cast<unsigned>(sample.day.month()))];
    alarm = alarm || is_false;
  }
  for (const auto& [month, alarm] : months) {
    ++scores.by_samples.device_months;
    scores.by_samples.months_with_one += alarm ? 1 : 0;
  }
}

void ScoreYear(uint64_t seed, Scores& scores) {
  DirtyYearOptions options;
  options.seed = seed;
  const DirtyYear year = MakeDirtyYear(options);
  for (const DeviceYear& device : year.devices) {
    ScoreReads(seed, device, scores);
    ScoreFound(device, scores);
    ScoreFlush(seed, device, scores);
    ScoreWatch(seed, year, device, scores);
  }
}

void Add(Alarms& to, const Alarms& more) {
  to.device_months += more.device_months;
  to.months_with_one += more.months_with_one;
  for (const auto& [name, count] : more.by_name) to.by_name[name] += count;
}

void Add(Scores& to, const Scores& more) {
  for (const auto& [kind, score] : more.troubles) {
    Score& sum = to.troubles[kind];
    sum.planted += score.planted;
    sum.in_time += score.in_time;
    sum.second += score.second;
    sum.ever += score.ever;
    sum.days.insert(sum.days.end(), score.days.begin(), score.days.end());
  }
  Add(to.by_reads, more.by_reads);
  Add(to.by_samples, more.by_samples);
  to.boxes += more.boxes;
  to.boxes_false += more.boxes_false;
  to.flushes += more.flushes;
  to.flushes_false += more.flushes_false;
}

int Share(const std::vector<int>& sorted, double share) {
  if (sorted.empty()) return 0;
  return sorted[static_cast<size_t>(share * static_cast<double>(sorted.size() - 1))];
}

void Print(const Scores& scores, int years) {
  std::printf(
      "| trouble | told by | planted | named first within two reads | second | named that year | "
      "days, middle | 9 in 10 |\n|---|---|---|---|---|---|---|---|\n");
  int planted = 0, in_time = 0;
  for (const TroubleKind kind : kEveryTrouble) {
    const auto found = scores.troubles.find(kind);
    if (found == scores.troubles.end()) continue;
    Score score = found->second;
    std::sort(score.days.begin(), score.days.end());
    planted += score.planted;
    in_time += score.in_time;
    std::printf("| %s | %s | %d | %.1f %% | %.1f %% | %.1f %% | %d | %d |\n",
                std::string(ToText(kind)).c_str(), std::string(ToText(ToldByOf(kind))).c_str(), score.planted,
                100.0 * score.in_time / score.planted, 100.0 * score.second / score.planted,
                100.0 * score.ever / score.planted, Share(score.days, 0.5), Share(score.days, 0.9));
  }
  std::printf("| all | | %d | %.1f %% | | | | |\n\n", planted, 100.0 * in_time / planted);
  std::printf("| false alarms by | looked at | of them | 20 devices a month |\n|---|---|---|---|\n");
  const auto row = [](const char* name, const Alarms& alarms) {
    const double rate =
        static_cast<double>(alarms.months_with_one) / static_cast<double>(alarms.device_months);
    std::printf("| %s | %ld device-months | %ld | %.2f |\n", name, alarms.device_months,
                alarms.months_with_one, 20 * rate);
  };
  row("meter reads", scores.by_reads);
  row("samples and dates", scores.by_samples);
  // One look in three months or so at each box, one test flush a year.
  std::printf("| boxes found | %ld device-years | %ld | %.2f |\n", scores.boxes, scores.boxes_false,
              20.0 / 12 * static_cast<double>(scores.boxes_false) / static_cast<double>(scores.boxes));
  std::printf("| test flushes | %ld device-years | %ld | %.2f |\n", scores.flushes, scores.flushes_false,
              20.0 / 12 * static_cast<double>(scores.flushes_false) / static_cast<double>(scores.flushes));
  for (const auto& [name, count] : scores.by_reads.by_name) {
    std::printf("false by reads, %s: %ld\n", std::string(ToText(name)).c_str(), count);
  }
  std::printf("%d years of 24 devices, 12 troubles each.\n", years);
}

int ScoreYears(int years) {
  Scores all;
  std::mutex adding;
  const int threads = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  std::vector<std::thread> pool;
  for (int t = 0; t < threads; ++t) {
    pool.emplace_back([&, t] {
      Scores mine;
      for (int seed = 1 + t; seed <= years; seed += threads) ScoreYear(static_cast<uint64_t>(seed), mine);
      const std::lock_guard lock(adding);
      Add(all, mine);
    });
  }
  for (std::thread& one : pool) one.join();
  Print(all, years);
  return 0;
}

}  // namespace
}  // namespace lastreach

int main(int count, char** words) {
  using namespace lastreach;
  int years = 200;
  for (int i = 1; i < count; ++i) {
    if (std::string_view(words[i]) == "--each") {
      g_each = true;
    } else {
      years = std::atoi(words[i]);
    }
  }
  return years > 0 ? ScoreYears(years) : 2;
}
