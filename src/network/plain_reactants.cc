#include "network/plain_reactants.h"

#include <cmath>
#include <sstream>

#include "network/decimal.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kTable = "chlorine.two_reactants";

struct ReactantOption {
  std::string_view key;
  double TwoReactants::*value;
};
constexpr ReactantOption kOptions[] = {
    {"fast_l_per_mg_per_day", &TwoReactants::fast_l_per_mg_per_day},
    {"slow_l_per_mg_per_day", &TwoReactants::slow_l_per_mg_per_day},
    {"fast_mg_per_l", &TwoReactants::fast_mg_per_l},
    {"slow_mg_per_l", &TwoReactants::slow_mg_per_l},
    {"thm_ug_per_mg", &TwoReactants::thm_ug_per_mg},
    {"thm_ug_per_l", &TwoReactants::thm_ug_per_l},
};

std::string NameOf(std::string_view key) { return std::string(kTable) + "." + std::string(key); }

const ReactantOption* Find(std::string_view key) {
  for (const ReactantOption& option : kOptions) {
    if (option.key == key) return &option;
  }
  return nullptr;
}

std::optional<std::string> FaultOfAmount(double value) {
  if (!std::isfinite(value)) return "this is not a number";
  if (value < 0) return "this cannot be negative";
  return {};
}

Error FaultAt(const std::string& path, const toml::node& node, std::string_view name, std::string message) {
  std::ostringstream text;
  node.visit([&](const auto& value) { text << value; });
  return BadInput(std::move(message),
                  {path, static_cast<int>(node.source().begin.line), std::string(name), text.str()});
}

}  // namespace

std::optional<CellFault> FaultOf(const TwoReactants& reactants) {
  for (const ReactantOption& option : kOptions) {
    if (const auto fault = FaultOfAmount(reactants.*option.value))
      return CellFault{NameOf(option.key), *fault};
  }
  return {};
}

Result<TwoReactants> ReadTwoReactants(const std::string& path, const toml::node& node, Notes& notes) {
  if (!node.is_table()) return FaultAt(path, node, kTable, "a [chlorine.two_reactants] table is wanted");
  TwoReactants reactants;
  for (const auto& [key, value] : *node.as_table()) {
    const std::string name = NameOf(key.str());
    const ReactantOption* option = Find(key.str());
    if (option == nullptr) {
      notes.push_back(path + ": the option " + name + " is not one of this file and was not read");
      continue;
    }
    const auto number = value.is_number() ? value.value<double>() : std::nullopt;
    if (!number) return FaultAt(path, value, name, "this is not a number");
    if (const auto fault = FaultOfAmount(*number)) return FaultAt(path, value, name, *fault);
    reactants.*option->value = *number;
  }
  return reactants;
}

std::string TwoReactantsText(const TwoReactants& reactants) {
  std::string text = "\n[" + std::string(kTable) + "]\n";
  for (const ReactantOption& option : kOptions) {
    text += std::string(option.key) + " = " + ToDecimal(reactants.*option.value) + "\n";
  }
  return text;
}

}  // namespace lastreach::plain
