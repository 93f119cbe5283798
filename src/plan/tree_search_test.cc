#include "plan/tree_search.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

// Two to four made-up devices on a trunk, with timers so plain that all they can be keyed to can be listed.
std::vector<DeviceFacts> MakeUpTree(uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution<>(low, high)(random); };
  const int count = seed % 6 == 0 ? 4 : whole(2, 3);
  const double trunk_m = number(100, 400);
  const int trunk_services = whole(0, 6);
  const bool forks_again = count > 2 && whole(0, 1) == 1;
  const double second_m = number(50, 300);
  std::vector<DeviceFacts> devices;
  for (int i = 0; i < count; ++i) {
    DeviceFacts facts = MadeUpDevice(trunk_services, trunk_m);
    facts.form = SmallForm(1, count == 2 ? 2 : 1, count == 4 ? 40 : 20, count == 4 ? 80 : 60);
    facts.form.day_patterns = std::vector<DayPatternKind>{DayPatternKind::kWeekdays};
    facts.form.percent_max = 100;
    facts.pipe_ids = {"trunk"};
    const auto add = [&](const std::string& id, int services, double length_m) {
      facts.reach.pipes.push_back(facts.reach.pipes[0]);
      facts.reach.pipes.back().length = Measured(Length::Metres(length_m));
      facts.reach.pipes.back().services = Typed(services);
      facts.pipe_ids.push_back(id);
    };
    if (forks_again && i > 0) add("second", 0, second_m);
    add("arm " + std::to_string(i), whole(1, 4), number(40, 400));
    facts.point.flow = Measured(Flow::LitresPerSecond(number(1, 3)));
    devices.push_back(std::move(facts));
  }
  return devices;
}

PlanOptions AtMiddle() {
  PlanOptions options = FourWeeks();
  options.sureness = 0.5;  // the corner is then the middle of every number
  options.simpler_within = 0;
  options.to = AddDays(options.from, 7);
  return options;
}

struct SmallTree {
  explicit SmallTree(uint64_t seed) : devices(MakeUpTree(seed)) {
    for (size_t i = 0; i < devices.size(); ++i) tree.devices.push_back(i);
    for (size_t i = 0; i < devices.size(); ++i)
      members.push_back(std::make_unique<TreeMember>(devices, tree, i, options, 0));
  }
  std::vector<DeviceFacts> devices;
  ReachTree tree;
  PlanOptions options = AtMiddle();
  std::vector<std::unique_ptr<TreeMember>> members;
};

// Everything one timer can be keyed to every day, and off.
std::vector<Candidate> EverySetting(const TreeMember& member) {
  std::vector<Candidate> all{TreeMember::Off()};
  const ControllerForm& form = member.form();
  for (unsigned set = 1; set < 64; ++set) {
    Candidate candidate;
    candidate.programmes.push_back({{}, *form.minutes_min});
    for (int start = 0; start < 6; ++start) {
      if ((set >> start & 1U) != 0) candidate.programmes[0].starts_min.push_back(start * 240);
    }
    if (candidate.starts() > *form.starts_per_programme) continue;
    for (int steps = 0;; ++steps) {
      const auto moved = member.Moved(candidate, steps);
      if (moved) all.push_back(*moved);
      if (candidate.programmes[0].minutes + steps * *form.minutes_step > *form.minutes_max) break;
    }
  }
  std::sort(all.begin(), all.end(),
            [](const Candidate& a, const Candidate& b) { return a.water_m3_per_day < b.water_m3_per_day; });
  return all;
}

// Whether any settings of all devices with less than so much water hold.
bool AnyHoldsBelow(const SmallTree& small, const TreeSearch& search, double water) {
  std::vector<std::vector<Candidate>> settings;
  for (const auto& member : small.members) settings.push_back(EverySetting(*member));
  TreeSearch::Choices choices(settings.size());
  const auto try_from = [&](const auto& self, size_t i, double left) -> bool {
    if (i == settings.size()) return search.HoldsAtCorners(choices);
    for (const Candidate& candidate : settings[i]) {
      if (candidate.water_m3_per_day >= left) return false;
      choices[i] = candidate;
      if (self(self, i + 1, left - candidate.water_m3_per_day)) return true;
    }
    return false;
  };
  return try_from(try_from, 0, water);
}

TEST(TreeSearch, IsNotBeatenByAnyJointSettingsOfSmallTimers) {
  int planned = 0;
  int saved = 0;
  for (uint64_t seed = 1; seed <= 30; ++seed) {
    SCOPED_TRACE(seed);
    const SmallTree small(seed);
    TreeSearch search(small.members, small.options);
    const TreeSearch::Choices best = search.Best();
    if (best.empty()) {
      EXPECT_FALSE(AnyHoldsBelow(small, search, 1e9)) << "something holds";
      continue;
    }
    ++planned;
    ASSERT_TRUE(search.HoldsAtCorners(best));
    EXPECT_FALSE(AnyHoldsBelow(small, search, 0.95 * TreeSearch::Water(best)));
    double alone = 0;
    std::vector<TimerSettings> nobody(small.members.size());
    for (TimerSettings& settings : nobody) settings.on = false;
    bool all_hold_alone = true;
    for (const auto& member : small.members) {
      const auto kinds = member->Kinds(nobody, 1);
      all_hold_alone = all_hold_alone && !kinds.empty();
      if (!kinds.empty()) alone += kinds.front().water_m3_per_day;
    }
    if (all_hold_alone) {
      EXPECT_LE(TreeSearch::Water(best), alone + 1e-9);
      saved += TreeSearch::Water(best) < 0.9 * alone ? 1 : 0;
    }
  }
  EXPECT_GE(planned, 20);
  EXPECT_GE(saved, 8);  // sharing is worth a tenth in a good part of them
}

}  // namespace
}  // namespace lastreach
