#include "plan/finalists.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

namespace lastreach {

Finalists::Finalists(DeviceStudy& study, const StartRules& rules, const Search& search)
    : study_(study), rules_(rules), search_(search) {}

double Finalists::LeastWater() const {
  double least = std::numeric_limits<double>::infinity();
  for (const Entry& entry : entries_) {
    if (entry.sure) least = std::min(least, entry.sure->water_m3_per_day);
  }
  return least;
}

double Finalists::MostWorthHaving(const Candidate& candidate) const {
  constexpr double kRounding = 1e-9;
  double most = LeastWater() * (1 + std::max(study_.options.simpler_within, kSameWater));
  for (const Entry& other : entries_) {
    if (other.sure && other.sure->runs_per_day <= candidate.runs_per_day + kRounding)
      most = std::min(most, other.sure->water_m3_per_day * (1 - kRounding));
  }
  return most;
}

void Finalists::Enter(const Candidate& candidate) {
  entries_.push_back(
      {candidate, study_.WindowsFor(candidate.days), FamilyRecord(study_.judge.draws()), std::nullopt});
  Ask(entries_.back());
}

void Finalists::Ask(Entry& entry) {
  const double most = MostWorthHaving(entry.at_corner);
  // Draws ask for no less than the corner does, give or take a tie.
  if (entry.at_corner.water_m3_per_day > most * (1 + kSameWater)) return;
  entry.sure = MakeSure(entry.at_corner, rules_, search_, study_.judge, entry.windows,
                        study_.options.sureness, entry.record, most);
}

size_t Finalists::WinnerIndex() const {
  const double most_m3_per_day = LeastWater() * (1 + study_.options.simpler_within) + 1e-12;
  size_t winner = entries_.size();
  const auto key = [&](const Candidate& c) {
    return std::tuple(c.water_m3_per_day > most_m3_per_day, std::lround(c.runs_per_day * 1e6),
                      c.water_m3_per_day);
  };
  for (size_t i = 0; i < entries_.size(); ++i) {
    if (!entries_[i].sure) continue;
    if (winner == entries_.size() || key(*entries_[i].sure) < key(*entries_[winner].sure)) winner = i;
  }
  return winner;
}

const Candidate* Finalists::Winner() const {
  const size_t winner = WinnerIndex();
  return winner < entries_.size() ? &*entries_[winner].sure : nullptr;
}

void Finalists::Lengthen(Entry& entry, int steps) {
  const Candidate unsure = *entry.sure;
  // Where so many steps are too many, fewer may still fit.
  for (; steps >= 1; steps /= 2) {
    entry.sure = Lengthened(unsure, steps, rules_, search_);
    entry.last_steps = steps;
    if (entry.sure) break;
  }
  entry.is_out = !entry.sure;
}

void Finalists::LengthenWinner() {
  constexpr double kSame_m3_per_day = 1e-9;
  constexpr int kEnoughOfAKind = 2;
  Entry& winner = entries_[WinnerIndex()];
  const Candidate unsure = *winner.sure;
  winner.unsure_m3_per_day = unsure.water_m3_per_day;
  const int steps = std::max(1, 2 * winner.last_steps);
  const auto is_alike = [&](const Entry& entry, double water_m3_per_day) {
    return entry.at_corner.days == unsure.days && entry.at_corner.starts() == unsure.starts() &&
           std::abs(water_m3_per_day - unsure.water_m3_per_day) < kSame_m3_per_day;
  };
  const auto failed = std::count_if(entries_.begin(), entries_.end(), [&](const Entry& entry) {
    return is_alike(entry, entry.unsure_m3_per_day);
  });
  Lengthen(winner, steps);
  for (Entry& entry : entries_) {
    if (failed < kEnoughOfAKind) break;
    if (entry.sure && is_alike(entry, entry.sure->water_m3_per_day)) Lengthen(entry, steps);
  }
  for (Entry& entry : entries_) {
    if (study_.options.ShouldStop()) return;
    if (!entry.sure && !entry.is_out) Ask(entry);
  }
}

int Finalists::StepsFromUnsure() const { return entries_[WinnerIndex()].last_steps; }

}  // namespace lastreach
