#include "year/device_choices.h"

#include <algorithm>

#include "year/turned_settings.h"

namespace lastreach {
namespace {

// What planning may leave on the table: up to a tenth for fewer runs a day.
constexpr double kNoLessThan = 0.9;
// A part's own days may count a run more or less from another first day.
constexpr double kAboutAsMuch = 0.98;
// A step or two answers for another calendar; what needs more is another plan.
constexpr int kMostLengthenings = 3;

TimerSettings Off() {
  TimerSettings off;
  off.on = false;
  return off;
}

class Chooser {
 public:
  Chooser(DeviceParts& parts, const std::vector<YearPart>& year, const ChoiceOptions& options)
      : parts_(parts), year_(year), options_(options) {}

  DeviceChoices Choose() {
    PlanParts();
    if (!hardest_) return std::move(out_);
    for (const YearPart& part : year_) {
      out_.table.visits_to_change.push_back(options_.trip_months.contains(part.months.front()) ? 0 : 1);
    }
    GatherCandidates();
    do {
      Schedule();
    } while (JudgeWhatIsUsed() || TrustOwnSettings());
    return std::move(out_);
  }

 private:
  void PlanParts() {
    double most_m3_per_day = -1;
    for (size_t p = 0; p < year_.size(); ++p) {
      out_.plans.emplace_back();
      if (LiesIn(year_[p], options_.frost.months)) {
        out_.states.push_back(PartState::kFrost);
        continue;
      }
      DevicePlan& plan = out_.plans.back() = parts_.Plan(p);
      const bool held =
          plan.planned_outcome && (plan.verdict == Verdict::kChange || plan.verdict == Verdict::kKeep ||
                                   plan.verdict == Verdict::kNoFlushNeeded);
      out_.states.push_back(held ? PartState::kHeld : PartState::kNotHeld);
      const double m3_per_day = held ? OwnWater_m3(p) / year_[p].length_days() : -1;
      if (m3_per_day <= most_m3_per_day) continue;
      most_m3_per_day = m3_per_day;
      hardest_ = p;
    }
  }

  void GatherCandidates() {
    for (const size_t p : HeldParts()) {
      const size_t own = Candidate(WithoutFirstDays(out_.plans[p].settings));
      if (p == *hardest_) hardest_candidate_ = own;
      // Planning has measured these, unless the day they are keyed on matters.
      if (out_.candidates[own] != out_.plans[p].settings) continue;
      asked_.insert({own, p});
      out_.outcomes[{own, p}] = *out_.plans[p].planned_outcome;
    }
    if (options_.present && options_.present->on) Candidate(WithoutFirstDays(*options_.present));
    const bool ever_off = std::any_of(out_.states.begin(), out_.states.end(),
                                      [](PartState s) { return s != PartState::kHeld; });
    if (ever_off) off_ = Candidate(Off());
    TurnPercentage();
    FillCells();
  }

  std::vector<size_t> HeldParts() const {
    std::vector<size_t> held;
    for (size_t p = 0; p < year_.size(); ++p) {
      if (out_.states[p] == PartState::kHeld) held.push_back(p);
    }
    return held;
  }

  size_t Candidate(const TimerSettings& settings) {
    const auto found = std::find(out_.candidates.begin(), out_.candidates.end(), settings);
    if (found != out_.candidates.end()) return static_cast<size_t>(found - out_.candidates.begin());
    out_.candidates.push_back(settings);
    out_.is_percentage.push_back(false);
    lengthened_.push_back(0);
    return out_.candidates.size() - 1;
  }

  // For each part the least percentage of the hardest part's settings that seems to hold.
  void TurnPercentage() {
    const TimerSettings base = out_.candidates[hardest_candidate_];
    const ControllerForm& form = out_.plans[*hardest_].form;
    if (!base.on) return;
    const std::vector<int> percents = PercentsUpTo100(form, base);
    if (percents.empty()) return;
    out_.base = hardest_candidate_;
    out_.is_percentage[hardest_candidate_] = true;
    for (const size_t p : HeldParts()) {
      const auto least = std::partition_point(percents.begin(), percents.end() - 1, [&](int percent) {
        const TimerSettings turned = *AtPercent(form, base, percent);
        return parts_.Water_m3(p, turned) < kNoLessThan * OwnWater_m3(p) || !parts_.KeepsRules(p, turned) ||
               !parts_.SeemsToHold(p, turned);
      });
      out_.is_percentage[Candidate(*AtPercent(form, base, *least))] = true;
    }
  }

  void FillCells() {
    for (size_t c = out_.table.water_m3.size(); c < out_.candidates.size(); ++c) {
      std::vector<double>& row = out_.table.water_m3.emplace_back(year_.size(), kMayNotStand);
      for (size_t p = 0; p < year_.size(); ++p) row[p] = Cell(c, p);
    }
  }

