#include "app/evidence_report.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/text_table.h"
#include "calendar/settings_json.h"
#include "evidence/verdict_words.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

std::string Words(const TimerSettings& settings) {
  if (!settings.on) return "off";
  std::string text;
  for (const Programme& programme : settings.programmes) {
    if (programme.starts_min.empty()) continue;
    if (!text.empty()) text += "; ";
    for (const int start : programme.starts_min) text += FormatTimeOfDay(start) + " ";
    text += std::to_string(programme.minutes) + " min, " + Describe(programme.days);
  }
  if (text.empty()) return "nothing keyed";
  if (settings.percent != 100) text += ", " + std::to_string(settings.percent) + " %";
  return text;
}

std::string DayOf(const SettingsRecord& record, const Zone& zone) {
  return FormatDate(Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(record.recorded))});
}

Json DayOrNull(const std::optional<Date>& day) { return day ? Json(FormatDate(*day)) : Json(nullptr); }

Json JsonOf(const RankedVerdict& verdict) {
  Json json = {{"verdict", ToText(verdict.kind)}, {"probability", verdict.probability}};
  json["since"] = DayOrNull(verdict.since);
  json["earliest"] = DayOrNull(verdict.earliest);
  json["latest"] = DayOrNull(verdict.latest);
  json["until"] = DayOrNull(verdict.until);
  json["parameter"] = verdict.parameter;
  json["onward"] = verdict.onward;
  json["words"] = VerdictWords(verdict);
  json["evidence"] = verdict.evidence;
  json["settle"] = verdict.settle;
  json["same_volumes"] = Json::array();
  for (const VerdictKind kind : verdict.same_volumes) json["same_volumes"].push_back(ToText(kind));
  return json;
}

Json JsonOf(const ReadInterval& interval) {
  return {{"from", FormatDate(interval.before.day)},
          {"to", FormatDate(interval.after.day)},
          {"read_m3", interval.volume_m3},
          {"expected_m3", interval.expected_m3},
          {"expected_sd_m3", interval.expected_sd_m3},
          {"by_hand_m3", interval.by_hand_m3},
          {"counts", interval.counts},
          {"notes", interval.notes}};
}

Json JsonOf(const SettingsDifference& difference, const Zone& zone) {
  const auto side = [&](const SettingsRecord& record) {
    return Json{{"kind", ToText(record.kind)},
                {"day", DayOf(record, zone)},
                {"who", record.who},
                {"settings", Json::parse(SettingsToJson(record.settings))}};
  };
  return {{"earlier", side(difference.earlier)}, {"later", side(difference.later)}};
}

Json JsonOf(const ReconciledPoint& each, const Zone& zone) {
  const PointReconciliation& result = each.result;
  Json json = {{"point", each.point.code.text()},
               {"place", each.point.place},
               {"state", ToText(result.state)},
               {"sentence", result.sentence},
               {"needs_a_person", result.NeedsAPerson()}};
  json["last_read"] = DayOrNull(result.last_read);
  json["read_m3"] = result.read_m3;
  json["expected_m3"] = result.expected_m3;
  json["expected_sd_m3"] = result.expected_sd_m3;
  json["flow_m3_per_s"] = result.flow ? Json(result.flow->flow_m3_per_s) : Json(nullptr);
  json["flow_relative_sd"] = result.flow ? Json(result.flow->relative_sd) : Json(nullptr);
  json["flow_by_reads_m3_per_s"] =
      result.flow_by_reads_m3_per_s ? Json(*result.flow_by_reads_m3_per_s) : Json(nullptr);
  for (const char* list : {"verdicts", "intervals", "wrong_reads", "settings_differences"}) {
    json[list] = Json::array();
  }
  for (const RankedVerdict& verdict : result.verdicts) json["verdicts"].push_back(JsonOf(verdict));
  for (const ReadInterval& interval : result.intervals) json["intervals"].push_back(JsonOf(interval));
  for (const MeterRead& read : result.wrong_reads) {
    json["wrong_reads"].push_back({{"day", FormatDate(read.day)}, {"written", read.original}});
  }
  for (const SettingsDifference& difference : each.differences) {
    json["settings_differences"].push_back(JsonOf(difference, zone));
  }
  json["notes"] = result.notes;
  return json;
}

void PrintVerdict(const RankedVerdict& verdict, std::ostream& out) {
  out << "    " << OddsText(verdict.probability) << "  " << VerdictWords(verdict) << "\n      "
      << verdict.evidence << "\n      to settle it: " << verdict.settle << "\n";
  if (verdict.same_volumes.empty()) return;
  out << "      no read can tell it from:";
  for (size_t i = 0; i < verdict.same_volumes.size(); ++i) {
    out << (i > 0 ? ", " : " ") << ToText(verdict.same_volumes[i]);
  }
  out << "\n";
}

