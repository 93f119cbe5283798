#include "calendar/answer.h"

#include "calendar/warnings.h"

namespace lastreach {
namespace {

// The lengths of every-N programmes whose first day nobody knows, in programme order.
std::vector<int> UnknownPhases(const TimerSettings& settings) {
  std::vector<int> lengths;
  for (const Programme& programme : settings.programmes) {
    const auto* every = std::get_if<EveryNDays>(&programme.days);
    if (every != nullptr && !every->from) lengths.push_back(every->n);
  }
  return lengths;
}

// Counts through every combination of phases; false after the last.
bool NextPhases(const std::vector<int>& lengths, std::vector<int>& phases) {
  for (size_t i = 0; i < lengths.size(); ++i) {
    if (++phases[i] < lengths[i]) return true;
    phases[i] = 0;
  }
  return false;
}

// Beyond this many combinations programmes are looked at one after the other, twice round.
constexpr double kMostCombinations = 30000;

bool TooManyToTryAll(const std::vector<int>& lengths) {
  double combinations = 1;
  for (const int length : lengths) combinations *= length;
  return combinations > kMostCombinations;
}

// The phases whose longest gap is the longest, the first such.
std::vector<int> WorstPhases(const DeviceSettings& device, const Zone& zone, DateWindow window,
                             ClockState clock, const std::vector<int>& lengths) {
  std::vector<int> worst(lengths.size(), 0);
  double worst_h = -1;
  const auto try_phases = [&](const std::vector<int>& phases) {
    const auto gap = LongestGap(ExpandRuns(device.form, device.settings, zone, window, clock, phases));
    if (!gap || gap->hours() <= worst_h) return;
    worst_h = gap->hours();
    worst = phases;
  };
  if (!TooManyToTryAll(lengths)) {
    std::vector<int> phases(lengths.size(), 0);
    do {
      try_phases(phases);
    } while (NextPhases(lengths, phases));
    return worst;
  }
  for (size_t turn = 0; turn < 2 * lengths.size(); ++turn) {
    const size_t programme = turn % lengths.size();
    std::vector<int> phases = worst;
    for (phases[programme] = 0; phases[programme] < lengths[programme]; ++phases[programme])
      try_phases(phases);
  }
  return worst;
}

std::string PhaseWarning(const TimerSettings& settings, DateWindow window, const std::vector<int>& phases,
                         const std::vector<int>& lengths) {
  const std::string how =
      TooManyToTryAll(lengths)
          ? "the phases are too many to try them all together, so each programme was tried in turn"
          : "every phase was considered";
  std::string text;
  size_t unknown = 0;
  for (size_t i = 0; i < settings.programmes.size(); ++i) {
    const auto* every = std::get_if<EveryNDays>(&settings.programmes[i].days);
    if (every == nullptr || every->from) continue;
    text += (text.empty() ? "programme " : ", programme ") + std::to_string(i + 1) + " with " +
            FormatDate(AddDays(window.from, phases[unknown++] - 2)) + " as a run day";
  }
  return "the first day of an every-N programme is not known: " + how +
         ", and the runs listed are those with the longest gap (" + text + ")";
}

}  // namespace

std::optional<Gap> LongestGap(const std::vector<Run>& runs) {
  std::optional<Gap> longest;
  for (size_t i = 1; i < runs.size(); ++i) {
    const Gap gap{runs[i - 1].end(), runs[i].start};
    if (!longest || gap.to - gap.from > longest->to - longest->from) longest = gap;
  }
  return longest;
}

CalendarAnswer AnswerCalendar(const DeviceSettings& device, const Zone& zone, DateWindow window,
                              int clock_fast_minutes) {
  const ClockState clock{device.form.follows_clock_change.value_or(false), clock_fast_minutes};
  const std::vector<int> lengths = UnknownPhases(device.settings);
  const std::vector<int> phases =
      lengths.empty() ? std::vector<int>{} : WorstPhases(device, zone, window, clock, lengths);

  CalendarAnswer answer;
  answer.phases = phases;
  answer.runs = ExpandRuns(device.form, device.settings, zone, window, clock, phases);
  const DateWindow year{window.from, AddYears(window.from, 1)};
  answer.runs_per_year =
      static_cast<int>(ExpandRuns(device.form, device.settings, zone, year, clock, phases).size());
  answer.longest_gap = LongestGap(answer.runs);
  for (const Run& run : answer.runs) answer.total_minutes += run.minutes;
  answer.warnings = CalendarWarnings(device, zone, window, clock, answer.runs);
  if (!lengths.empty() && device.settings.on) {
    answer.warnings.push_back(PhaseWarning(device.settings, window, phases, lengths));
  }
  return answer;
}

}  // namespace lastreach
