// Supply zones and limits.
#include "core/words.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<SupplyZone> ReadZone(const Row& row) {
  const auto disinfectant = ParseDisinfectant(row.Text("disinfectant"));
  if (!disinfectant.ok()) return disinfectant.error();
  SupplyZone zone;
  zone.name = row.Text("name");
  zone.disinfectant = *disinfectant;
  Status read = Ok();
  const auto take = [&](auto& to, const char* column, const auto& unit) {
    auto value = ReadSourced(row, column, unit);
    if (value.ok()) {
      to = std::move(*value);
    } else {
      read = value.error();
    }
  };
  take(zone.target_residual, "target_residual_mg_per_l", kMilligramsPerLitre);
  take(zone.upstream_residual, "upstream_residual_mg_per_l", kMilligramsPerLitre);
  take(zone.bulk_per_day_at_20c, "bulk_per_day_at_20c", kPlain);
  take(zone.wall_m_per_day, "wall_m_per_day", kPlain);
  take(zone.worst_week, "worst_week_c", kCelsius);
  take(zone.demand_per_service, "demand_per_service_l_per_s", kLitresPerSecond);
  if (!read.ok()) return read.error();
  return zone;
}

// The words for the rules are stored: never change them.
struct RuleColumns {
  Columns& to;
  void operator()(const ForbiddenHours& hours) const {
    Fill("forbidden hours", hours.from_min, hours.to_min, int64_t{hours.days.bits}, {}, {}, {});
  }
  void operator()(const MostFlow& most) const {
    Fill("most flow", {}, {}, {}, NumberValue(most.flow, kLitresPerSecond), {}, {});
  }
  void operator()(const MostVolumeARun& most) const {
    Fill("most volume a run", {}, {}, {}, {}, NumberValue(most.volume, kCubicMetres), {});
  }
  void operator()(const MostVolumeADay& most) const {
    Fill("most volume a day", {}, {}, {}, {}, NumberValue(most.volume, kCubicMetres), {});
  }
  void operator()(const LeastResidual& least) const {
    Fill("least residual", {}, {}, {}, {}, {}, NumberValue(least.residual, kMilligramsPerLitre));
  }
  void Fill(const char* word, std::optional<int> from_min, std::optional<int> to_min, Value days, Value flow,
            Value volume, Value residual) const {
    to.emplace_back("rule", std::string(word));
    to.emplace_back("from_min", IntValue(from_min));
    to.emplace_back("to_min", IntValue(to_min));
    to.emplace_back("days", std::move(days));
    to.emplace_back("flow_l_per_s", std::move(flow));
    to.emplace_back("volume_m3", std::move(volume));
    to.emplace_back("residual_mg_per_l", std::move(residual));
  }
};

Result<LimitRule> ReadRule(const Row& row) {
  const std::string rule = row.Text("rule");
  if (rule == "forbidden hours") {
    return LimitRule(ForbiddenHours{static_cast<int>(row.Int("from_min")),
                                    static_cast<int>(row.Int("to_min")),
                                    Weekdays{static_cast<unsigned>(row.Int("days"))}});
  }
  if (rule == "most flow") return LimitRule(MostFlow{Flow::LitresPerSecond(row.Number("flow_l_per_s"))});
  const Volume volume = Volume::CubicMetres(row.Number("volume_m3"));
  if (rule == "most volume a run") return LimitRule(MostVolumeARun{volume});
  if (rule == "most volume a day") return LimitRule(MostVolumeADay{volume});
  if (rule == "least residual") {
    return LimitRule(LeastResidual{Concentration::MilligramsPerLitre(row.Number("residual_mg_per_l"))});
  }
  return BadInput("no such kind of limit", {"", {}, "limits.rule", rule});
}

Result<Limit> ReadLimit(const Row& row) {
  constexpr LimitScope kScopes[] = {LimitScope::kSystem, LimitScope::kZone, LimitScope::kPoint};
  const auto scope = ParseByWord(row.Text("scope"), kScopes, "the scope of a limit");
  if (!scope.ok()) return scope.error();
  const auto rule = ReadRule(row);
  if (!rule.ok()) return rule.error();
  return Limit{LimitId{row.Int("id")}, *scope, row.Text("subject"), *rule, row.Text("source")};
}

}  // namespace

Status Project::PutSupplyZone(const SupplyZone& zone) {
  if (zone.name.empty()) return BadInput("a supply zone needs a name", {"", {}, "name", ""});
  Columns columns = {{"name", zone.name}, {"disinfectant", TextOf(ToText(zone.disinfectant))}};
  AddSourced(columns, "target_residual_mg_per_l", zone.target_residual, kMilligramsPerLitre);
  AddSourced(columns, "upstream_residual_mg_per_l", zone.upstream_residual, kMilligramsPerLitre);
  AddSourced(columns, "bulk_per_day_at_20c", zone.bulk_per_day_at_20c, kPlain);
  AddSourced(columns, "wall_m_per_day", zone.wall_m_per_day, kPlain);
  AddSourced(columns, "worst_week_c", zone.worst_week, kCelsius);
  AddSourced(columns, "demand_per_service_l_per_s", zone.demand_per_service, kLitresPerSecond);
  return impl_->database->Upsert("supply_zones", "name", columns);
}

Result<std::vector<SupplyZone>> Project::SupplyZones() const {
  return impl_->List<SupplyZone>("SELECT * FROM supply_zones ORDER BY name", {}, ReadZone);
}

Result<LimitId> Project::AddLimit(const Limit& limit) {
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
