#pragma once

#include <memory>
#include <optional>
#include <utility>
#include <vector>

namespace lastreach {

// Choose one way for each device, at the least cost, such that every row holds:
//
//   min SUM c_dk x_dk,   SUM_k x_dk = 1 for each device d,   SUM a_dk x_dk <= b for each row,   x_dk 0 or 1
struct ChoiceProgramme {
  struct Term {
    uint32_t device = 0;
    uint32_t way = 0;
    double amount = 0;
  };
  struct Row {
    std::vector<Term> terms;  // each device and way once
    double most = 0;
  };
  std::vector<std::vector<double>> cost;  // by device, then way
  std::vector<Row> rows;
};

struct ChoiceLimits {
  int nodes = 2000;     // of the search tree; the same answer every time while this is what stops it
  double seconds = 30;  // of processor time
  double gap = 0;       // stop within this share of the cost
};

enum class ChoiceStatus {
  kBest,        // proven, within the gap
  kStopped,     // a limit came first; `way` is the best so far, if any
  kImpossible,  // no choice keeps every row
};

struct Choice {
  ChoiceStatus status = ChoiceStatus::kStopped;
  std::vector<uint32_t> way;  // by device; empty if none was found
  double cost = 0;
  double bound = 0;  // no choice costs less
};

// By branch and cut of the library CBC, on one thread with a fixed seed. `start`: a choice to begin from.
// Whether the choice keeps the rows is not taken on trust: one that does not is not handed on.
Choice SolveChoice(const ChoiceProgramme& programme, const std::optional<std::vector<uint32_t>>& start,
                   const ChoiceLimits& limits);

// The same with shares in place of 0 or 1, rows added bit by bit, by the dual simplex method of the same
// library.
class RelaxedChoice {
 public:
  explicit RelaxedChoice(const std::vector<std::vector<double>>& cost);
  ~RelaxedChoice();
  RelaxedChoice(RelaxedChoice&&) noexcept;
  RelaxedChoice& operator=(RelaxedChoice&&) noexcept;

  void Add(const ChoiceProgramme::Row& row);
  bool Solve();         // false: nothing keeps every row
  double cost() const;  // no choice costs less
  double Share(size_t device, size_t way) const;
  // How much a choice with this way costs more than cost(), at least.
  double Surplus(size_t device, size_t way) const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
