#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/numbers.h"

namespace lastreach {

// The local hours of a stretch of days, worked out once for all the settings tried in it.
struct HourGrid {
  struct Hour {
    MinuteInstant from;
    int hour = 0;  // 0 to 23
  };
  DateWindow whole;  // warm-up and window
  Date judged_from;
  MinuteInstant begin, judge_from, end;
  std::vector<Hour> hours;
  bool one_offset = true;  // the zone's offset is the same from three days before to three days after
  std::vector<std::vector<Run>> beside;  // of each device that draws beside, from a day before to a day after
  bool root_moves = false;
};

// What settings do to a reach through a stretch of time, apart from how much flows: the same for every draw.
// Steps begin where the local hour changes and where a valve opens or shuts, the device's or one beside.
struct Timeline {
  // The residual that enters at an instant is a share of the way from the turn of the hour before, where it
  // is the lower of that hour's and the one before, to the next turn.
  struct RootPlace {
    uint8_t before, hour, after;
    float share;
  };

  MinuteInstant begin;
  std::vector<double> time_s;                     // since `begin`, size steps + 1
  std::vector<uint32_t> kind;                     // size steps, see KindOf
  std::vector<double> factor_sum_s;               // household factor, integral since `begin`, size steps + 1
  std::vector<double> open_sum_s;                 // time the valve was open, size steps + 1
  std::vector<std::vector<double>> beside_sum_s;  // the same of each device beside
  std::vector<RootPlace> root;                    // size steps + 1; empty where the root does not move
  std::size_t first_judged = 0;  // the instant at which the judged window begins; it lasts to the end
  std::size_t steps() const { return kind.size(); }

  // What flows in a step: the local hour, whether the valve is open, and which of those beside are.
  static constexpr uint32_t kHourKinds = 48;
  static uint32_t KindOf(int hour, bool open, uint32_t beside_open) {
    return static_cast<uint32_t>(2 * hour + (open ? 1 : 0)) + kHourKinds * beside_open;
  }
  static std::size_t HourOf(uint32_t kind) { return kind % kHourKinds / 2; }
  static bool IsOpen(uint32_t kind) { return kind % 2 != 0; }
  static bool IsOpenBeside(uint32_t kind, std::size_t which) {
    return (kind / kHourKinds >> which & 1U) != 0;
  }
};

// `runs` moved by `shift_min`; those that lie outside are left out. REQUIRES: in order, not overlapping.
void LayOut(const HourGrid& grid, std::span<const Run> runs, int shift_min, Timeline& timeline);

// Settings laid out over some windows for some clocks, each as far back as was asked for.
// THREADS: one object, one thread.
class LaidOut {
 public:
  // Finds or makes the grid of a stretch; kept by the caller.
  class Grids {
   public:
    explicit Grids(const Zone& zone, std::shared_ptr<const std::vector<BesideNumbers>> beside = {},
                   bool root_moves = false)
        : zone_(zone), beside_(std::move(beside)), root_moves_(root_moves) {}
    const HourGrid& Of(DateWindow window, int warm_up_days);
    const Zone& zone() const { return zone_; }

   private:
    HourGrid LayHours(DateWindow whole, Date judged_from) const;

    Zone zone_;
    std::shared_ptr<const std::vector<BesideNumbers>> beside_;
    bool root_moves_;
    std::vector<std::unique_ptr<HourGrid>> grids_;
  };

  // `phases`: see ExpandRuns, counted for each window from its own first day. Settings that never open the
  // valve are laid out for the first clock alone: they are the same for all.
  LaidOut(const ControllerForm& form, const TimerSettings& settings, Grids& grids,
          std::span<const DateWindow> windows, std::span<const int> clock_errors_min,
          std::span<const int> phases);

  std::size_t windows() const { return windows_.size(); }
  std::size_t clocks() const { return clocks_.size(); }
  // With at least so many days of warm-up; more where more was asked for before.
  const Timeline& At(std::size_t window, std::size_t clock, int warm_up_days);
  int warm_up_days(std::size_t window, std::size_t clock) const { return Slot(window, clock).warm_up_days; }

 private:
  struct Line {
    int warm_up_days = 0;
    Timeline timeline;
  };
  struct Expanded {
    int warm_up_days = 0;
    std::vector<Run> runs;  // for a right clock, a day more on both sides
  };
  const Line& Slot(std::size_t window, std::size_t clock) const {
    return lines_[window * clocks_.size() + clock];
  }
  std::vector<Run> Expand(DateWindow window, int warm_up_days, int days_after, int fast_min) const;

  const ControllerForm& form_;
  const TimerSettings& settings_;
  Grids& grids_;
  std::vector<DateWindow> windows_;
  std::vector<int> clocks_;
  std::vector<int> phases_;
  std::vector<Line> lines_;
  std::vector<Expanded> expanded_;  // by window
};

}  // namespace lastreach
