#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <libical/ical.h>

#include <nlohmann/json.hpp>

#include "app/test_program.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::HasSubstr;

// A box whose clock nobody moves: 01:10 at 130 %, every day, and 04:00 on odd dates.
constexpr const char* kSettings = R"({
  "controller": { "programmes": 3, "percent_scope": "all", "follows_clock_change": false, "overlap": "queue" },
  "percent": 130,
  "programmes": [ { "starts": ["01:10"], "minutes": 30, "days": "daily" },
                  { "starts": ["04:00"], "minutes": 10, "days": "odd" } ] })";
constexpr const char* kDaily = R"({ "controller": { "follows_clock_change": false, "overlap": "queue" },
  "programmes": [ { "starts": ["01:10"], "minutes": 30, "days": "daily" } ] })";

class CalendarCommand : public InAFolder {
 protected:
  static Answer Ask(const std::string& file, const std::string& from, const std::string& to,
                    std::vector<std::string> more = {}) {
    std::vector<std::string> words = {"calendar", file, "--from", from,
                                      "--to",     to,   "--zone", "America/Chicago"};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words);
  }
  static Json AskJson(const std::string& file, const std::string& from, const std::string& to,
                      std::vector<std::string> more = {}) {
    more.emplace_back("--json");
    const Answer answer = Ask(file, from, to, more);
    ExpectDone(answer);
    return Json::parse(answer.out);
  }
};

TEST_F(CalendarCommand, JsonHasEveryKeyWithItsType) {
  const Json json = AskJson(Write("lid.json", kSettings), "2026-07-01", "2026-07-08");
  ASSERT_EQ(json.at("runs").size(), 7U + 4U);  // July 1st, 3rd, 5th, 7th are odd
  for (const Json& run : json.at("runs")) {
    EXPECT_TRUE(run.at("start").is_string());
    EXPECT_TRUE(run.at("minutes").is_number_integer());
    EXPECT_TRUE(run.at("programme").is_number_integer());
  }
  EXPECT_TRUE(json.at("runs_per_year").is_number_integer());
  EXPECT_TRUE(json.at("longest_gap_h").is_number());
  EXPECT_TRUE(json.at("longest_gap").at("from").is_string());
  EXPECT_TRUE(json.at("longest_gap").at("to").is_string());
  EXPECT_EQ(json.at("total_minutes"), 7 * 39 + 4 * 13);
  EXPECT_TRUE(json.at("warnings").is_array());
  ASSERT_EQ(json.at("programmes").size(), 2U);
  EXPECT_EQ(json.at("programmes")[1],
            Json::parse(R"({ "programme": 2, "days": "odd dates", "minutes_keyed": 10,
                                                       "minutes_effective": 13 })"));
}

// docs/theory/calendar.md: a clock nobody moves keeps standard time, so in summer its 01:10 is 02:10.
TEST_F(CalendarCommand, StartsCarryTheOffsetOfTheirDay) {
  const std::string file = Write("lid.json", kDaily);
  const Json summer = AskJson(file, "2026-07-01", "2026-07-02");
  EXPECT_EQ(summer.at("runs")[0].at("start"), "2026-07-01T02:10:00-05:00");
  const Json winter = AskJson(file, "2026-01-01", "2026-01-02");
  EXPECT_EQ(winter.at("runs")[0].at("start"), "2026-01-01T01:10:00-06:00");
  const Json nowhere =
      Json::parse(RunProgram({"calendar", file, "--from", "2026-07-01", "--to", "2026-07-02", "--json"}).out);
  EXPECT_EQ(nowhere.at("runs")[0].at("start"), "2026-07-01T01:10:00+00:00");
}

TEST_F(CalendarCommand, LongestGapIsFromOneEndToTheNextStart) {
  const Json json = AskJson(Write("lid.json", kDaily), "2026-07-01", "2026-07-08");
  EXPECT_EQ(json.at("longest_gap_h"), 23.5);
  EXPECT_EQ(json.at("longest_gap").at("from"), "2026-07-01T02:40:00-05:00");
  EXPECT_EQ(json.at("longest_gap").at("to"), "2026-07-02T02:10:00-05:00");
  EXPECT_EQ(json.at("runs_per_year"), 365);
}