void PrintIntervals(const std::vector<ReadInterval>& intervals, std::ostream& out) {
  std::vector<std::vector<std::string>> rows = {{"from", "to", "read", "expected", ""}};
  for (const ReadInterval& interval : intervals) {
    rows.push_back(
        {FormatDate(interval.before.day), FormatDate(interval.after.day), WaterWords(interval.volume_m3),
         interval.counts
             ? WaterWords(interval.expected_m3) + " +- " +
                   OddsText(interval.expected_m3 > 0 ? interval.expected_sd_m3 / interval.expected_m3 : 0)
             : "not known",
         interval.notes.empty() ? "" : interval.notes.front()});
  }
  out << TextTable(rows);
}

void PrintDifferences(const ReconciledPoint& each, const Zone& zone, size_t most, std::ostream& out) {
  for (size_t i = 0; i < std::min(most, each.differences.size()); ++i) {
    const SettingsDifference& difference = each.differences[i];
    out << "    " << ToText(difference.earlier.kind) << " " << DayOf(difference.earlier, zone) << ": "
        << Words(difference.earlier.settings) << "; but " << ToText(difference.later.kind) << " "
        << DayOf(difference.later, zone) << ": " << Words(difference.later.settings) << "\n";
  }
}

constexpr double kWorthTelling = 0.05;

void PrintTrouble(const ReconciledPoint& each, const ReconcileReport& report, std::ostream& out) {
  out << "\n  " << each.result.sentence << (each.point.place.empty() ? "" : "  " + each.point.place) << "\n";
  for (const RankedVerdict& verdict : each.result.verdicts) {
    if (report.told_whole || verdict.probability >= kWorthTelling) PrintVerdict(verdict, out);
  }
  PrintDifferences(each, report.zone, report.told_whole ? each.differences.size() : 1, out);
  for (const std::string& note : each.result.notes) out << "    " << note << "\n";
  if (report.told_whole) PrintIntervals(each.result.intervals, out);
}

bool IsJudged(const ReconciledPoint& each) { return each.result.state == ReconcileState::kJudged; }

std::string HeadSentence(const ReconcileReport& report) {
  size_t trouble = 0, ran = 0;
  for (const ReconciledPoint& each : report.points) {
    if (IsJudged(each)) ++(each.result.NeedsAPerson() ? trouble : ran);
  }
  const size_t unknown = report.points.size() - trouble - ran;
  const auto count = [](size_t n, const std::string& one, const std::string& many) {
    return std::to_string(n) + " " + (n == 1 ? one : many);
  };
  return count(trouble, "device needs", "devices need") + " a person, " +
         count(ran, "ran as it was set", "ran as they were set") + ", and of " + std::to_string(unknown) +
         " nobody can know.";
}

}  // namespace

bool ReconcileReport::NeedsAPerson() const {
  return std::any_of(points.begin(), points.end(), [](const ReconciledPoint& each) {
    return each.result.state != ReconcileState::kNoMeter && each.result.NeedsAPerson();
  });
}

std::string ReconcileToJson(const ReconcileReport& report) {
  Json json;
  json["sentence"] = HeadSentence(report);
  json["zone"] = report.zone.name();
  json["points"] = Json::array();
  for (const ReconciledPoint& each : report.points) json["points"].push_back(JsonOf(each, report.zone));
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

void PrintReconcile(const ReconcileReport& report, std::ostream& out) {
  out << HeadSentence(report) << "\n";
  std::vector<const ReconciledPoint*> order;
  for (const ReconciledPoint& each : report.points) {
    if (IsJudged(each) && (report.told_whole || each.result.NeedsAPerson())) order.push_back(&each);
  }
  std::stable_sort(order.begin(), order.end(), [](const ReconciledPoint* a, const ReconciledPoint* b) {
    return a->result.verdicts.front().probability > b->result.verdicts.front().probability;
  });
  for (const ReconciledPoint* each : order) PrintTrouble(*each, report, out);
  std::string ran, wrong, unknown;
  for (const ReconciledPoint& each : report.points) {
    if (!IsJudged(each)) {
      unknown += "  " + each.result.sentence + "\n";
    } else if (!each.result.NeedsAPerson()) {
      const RankedVerdict& first = each.result.verdicts.front();
      ran += (ran.empty() ? "" : ", ") + each.point.code.text() + " (" + OddsText(first.probability) +
             (first.IsStartUp() ? ", from about " + FormatDate(*first.until) : "") + ")";
      for (const MeterRead& read : each.result.wrong_reads) {
        wrong += "  " + each.point.code.text() + ": the read of " + FormatDate(read.day) + ", '" +
                 read.original + "', is wrong and was left out\n";
      }
    }
  }
  if (!ran.empty() && !report.told_whole) out << "\nRan as set: " << ran << "\n" << wrong;
  if (!unknown.empty()) out << "\n" << unknown;
  out << "Odds, not certainty: the visit named decides.\n";
}

}  // namespace lastreach
