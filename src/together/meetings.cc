#include "together/meetings.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

namespace lastreach {
namespace {

constexpr int kMinutesAnHour = 60;
constexpr size_t kJudgedAtOnce = 32;   // enough to keep the solvers busy
constexpr size_t kTriedOneByOne = 24;  // larger sets are not shrunk further than by halving

struct Change {
  int minute = 0;
  uint32_t device = 0;
  int right = 0;  // +1 opens, -1 shuts
  int may = 0;
};

// Openings and shuttings of the chosen ways, by time.
std::vector<Change> ChangesOf(const TimeTable& table, int regime, const Shares& chosen) {
  std::vector<Change> changes;
  for (uint32_t d = 0; d < chosen.size(); ++d) {
    for (const auto& [way, share] : chosen[d]) {
      for (const OpenStretch& stretch : table.Right(regime, d, way)) {
        changes.push_back({stretch.from_min, d, 1, 0});
        changes.push_back({stretch.to_min, d, -1, 0});
      }
      for (const OpenStretch& stretch : table.May(regime, d, way)) {
        changes.push_back({stretch.from_min, d, 0, 1});
        changes.push_back({stretch.to_min, d, 0, -1});
      }
    }
  }
  std::sort(changes.begin(), changes.end(),
            [](const Change& a, const Change& b) { return a.minute < b.minute; });
  return changes;
}

Meeting MeetingAt(const std::set<uint32_t>& right, const std::set<uint32_t>& may, ClockCare care) {
  Meeting meeting;
  const std::set<uint32_t>& surely = care == ClockCare::kAllMayBeWrong ? may : right;
  meeting.together.assign(surely.begin(), surely.end());
  if (care == ClockCare::kAnyOneMayBeWrong) {
    std::set_difference(may.begin(), may.end(), right.begin(), right.end(),
                        std::back_inserter(meeting.one_of));
  }
  return meeting;
}

OpenSet Union(const OpenSet& a, const OpenSet& b) {
  OpenSet both;
  std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  return both;
}

}  // namespace

std::vector<Meeting> MeetingsOf(const TimeTable& table, const PressureMoments& moments, const Shares& chosen,
                                ClockCare care) {
  std::map<std::tuple<size_t, OpenSet, OpenSet>, int> first_minute;
  for (int regime = 0; regime < table.regimes(); ++regime) {
    const std::vector<Change> changes = ChangesOf(table, regime, chosen);
    std::set<uint32_t> right, may;
    size_t next = 0;
    for (int minute = 0; minute < table.period_min();) {
      for (; next < changes.size() && changes[next].minute <= minute; ++next) {
        const Change& change = changes[next];
        if (change.right > 0) right.insert(change.device);
        if (change.right < 0) right.erase(change.device);
        if (change.may > 0) may.insert(change.device);
        if (change.may < 0) may.erase(change.device);
      }
      Meeting meeting = MeetingAt(right, may, care);
      const size_t state = moments.state_of_moment[moments.MomentOf(minute)];
      if (!meeting.together.empty() || !meeting.one_of.empty()) {
        first_minute.try_emplace({state, std::move(meeting.together), std::move(meeting.one_of)}, minute);
      }
      minute = (minute / kMinutesAnHour + 1) * kMinutesAnHour;
      if (next < changes.size()) minute = std::min(minute, changes[next].minute);
    }
  }
  std::vector<Meeting> meetings;
  for (const auto& [key, minute] : first_minute) {
    meetings.push_back({std::get<0>(key), minute, std::get<1>(key), std::get<2>(key)});
  }
  // Large sets first: what holds with them holds with their parts.
  std::stable_sort(meetings.begin(), meetings.end(), [](const Meeting& a, const Meeting& b) {
    return a.together.size() + a.one_of.size() > b.together.size() + b.one_of.size();
  });
  return meetings;
}

std::vector<BrokenSet> FindBroken(PressureJudge& judge, const std::vector<Meeting>& meetings, size_t enough) {
  std::vector<BrokenSet> broken;
  std::vector<Meeting> left(meetings.rbegin(), meetings.rend());  // the next last
  while (!left.empty() && broken.size() < enough) {
    const auto first = left.end() - static_cast<std::ptrdiff_t>(std::min(left.size(), kJudgedAtOnce));
    const std::vector<Meeting> wave(first, left.end());
    left.erase(first, left.end());
    std::vector<PressureJudge::Question> questions;
    for (const Meeting& meeting : wave) {
      questions.push_back({meeting.state, Union(meeting.together, meeting.one_of)});
    }
    const std::vector<JudgedSet> judged = judge.JudgeAll(questions);
    for (size_t i = 0; i < wave.size(); ++i) {
      if (judged[i].Holds()) continue;
      if (wave[i].one_of.size() <= 1) {
        broken.push_back({wave[i].state, wave[i].minute, questions[i].open, judged[i]});
        continue;
      }
      const auto middle = wave[i].one_of.begin() + static_cast<std::ptrdiff_t>(wave[i].one_of.size() / 2);
      left.push_back({wave[i].state, wave[i].minute, wave[i].together, {wave[i].one_of.begin(), middle}});
      left.push_back({wave[i].state, wave[i].minute, wave[i].together, {middle, wave[i].one_of.end()}});
    }
  }
  return broken;
}

BrokenSet SmallestBreaking(PressureJudge& judge, const BrokenSet& broken) {
  OpenSet by_drop = broken.open;
  const auto drop = [&](uint32_t d) { return judge.Drop_m(broken.state, d)[broken.judged.place]; };
  std::stable_sort(by_drop.begin(), by_drop.end(), [&](uint32_t a, uint32_t b) { return drop(a) > drop(b); });
  const auto breaks = [&](OpenSet part) {
    std::sort(part.begin(), part.end());
    return !judge.Judge(broken.state, part).Holds();
  };
  // More devices never hold where fewer break: the shortest beginning that breaks is found by halving.
  size_t holds = 0, breaks_at = by_drop.size();
  while (breaks_at - holds > 1) {
    const size_t middle = (holds + breaks_at) / 2;
    (breaks(OpenSet(by_drop.begin(), by_drop.begin() + static_cast<std::ptrdiff_t>(middle))) ? breaks_at
                                                                                             : holds) =
        middle;
  }
  by_drop.resize(breaks_at);
  for (size_t i = by_drop.size(); by_drop.size() <= kTriedOneByOne && by_drop.size() > 1 && i-- > 0;) {
    OpenSet without = by_drop;
    without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
    if (breaks(without)) by_drop = std::move(without);
  }
  std::sort(by_drop.begin(), by_drop.end());
  const JudgedSet judged = judge.Judge(broken.state, by_drop);
  return {broken.state, broken.minute, std::move(by_drop), judged};
}

}  // namespace lastreach