TEST_F(CalendarCommand, LongestGapIsNullWithFewerThanTwoRuns) {
  const std::string file = Write("lid.json", kDaily);
  const Json one = AskJson(file, "2026-07-01", "2026-07-02");
  EXPECT_EQ(one.at("runs").size(), 1U);
  EXPECT_TRUE(one.at("longest_gap_h").is_null());
  const std::string off = Write("off.json", R"({ "state": "off", "programmes": [ { "starts": ["01:10"],
                                                 "minutes": 30, "days": "daily" } ] })");
  const Json none = AskJson(off, "2026-07-01", "2026-08-01");
  EXPECT_TRUE(none.at("runs").empty());
  EXPECT_TRUE(none.at("longest_gap_h").is_null());
  EXPECT_EQ(none.at("runs_per_year"), 0);
}

TEST_F(CalendarCommand, AFastClockRunsEarly) {
  const std::string file = Write("lid.json", kDaily);
  EXPECT_EQ(AskJson(file, "2026-07-02", "2026-07-03", {"--clock-fast", "10"}).at("runs")[0].at("start"),
            "2026-07-02T02:00:00-05:00");
  EXPECT_EQ(AskJson(file, "2026-07-02", "2026-07-03", {"--clock-fast=-10"}).at("runs")[0].at("start"),
            "2026-07-02T02:20:00-05:00");
}

TEST_F(CalendarCommand, ASwappedHalfOfTheDayRunsTwelveHoursOut) {
  const std::string file = Write("lid.json", kDaily);
  EXPECT_EQ(AskJson(file, "2026-07-02", "2026-07-03", {"--am-pm-swapped"}).at("runs")[0].at("start"),
            "2026-07-02T14:10:00-05:00");
  EXPECT_EQ(AskJson(file, "2026-07-02", "2026-07-03", {"--am-pm-swapped", "--clock-fast", "10"})
                .at("runs")[0]
                .at("start"),
            "2026-07-02T14:00:00-05:00");
}

TEST_F(CalendarCommand, ICalendarHoldsTheSameRunsAsTheJson) {
  const std::string file = Write("lid.json", kSettings);
  const Json json = AskJson(file, "2026-10-20", "2026-11-10");  // over the end of summer time
  const Answer answer = Ask(file, "2026-10-20", "2026-11-10", {"--ics"});
  ExpectDone(answer);
  icalcomponent* calendar = icalparser_parse_string(answer.out.c_str());
  ASSERT_NE(calendar, nullptr);
  EXPECT_EQ(icalcomponent_count_errors(calendar), 0);
  size_t i = 0;
  for (icalcomponent* event = icalcomponent_get_first_component(calendar, ICAL_VEVENT_COMPONENT);
       event != nullptr; event = icalcomponent_get_next_component(calendar, ICAL_VEVENT_COMPONENT), ++i) {
    ASSERT_LT(i, json.at("runs").size());
    const Json& run = json.at("runs")[i];
    const Instant start = *ParseRfc3339(run.at("start").get<std::string>());
    EXPECT_EQ(icaltime_as_timet(icalcomponent_get_dtstart(event)), start.time_since_epoch().count());
    EXPECT_EQ(icaldurationtype_as_int(icalcomponent_get_duration(event)), 60 * run.at("minutes").get<int>());
    EXPECT_THAT(icalcomponent_get_summary(event), HasSubstr("lid"));
  }
  EXPECT_EQ(i, json.at("runs").size());
  icalcomponent_free(calendar);
}

TEST_F(CalendarCommand, TextShowsKeyedAndEffectiveMinutesAndEveryRun) {
  const Answer answer = Ask(Write("lid.json", kSettings), "2026-07-01", "2026-07-04");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("Programme 1: every day, 30 minutes keyed, 39 effective, at 01:10 by the "
                                    "device's clock\n"));
  EXPECT_THAT(answer.out, HasSubstr("  2026-07-01 02:10  Wed  39 min  programme 1\n"));
  EXPECT_THAT(answer.out, HasSubstr("  2026-07-03 05:00  Fri  13 min  programme 2\n"));
  EXPECT_THAT(answer.out, HasSubstr("5 runs here"));
  EXPECT_THAT(answer.out, HasSubstr("! programme 1: 30 minutes keyed at 130 % run 39\n"));
}

