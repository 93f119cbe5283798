#include "plan/ready_reach.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "plan/sureness.h"
#include "plan/test_devices.h"
#include "plan/trial.h"
#include "quality/transport.h"

// Against the general transport of quality/transport.h, on a drive laid out by DriveOf.
namespace lastreach {
namespace {

struct Case {
  PlanningNumbers numbers;
  ReachModel model;
  TimerSettings settings;
  DateWindow window;
};

Case RandomCase(std::mt19937& random) {
  const auto one_of = [&](auto... values) {
    const std::common_type_t<decltype(values)...> list[] = {values...};
    return list[random() % sizeof...(values)];
  };
  DeviceFacts facts = MadeUpDevice(one_of(0, 1, 2, 5, 11), one_of(60.0, 170.0, 420.0));
  facts.supply.wall_m_per_day = Typed(one_of(0.0, 0.02, 0.4));
  facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(one_of(0.0, 0.001, 0.004)));
  if (one_of(0, 1) == 1) {
    facts.reach.pipes.push_back(facts.reach.pipes.front());
    facts.reach.pipes.back().services = Typed(one_of(0, 3));
    facts.reach.pipes.back().inner_diameter = Measured(Diameter::Millimetres(100));
  }
  if (one_of(0, 1, 2) == 0) {
    for (const int start : {200, 980}) {
      BesideFlow beside;
      beside.pipe = start == 200 ? 0 : facts.reach.pipes.size() - 1;
      beside.form = RichForm();
      beside.settings.programmes = {{{start}, 25, kEveryWeekday, {}}};
      beside.flow_m3_per_s = 0.002;
      facts.beside.push_back(beside);
    }
  }
  if (one_of(0, 1, 2) == 0) {
    std::array<double, 24> by_hour;
    for (size_t hour = 0; hour < 24; ++hour) by_hour[hour] = 1 + 0.2 * static_cast<double>(hour * 7 % 5) / 5;
    facts.root_mg_per_l_by_hour = by_hour;
  }
  Case tried{*GatherNumbers(facts, FourWeeks()), {}, {}, {}};
  tried.model = ModelReach(tried.numbers, PlainDraws(1, random()).front(), one_of(4, kEveryTap));
  const int programmes = one_of(1, 2, 3);
  for (int p = 0; p < programmes; ++p) {
    const DayPattern days = one_of(0, 1) == 1 ? DayPattern(kEveryWeekday) : DayPattern(OddDates{});
    const int start = static_cast<int>(random() % 400) + 440 * p;
    tried.settings.programmes.push_back({{start}, one_of(3, 17, 38), days, {}});
  }
  const Date from = *ParseDate(one_of("2026-06-03", "2026-10-31", "2026-03-07"));
  tried.window = {from, AddDays(from, one_of(1, 3))};
  return tried;
}

// By the general transport, with a warm-up long enough for all that still has something left.
double LowestInGeneral(const Case& tried, const Zone& zone, int fast_min, double* when_s) {
  const auto moment = [&](Date date) {
    return std::chrono::floor<std::chrono::minutes>(zone.FirstInstant(Midnight(date)));
  };
  const DateWindow whole{AddDays(tried.window.from, -64), tried.window.to};
  const auto runs = ExpandRuns(RichForm(), tried.settings, zone, whole, {false, fast_min});
  const BranchDrive drive = DriveOf(tried.model, runs, zone, moment(whole.from), moment(whole.to));
  const auto from_s = static_cast<double>((moment(whole.to) - moment(tried.window.from)).count()) * 60;
  const auto lows = LowestResiduals(tried.model.branch, drive, drive.time_s.back() - from_s,
                                    drive.time_s.back(), tried.model.kinetics);
  double lowest = 1e9;
  for (const size_t tap : tried.model.judged) {
    if (lows[tap].lowest_mg_per_l < lowest) *when_s = lows[tap].when_s - drive.time_s.back();
    lowest = std::min(lowest, lows[tap].lowest_mg_per_l);
  }
  return lowest;
}

TEST(ReadyReach, FindsTheLowestThatTheGeneralTransportFinds) {
  const Zone chicago = *Zone::Find("America/Chicago");
  std::mt19937 random(20261125);
  int told_apart = 0;
  for (int i = 0; i < 150; ++i) {
    const Case tried = RandomCase(random);
    for (const int fast_min : kClockErrors_min) {
      SCOPED_TRACE(testing::Message() << "case " << i << " clock fast by " << fast_min);
      double when_s = 0;
      const double expected = LowestInGeneral(tried, chicago, fast_min, &when_s);
      LaidOut::Grids grids(chicago, tried.numbers.beside, tried.numbers.upstream_by_hour.has_value());
      const ControllerForm form = RichForm();
      const DateWindow windows[] = {tried.window};
      const int clocks[] = {fast_min};
      LaidOut laid(form, tried.settings, grids, windows, clocks, {});
      ReadyReach reach(tried.model);
      ReadyReach::Workspace workspace;
      const Timeline& line = laid.At(0, 0, 64);
      const ReachLow low = reach.Lowest(line, workspace);
      ASSERT_NEAR(low.mg_per_l, expected, 1e-9);
      if (low.mg_per_l < 1e-3) continue;
      ++told_apart;
      EXPECT_TRUE(reach.IsCovered(line));
      // Just before that moment, followed back: never less than it has, and the same where nothing stood by a
      // wall.
      const double at_most = reach.AtMostBefore(line, {low.judged, low.when_s});
      EXPECT_GE(at_most, low.mg_per_l - 1e-9);
      const double end_demand = tried.model.branch.segments[tried.model.judged.back()].tap_demand_m3_per_s;
      if (end_demand > 0 || tried.numbers.pipes.front().wall_m_per_s == 0) {
        EXPECT_NEAR(at_most, low.mg_per_l, 5e-4 * low.mg_per_l);
      }
    }
  }
  EXPECT_GT(told_apart, 200) << "too few cases had anything left to compare";
}

TEST(ReadyReach, StopsOnceAPlaceIsBelowWhatIsEnough) {
  std::mt19937 random(7);
  for (int i = 0; i < 40; ++i) {
    const Case tried = RandomCase(random);
    Trial trial(RichForm(), Zone::Utc(), tried.numbers);
    const DateWindow windows[] = {tried.window};
    LaidOut laid = trial.Lay(tried.settings, windows, kClockErrors_min);
    ReadyReach reach(tried.model);
    ReadyReach::Workspace workspace;
    const double lowest = reach.Lowest(laid.At(0, 0, 16), workspace).mg_per_l;
    const double enough = lowest * 1.05 + 1e-6;
    EXPECT_LT(reach.Lowest(laid.At(0, 0, 16), workspace, enough).mg_per_l, enough);
    EXPECT_EQ(reach.Lowest(laid.At(0, 0, 16), workspace, lowest).mg_per_l, lowest);
  }
}

}  // namespace
}  // namespace lastreach
