#pragma once

#include <map>

#include "together/pressure_judge.h"

namespace lastreach {

// Sets judged in one state, and what follows from them: a part of a set that holds holds, more than one that
// breaks breaks. COST: a look at every set kept.
class KnownSets {
 public:
  // Of this set, of one that holds and has it as a part, or of one that breaks and is a part of it.
  const JudgedSet* Find(const OpenSet& set) const;
  void Add(const OpenSet& set, const JudgedSet& judged) { sets_.emplace(set, judged); }

 private:
  std::map<OpenSet, JudgedSet> sets_;
};

}  // namespace lastreach
