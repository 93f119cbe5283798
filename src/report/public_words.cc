#include "report/public_words.h"

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

#include "report/clock_words.h"
#include "report/words.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

constexpr int kMinutesPerDay = 24 * 60;
constexpr int kNeighbours_min = 15;
constexpr char kRoundTheClock[] = "round the clock";

Date DayOf(LocalTime time) { return Date(chrono::floor<chrono::days>(time)); }

// Runs that follow each other closely are one to whoever walks past.
std::vector<ClockSpan> Merged(std::vector<ClockSpan> spans) {
  std::sort(spans.begin(), spans.end(), [](const ClockSpan& a, const ClockSpan& b) {
    return std::tie(a.from_min, a.to_min) < std::tie(b.from_min, b.to_min);
  });
  std::vector<ClockSpan> merged;
  for (const ClockSpan& span : spans) {
    if (!merged.empty() && span.from_min < merged.back().to_min + kNeighbours_min) {
      merged.back().to_min = std::max(merged.back().to_min, span.to_min);
    } else {
      merged.push_back(span);
    }
  }
  return merged;
}

// Days that are not days of the week, on the timer's calendar, and how many days later the run is seen.
using DateKey = std::tuple<size_t, int, std::optional<Date>, int>;

std::string DaysOfKey(const DateKey& key, bool skips_31st, SheetUnits units) {
  const auto& [kind, n, from, later] = key;
  if (kind == DayPattern(EveryNDays{}).index()) {
    const std::string rhythm = DaysInSpeech(EveryNDays{n, {}});
    return from && n > 1 ? rhythm + ", counted from " + ShortDate(AddDays(*from, later), units) : rhythm;
  }
  const bool odd = kind == DayPattern(OddDates{}).index();
  const std::string dates = odd ? "odd dates" : "even dates";
  if (later == 0) return odd && skips_31st ? dates + " but the 31st" : dates;
  return std::string("the day ") + (later > 0 ? "after " : "before ") +
         (odd ? "an odd date" : "an even date");
}

// Runs of one stretch sorted by the day they are seen on.
struct SeenRuns {
  std::array<std::vector<ClockSpan>, 7> week{};
  std::map<DateKey, std::vector<ClockSpan>> dates{};
};

void Sort(const Run& run, const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
          int clock_fast_minutes, SeenRuns& seen) {
  const LocalTime local = zone.ToLocal(run.start);
  const Date day = DayOf(local);
  const int from_min = static_cast<int>(chrono::floor<chrono::minutes>(local - Midnight(day)).count());
  const ClockSpan span{from_min, from_min + run.minutes};
  const DayPattern& pattern = settings.programmes[static_cast<size_t>(run.programme - 1)].days;
  if (std::holds_alternative<Weekdays>(pattern)) {
    const auto weekday = chrono::weekday(chrono::sys_days(day)).iso_encoding() - 1;
    seen.week[weekday].push_back(span);
    return;
  }
  const LocalTime clock = DeviceClockAt(form, zone, run.start) + chrono::minutes(clock_fast_minutes);
  const int later = DayNumber(day) - DayNumber(DayOf(clock));
  const auto* every = std::get_if<EveryNDays>(&pattern);
  seen.dates[{pattern.index(), every ? every->n : 0, every ? every->from : std::nullopt, later}].push_back(
      span);
}

std::vector<DayHours> InWords(const SeenRuns& seen, const ControllerForm& form, SheetUnits units) {
  std::vector<DayHours> all;
  unsigned told = 0;
  for (size_t day = 0; day < 7; ++day) {
    const std::vector<ClockSpan> spans = Merged(seen.week[day]);
    if (spans.empty() || (told >> day & 1U) != 0) continue;
    Weekdays same;
    for (size_t other = day; other < 7; ++other) {
      if (Merged(seen.week[other]) == spans) same.bits |= 1U << other;
    }
    told |= same.bits;
    all.push_back({DaysInSpeech(same), spans});
  }
  for (const auto& [key, spans] : seen.dates) {
    all.push_back({DaysOfKey(key, form.odd_skips_31st.value_or(false), units), Merged(spans)});
  }
  return all;
}

std::vector<std::string> SpansOf(const DayHours& hours) {
  const bool always = std::any_of(hours.spans.begin(), hours.spans.end(), [](const ClockSpan& span) {
    return span.to_min - span.from_min >= kMinutesPerDay;
  });
  return always ? std::vector<std::string>{kRoundTheClock} : SpansByPartOfDay(hours.spans);
}

std::string Earlier(int minutes) {
  return minutes == 60 ? "an hour earlier" : MinutesInWords(minutes) + " earlier";
}

// "until October 31", "from November 1"; empty where the hours stay the same throughout.
std::string WhenOf(const std::vector<HoursOfStretch>& hours, size_t index, SheetUnits units) {
  if (hours.size() < 2) return "";
  return index == 0 ? "until " + ShortDate(AddDays(hours[0].to, -1), units)
                    : "from " + ShortDate(hours[index].from, units);
}

