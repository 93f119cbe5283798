#include "report/device_sentences.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_plans.h"

namespace lastreach {
namespace {

const MinuteInstant kWhen = TestMoment(2026, 7, 6, 5, 0);

// Ten minutes thrice a day in place of eight times, and both hold.
DevicePlan Thrice() {
  DevicePlan device = TestDevice();
  device.settings = {true, 100, {{{60, 540, 1020}, 10, kEveryWeekday, {}}}};
  device.planned_outcome = TestOutcome(0.41, 4.5, 3, 8, kWhen);
  device.planned_outcome->lowest_at = {12, "service 12 of 12"};
  device.present_outcome = TestOutcome(0.5, 6.0, 8, 3, kWhen);
  return device;
}

struct Example {
  const char* name;
  DevicePlan device;
  SheetUnits units;
  const char* first;
  const char* second;
};

std::vector<Example> Examples() {
  std::vector<Example> examples;
  const auto add = [&](const char* name, const DevicePlan& device, const char* first, const char* second,
                       SheetUnits units = SheetUnits::kMetric) {
    examples.push_back({name, device, units, first, second});
  };
  const char* thrice =
      "Runs ten minutes at one and nine in the morning and five in the afternoon, every day, because the "
      "water "
      "at the last house may be down to its target of 0.4 mg/L after eight hours without a run.";
  DevicePlan device = Thrice();
  add("saves", device, thrice, "Five of its eight runs a day are spared: 46 m³ a month.");
  add("saves, US", device, thrice, "Five of its eight runs a day are spared: 12,000 gallons a month.",
      SheetUnits::kUs);
  device.present_outcome->runs_per_day = 3;
  add("saves, as many runs", device, thrice, "It spares 46 m³ a month against what is keyed now.");
  device.present_outcome->runs_per_day = 3 + 1.0 / 7;
  add("one run a week", device, thrice, "One of its 22 runs a week is spared: 46 m³ a month.");
  device.present_outcome->water_m3_per_day = 4.6;
  add("holds too", device, thrice,
      "What is keyed now holds too, but overlaps, breaks a limit or stands on a clock that is out; these "
      "settings take about as much water.");
  device.present.reset();
  device.present_outcome.reset();
  add("never recorded", device, thrice,
      "What is keyed now was never recorded, so nothing can be said of what it does.");

  device = TestDevice();
  const char* twice =
      "Runs twelve minutes at 1:10 in the morning and 1:10 in the afternoon, every day, because the water at "
      "house "
      "7 of 12 may be down to 0.5 mg/L, target 0.4 mg/L, after twelve hours without a run.";
  add("fails now", device, twice,
      "What is keyed now may let it fall to 0.1 mg/L; these settings take 130 m³ a month less.");
  device.present_outcome->water_m3_per_day = 1.4;
  device.present_outcome->lowest_mg_per_l = 0.38;
  add("fails now, US", device, twice,
      "What is keyed now may let it fall to just under 0.4 mg/L; these settings take 32,000 gallons a month "
      "more.",
      SheetUnits::kUs);

  device = Thrice();
  device.verdict = Verdict::kKeep;
  device.planned_outcome->longest_gap_h = 0;
  device.planned_outcome->lowest_at = {13, "the end"};
  add("keep", device,
      "Keeps running ten minutes at one and nine in the morning and five in the afternoon, every day, "
      "because "
      "the water at the end of the main may be down to its target of 0.4 mg/L at the worst moment.",
      "That takes 140 m³ a month, and what could be saved is not worth a visit.");

  device = Thrice();
  device.verdict = Verdict::kNoFlushNeeded;
  device.settings = {false, 100, {}};
  const char* fresh =
      "Needs no flushing, because the customers' own use keeps the water fresh: with the device off the last "
      "house still has 0.4 mg/L at the worst moment.";
  add("no flush", device, fresh, "What runs now, 180 m³ a month, could be spared.");
  device.present->on = false;
  add("no flush, off", device, fresh, "It runs nothing now, and that can stay so.");

  device = Thrice();
  device.verdict = Verdict::kFlushingIsNotTheAnswer;
  device.planned_outcome.reset();
  add("not the answer, on the way", device,
      "Flushing is not the answer, because the water loses too much on the way even with the device open "
      "round "
      "the clock.",
      "What runs now, 180 m³ a month, will not mend that: look at the main, the tank and the valves "
      "upstream.");
  device.reach.upstream_mg_per_l = 0.3;
  device.present.reset();
  add("not the answer, upstream", device,
      "Flushing is not the answer, because the water that comes in has 0.3 mg/L and the target is 0.4 mg/L.",
      "Leave the timer as it is found: look at the main, the tank and the valves upstream.");

  device = TestDevice();
  device.verdict = Verdict::kCannotHold;
  const char* cannot = "No settings this timer and your limits allow will hold 0.4 mg/L here.";
  add("cannot hold", device, cannot,
      "What is keyed now takes 79,000 gallons a month and leaves 0.1 mg/L at house 7 of 12; what would help "
      "is "
      "listed with the plan.",
      SheetUnits::kUs);
  device.present_outcome.reset();
  add("cannot hold, not recorded", device, cannot,
      "Leave the timer as it is found; what would help is listed with the plan.");

  device.verdict = Verdict::kTooLittleKnown;
  device.reasons = {"Too little is known: the flow of FP-014 is not known."};
  add("too little known", device, "Too little is known to say what to key: the flow of FP-014 is not known.",
      "Leave the timer as it is found, find that out and plan again.");
  return examples;
}

TEST(DeviceSentences, AreWhatAnOperatorWouldSay) {
  for (const Example& example : Examples()) {
    const auto said = DeviceSentences(example.device, example.units);
    EXPECT_EQ(said[0], example.first) << example.name;
    EXPECT_EQ(said[1], example.second) << example.name;
  }
}

// A sentence ends with a full stop before a space or the end; numbers have theirs before a digit.
TEST(DeviceSentences, AreTwoForEveryVerdictWhateverIsKnown) {
  for (const Verdict verdict :
       {Verdict::kChange, Verdict::kKeep, Verdict::kNoFlushNeeded, Verdict::kFlushingIsNotTheAnswer,
        Verdict::kCannotHold, Verdict::kTooLittleKnown}) {
    for (int known = 0; known < 16; ++known) {
      DevicePlan device = TestDevice();
      device.verdict = verdict;
      if ((known & 1) == 0) device.planned_outcome.reset();
      if ((known & 2) == 0) device.present_outcome.reset();
      if ((known & 4) == 0) device.present.reset();
      if ((known & 8) == 0) device.reasons = {"Two things. Not one."};
      for (const SheetUnits units : {SheetUnits::kUs, SheetUnits::kMetric}) {
        const std::string text = DeviceInTwoSentences(device, units);
        size_t stops = text.ends_with('.') ? 1 : 0;
        for (size_t at = 0; (at = text.find(". ", at)) != std::string::npos; ++at) ++stops;
        EXPECT_EQ(stops, 2u) << text;
      }
    }
  }
}

TEST(DeviceSentences, NameThePlaceAsPeopleDo) {
  EXPECT_EQ(PlaceInSpeech({3, "service 3 of 3"}), "the last house");
  EXPECT_EQ(PlaceInSpeech({1, "service 1 of 1"}), "the only house");
  EXPECT_EQ(PlaceInSpeech({2, "service 2 of 31"}), "house 2 of 31");
  EXPECT_EQ(PlaceInSpeech({4, "the end"}), "the end of the main");
  EXPECT_EQ(PlaceInSpeech({4, "service 2 of 3 on Elm Row"}), "service 2 of 3 on Elm Row");
}

}  // namespace
}  // namespace lastreach
