#include <nlohmann/json.hpp>

#include "app/spread_report.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

Json JsonOf(const SpreadPlace& place, const std::optional<double>& target_mg_per_l) {
  const auto lowest = [&](double share) { return Quantile(place.weeks.lowest_mg_per_l, share); };
  const auto oldest_h = [&](double share) {
    return Quantile(place.weeks.greatest_age_s, share) / kSecondsPerHour;
  };
  return {{"place", place.words},
          {"service", place.service},
          {"lowest_5_percent_mg_per_l", lowest(0.05)},
          {"lowest_50_percent_mg_per_l", lowest(0.5)},
          {"lowest_95_percent_mg_per_l", lowest(0.95)},
          {"lowest_smooth_mg_per_l", place.smooth_lowest_mg_per_l},
          {"weeks_below_target", target_mg_per_l ? Json(place.WeeksBelow(*target_mg_per_l)) : Json()},
          {"oldest_5_percent_h", oldest_h(0.05)},
          {"oldest_50_percent_h", oldest_h(0.5)},
          {"oldest_95_percent_h", oldest_h(0.95)},
          {"oldest_smooth_h", place.smooth_greatest_age_s / kSecondsPerHour}};
}

}  // namespace

std::string SpreadToJson(const SpreadTold& told) {
  const ReachSpread& spread = told.spread;
  Json places = Json::array();
  for (const SpreadPlace& place : spread.places) places.push_back(JsonOf(place, spread.target_mg_per_l));
  constexpr double kLitresPerCubicMetre = 1000;
  const Json json = {
      {"id", told.id},
      {"where", told.where},
      {"device", told.device},
      {"season", told.season},
      {"first_day", FormatDate(spread.week.from)},
      {"last_day", FormatDate(AddDays(spread.week.to, -1))},
      {"weeks", told.ask.weeks},
      {"name", told.ask.name},
      {"dispersion", told.ask.along_the_pipe},
      {"warm_up_days", spread.warm_up_days},
      {"older_than_warm_up", spread.older_than_warm_up},
      {"runs_in_the_week", spread.runs},
      {"target_mg_per_l", spread.target_mg_per_l ? Json(*spread.target_mg_per_l) : Json()},
      {"upstream_mg_per_l", spread.upstream_mg_per_l},
      {"temperature_c", spread.temperature_c},
      {"services", spread.services},
      {"demand_m3_per_day", spread.demand_m3_per_s * kSecondsPerDay},
      {"standing_m", spread.standing_m},
      {"a_use",
       {{"duration_mean_s", spread.law.duration_mean_s},
        {"duration_deviation_s", spread.law.duration_deviation_s},
        {"intensity_mean_l_per_s", spread.law.intensity_mean_m3_per_s * kLitresPerCubicMetre},
        {"intensity_deviation_l_per_s", spread.law.intensity_deviation_m3_per_s * kLitresPerCubicMetre}}},
      {"places", places},
      {"assumed", spread.assumed},
      {"notes", told.notes}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lastreach
