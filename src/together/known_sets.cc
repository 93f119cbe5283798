#include "together/known_sets.h"

#include <algorithm>

namespace lastreach {

const JudgedSet* KnownSets::Find(const OpenSet& set) const {
  if (const auto found = sets_.find(set); found != sets_.end()) return &found->second;
  for (const auto& [known, judged] : sets_) {
    const bool holds = judged.Holds();
    const OpenSet& larger = holds ? known : set;
    const OpenSet& smaller = holds ? set : known;
    if (smaller.size() > larger.size()) continue;
    if (std::includes(larger.begin(), larger.end(), smaller.begin(), smaller.end())) return &judged;
  }
  return nullptr;
}

}  // namespace lastreach
