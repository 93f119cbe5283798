// Limits.
#include "store/project_impl.h"

namespace lastreach {
namespace {

// The words for the rules are stored: never change them. Columns that a rule does not name stay NULL.
struct RuleColumns {
  Columns& to;
  void operator()(const ForbiddenHours& hours) const {
    Word("forbidden hours");
    to.emplace_back("from_min", int64_t{hours.from_min});
    to.emplace_back("to_min", int64_t{hours.to_min});
    to.emplace_back("days", int64_t{hours.days.bits});
  }
  void operator()(const MostFlow& most) const {
    Word("most flow");
    to.emplace_back("flow_l_per_s", NumberValue(most.flow, kLitresPerSecond));
  }
  void operator()(const MostVolumeARun& most) const { PutVolume("most volume a run", most.volume); }
  void operator()(const MostVolumeADay& most) const { PutVolume("most volume a day", most.volume); }
  void operator()(const LeastResidual& least) const {
    Word("least residual");
    to.emplace_back("residual_mg_per_l", NumberValue(least.residual, kMilligramsPerLitre));
  }
  void operator()(const LeastPressure& least) const {
    Word("least pressure");
    to.emplace_back("pressure_head_m", NumberValue(least.pressure, kMetresOfWater));
  }
  void operator()(const MostTogether& most) const {
    Word("most together");
    to.emplace_back("devices", int64_t{most.devices});
  }
  void operator()(const LeastTankLevel& least) const {
    Word("least tank level");
    to.emplace_back("tank", least.tank);
    to.emplace_back("level_m", NumberValue(least.level, kMetres));
  }
  void operator()(const FrostMonths& frost) const {
    Word("frost months");
    to.emplace_back("from_month", int64_t{frost.from_month});
    to.emplace_back("to_month", int64_t{frost.to_month});
    to.emplace_back("discharge", frost.discharge ? Value(TextOf(ToText(*frost.discharge))) : Value());
  }
  void operator()(const DroughtStage& drought) const {
    PutVolume("drought stage", drought.volume_a_day);
    to.emplace_back("stage", int64_t{drought.stage});
  }
  void operator()(const MostVolumeBetweenRefills& most) const {
    PutVolume("most volume between refills", most.volume);
  }
  void operator()(const LeastFlushEvery& least) const {
    Word("least flush every");
    to.emplace_back("every_days", int64_t{least.days});
  }
  void Word(const char* word) const { to.emplace_back("rule", std::string(word)); }
  void PutVolume(const char* word, Volume volume) const {
    Word(word);
    to.emplace_back("volume_m3", NumberValue(volume, kCubicMetres));
  }
};

int WholeOf(const Row& row, const char* column) { return static_cast<int>(row.Int(column)); }

Result<LimitRule> ReadFrost(const Row& row) {
  FrostMonths frost{WholeOf(row, "from_month"), WholeOf(row, "to_month"), {}};
  for (const int month : {frost.from_month, frost.to_month}) {
    if (month < 1 || month > 12)
      return BadInput("there is no such month", {"", {}, "limits", std::to_string(month)});
  }
  if (!row.IsNull("discharge")) {
    const auto discharge = ParseDischargeTo(row.Text("discharge"));
    if (!discharge.ok()) return discharge.error();
    frost.discharge = *discharge;
  }
  return LimitRule(frost);
}

Result<LimitRule> ReadRule(const Row& row) {
  const std::string rule = row.Text("rule");
  if (rule == "forbidden hours") {
    return LimitRule(ForbiddenHours{WholeOf(row, "from_min"), WholeOf(row, "to_min"),
                                    Weekdays{static_cast<unsigned>(row.Int("days"))}});
  }
  if (rule == "most flow") return LimitRule(MostFlow{Flow::LitresPerSecond(row.Number("flow_l_per_s"))});
  const Volume volume = Volume::CubicMetres(row.Number("volume_m3"));
  if (rule == "most volume a run") return LimitRule(MostVolumeARun{volume});
  if (rule == "most volume a day") return LimitRule(MostVolumeADay{volume});
  if (rule == "most volume between refills") return LimitRule(MostVolumeBetweenRefills{volume});
  if (rule == "drought stage") return LimitRule(DroughtStage{WholeOf(row, "stage"), volume});
  if (rule == "least residual") {
    return LimitRule(LeastResidual{Concentration::MilligramsPerLitre(row.Number("residual_mg_per_l"))});
  }
  if (rule == "least pressure") {
    return LimitRule(LeastPressure{Pressure::MetresOfWater(row.Number("pressure_head_m"))});
  }
  if (rule == "most together") return LimitRule(MostTogether{WholeOf(row, "devices")});
  if (rule == "least tank level") {
    return LimitRule(LeastTankLevel{row.Text("tank"), Length::Metres(row.Number("level_m"))});
  }
  if (rule == "frost months") return ReadFrost(row);
  if (rule == "least flush every") return LimitRule(LeastFlushEvery{WholeOf(row, "every_days")});
  return BadInput("no such kind of limit", {"", {}, "limits.rule", rule});
}

Result<Limit> ReadLimit(const Row& row) {
  const auto scope = ParseLimitScope(row.Text("scope"));
  if (!scope.ok()) return scope.error();
  const auto rule = ReadRule(row);
  if (!rule.ok()) return rule.error();
  return Limit{LimitId{row.Int("id")}, *scope, row.Text("subject"), *rule, row.Text("source")};
}

}  // namespace

Result<LimitId> Project::AddLimit(const Limit& limit) {
  if (const Status fits = CheckScope(limit.rule, limit.scope); !fits.ok()) return fits.error();
  const auto all = Limits();
  if (!all.ok()) return all.error();
  for (const Limit& there : *all) {
    if (there.scope == limit.scope && there.subject == limit.subject && there.rule == limit.rule &&
        there.source == limit.source) {
      return there.id;
    }
  }
  Columns columns = {
      {"scope", TextOf(ToText(limit.scope))}, {"subject", limit.subject}, {"source", limit.source}};
  std::visit(RuleColumns{columns}, limit.rule);
  const auto id = impl_->database->Insert("limits", columns);
  if (!id.ok()) return id.error();
  return LimitId{*id};
}

Status Project::RemoveLimit(LimitId id) {
  const auto there = impl_->database->QueryInt("SELECT id FROM limits WHERE id = ?", {id.number});
  if (!there.ok()) return there.error();
  if (!there->has_value()) {
    return NotFound("there is no such limit", {path(), {}, "limits", std::to_string(id.number)});
  }
  return impl_->database->Run("DELETE FROM limits WHERE id = ?", {id.number});
}

Result<std::vector<Limit>> Project::Limits() const {
  return impl_->List<Limit>("SELECT * FROM limits ORDER BY id", {}, ReadLimit);
}

}  // namespace lastreach