// The days on a line of their own, then a line for each run; where they are many, for each part of the day.
std::vector<std::string> SignLines(const std::vector<HoursOfStretch>& hours, SheetUnits units) {
  constexpr size_t kMostSpans = 6;
  size_t spans = 0;
  for (const HoursOfStretch& stretch : hours) {
    for (const DayHours& day : stretch.days) spans += day.spans.size();
  }
  std::vector<std::string> lines;
  for (size_t i = 0; i < hours.size(); ++i) {
    const std::string when = WhenOf(hours, i, units);
    for (const DayHours& day : hours[i].days) {
      lines.push_back(day.days + (when.empty() ? "" : ", " + when));
      lines.back()[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(lines.back()[0])));
      if (spans > kMostSpans || SpansOf(day).front() == std::string_view(kRoundTheClock)) {
        for (const std::string& part : SpansOf(day)) lines.push_back(part);
      } else {
        for (const ClockSpan& span : day.spans) lines.push_back(SpansInSpeech({span}));
      }
    }
    if (hours[i].perhaps_earlier_min > 0) lines.push_back("or " + Earlier(hours[i].perhaps_earlier_min));
  }
  return lines;
}

}  // namespace

std::vector<HoursOfStretch> PublicHours(const ControllerForm& form, const TimerSettings& settings,
                                        const Zone& zone, DateWindow window, SheetUnits units,
                                        int clock_fast_minutes) {
  if (!MakesRuns(settings)) return {};
  const ClockState clock{form.follows_clock_change.value_or(false), clock_fast_minutes};
  std::vector<HoursOfStretch> stretches;
  const auto pieces =
      zone.Offsets(zone.FirstInstant(Midnight(window.from)), zone.FirstInstant(Midnight(window.to)));
  for (size_t i = 0; i < pieces.size(); ++i) {
    HoursOfStretch stretch;
    stretch.from = i == 0 ? window.from : DayOf(zone.ToLocal(pieces[i].from));
    stretch.to = i + 1 < pieces.size() ? DayOf(zone.ToLocal(pieces[i + 1].from)) : window.to;
    // On the day of the change itself some runs still come by the old hours.
    const Date first = i == 0 ? stretch.from : AddDays(stretch.from, 1);
    SeenRuns seen;
    for (const Run& run : ExpandRuns(form, settings, zone, {first, stretch.to}, clock)) {
      Sort(run, form, settings, zone, clock_fast_minutes, seen);
    }
    stretch.days = InWords(seen, form, units);
    if (!form.follows_clock_change) {
      stretch.perhaps_earlier_min =
          static_cast<int>((pieces[i].offset - pieces[i].standard_offset).count() / 60);
    }
    const bool as_before = !stretches.empty() &&
                           std::equal(stretch.days.begin(), stretch.days.end(), stretches.back().days.begin(),
                                      stretches.back().days.end(), [](const DayHours& a, const DayHours& b) {
                                        return a.days == b.days && a.spans == b.spans;
                                      });
    if (as_before) {
      stretches.back().to = stretch.to;
    } else if (!stretch.days.empty()) {
      stretches.push_back(std::move(stretch));
    }
  }
  return stretches;
}

std::string PublicHoursInWords(const std::vector<HoursOfStretch>& hours, SheetUnits units) {
  std::string text;
  for (size_t i = 0; i < hours.size(); ++i) {
    std::string when = WhenOf(hours, i, units);
    if (!when.empty()) when += " ";
    for (const DayHours& day : hours[i].days) {
      text += (text.empty() ? "" : "; ") + std::exchange(when, "") + JoinedWithAnd(SpansOf(day)) + ", " +
              day.days;
    }
    if (hours[i].perhaps_earlier_min > 0) text += ", or " + Earlier(hours[i].perhaps_earlier_min);
  }
  return text;
}

std::optional<TimerSettings> StandingSettings(const DevicePlan& device) {
  const bool keyed = device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep;
  return keyed ? std::optional(device.settings) : device.present;
}

SignWords SignFor(const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                  const SheetOptions& options) {
  SignWords sign;
  const bool planned = device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep;
  const int fast = planned ? 0 : static_cast<int>(device.fast_clock_minutes);
  if (const auto settings = StandingSettings(device)) {
    const auto hours = PublicHours(device.form, *settings, zone, {plan.from, plan.to}, options.units, fast);
    sign.hours = SignLines(hours, options.units);
    sign.in_one_line = PublicHoursInWords(hours, options.units);
  }
  sign.questions = "Questions, or running at another hour: " +
                   (options.emergency_phone.empty() ? "____________________" : options.emergency_phone);
  return sign;
}

std::string SignInOneLine(const SignWords& sign) {
  return sign.headline + ": " + sign.in_one_line + ". " + sign.purpose + " " + sign.questions + ".";
}

PhoneWords PhoneWordsFor(const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                         SheetUnits units) {
  const auto hours_of = [&](const TimerSettings& settings, double fast_minutes) {
    const std::string text = PublicHoursInWords(
        PublicHours(device.form, settings, zone, {plan.from, plan.to}, units, static_cast<int>(fast_minutes)),
        units);
    return text.empty() ? "should not run" : text;
  };
  PhoneWords words{device.point.place, device.point.code.text(), "", "", false};
  const std::string now = device.present ? hours_of(*device.present, device.fast_clock_minutes)
                                         : "not known: nobody has written down what is keyed";
  if (device.verdict == Verdict::kChange || device.verdict == Verdict::kKeep) {
    words.planned = hours_of(device.settings, 0);
    if (device.verdict == Verdict::kChange && now != words.planned) words.till_then = now;
    words.runs = MakesRuns(device.settings);
  } else {
    words.planned = now;
    words.runs = !device.present || MakesRuns(*device.present);
  }
  return words;
}

}  // namespace lastreach
