#include "evidence/verdict_words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "evidence/posterior.h"

namespace lastreach {
namespace {

std::string Number(const char* format, double value) {
  char text[48];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string ThreeFigures(double value) {
  const double size = std::abs(value);
  if (size < 0.005) return "0";
  const int digits = static_cast<int>(std::floor(std::log10(size)));
  const double unit = std::pow(10, digits - 2);
  const double rounded = std::round(value / unit) * unit;
  std::string text = Number(digits >= 2 ? "%.0f" : digits == 1 ? "%.1f" : "%.2f", rounded);
  const size_t end = digits >= 2 ? text.size() : 0;
  for (size_t at = end; at > 3 + (value < 0 ? 1U : 0U); at -= 3) text.insert(at - 3, ",");
  return text;
}

std::string Factor(double factor) {
  const auto& known = ReadFactors();
  const bool is_known = std::any_of(known.begin(), known.end(),
                                    [&](double each) { return std::abs(factor / each - 1) < 1e-9; });
  if (!is_known) return "with two figures the other way about";
  const double upside_down = 1 / factor;
  if (factor >= 1) return "times " + Number("%.4g", factor);
  return "divided by " + Number("%.4g", upside_down);
}

std::string Minutes(double minutes) {
  const int whole = static_cast<int>(std::lround(std::abs(minutes)));
  std::string text = whole % 1440 == 0 ? std::to_string(whole / 1440) + (whole == 1440 ? " day" : " days")
                     : whole % 60 == 0 ? std::to_string(whole / 60) + (whole == 60 ? " hour" : " hours")
                                       : std::to_string(whole) + " minutes";
  return text + (minutes > 0 ? " fast" : " slow");
}

std::string Since(const RankedVerdict& verdict) {
  if (!verdict.since) return verdict.kind == VerdictKind::kRanAsSet ? "" : " since the first read or before";
  std::string text = " since about " + FormatDate(*verdict.since);
  if (verdict.earliest && verdict.latest && *verdict.earliest != *verdict.latest) {
    text += " (" + FormatDate(*verdict.earliest) + " to " + FormatDate(*verdict.latest) + ")";
  }
  return text;
}

std::string Amounts(const VerdictFigures& figures) {
  if (figures.intervals == 0) return "";
  return WaterWords(figures.read_m3) + " read from " + FormatDate(figures.from) + " to " +
         FormatDate(figures.to) + " where the settings make " + WaterWords(figures.expected_m3);
}

}  // namespace

std::string OddsText(double probability) {
  if (probability >= 0.995) return "over 99 %";
  if (probability < 0.005) return "under 1 %";
  char text[16];
  std::snprintf(text, sizeof text, "%.0f %%", 100 * probability);
  return text;
}

std::string WaterWords(double volume_m3) {
  return ThreeFigures(volume_m3 / kCubicMetresPerGallon) + " gal (" + ThreeFigures(volume_m3) + " m3)";
}

std::string FlowWords(double flow_m3_per_s) {
  const Flow flow = Flow::CubicMetresPerSecond(flow_m3_per_s);
  return ThreeFigures(flow.gallons_per_minute()) + " gpm (" + ThreeFigures(flow.litres_per_second()) +
         " L/s)";
}

std::string VerdictWords(const RankedVerdict& verdict) {
  const std::string until = verdict.until ? " until about " + FormatDate(*verdict.until) : "";
  switch (verdict.kind) {
    case VerdictKind::kRanAsSet:
      return "ran as set";
    case VerdictKind::kStopped:
      if (verdict.IsStartUp()) return "not in use" + until + ", as set since";
      return (verdict.until ? "stopped" : "stopped, and still is,") + Since(verdict) + until;
    case VerdictKind::kStuckOpen:
      return (verdict.until ? "stuck open" : "stuck open, and still is,") + Since(verdict) + until;
    case VerdictKind::kWrongClockOrDay:
      return "its clock or day is wrong (" + Minutes(verdict.parameter) + ")" + Since(verdict) + until;
    case VerdictKind::kPercentChanged:
      return "ran at " + Number("%.0f", verdict.parameter) + " %" + Since(verdict) + until;
    case VerdictKind::kFlowDrifted:
      return "its flow is " + Number("%.2g", verdict.parameter) + " of what is written down" +
             Since(verdict) + until;
    case VerdictKind::kReadMistake:
      if (!verdict.since) return "all its reads are to be taken " + Factor(verdict.parameter);
      if (verdict.onward) {
        return "all reads of the new meter of " + FormatDate(*verdict.since) + " are to be taken " +
               Factor(verdict.parameter);
      }
      if (!(verdict.parameter > 0)) return "the read of " + FormatDate(*verdict.since) + " is wrong";
      return "the read of " + FormatDate(*verdict.since) + " is to be taken " + Factor(verdict.parameter);
    case VerdictKind::kDribbling:
      return "does not close: " + Number("%.2g", 100 * verdict.parameter) +
             " % of its flow runs on between runs" + Since(verdict) + until;
    case VerdictKind::kRanPlanned:
      return "ran by the planned settings" + Since(verdict) + until;
    case VerdictKind::kNoneOfThese:
      break;
  }
  return "none of these";
}

std::string EvidenceWords(const RankedVerdict& verdict, const VerdictFigures& figures) {
  const std::string amounts = Amounts(figures);
  switch (verdict.kind) {
    case VerdictKind::kRanAsSet: {
      std::string text = amounts + ".";
      if (figures.flow_by_reads_m3_per_s) {
        text += " By the reads its flow is " + FlowWords(*figures.flow_by_reads_m3_per_s) + ".";
      }
      return text;
    }
    case VerdictKind::kReadMistake: {
      const std::string which = verdict.onward  ? "The reads of the new meter"
                                : verdict.since ? "The sheet says '" + figures.read_as_written + "'"
                                                : "The reads of all dates";
      if (!(verdict.parameter > 0)) return which + "; without it the other reads fit the settings.";
      return which + "; taken " + Factor(verdict.parameter) + ", the reads fit the settings.";
    }
    case VerdictKind::kNoneOfThese:
      return amounts + ": no one cause explains all the reads.";
    default:
      break;
  }
  if (amounts.empty()) return "Its days fall between no two reads.";
  std::string text = amounts + "; so explained it would be " + WaterWords(figures.explained_m3) + ".";
  if (figures.low_residuals > 0) {
    text += " " + std::to_string(figures.low_residuals) +
            (figures.low_residuals == 1 ? " residual was" : " residuals were") + " low at its end meanwhile.";
  }
  return text;
}

std::string SettleWords(const RankedVerdict& verdict) {
  switch (verdict.kind) {
    case VerdictKind::kRanAsSet:
      return "none needed: read it at the next round";
    case VerdictKind::kStopped:
      if (verdict.IsStartUp()) return "none needed if it was started up then; ask who did";
      return "open the lid: battery, whether it is on, isolation valve; start a run by hand and see the dial "
             "turn";
    case VerdictKind::kStuckOpen:
      return "look whether it runs now; shut the isolation valve, then look for grit or a torn diaphragm";
    case VerdictKind::kWrongClockOrDay:
      return "hold its clock and date against a phone, with the hour and the day of the week; write down "
             "both";
    case VerdictKind::kPercentChanged:
      return "read the percentage and the minutes of every programme back from the timer";
    case VerdictKind::kFlowDrifted:
      return "time its flow with the meter or a drum for three minutes";
    case VerdictKind::kReadMistake:
      return "read the dial again, every figure of it, and write down its unit";
    case VerdictKind::kDribbling:
      return "look at the outlet and the dial while it should be shut";
    case VerdictKind::kRanPlanned:
      return "read the settings back from the timer and hold them against both lists";
    case VerdictKind::kNoneOfThese:
      break;
  }
  return "read the dial now and again in a week; read the settings and the clock back";
}

}  // namespace lastreach
