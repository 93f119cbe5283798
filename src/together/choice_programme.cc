#include "together/choice_programme.h"

#include <Cbc_C_Interface.h>

#include <CoinPackedVector.hpp>
#include <OsiClpSolverInterface.hpp>
#include <algorithm>
#include <string>

namespace lastreach {
namespace {

constexpr double kRowTolerance = 5e-6;

// Numbers of the columns, one a device and way.
class Columns {
 public:
  explicit Columns(const std::vector<std::vector<double>>& cost) {
    for (const std::vector<double>& ways : cost) {
      first_.push_back(count_);
      count_ += static_cast<int>(ways.size());
    }
  }
  int Of(size_t device, size_t way) const { return first_[device] + static_cast<int>(way); }
  int count() const { return count_; }

 private:
  std::vector<int> first_;
  int count_ = 0;
};

struct SparseRow {
  std::vector<int> columns;
  std::vector<double> amounts;
};

SparseRow RowOf(const ChoiceProgramme::Row& row, const Columns& columns) {
  SparseRow sparse;
  for (const ChoiceProgramme::Term& term : row.terms) {
    sparse.columns.push_back(columns.Of(term.device, term.way));
    sparse.amounts.push_back(term.amount);
  }
  return sparse;
}

SparseRow OneOf(const std::vector<std::vector<double>>& cost, size_t device, const Columns& columns) {
  SparseRow sparse;
  for (size_t way = 0; way < cost[device].size(); ++way) {
    sparse.columns.push_back(columns.Of(device, way));
    sparse.amounts.push_back(1);
  }
  return sparse;
}

bool Keeps(const ChoiceProgramme& programme, const std::vector<uint32_t>& way) {
  return std::all_of(programme.rows.begin(), programme.rows.end(), [&](const ChoiceProgramme::Row& row) {
    double sum = 0;
    for (const ChoiceProgramme::Term& term : row.terms) {
      if (way[term.device] == term.way) sum += term.amount;
    }
    return sum <= row.most + kRowTolerance;
  });
}

double CostOf(const ChoiceProgramme& programme, const std::vector<uint32_t>& way) {
  double cost = 0;
  for (size_t d = 0; d < way.size(); ++d) cost += programme.cost[d][way[d]];
  return cost;
}

struct ModelEnd {
  void operator()(Cbc_Model* model) const { Cbc_deleteModel(model); }
};
using Model = std::unique_ptr<Cbc_Model, ModelEnd>;

Model ModelOf(const ChoiceProgramme& programme, const Columns& columns) {
  Model model(Cbc_newModel());
  Cbc_setParameter(model.get(), "log", "0");
  for (size_t d = 0; d < programme.cost.size(); ++d) {
    for (size_t k = 0; k < programme.cost[d].size(); ++k) {
      const std::string name = "x" + std::to_string(columns.Of(d, k));
      Cbc_addCol(model.get(), name.c_str(), 0, 1, programme.cost[d][k], 1, 0, nullptr, nullptr);
    }
  }
  int number = 0;
  const auto add = [&](const SparseRow& row, char sense, double most) {
    const std::string name = "r" + std::to_string(number++);
    Cbc_addRow(model.get(), name.c_str(), static_cast<int>(row.columns.size()), row.columns.data(),
               row.amounts.data(), sense, most);
  };
  for (size_t d = 0; d < programme.cost.size(); ++d) add(OneOf(programme.cost, d, columns), 'E', 1);
  for (const ChoiceProgramme::Row& row : programme.rows) add(RowOf(row, columns), 'L', row.most);
  return model;
}

void SetStart(Cbc_Model* model, const Columns& columns, const std::vector<uint32_t>& start) {
  std::vector<int> at;
  const std::vector<double> ones(start.size(), 1);
  for (size_t d = 0; d < start.size(); ++d) at.push_back(columns.Of(d, start[d]));
  Cbc_setMIPStartI(model, static_cast<int>(at.size()), at.data(), ones.data());
}

std::vector<uint32_t> WaysOf(const double* shares, const ChoiceProgramme& programme, const Columns& columns) {
  std::vector<uint32_t> way;
  for (size_t d = 0; d < programme.cost.size(); ++d) {
    const double* const first = shares + columns.Of(d, 0);
    way.push_back(static_cast<uint32_t>(std::max_element(first, first + programme.cost[d].size()) - first));
  }
  return way;
}

}  // namespace

Choice SolveChoice(const ChoiceProgramme& programme, const std::optional<std::vector<uint32_t>>& start,
                   const ChoiceLimits& limits) {
  const Columns columns(programme.cost);
  const Model model = ModelOf(programme, columns);
  Cbc_setParameter(model.get(), "threads", "0");
  Cbc_setParameter(model.get(), "randomSeed", "20260701");
  Cbc_setParameter(model.get(), "randomCbcSeed", "20260701");
  Cbc_setParameter(model.get(), "maxNodes", std::to_string(limits.nodes).c_str());
  Cbc_setParameter(model.get(), "sec", std::to_string(limits.seconds).c_str());
  Cbc_setParameter(model.get(), "ratioGap", std::to_string(limits.gap).c_str());
  if (start) SetStart(model.get(), columns, *start);
  Cbc_solve(model.get());

  Choice choice;
  choice.bound = Cbc_getBestPossibleObjValue(model.get());
  if (Cbc_isProvenInfeasible(model.get()) != 0) {
    choice.status = ChoiceStatus::kImpossible;
    return choice;
  }
  if (Cbc_isProvenOptimal(model.get()) != 0) choice.status = ChoiceStatus::kBest;
  const double* const shares = Cbc_bestSolution(model.get());
  if (shares != nullptr) {
    choice.way = WaysOf(shares, programme, columns);
    if (!Keeps(programme, choice.way)) choice.way.clear();
  }
  if (choice.way.empty() && start && Keeps(programme, *start)) choice.way = *start;
  if (!choice.way.empty()) choice.cost = CostOf(programme, choice.way);
  if (choice.way.empty()) choice.status = ChoiceStatus::kStopped;
  return choice;
}

class RelaxedChoice::Impl {
 public:
  explicit Impl(const std::vector<std::vector<double>>& cost) : columns(cost) {
    solver.messageHandler()->setLogLevel(0);
    solver.getModelPtr()->setLogLevel(0);
    for (const std::vector<double>& ways : cost) {
      for (const double each : ways) solver.addCol(0, nullptr, nullptr, 0, solver.getInfinity(), each);
    }
    for (size_t d = 0; d < cost.size(); ++d) {
      const SparseRow row = OneOf(cost, d, columns);
      solver.addRow(static_cast<int>(row.columns.size()), row.columns.data(), row.amounts.data(), 1, 1);
    }
  }
  Columns columns;
  OsiClpSolverInterface solver;
  bool solved = false;
};

RelaxedChoice::RelaxedChoice(const std::vector<std::vector<double>>& cost)
    : impl_(std::make_unique<Impl>(cost)) {}
RelaxedChoice::~RelaxedChoice() = default;
RelaxedChoice::RelaxedChoice(RelaxedChoice&&) noexcept = default;
RelaxedChoice& RelaxedChoice::operator=(RelaxedChoice&&) noexcept = default;

void RelaxedChoice::Add(const ChoiceProgramme::Row& row) {
  const SparseRow sparse = RowOf(row, impl_->columns);
  impl_->solver.addRow(static_cast<int>(sparse.columns.size()), sparse.columns.data(), sparse.amounts.data(),
                       -impl_->solver.getInfinity(), row.most);
}

bool RelaxedChoice::Solve() {
  if (impl_->solved) {
    impl_->solver.resolve();
  } else {
    impl_->solver.initialSolve();
  }
  impl_->solved = true;
  return !impl_->solver.isProvenPrimalInfeasible();
}

double RelaxedChoice::cost() const { return impl_->solver.getObjValue(); }
double RelaxedChoice::Share(size_t device, size_t way) const {
  return impl_->solver.getColSolution()[impl_->columns.Of(device, way)];
}
double RelaxedChoice::Surplus(size_t device, size_t way) const {
  return std::max(0.0, impl_->solver.getReducedCost()[impl_->columns.Of(device, way)]);
}

}  // namespace lastreach
