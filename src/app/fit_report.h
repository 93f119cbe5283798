#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "evidence/fit_apply.h"
#include "evidence/fit_facts.h"
#include "evidence/test_flush.h"

namespace lastreach {

// A test flush for people: the advice, what it says of main, map and minutes, and what stood in the pipe.
void PrintTestFlush(const PointCode& point, const std::string& place, const TestFlushReading& read,
                    std::ostream& out);
std::string TestFlushToJson(const PointCode& point, const TestFlushReading& read);

// A zone's fit, and what was written of it where that was asked for.
struct ToldFit {
  ZoneFit fit;
  AppliedFit applied;
  bool is_written = false;
};
void PrintFits(const std::vector<ToldFit>& fits, std::ostream& out);
std::string FitsToJson(const std::vector<ToldFit>& fits);

}  // namespace lastreach
