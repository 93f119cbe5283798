#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "plan/facts.h"

namespace lastreach {

// A form with every unknown item filled in so that any timer would accept what is planned with it. `notes`
// says which items were not known and what was taken.
ControllerForm CautiousForm(const ControllerForm& form, std::vector<std::string>* notes);

// Which limits a search may be asked to leave out, to find what each costs.
struct Relaxations {
  bool forbidden_hours = false;
  bool volumes = false;
  bool starts = false;  // twelve starts a day whatever the timer takes
  bool steps = false;   // whole minutes whatever the timer takes
  bool days = false;    // every day pattern whatever the timer takes
};

// What the form and the limits let a device's starts and minutes be. Built for one device and season.
class StartRules {
 public:
  // `guard_min`: how far the clock may be out, on top of a clock change in the season, without a run entering
  // forbidden hours. `least_run_minutes`: shorter runs are not planned even where the form takes them.
  // REQUIRES: a form with no unknown items (CautiousForm).
  StartRules(const ControllerForm& form, const std::vector<Limit>& limits, const Zone& zone,
             DateWindow season, double flow_m3_per_s, int guard_min, Relaxations relaxed,
             int least_run_minutes = 1);

  // Whether a run may start there: it ends by the clock's midnight, keeps out of forbidden hours and, where
  // the timer's step leaves a choice, does not start at 12:00 of either half of the day.
  bool Allows(int start_min, int minutes) const;
  // The allowed start nearest to one wished for, on the form's step; none if there is none in the day.
  std::optional<int> Nearest(int wished_min, int minutes) const;

  int start_step() const { return start_step_; }
  int most_starts() const { return most_starts_; }
  int starts_per_programme() const { return starts_per_programme_; }
  int programmes() const { return programmes_; }
  int minutes_step() const { return minutes_step_; }
  int least_minutes() const { return least_minutes_; }  // a multiple of the step
  // The most minutes a run may last with `starts` a day: the form's most and the volumes a run and a day.
  int MostMinutes(int starts) const;
  // The least time from one start to the next: room for the run at the highest percentage this timer can be
  // set to, so that turning it up never makes runs overlap.
  int LeastSpacing(int minutes) const;

 private:
  int start_step_, most_starts_, starts_per_programme_, programmes_, minutes_step_, least_minutes_,
      most_minutes_;
  int highest_percent_ = 100;
  double flow_m3_per_s_;
  std::optional<double> most_volume_a_run_m3_, most_volume_a_day_m3_;
  std::vector<char>
      forbidden_;  // by minute of the clock-day, 1440, widened by every shift the clock may have
};

}  // namespace lastreach
