#include "evidence/read_intervals.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <utility>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

// What was written on the sheet, before its unit.
struct WrittenNumber {
  std::string figures;  // with its point, if any
  double value = 0;
  int decimals = 0;
  int zeros_at_end = 0;  // of a number without decimals
};

WrittenNumber NumberIn(const std::string& original) {
  WrittenNumber number;
  std::string& digits = number.figures;
  bool behind_the_point = false;
  for (const char c : original) {
    if (c == ',' && !digits.empty()) continue;
    if (c == '.' && !behind_the_point) {
      behind_the_point = true;
    } else if (c >= '0' && c <= '9') {
      number.decimals += behind_the_point ? 1 : 0;
    } else {
      if (!digits.empty()) break;
      continue;
    }
    digits += c;
  }
  if (digits.empty()) return number;
  number.value = std::strtod(digits.c_str(), nullptr);
  while (number.zeros_at_end < std::ssize(digits) &&
         digits[digits.size() - 1 - static_cast<size_t>(number.zeros_at_end)] == '0') {
    ++number.zeros_at_end;
  }
  return number;
}

// Where the sheet does not say how fine the dial is.
constexpr double kUnknownStep_m3 = 0.1;
constexpr int kFewReads = 3;
constexpr int kMostZeros = 4;

// Of each read: one figure of its last place, last zeros that every read ends with left out.
std::vector<double> StepsOf(const std::vector<MeterRead>& reads) {
  int zeros = kMostZeros;
  for (const MeterRead& read : reads) {
    const WrittenNumber number = NumberIn(read.original);
    if (number.value > 0) zeros = std::min(zeros, number.decimals > 0 ? 0 : number.zeros_at_end);
  }
  if (std::ssize(reads) < kFewReads) zeros = 0;
  std::vector<double> steps;
  for (const MeterRead& read : reads) {
    const WrittenNumber number = NumberIn(read.original);
    const double total_m3 = read.total.cubic_metres();
    steps.push_back(number.value > 0 && total_m3 > 0
                        ? total_m3 / number.value * std::pow(10, zeros - number.decimals)
                        : kUnknownStep_m3);
  }
  return steps;
}

// The least power of ten of the dial's step that the number before fits under; none where that is far off:
// between two reads a dial moves by a small part of what it holds.
std::optional<double> GuessedTurn_m3(double total_m3, double step_m3) {
  constexpr double kNear = 0.8;
  double turn_m3 = step_m3;
  while (turn_m3 <= total_m3) turn_m3 *= 10;
  if (total_m3 < kNear * turn_m3) return std::nullopt;
  return turn_m3;
}

// Whether the dial turned over between two reads. A read that is lower than the one before may as well be
// wrong, or the one before may: then the reads on its other side go on as if it were not there.
bool TurnedOver(const std::vector<MeterRead>& reads, size_t now, double turn_m3, double most_m3) {
  const double now_m3 = reads[now].total.cubic_metres();
  const double last_m3 = reads[now - 1].total.cubic_metres();
  if (now_m3 + turn_m3 - last_m3 > most_m3) return false;
  if (now + 1 < reads.size() && reads[now + 1].total.cubic_metres() >= last_m3) return false;
  return now < 2 || reads[now - 2].new_meter_at || reads[now - 2].total.cubic_metres() > now_m3;
}

