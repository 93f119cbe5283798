#include "calendar/runs.h"

#include <algorithm>
#include <limits>

#include "calendar/clock_map.h"

namespace lastreach {
namespace {

constexpr int64_t kMinutesPerDay = 1440;

// A start falling due. `slot` orders starts of the same minute: lower programme first, then as listed.
struct Due {
  int64_t minute;
  int32_t slot;
};

struct Slot {
  int start_min;
  int32_t programme;  // 1-based
  int32_t minutes;    // effective
};

// Whether a programme runs on a clock-day, for days that come in order.
class DayRule {
 public:
  DayRule(const DayPattern& days, bool odd_skips_31st, int64_t phase_origin_day) {
    if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
      weekday_bits_ = weekdays->bits;
    } else if (std::holds_alternative<OddDates>(days)) {
      for (unsigned date = 1; date <= (odd_skips_31st ? 30U : 31U); date += 2) date_bits_ |= 1U << date;
    } else if (std::holds_alternative<EvenDates>(days)) {
      for (unsigned date = 2; date <= 30U; date += 2) date_bits_ |= 1U << date;
    } else {
      const auto& every = std::get<EveryNDays>(days);
      every_ = every.n;
      first_day_ = every.from ? DayNumber(*every.from) : phase_origin_day;
    }
  }

  bool Runs(int64_t day, unsigned weekday, unsigned date) const {
    if (every_ > 0) return day >= first_day_ && (day - first_day_) % every_ == 0;
    return ((weekday_bits_ >> weekday) & 1U) != 0 || ((date_bits_ >> date) & 1U) != 0;
  }

 private:
  unsigned weekday_bits_ = 0;  // bit 0 is Monday
  unsigned date_bits_ = 0;     // bit d is day d of the month
  int64_t every_ = 0;
  int64_t first_day_ = 0;
};

// The programmes of one timer, ready to be asked day by day.
struct Table {
  std::vector<Slot> slots;       // by programme, then as listed
  std::vector<int32_t> by_time;  // slots in order of start time, ties in slot order
  std::vector<DayRule> rules;    // one a programme

  Table(const ControllerForm& form, const TimerSettings& settings, int64_t first_day,
        const std::vector<int>& phases) {
    size_t unknown_phases = 0;
    for (size_t p = 0; p < settings.programmes.size(); ++p) {
      const Programme& programme = settings.programmes[p];
      int64_t origin = first_day;
      if (const auto* every = std::get_if<EveryNDays>(&programme.days); every != nullptr && !every->from) {
        if (unknown_phases < phases.size()) origin += phases[unknown_phases];
        ++unknown_phases;
      }
      rules.emplace_back(programme.days, form.odd_skips_31st.value_or(false), origin);
      const int minutes = EffectiveMinutes(form, settings, programme);
      for (const int start : programme.starts_min)
        slots.push_back({start, static_cast<int32_t>(p + 1), minutes});
    }
    for (size_t i = 0; i < slots.size(); ++i) by_time.push_back(static_cast<int32_t>(i));
    std::stable_sort(by_time.begin(), by_time.end(), [this](int32_t a, int32_t b) {
      return slots[static_cast<size_t>(a)].start_min < slots[static_cast<size_t>(b)].start_min;
    });
  }
};

// Day of the month and weekday, stepped a day at a time.
class DayWalker {
 public:
  explicit DayWalker(int64_t day) : day_(day) { Reset(); }
  int64_t day() const { return day_; }
  unsigned weekday() const { return weekday_; }  // Monday is 0
  unsigned date() const { return date_; }
  void Next() {
    ++day_;
    weekday_ = weekday_ == 6 ? 0 : weekday_ + 1;
    if (++date_ > last_date_) Reset();
  }

 private:
  void Reset() {
    const Date date = DateOfDayNumber(static_cast<int>(day_));
    date_ = static_cast<unsigned>(date.day());
    last_date_ = static_cast<unsigned>((date.year() / date.month() / std::chrono::last).day());
    weekday_ = std::chrono::weekday(std::chrono::sys_days(date)).iso_encoding() - 1;
  }
  int64_t day_;
  unsigned weekday_ = 0;
  unsigned date_ = 1;
  unsigned last_date_ = 31;
};

// Every start that falls due before `end_min`, in the order the timer meets them.
std::vector<Due> DueStarts(const Table& table, const ClockMap& clock, int64_t first_day, int64_t end_min) {
  std::vector<Due> due;
  const auto& pieces = clock.pieces();
  size_t piece = 0;
  // Readings only grow, so the piece that answers can only move forward.
  const auto first_minute = [&](int64_t reading) {
    for (;; ++piece) {
      int64_t minute = reading - pieces[piece].shift_min;
      if (piece > 0) minute = std::max(minute, pieces[piece].from_min);
      if (piece + 1 == pieces.size() || minute < pieces[piece + 1].from_min) return minute;
    }
  };
  std::vector<char> active(table.rules.size());
  for (DayWalker walker(first_day);; walker.Next()) {
    const int64_t midnight = walker.day() * kMinutesPerDay;
    if (first_minute(midnight) >= end_min) break;
    for (size_t i = 0; i < active.size(); ++i) {
      active[i] = table.rules[i].Runs(walker.day(), walker.weekday(), walker.date()) ? 1 : 0;
    }
    for (const int32_t index : table.by_time) {
      const Slot& slot = table.slots[static_cast<size_t>(index)];
      if (slot.minutes <= 0 || active[static_cast<size_t>(slot.programme - 1)] == 0) continue;
      due.push_back({first_minute(midnight + slot.start_min), index});
    }
  }
  // At a forward jump starts of different readings fall due in the same minute, where the programme decides.
  for (const int64_t jump : clock.ForwardJumps()) {
    const auto before = [](const Due& d, int64_t minute) { return d.minute < minute; };
    const auto first = std::lower_bound(due.begin(), due.end(), jump, before);
    const auto last = std::lower_bound(first, due.end(), jump + 1, before);
    std::stable_sort(first, last, [](const Due& a, const Due& b) { return a.slot < b.slot; });
  }
  return due;
}

// Collects the runs that start inside [from, to).
class Listing {
 public:
  Listing(int64_t from, int64_t to, size_t expected) : from_(from), to_(to) { runs_.reserve(expected); }
  void Add(int64_t start, int64_t minutes, int32_t programme) {
    if (start < from_ || start >= to_ || minutes <= 0) return;
    runs_.push_back({MinuteInstant(std::chrono::minutes(start)), static_cast<int32_t>(minutes), programme});
  }
  std::vector<Run> Take() { return std::move(runs_); }

