#pragma once

#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"

namespace lastreach {

// Times and amounts as a person says them, for sentences that are read out. Never AM or PM.

std::string NumberInSpeech(int number);  // 1 to 12 in words, else digits

// "eight hours", "36 hours", from 72 on in days: "three days and four hours". To the nearest hour.
std::string HoursInSpeech(double hours);

// Rising minutes of the day: "one and nine in the morning and five in the afternoon"; in digits, "1:10 and
// 9:00 in the morning", as soon as one of them is not a full hour.
std::string TimesInSpeech(const std::vector<int>& minutes_of_day);

// A stretch of the clock; `to_min` past 1440 is on the next day.
struct ClockSpan {
  int from_min = 0;
  int to_min = 0;
  friend bool operator==(const ClockSpan&, const ClockSpan&) = default;
};

// "1:10 to 1:35 and 3:10 to 3:35 in the morning"; "11:50 in the morning to 12:20 in the afternoon".
std::string SpansInSpeech(const std::vector<ClockSpan>& spans);
// The same in pieces, one for each part of the day.
std::vector<std::string> SpansByPartOfDay(const std::vector<ClockSpan>& spans);

// "every day", "Monday to Friday", "every day but Sunday", "odd dates", "every three days".
std::string DaysInSpeech(const DayPattern& days);

// What settings run, on the timer's own clock: "ten minutes at one in the morning, every day". Programmes
// that run as long on the same days are told together; more than three kinds are summed up: "20 runs of three
// to twelve minutes a week". REQUIRES: they are on and make runs.
std::string ScheduleInSpeech(const ControllerForm& form, const TimerSettings& settings);

// Whether they are on and some programme of theirs makes runs.
bool MakesRuns(const TimerSettings& settings);

}  // namespace lastreach
