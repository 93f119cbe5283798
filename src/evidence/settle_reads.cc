#include "evidence/settle_reads.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "evidence/posterior.h"

namespace lastreach {
namespace {

constexpr double kShareOff = 0.25;
constexpr double kRunsOff = 3;
constexpr double kRunsOn = 0.15;
constexpr double kFactorWithin = 0.03;

// What came and what should have come between two reads.
struct Span {
  double read_m3 = 0;
  double expected_m3 = 0;
  double seconds = 0;
  bool known = true;
};

Span operator+(const Span& a, const Span& b) {
  return {a.read_m3 + b.read_m3, a.expected_m3 + b.expected_m3, a.seconds + b.seconds, a.known && b.known};
}

class Settler {
 public:
  Settler(const PointRecords& records, const KnownFlow& flow, std::vector<DialRead>& dial)
      : flow_(flow), dial_(dial) {
    double runs = 0, minutes = 0;
    for (size_t i = 1; i < dial.size(); ++i) {
      const ExpectedWater water = ExpectedBetween(records, dial[i - 1].at, dial[i].at);
      const double m3_per_min = flow.flow_m3_per_s * kSecondsPerMinute;
      spans_.push_back({dial[i].total_m3 - dial[i - 1].total_m3 - water.by_hand_m3,
                        m3_per_min * water.open_minutes,
                        static_cast<double>((dial[i].at - dial[i - 1].at).count()), water.unknown_s <= 0});
      runs += water.runs;
      minutes += water.open_minutes;
    }
    run_m3_ = runs > 0 ? flow.flow_m3_per_s * kSecondsPerMinute * minutes / runs : 0.1;
  }

  // The read that is furthest off, if any is.
  std::optional<size_t> Worst() const {
    std::optional<size_t> worst;
    double most = 1;
    for (size_t read = 1; read + 1 < dial_.size(); ++read) {
      const double off = Off(read);
      if (off <= most) continue;
      most = off;
      worst = read;
    }
    return worst;
  }

  // What the dial should have shown at a read.
  double Right_m3(size_t read) const { return dial_[read].read.total.cubic_metres() - TooMuch_m3(read); }

  void TakeOut(size_t read) {
    spans_[read - 1] = spans_[read - 1] + spans_[read];
    spans_.erase(spans_.begin() + static_cast<ptrdiff_t>(read));
    dial_.erase(dial_.begin() + static_cast<ptrdiff_t>(read));
  }

 private:
  double TooMuch_m3(size_t read) const {
    const Span &before = spans_[read - 1], both = before + spans_[read];
    const double share =
        both.expected_m3 > 0 ? before.expected_m3 / both.expected_m3 : before.seconds / both.seconds;
    return before.read_m3 - share * both.read_m3;
  }

  // How far a read is off, over what is too far; 0 where its neighbours do not agree without it.
  double Off(size_t read) const {
    const Span both = spans_[read - 1] + spans_[read];
    if (!both.known || dial_[read].new_meter || dial_[read - 1].new_meter) return 0;
    if (!AgreeWithout(read, both)) return 0;
    return std::abs(TooMuch_m3(read)) / std::max(kShareOff * both.expected_m3, kRunsOff * run_m3_);
  }

  bool AgreeWithout(size_t read, const Span& both) const {
    const double slack_m3 = 2 * run_m3_;
    const auto near = [&](double expected_m3, double share) {
      return std::abs(both.read_m3 - expected_m3) <= share * expected_m3 + slack_m3;
    };
    if (near(both.expected_m3, 2 * flow_.relative_sd)) return true;
    const auto runs_on = [&](const Span& beside) {
      if (!beside.known || !(beside.expected_m3 > 0) || beside.read_m3 < 0) return false;
      return near(both.expected_m3 * beside.read_m3 / beside.expected_m3, kRunsOn);
    };
    return (read >= 2 && runs_on(spans_[read - 2])) ||
           (read + 1 < spans_.size() && runs_on(spans_[read + 1]));
  }

  const KnownFlow& flow_;
  std::vector<DialRead>& dial_;
  std::vector<Span> spans_;
  double run_m3_ = 0;
};

std::string FactorWords(double written_m3, double right_m3) {
  for (const double factor : ReadFactors()) {
    if (!(written_m3 > 0) || std::abs(right_m3 / written_m3 / factor - 1) > kFactorWithin) continue;
    char text[64];
    std::snprintf(text, sizeof text, "; %s %.4g it would fit", factor > 1 ? "times" : "divided by",
                  factor > 1 ? factor : 1 / factor);
    return text;
  }
  return "";
}

}  // namespace

std::vector<MeterRead> SettleReads(const PointRecords& records, const KnownFlow& flow,
                                   std::vector<DialRead>& dial, std::vector<std::string>& notes) {
  std::vector<MeterRead> wrong;
  if (dial.size() < 3) return wrong;
  Settler settler(records, flow, dial);
  while (const auto worst = settler.Worst()) {
    const MeterRead& read = dial[*worst].read;
    notes.push_back("the read of " + FormatDate(read.day) + " ('" + read.original +
                    "') is wrong by those before and after it, and left out" +
                    FactorWords(read.total.cubic_metres(), settler.Right_m3(*worst)));
    wrong.push_back(read);
    settler.TakeOut(*worst);
  }
  return wrong;
}

}  // namespace lastreach
