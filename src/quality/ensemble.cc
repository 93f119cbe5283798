#include "quality/ensemble.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <thread>

namespace lastreach {
namespace {

struct Member {
  std::vector<DispersedLow> lows;
};

Member RunMember(const Branch& branch, const BranchDrive& drive, const PulseLaw& law,
                 const EnsembleOptions& options, const Kinetics& kinetics, std::size_t number) {
  DispersedBranch water(branch, options.dispersion, kinetics, drive.initial_mg_per_l);
  AdvanceUnderPulses(water, drive,
                     DrawDemand(law, branch, drive, options.name + "/" + std::to_string(number)),
                     options.judge_from_s);
  return {{water.lows().begin(), water.lows().end()}};
}

// Calls `work` with 0 to count - 1, each once, on so many threads.
template <typename Work>
void Share(std::size_t count, unsigned threads, const Work& work) {
  std::atomic<std::size_t> next = 0;
  const auto take = [&] {
    for (std::size_t i = next++; i < count; i = next++) work(i);
  };
  std::vector<std::jthread> others;
  const std::size_t wanted = threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
  while (others.size() + 1 < std::min(wanted, count)) others.emplace_back(take);
  take();
}

}  // namespace

double Quantile(std::span<const double> sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  if (below + 1 >= sorted.size()) return sorted.back();
  return std::lerp(sorted[below], sorted[below + 1], place - static_cast<double>(below));
}

void AdvanceUnderPulses(DispersedBranch& water, const BranchDrive& drive, std::span<const DrawChange> changes,
                        double judge_from_s) {
  std::vector<double> draw_m3_per_s(water.segments());
  std::vector<double> all_m3_per_s;
  std::size_t next = 0;
  bool judging = false;
  for (std::size_t i = 0; i < drive.steps(); ++i) {
    const double begin_s = drive.time_s[i];
    const double end_s = drive.time_s[i + 1];
    const auto root_at = [&](double time_s) {
      return std::lerp(drive.root_mg_per_l[i], drive.root_mg_per_l[i + 1],
                       (time_s - begin_s) / (end_s - begin_s));
    };
    double now_s = begin_s;
    while (now_s < end_s) {
      if (!judging && now_s >= judge_from_s) {
        water.BeginSpan();
        judging = true;
      }
      for (; next < changes.size() && changes[next].time_s <= now_s; ++next) {
        draw_m3_per_s[changes[next].tap] = changes[next].draw_m3_per_s;
      }
      double until_s = next < changes.size() ? std::min(changes[next].time_s, end_s) : end_s;
      if (!judging) until_s = std::min(until_s, judge_from_s);
      all_m3_per_s = draw_m3_per_s;
      for (const SideDraw& draw : drive.side_draws) all_m3_per_s[draw.segment] += draw.flow_m3_per_s[i];
      water.Advance({.seconds = until_s - now_s,
                     .draw_m3_per_s = all_m3_per_s,
                     .end_flow_m3_per_s = drive.end_flow_m3_per_s[i],
                     .bulk_factor = drive.bulk_factor.empty() ? 1 : drive.bulk_factor[i],
                     .root_mg_per_l = root_at(now_s),
                     .root_after_mg_per_l = root_at(until_s)});
      now_s = until_s;
    }
  }
  // A window of one moment, the last, sees what stands at the taps then.
  if (!judging) water.BeginSpan();
}

std::vector<TapSpread> SpreadUnderPulses(const Branch& branch, const BranchDrive& drive, const PulseLaw& law,
                                         const EnsembleOptions& options, const Kinetics& kinetics,
                                         const std::function<void(std::size_t done)>& progress) {
  std::vector<Member> members(options.members);
  std::size_t done = 0;
  std::mutex reporting;
  Share(options.members, options.threads, [&](std::size_t k) {
    members[k] = RunMember(branch, drive, law, options, kinetics, k);
    const std::lock_guard<std::mutex> lock(reporting);
    if (progress) progress(++done);
  });
  std::vector<TapSpread> taps(branch.segments.size());
  for (std::size_t tap = 0; tap < taps.size(); ++tap) {
    for (const Member& member : members) {
      taps[tap].lowest_mg_per_l.push_back(member.lows[tap].lowest_mg_per_l);
      taps[tap].greatest_age_s.push_back(member.lows[tap].greatest_age_s);
    }
    std::sort(taps[tap].lowest_mg_per_l.begin(), taps[tap].lowest_mg_per_l.end());
    std::sort(taps[tap].greatest_age_s.begin(), taps[tap].greatest_age_s.end());
  }
  return taps;
}

}  // namespace lastreach