 private:
  int64_t from_;
  int64_t to_;
  std::vector<Run> runs_;
};

void Queue(const Table& table, const std::vector<Due>& due, Listing& listing) {
  int64_t free_at = std::numeric_limits<int64_t>::min();
  for (const Due& d : due) {
    const Slot& slot = table.slots[static_cast<size_t>(d.slot)];
    const int64_t start = std::max(d.minute, free_at);
    listing.Add(start, slot.minutes, slot.programme);
    free_at = start + slot.minutes;
  }
}

// Merge, drop and restart keep one open run and differ in what a start does to it.
void OneAtATime(Overlap overlap, const Table& table, const std::vector<Due>& due, Listing& listing) {
  int64_t start = 0;
  int64_t end = std::numeric_limits<int64_t>::min();
  int32_t programme = 0;
  for (const Due& d : due) {
    const Slot& slot = table.slots[static_cast<size_t>(d.slot)];
    if (d.minute < end) {
      if (overlap == Overlap::kDrop) continue;
      if (overlap == Overlap::kMerge) {
        end = std::max(end, d.minute + slot.minutes);
        continue;
      }
      end = d.minute;  // restart: the run that is on ends here
    }
    if (programme != 0) listing.Add(start, end - start, programme);
    start = d.minute;
    end = start + slot.minutes;
    programme = slot.programme;
  }
  if (programme != 0) listing.Add(start, end - start, programme);
}

// What both expansions need: the window in minutes, the table and the starts that fall due before its end.
struct Expansion {
  Expansion(const ControllerForm& form, const TimerSettings& settings, const Zone& zone, DateWindow window,
            ClockState clock, const std::vector<int>& phases)
      : from_min(MinuteOf(zone, window.from)),
        to_min(MinuteOf(zone, window.to)),
        table(form, settings, FirstDay(window), phases),
        due(DueStarts(table, ClockMap(zone, clock, window), FirstDay(window),
                      to_min + kMinutesPerDay * DaysBeyond(form.overlap))) {}

  // A run that begins inside the window may be cut or lengthened by starts past its end. A merged run goes on
  // for as long as starts keep meeting it; five weeks of that see through every day pattern's pause.
  static int64_t DaysBeyond(Overlap overlap) {
    return overlap == Overlap::kMerge ? 35 : overlap == Overlap::kRestart ? 2 : 0;
  }

  static int64_t FirstDay(DateWindow window) { return DayNumber(window.from) - 2; }
  static int64_t MinuteOf(const Zone& zone, Date date) {
    const Instant midnight = zone.FirstInstant(Midnight(date));
    return std::chrono::floor<std::chrono::minutes>(midnight).time_since_epoch().count();
  }

  int64_t from_min;
  int64_t to_min;
  Table table;
  std::vector<Due> due;
};

}  // namespace

std::vector<Run> ExpandRuns(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                            DateWindow window, ClockState clock, const std::vector<int>& phases) {
  if (!settings.on || window.to <= window.from) return {};
  const Expansion all(form, settings, zone, window, clock, phases);
  Listing listing(all.from_min, all.to_min, all.due.size());
  if (form.overlap == Overlap::kQueue || form.overlap == Overlap::kUnknown) {
    Queue(all.table, all.due, listing);
  } else {
    OneAtATime(form.overlap, all.table, all.due, listing);
  }
  return listing.Take();
}

std::vector<Run> ExpandStarts(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                              DateWindow window, ClockState clock, const std::vector<int>& phases) {
  if (!settings.on || window.to <= window.from) return {};
  const Expansion all(form, settings, zone, window, clock, phases);
  Listing listing(all.from_min, all.to_min, all.due.size());
  for (const Due& due : all.due) {
    const Slot& slot = all.table.slots[static_cast<size_t>(due.slot)];
    listing.Add(due.minute, slot.minutes, slot.programme);
  }
  return listing.Take();
}

}  // namespace lastreach