// What is to be added to the numbers of read `now` and those after it.
double JumpAt(const PointRecords& records, const std::vector<MeterRead>& reads, size_t now, double step_m3,
              double most_m3, std::vector<std::string>* notes) {
  const MeterRead& before = reads[now - 1];
  const double last_m3 = before.total.cubic_metres();
  const double now_m3 = reads[now].total.cubic_metres();
  const auto note = [&](const std::string& words) {
    if (notes != nullptr) notes->push_back(words + " " + FormatDate(reads[now].day));
  };
  if (before.new_meter_at) return last_m3 - before.new_meter_at->cubic_metres();
  if (now_m3 >= last_m3) return 0;
  if (reads[now].day == before.day) {
    note("the meter was changed on");
    return last_m3 - now_m3;
  }
  const std::optional<double> turn_m3 = records.point.meter_turns_over_at
                                            ? std::optional(records.point.meter_turns_over_at->cubic_metres())
                                            : GuessedTurn_m3(last_m3, step_m3);
  if (turn_m3 && TurnedOver(reads, now, *turn_m3, most_m3)) {
    note("the dial turned over before");
    return *turn_m3;
  }
  note("the dial shows less than before on");
  return 0;
}

}  // namespace

std::vector<DialRead> DialReads(const PointRecords& records, double most_m3_per_s,
                                std::vector<std::string>* notes) {
  std::vector<MeterRead> counting;
  for (const MeterRead& read : records.reads) {
    const bool counts = !read.is_estimate || read.new_meter_at.has_value();
    if (counts) counting.push_back(read);
    if (!counts && notes != nullptr) {
      notes->push_back("the read of " + FormatDate(read.day) + " is an estimate and left out");
    }
  }
  const std::vector<double> steps = StepsOf(counting);
  std::vector<DialRead> dial;
  double added_m3 = 0;
  for (size_t i = 0; i < counting.size(); ++i) {
    DialRead read;
    read.read = counting[i];
    read.at = MomentOf(records.zone, read.read.day, read.read.minute_of_day);
    read.step_m3 = steps[i];
    if (!dial.empty()) {
      const double seconds = static_cast<double>((read.at - dial.back().at).count());
      // A day more, for reads without a time; and a tenth, for a flow that is not well known.
      const double most_m3 = 1.1 * most_m3_per_s * (seconds + kSecondsPerDay);
      added_m3 += JumpAt(records, counting, i, read.step_m3, most_m3, notes);
    }
    read.total_m3 = read.read.total.cubic_metres() + added_m3;
    read.new_meter = read.read.new_meter_at.has_value() || (i > 0 && counting[i - 1].day == read.read.day &&
                                                            counting[i - 1].total > read.read.total);
    // The second of two reads at one visit stands for both: the new meter's first figure, or a read again.
    if (!dial.empty() && dial.back().at == read.at) {
      dial.back() = read;
    } else {
      dial.push_back(read);
    }
  }
  const double first_m3 = dial.empty() ? 0 : dial.front().total_m3;
  for (DialRead& read : dial) read.total_m3 -= first_m3;
  return dial;
}

std::vector<double> SwappedFigures(const std::string& original) {
  const WrittenNumber number = NumberIn(original);
  std::vector<double> factors;
  for (size_t i = 0; i + 1 < number.figures.size(); ++i) {
    const size_t next = i + (number.figures[i + 1] == '.' ? 2 : 1);
    if (number.figures[i] == '.' || next >= number.figures.size()) continue;
    if (number.figures[i] == number.figures[next]) continue;
    std::string swapped = number.figures;
    std::swap(swapped[i], swapped[next]);
    factors.push_back(std::strtod(swapped.c_str(), nullptr) / number.value);
  }
  return factors;
}

std::vector<ReadInterval> ReadIntervals(const std::vector<DialRead>& reads) {
  std::vector<ReadInterval> intervals;
  for (size_t i = 1; i < reads.size(); ++i) {
    ReadInterval interval;
    interval.from = reads[i - 1].at;
    interval.to = reads[i].at;
    interval.before = reads[i - 1].read;
    interval.after = reads[i].read;
    interval.volume_m3 = reads[i].total_m3 - reads[i - 1].total_m3;
    // Each dial shows the last full step: an even error of one step at either end.
    interval.sd_m3 = std::hypot(reads[i - 1].step_m3, reads[i].step_m3) / std::sqrt(12.0);
    intervals.push_back(interval);
  }
  return intervals;
}

}  // namespace lastreach
