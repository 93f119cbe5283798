#include "hydraulics/link_rules.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/quantity.h"

namespace lastreach {
namespace {

Error Fault(const Network& network, const LinkRule& rule, const std::string& what, const char* column) {
  return BadInput("a rule of link '" + network[rule.link].id + "' " + what, {"rules.csv", {}, column, ""});
}

}  // namespace

Result<LinkRules> LinkRules::Make(const Network& network, std::vector<LevelTank>& tanks) {
  LinkRules rules;
  if (!network.rules.empty()) rules.shut_.assign(network.links.size(), 0);
  for (const LinkRule& from : network.rules) {
    if (IsShut(network[from.link]))
      return Fault(network, from, "acts on a link that is closed for good", "link");
    const int conditions =
        from.falls_to_m.has_value() + from.rises_to_m.has_value() + from.at_hour.has_value();
    if (conditions != 1) return Fault(network, from, "has not exactly one condition", "falls_to_m");
    Rule rule{from.link, from.opens, On::kHour, 0, 0, false};
    if (from.at_hour) {
      rule.mark = std::fmod(std::round(*from.at_hour * kSecondsPerHour * 1000) / 1000, kSecondsPerDay);
      rules.rules_.push_back(rule);
      continue;
    }
    const auto tank = std::find_if(tanks.begin(), tanks.end(),
                                   [&](const LevelTank& one) { return from.tank && one.node == *from.tank; });
    if (tank == tanks.end()) return Fault(network, from, "watches what is no tank with levels", "tank");
    rule.on = from.falls_to_m ? On::kFalls : On::kRises;
    rule.tank = static_cast<size_t>(tank - tanks.begin());
    rule.mark = from.falls_to_m ? *from.falls_to_m : *from.rises_to_m;
    (from.falls_to_m ? tank->falling_marks_m : tank->rising_marks_m).push_back(rule.mark);
    rules.rules_.push_back(rule);
  }
  rules.BeginAfterADay();
  return rules;
}

void LinkRules::BeginAfterADay() {
  std::vector<const Rule*> by_hour;
  for (const Rule& rule : rules_) {
    const bool has_other = std::any_of(rules_.begin(), rules_.end(), [&](const Rule& other) {
      return other.link == rule.link && other.on == On::kHour && other.opens != rule.opens;
    });
    if (rule.on == On::kHour && has_other) by_hour.push_back(&rule);
  }
  std::stable_sort(by_hour.begin(), by_hour.end(),
                   [](const Rule* a, const Rule* b) { return a->mark < b->mark; });
  for (const Rule* rule : by_hour) shut_[At(rule->link)] = rule->opens ? 0 : 1;
}

bool LinkRules::IsDue(Rule& rule, double second, const std::vector<LevelTank>& tanks) const {
  constexpr double kSameTime_s = 1e-6;
  if (rule.on == On::kHour) return std::abs(std::fmod(second, kSecondsPerDay) - rule.mark) < kSameTime_s;
  const double level_m = tanks[rule.tank].level_m();
  const bool is_beyond =
      rule.on == On::kFalls ? level_m <= rule.mark + kSameLevel_m : level_m >= rule.mark - kSameLevel_m;
  const bool passes = is_beyond && !rule.is_beyond;
  rule.is_beyond = is_beyond;
  return passes;
}

bool LinkRules::Fire(double second, const std::vector<LevelTank>& tanks) {
  const std::vector<char> before = shut_;
  for (Rule& rule : rules_) {
    if (IsDue(rule, second, tanks)) shut_[At(rule.link)] = rule.opens ? 0 : 1;
  }
  return shut_ != before;
}

double LinkRules::NextHour_s(double second) const {
  double next_s = std::numeric_limits<double>::infinity();
  const double day_s = std::floor(second / kSecondsPerDay) * kSecondsPerDay;
  for (const Rule& rule : rules_) {
    if (rule.on != On::kHour) continue;
    const double today_s = day_s + rule.mark;
    next_s = std::min(next_s, today_s > second ? today_s : today_s + kSecondsPerDay);
  }
  return next_s;
}

}  // namespace lastreach
