#include "plan/device_study.h"

#include "plan/search.h"

namespace lastreach {

DeviceStudy::DeviceStudy(const DeviceFacts& the_facts, const PlanOptions& the_options,
                         PlanningNumbers the_numbers, std::vector<std::string>* notes)
    : facts(the_facts),
      options(the_options),
      form(CautiousForm(facts.form, notes)),
      season{options.from, options.to},
      numbers(std::move(the_numbers)),
      slopes(GuessSlopes(numbers)),
      corner(ModelReach(numbers, CornerOf(slopes, options.sureness))),
      coarse_corner(ModelReach(numbers, CornerOf(slopes, options.sureness), options.search_taps)),
      trial(form, options.zone, numbers),
      judge(trial, StratifiedDraws(static_cast<size_t>(options.draws), options.seed), slopes,
            options.search_taps),
      fresh(trial, PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1), slopes),
      measurer(options, numbers, corner, slopes, trial.workspace()) {}

std::vector<DateWindow> DeviceStudy::WindowsFor(const DayPattern& days) const {
  return WindowsToJudge(days, options.zone, season);
}

}  // namespace lastreach
