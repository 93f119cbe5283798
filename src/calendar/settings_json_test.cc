#include "calendar/settings_json.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

constexpr const char* kExample = R"({
  "controller": { "programmes": 3, "starts_per_programme": 4, "start_step_minutes": 5, "minutes_min": 1,
                  "minutes_max": 360, "minutes_step": 1, "percent_min": 10, "percent_max": 200, "percent_step": 10,
                  "percent_scope": "all", "day_patterns": ["weekdays", "odd", "even", "every-n"],
                  "odd_skips_31st": false, "every_n_max": 30, "follows_clock_change": false, "overlap": "queue" },
  "state": "on", "percent": 100,
  "programmes": [ { "starts": ["01:10", "13:10"], "minutes": 30, "days": ["mon", "wed", "fri"] },
                  { "starts": ["04:00"], "minutes": 10, "days": "odd" },
                  { "starts": ["05:00"], "minutes": 5, "days": { "every": 3, "from": "2026-07-01" } } ] })";

std::string ErrorOf(const std::string& json) {
  const auto parsed = ParseDeviceSettings(json, "s.json");
  return parsed.ok() ? "no error" : parsed.error().ToString();
}

TEST(SettingsJson, ReadsEveryItemOfTheExample) {
  const auto parsed = ParseDeviceSettings(kExample, "s.json");
  ASSERT_TRUE(parsed.ok()) << parsed.error().ToString();
  EXPECT_EQ(parsed->form.every_n_max, 30);
  EXPECT_EQ(parsed->form.overlap, Overlap::kQueue);
  EXPECT_EQ(parsed->form.day_patterns->size(), 4U);
  ASSERT_EQ(parsed->settings.programmes.size(), 3U);
  EXPECT_EQ(parsed->settings.programmes[0].starts_min, (std::vector<int>{70, 790}));
  EXPECT_EQ(parsed->settings.programmes[0].days, DayPattern(Weekdays{0b0010101}));
  EXPECT_EQ(parsed->settings.programmes[1].days, DayPattern(OddDates{}));
  EXPECT_EQ(parsed->settings.programmes[2].days, DayPattern(EveryNDays{3, *ParseDate("2026-07-01")}));
}

TEST(SettingsJson, ReadsBackWhatItWrites) {
  const DeviceSettings device = *ParseDeviceSettings(kExample, "s.json");
  EXPECT_EQ(*ParseDeviceSettings(ToJson(device), "again"), device);
  EXPECT_EQ(*ParseForm(FormToJson(device.form), "form"), device.form);
  EXPECT_EQ(*ParseSettings(SettingsToJson(device.settings), "settings"), device.settings);
  const DeviceSettings bare = *ParseDeviceSettings(R"({"programmes":[]})", "s.json");
  EXPECT_EQ(*ParseDeviceSettings(ToJson(bare), "again"), bare);
}

TEST(SettingsJson, TakesMissingAndNullItemsAsNotKnown) {
  const auto parsed = ParseDeviceSettings(
      R"({"controller":{"programmes":null},"programmes":[{"starts":["off","1:00",null],"minutes":5}]})",
      "s.json");
  ASSERT_TRUE(parsed.ok()) << parsed.error().ToString();
  EXPECT_FALSE(parsed->form.programmes.has_value());
  EXPECT_FALSE(parsed->form.follows_clock_change.has_value());
  EXPECT_EQ(parsed->form.overlap, Overlap::kUnknown);
  EXPECT_EQ(parsed->settings.programmes[0].starts_min, (std::vector<int>{60}));
  EXPECT_EQ(parsed->settings.programmes[0].days, DayPattern(kEveryWeekday));
}

TEST(SettingsJson, NamesTheItemAndTheValueThatAreWrong) {
  EXPECT_EQ(ErrorOf(R"({"programmes":[{"starts":["25:00"],"minutes":5}]})"),
            "s.json, column programmes[0].starts, value '25:00': a time of day is written hh:mm, from 00:00 "
            "to 23:59");
  EXPECT_EQ(ErrorOf(R"({"programmes":[{"starts":["01:00"],"minutes":5,"days":["mo"]}]})"),
            "s.json, column programmes[0].days, value 'mo': weekdays are mon, tue, wed, thu, fri, sat, sun");
  EXPECT_EQ(ErrorOf(R"({"programmes":[],"percnt":5})"),
            "s.json, column percnt, value '5': no such item is known here");
  EXPECT_EQ(ErrorOf(R"({"programmes":[],"controller":{"overlap":"stack"}})"),
            "s.json, column controller.overlap, value 'stack': overlap behaviour is one of queue, merge, "
            "drop, restart, "
            "unknown");
  EXPECT_EQ(ErrorOf(R"({"programmes":[{"starts":["01:00"],"minutes":5,"days":{"every":0}}]})").substr(0, 60),
            "s.json, column programmes[0].days.every, value '0': must be ");
  EXPECT_NE(ErrorOf("{\n\"programmes\": [}\n").find("s.json, line 2"), std::string::npos);
  EXPECT_NE(ErrorOf("[]").find("an object is wanted"), std::string::npos);
}

TEST(SettingsJson, RefusesAFormThatContradictsItself) {
  EXPECT_EQ(ErrorOf(R"({"programmes":[],"controller":{"minutes_min":10,"minutes_max":5}})"),
            "s.json, column controller.minutes_min, value '10': is more than minutes_max");
}

}  // namespace
}  // namespace lastreach
