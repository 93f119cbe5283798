#include <toml++/toml.h>

#include <cmath>
#include <sstream>

#include "network/decimal.h"
#include "network/plain_parts.h"
#include "network/plain_reactants.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kHazenWilliams = "hazen-williams";
constexpr std::string_view kDarcyWeisbach = "darcy-weisbach";

struct NumberOption {
  std::string_view table;  // empty for the top
  std::string_view key;
  double NetworkOptions::*value;
  bool zero_allowed;
};
constexpr NumberOption kNumbers[] = {
    {"", "hazen_williams_constant", &NetworkOptions::hazen_williams_constant, false},
    {"", "viscosity_m2_per_s", &NetworkOptions::viscosity_m2_per_s, false},
    {"", "temperature_c", &NetworkOptions::temperature_c, true},
    {"chlorine", "bulk_per_day", &NetworkOptions::bulk_per_day, true},
    {"chlorine", "wall_m_per_day", &NetworkOptions::wall_m_per_day, true},
    {"chlorine", "diffusivity_m2_per_s", &NetworkOptions::diffusivity_m2_per_s, false},
};

// Both are given or neither; none where there is nothing to say of short pressure.
struct PressureOption {
  std::string_view key;
  double ShortPressure::*value;
};
constexpr std::string_view kShortPressure = "short_pressure";
constexpr PressureOption kPressures[] = {{"none_below_m", &ShortPressure::none_below_m},
                                         {"full_above_m", &ShortPressure::full_above_m}};

std::string Name(std::string_view table, std::string_view key) {
  return table.empty() ? std::string(key) : std::string(table) + "." + std::string(key);
}

std::optional<std::string> FaultOf(const NumberOption& option, double value) {
  if (!std::isfinite(value)) return "this is not a number";
  if (value < 0) return "this cannot be negative";
  if (value == 0 && !option.zero_allowed) return "this must be above 0";
  if (option.value == &NetworkOptions::temperature_c && value > 100) return "water is between 0 and 100 C";
  return {};
}

std::string Shown(const toml::node& node) {
  std::ostringstream text;
  node.visit([&](const auto& value) { text << value; });
  return text.str();
}

Error Wrong(const std::string& path, const toml::node& node, const std::string& name, std::string message) {
  return BadInput(std::move(message), {path, static_cast<int>(node.source().begin.line), name, Shown(node)});
}

std::optional<std::string> FaultOf(const ShortPressure& pressure) {
  if (!std::isfinite(pressure.none_below_m) || !std::isfinite(pressure.full_above_m)) {
    return "this is not a number";
  }
  if (pressure.full_above_m > pressure.none_below_m) return {};
  return "full_above_m must be above none_below_m";
}

Status TakeShortPressure(const std::string& path, const toml::table& table, NetworkOptions& options,
                         Notes& notes) {
  ShortPressure pressure;
  for (const auto& [key, node] : table) {
    const bool known = key.str() == kPressures[0].key || key.str() == kPressures[1].key;
    if (known) continue;
    notes.push_back(path + ": the option " + Name(kShortPressure, key.str()) +
                    " is not one of this file and was not read");
  }
  const toml::node* last = &table;
  std::string last_name(kShortPressure);
  int given = 0;
  for (const PressureOption& option : kPressures) {
    const toml::node* node = table.get(option.key);
    if (node == nullptr) continue;
    last = node;
    last_name = Name(kShortPressure, option.key);
    ++given;
    const auto number = node->is_number() ? node->value<double>() : std::nullopt;
    if (!number) return Wrong(path, *node, last_name, "this is not a number");
    pressure.*option.value = *number;
  }
  if (given == 1) return Wrong(path, *last, last_name, "none_below_m and full_above_m go together");
  if (given == 0) return Ok();
  if (const auto fault = FaultOf(pressure)) return Wrong(path, *last, last_name, *fault);
  options.short_pressure = pressure;
  return Ok();
}