  // The water of a candidate in a part if, for all that is known yet, it may stand there.
  double Cell(size_t c, size_t p) {
    const TimerSettings& settings = out_.candidates[c];
    if (out_.states[p] == PartState::kFrost) return settings.on ? kMayNotStand : 0;
    if (out_.states[p] == PartState::kNotHeld) {
      const size_t stands_in = parts_.KeepsRules(p, out_.candidates[hardest_candidate_])
                                   ? hardest_candidate_
                                   : off_.value_or(hardest_candidate_);
      return c == stands_in ? parts_.Water_m3(p, settings) : kMayNotStand;
    }
    const double water = parts_.Water_m3(p, settings);
    const bool judged = asked_.contains({c, p});
    if (!judged && water < kNoLessThan * OwnWater_m3(p)) return kMayNotStand;
    return judged || parts_.KeepsRules(p, settings) ? water : kMayNotStand;
  }

  double OwnWater_m3(size_t p) const { return parts_.Water_m3(p, WithoutFirstDays(out_.plans[p].settings)); }

  void Schedule() {
    const int every = static_cast<int>(year_.size());
    out_.by_visits = LeastWaterByVisits(out_.table);
    out_.unchanged = LeastWaterByChanges(out_.table, 0);
    out_.two_changes = LeastWaterByChanges(out_.table, 2);
    out_.four_changes = LeastWaterByChanges(out_.table, 4);
    out_.every_part = LeastWaterByChanges(out_.table, every);
    out_.percentage = {};
    if (!out_.base) return;
    ChangeTable only = out_.table;
    for (size_t c = 0; c < only.water_m3.size(); ++c) {
      for (size_t p = 0; p < year_.size(); ++p) {
        const bool off_for_frost = !out_.candidates[c].on && out_.states[p] != PartState::kHeld;
        if (!out_.is_percentage[c] && !off_for_frost) only.water_m3[c][p] = kMayNotStand;
      }
    }
    out_.percentage = LeastWaterByChanges(only, every);
  }

  // Judges what the schedules stand on; whether that changed anything.
  bool JudgeWhatIsUsed() {
    std::set<std::pair<size_t, size_t>> used;
    const auto add = [&](const ChangeSchedule& schedule) {
      for (size_t p = 0; p < schedule.candidate.size(); ++p) used.insert({schedule.candidate[p], p});
    };
    for (const ChangeSchedule& schedule : out_.by_visits) add(schedule);
    for (const ChangeSchedule* schedule :
         {&out_.unchanged, &out_.two_changes, &out_.four_changes, &out_.every_part, &out_.percentage}) {
      add(*schedule);
    }
    bool changed = false;
    for (const auto& pair : used) {
      if (!asked_.contains(pair)) changed |= !JudgeOne(pair.first, pair.second);
    }
    FillCells();
    return changed;
  }

  // Whether a candidate stands in a part, from now on known.
  bool JudgeOne(size_t c, size_t p) {
    asked_.insert({c, p});
    const bool must_hold = out_.states[p] == PartState::kHeld;
    const TimerSettings settings = out_.candidates[c];
    const Outcome outcome = parts_.Judge(p, settings, must_hold ? options_.sureness : 0);
    if (!must_hold || outcome.sureness >= options_.sureness) {
      out_.outcomes[{c, p}] = outcome;
      return true;
    }
    if (out_.is_percentage[c] || out_.table.water_m3[c][p] >= OwnWater_m3(p) * kAboutAsMuch) Lengthen(c);
    out_.table.water_m3[c][p] = kMayNotStand;
    return false;
  }

  void Lengthen(size_t c) {
    if (lengthened_[c] >= kMostLengthenings) return;
    const ControllerForm& form = out_.plans[*hardest_].form;
    std::optional<TimerSettings> longer;
    if (out_.is_percentage[c]) {
      longer = AtPercent(form, out_.candidates[*out_.base],
                         PercentOf(out_.candidates[c]) + form.percent_step.value_or(1));
    }
    const bool turned = longer.has_value();
    if (!longer) longer = StepLonger(form, out_.candidates[c]);
    if (!longer) return;
    const int lengthened = lengthened_[c] + 1;
    lengthened_[c] = kMostLengthenings;
    const size_t added = Candidate(*longer);
    lengthened_[added] = std::max(lengthened_[added], lengthened);
    if (turned) out_.is_percentage[added] = true;
  }

  // Planning has said that a part's own settings hold there when keyed on its first day. Should all that was
  // judged from other first days have failed, that word is taken.
  bool TrustOwnSettings() {
    if (out_.exists() || own_trusted_) return false;
    own_trusted_ = true;
    for (const size_t p : HeldParts()) {
      const size_t own = Candidate(WithoutFirstDays(out_.plans[p].settings));
      out_.table.water_m3[own][p] = OwnWater_m3(p);
      out_.outcomes[{own, p}] = *out_.plans[p].planned_outcome;
      asked_.insert({own, p});
    }
    return true;
  }

  DeviceParts& parts_;
  const std::vector<YearPart>& year_;
  const ChoiceOptions& options_;
  DeviceChoices out_;
  std::optional<size_t> hardest_;  // the held part whose own settings take most water a day
  size_t hardest_candidate_ = 0;
  std::optional<size_t> off_;
  std::vector<int> lengthened_;  // [candidate] steps it is longer than what was planned
  std::set<std::pair<size_t, size_t>> asked_;
  bool own_trusted_ = false;
};

}  // namespace

DeviceChoices ChoicesOf(DeviceParts& parts, const std::vector<YearPart>& year, const ChoiceOptions& options) {
  return Chooser(parts, year, options).Choose();
}

}  // namespace lastreach
