#include "app/month_facts_of.h"

#include <algorithm>

namespace lastreach {
namespace {

// Moves a list out of its result; false and the error kept where there is none.
class Taker {
 public:
  template <typename T>
  bool Take(Result<T> from, T& into) {
    if (!from.ok()) {
      error_ = from.error();
      return false;
    }
    into = std::move(from).value();
    return true;
  }
  const Error& error() const { return error_; }

 private:
  Error error_;
};

bool TakePoint(const Project& project, const std::vector<ControllerForm>& forms, PointRecords& records,
               Taker& taker) {
  const PointCode& code = records.point.code;
  records.form.name = records.point.controller;
  const auto form = std::find_if(forms.begin(), forms.end(), [&](const ControllerForm& each) {
    return each.name == records.point.controller;
  });
  if (form != forms.end()) records.form = *form;
  return taker.Take(project.SettingsOf(code), records.settings) &&
         taker.Take(project.MeterReadsOf(code), records.reads) &&
         taker.Take(project.FlowTestsOf(code), records.flow_tests) &&
         taker.Take(project.FlushRunsOf(code), records.flush_runs) &&
         taker.Take(project.SamplesOf(code), records.samples) &&
         taker.Take(project.VisitsOf(code), records.visits);
}

}  // namespace

Result<MonthFacts> MonthFactsOf(const Project& project, std::chrono::year_month month, Instant now) {
  MonthFacts facts;
  facts.month = month;
  facts.now = now;
  const auto info = project.Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  facts.zone = *zone;
  Taker taker;
  std::vector<FlushPoint> points;
  std::vector<ControllerForm> forms;
  if (!taker.Take(project.FlushPoints(), points) || !taker.Take(project.ControllerForms(), forms) ||
      !taker.Take(project.SupplyZones(), facts.zones) || !taker.Take(project.Limits(), facts.limits) ||
      !taker.Take(project.Byproducts(), facts.byproducts) ||
      !taker.Take(project.SuppliedMonths(), facts.supplied) ||
      !taker.Take(project.PricesNow(), facts.prices)) {
    return taker.error();
  }
  for (FlushPoint& point : points) {
    PointRecords& records = facts.points.emplace_back();
    records.point = std::move(point);
    records.zone = *zone;
    if (!TakePoint(project, forms, records, taker)) return taker.error();
  }
  return facts;
}

}  // namespace lastreach