Status TakeOne(const std::string& path, std::string_view table, std::string_view key, const toml::node& node,
               NetworkOptions& options, Notes& notes) {
  const std::string name = Name(table, key);
  if (name == "head_loss") {
    const auto word = node.value_exact<std::string>();
    if (word != kHazenWilliams && word != kDarcyWeisbach) {
      return Wrong(path, node, name, "head_loss is one of hazen-williams, darcy-weisbach");
    }
    options.head_loss = word == kHazenWilliams ? HeadLoss::kHazenWilliams : HeadLoss::kDarcyWeisbach;
    return Ok();
  }
  for (const NumberOption& option : kNumbers) {
    if (option.table != table || option.key != key) continue;
    const auto number = node.is_number() ? node.value<double>() : std::nullopt;
    if (!number) return Wrong(path, node, name, "this is not a number");
    if (const auto fault = FaultOf(option, *number)) return Wrong(path, node, name, *fault);
    options.*option.value = *number;
    return Ok();
  }
  notes.push_back(path + ": the option " + name + " is not one of this file and was not read");
  return Ok();
}

}  // namespace

std::optional<CellFault> FaultOf(const NetworkOptions& options) {
  for (const NumberOption& option : kNumbers) {
    if (const auto fault = FaultOf(option, options.*option.value)) {
      return CellFault{Name(option.table, option.key), *fault};
    }
  }
  if (options.two_reactants) {
    if (const auto fault = FaultOf(*options.two_reactants)) return fault;
  }
  if (!options.short_pressure) return {};
  const auto fault = FaultOf(*options.short_pressure);
  return fault ? std::optional(CellFault{Name(kShortPressure, "full_above_m"), *fault}) : std::nullopt;
}

Result<NetworkOptions> ReadOptions(const std::string& path, Notes& notes) {
  NetworkOptions options;
  try {
    const toml::table document = toml::parse_file(path);
    for (const auto& [key, node] : document) {
      if (key.str() == "chlorine") {
        if (!node.is_table()) return Wrong(path, node, "chlorine", "a [chlorine] table is wanted");
        for (const auto& [inner, value] : *node.as_table()) {
          if (inner.str() == kTwoReactants) {
            Result<TwoReactants> reactants = ReadTwoReactants(path, value, notes);
            if (!reactants.ok()) return reactants.error();
            options.two_reactants = *reactants;
            continue;
          }
          Status taken = TakeOne(path, "chlorine", inner.str(), value, options, notes);
          if (!taken.ok()) return taken.error();
        }
        continue;
      }
      if (key.str() == kShortPressure) {
        if (!node.is_table())
          return Wrong(path, node, "short_pressure", "a [short_pressure] table is wanted");
        Status taken = TakeShortPressure(path, *node.as_table(), options, notes);
        if (!taken.ok()) return taken.error();
        continue;
      }
      Status taken = TakeOne(path, "", key.str(), node, options, notes);
      if (!taken.ok()) return taken.error();
    }
  } catch (const toml::parse_error& error) {
    return BadInput("this is not TOML: " + std::string(error.description()),
                    {path, static_cast<int>(error.source().begin.line), "", ""});
  }
  return options;
}

std::string OptionsText(const NetworkOptions& options) {
  std::string text = "head_loss = \"";
  text += options.head_loss == HeadLoss::kDarcyWeisbach ? kDarcyWeisbach : kHazenWilliams;
  text += "\"\n";
  std::string_view table;
  for (const NumberOption& option : kNumbers) {
    if (option.table != table) text += "\n[" + std::string(option.table) + "]\n";
    table = option.table;
    text += std::string(option.key) + " = " + ToDecimal(options.*option.value) + "\n";
  }
  if (options.two_reactants) text += TwoReactantsText(*options.two_reactants);
  if (!options.short_pressure) return text;
  text += "\n[" + std::string(kShortPressure) + "]\n";
  for (const PressureOption& option : kPressures) {
    text += std::string(option.key) + " = " + ToDecimal((*options.short_pressure).*option.value) + "\n";
  }
  return text;
}

}  // namespace lastreach::plain
