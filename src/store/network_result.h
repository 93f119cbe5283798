#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// What was computed. The words are stored: never change them.
enum class ResultKind {
  kHeads,     // "heads", m
  kPressure,  // "pressure", m
  kFlow,      // "flow", m3/s
  kAge,       // "age", h
  kChlorine,  // "chlorine", mg/L
  kSource,    // "source", %
};

// Numbers at every node, or at every link, of the project's network at times one after another.
struct NetworkResult {
  int64_t id = 0;  // given by the project
  Instant made{};
  ResultKind kind = ResultKind::kAge;
  bool of_links = false;          // else of nodes
  std::string unit;               // as people write it: "h", "mg/L"
  std::optional<Instant> begins;  // the moment hour 0 is; none if it is no day in particular
  double hours = 0;               // how long in all
  double step_h = 0;              // between two of the times
  int steps = 0;                  // how many times are kept; told when read
  std::string note;
  friend bool operator==(const NetworkResult&, const NetworkResult&) = default;
};

std::string_view ToText(ResultKind kind);
Result<ResultKind> ParseResultKind(std::string_view text);  // ERROR: kBadInput for any other word

}  // namespace lastreach