TEST_F(CalendarCommand, RefusesAFileItCannotUse) {
  const std::string nowhere = Path("nowhere.json");
  ExpectRefused(Ask(nowhere, "2026-07-01", "2026-07-02"), {nowhere});
  const std::string broken = Write("broken.json", "{ \"programmes\": [\n  { \"starts\" } ] }");
  ExpectRefused(Ask(broken, "2026-07-01", "2026-07-02"), {broken, "line 2"});
  const std::string empty = Write("empty.json", "");
  ExpectRefused(Ask(empty, "2026-07-01", "2026-07-02"), {empty});
  const auto with = [this](const std::string& name, const std::string& programme) {
    return Write(name, "{ \"programmes\": [ " + programme + " ] }");
  };
  struct Fault {
    const char* programme;
    std::vector<std::string> named;
  };
  const Fault faults[] = {
      {R"({ "starts": ["25:00"], "minutes": 30 })", {"programmes[0].starts", "25:00"}},
      {R"({ "starts": ["01:10"], "minutes": "half" })", {"programmes[0].minutes", "half"}},
      {R"({ "starts": ["01:10"] })", {"programmes[0]", "minutes"}},
      {R"({ "starts": ["01:10"], "minutes": 30, "days": ["mo"] })", {"programmes[0].days", "mo"}},
      {R"({ "starts": ["01:10"], "minutes": 30, "percnt": 5 })", {"percnt"}},
      {R"({ "starts": ["01:10"], "minutes": 30, "days": { "every": 0 } })", {"programmes[0].days", "0"}},
  };
  for (const Fault& fault : faults) {
    const std::string file = with("fault.json", fault.programme);
    std::vector<std::string> named = fault.named;
    named.push_back(file);
    ExpectRefused(Ask(file, "2026-07-01", "2026-07-02"), named);
  }
  const std::string bare = Write("bare.json", "{ \"state\": \"on\" }");
  ExpectRefused(Ask(bare, "2026-07-01", "2026-07-02"), {bare, "programmes"});
}

TEST_F(CalendarCommand, RefusesDatesAndOptionsThatCannotBeMeant) {
  const std::string file = Write("lid.json", kDaily);
  ExpectRefused(Ask(file, "2026-7-1", "2026-07-02"), {"--from", "2026-7-1"});
  ExpectRefused(Ask(file, "2026-07-01", "2026-02-30"), {"--to", "2026-02-30"});
  ExpectRefused(Ask(file, "2026-07-02", "2026-07-02"), {"--to 2026-07-02", "--from 2026-07-02"});
  ExpectRefused(Ask(file, "2026-07-02", "2026-07-01"), {"--to 2026-07-01"});
  ExpectRefused(RunProgram({"calendar", file, "--from", "2026-07-01"}), {"--to"});
  ExpectRefused(
      RunProgram({"calendar", file, "--from", "2026-07-01", "--to", "2026-07-02", "--zone", "Chicago"}),
      {"'Chicago'"});
  ExpectRefused(Ask(file, "2026-07-01", "2026-07-02", {"--clock-fast", "ten"}), {"--clock-fast", "ten"});
  ExpectRefused(Ask(file, "2026-07-01", "2026-07-02", {"--clock-fast", "2147483647", "--am-pm-swapped"}),
                {"--clock-fast", "2147483647"});
  ExpectRefused(Ask(file, "2026-07-01", "2026-07-02", {"--clock-fast=-2147483648"}), {"--clock-fast"});
  ExpectRefused(Ask(file, "2026-07-01", "2026-07-02", {"--json", "--ics"}), {"--json", "--ics"});
}

}  // namespace
}  // namespace lastreach
