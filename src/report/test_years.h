#pragma once

#include "report/test_plans.h"
#include "report/year_paper.h"
#include "year/year_plan.h"

namespace lastreach {

// A year made by hand for the tests of this room: four parts, three devices, nothing computed.

inline YearPart TestPart(const char* name, Date from, Date to, std::vector<int> months) {
  return {name, {from, to}, std::move(months)};
}

inline PartOfDevice TestPartOfDevice(const TimerSettings& settings, double water_m3,
                                     PartState state = PartState::kHeld, const char* words = "") {
  PartOfDevice part;
  part.state = state;
  part.settings = settings;
  part.water_m3 = water_m3;
  part.words = words;
  return part;
}

inline SettingsChange TestChange(Date when, const char* code, const TimerSettings& settings) {
  SettingsChange change;
  change.when = when;
  change.point = PointCode(code);
  change.settings = settings;
  return change;
}

inline DeviceYear TestDeviceYear(const char* code, const char* place, std::vector<PartOfDevice> parts) {
  DeviceYear device;
  device.point.code = PointCode(code);
  device.point.place = place;
  device.parts = std::move(parts);
  for (const PartOfDevice& part : device.parts) device.water_m3 += part.water_m3;
  return device;
}

// FP-014 is keyed anew in June and October, FP-020 only has its percentage turned, FP-031 is off for frost.
inline YearPlan TestYear() {
  const TimerSettings summer{true, 100, {{{70, 790}, 12, kEveryWeekday, {}}}};
  const TimerSettings winter{true, 100, {{{70}, 12, Weekdays{0x15}, {}}}};
  const TimerSettings off{false, 100, {}};
  TimerSettings full{true, 100, {{{130, 490, 850, 1210}, 8, kEveryWeekday, {}}}};
  TimerSettings turned = full;
  turned.percent = 60;
  const Date spring_day = TestDate(2027, 4, 1), summer_day = TestDate(2026, 6, 1),
             autumn_day = TestDate(2026, 10, 1), winter_day = TestDate(2026, 12, 1);
  YearPlan year;
  year.parts = {TestPart("summer, June to September 2026", summer_day, autumn_day, {6, 7, 8, 9}),
                TestPart("autumn, October and November 2026", autumn_day, winter_day, {10, 11}),
                TestPart("winter, December 2026 to March 2027", winter_day, spring_day, {1, 2, 3, 12}),
                TestPart("spring, April and May 2027", spring_day, TestDate(2027, 6, 1), {4, 5})};
  year.devices = {
      TestDeviceYear("FP-014", "End of Heron Lane, at no. 27",
                     {TestPartOfDevice(summer, 650), TestPartOfDevice(winter, 90),
                      TestPartOfDevice(winter, 180), TestPartOfDevice(winter, 90)}),
      TestDeviceYear("FP-020", "Mill Row",
                     {TestPartOfDevice(full, 900), TestPartOfDevice(turned, 300),
                      TestPartOfDevice(turned, 600), TestPartOfDevice(full, 450)}),
      TestDeviceYear(
          "FP-031", "Ford Road at the bridge",
          {TestPartOfDevice(summer, 400), TestPartOfDevice(summer, 200),
           TestPartOfDevice(off, 0, PartState::kFrost,
                            "off for frost (source: council rule 7): the target is not held, the end "
                            "has 0.2 mg/L at the worst moment. Read it then."),
           TestPartOfDevice(summer, 200)})};
  year.devices[0].visits = 2;
  year.devices[1].visits = 1;
  year.devices[2].visits = 2;
  year.changes = {TestChange(summer_day, "FP-014", summer), TestChange(autumn_day, "FP-014", winter),
                  TestChange(autumn_day, "FP-020", turned), TestChange(winter_day, "FP-031", off),
                  TestChange(spring_day, "FP-020", full),   TestChange(spring_day, "FP-031", summer)};
  year.changes[2].percent_only = 60;
  year.changes[4].percent_only = 100;
  year.changes[4].on_a_trip = true;
  year.to_begin = {TestChange(summer_day, "FP-020", full), TestChange(summer_day, "FP-031", summer)};
  year.water_m3 = 4060;
  year.visits = 5;
  year.worth_m3_a_visit = 100;
  year.frontier = {
      {2, 5200, 0, {}}, {3, 4700, 500, {}}, {4, 4300, 400, {}}, {5, 4060, 240, {}}, {6, 4030, 30, {}}};
  year.named = {{"one setting all year", 5200, 2, 2, {}, ""}, {"four changes a year", 4040, 7, 8, {}, ""}};
  year.notes = {"The water of December to March is not known: taken as in the worst week."};
  return year;
}

inline YearPaper TestYearPaper() {
  YearPaper paper;
  paper.name = "June 2026 to May 2027";
  for (const char* code : {"FP-014", "FP-020", "FP-031"}) paper.forms[PointCode(code)] = TestForm();
  paper.present[PointCode("FP-020")] = {true, 130, {{{130}, 30, kEveryWeekday, {}}}};
  paper.trip_months[PointCode("FP-020")] = {4, 9};
  return paper;
}

}  // namespace lastreach
