#pragma once

#include <toml++/toml.h>

#include <string>

#include "network/plain_parts.h"

// The table [chlorine.two_reactants] of options.toml. Not for other rooms.
namespace lastreach::plain {

inline constexpr std::string_view kTwoReactants = "two_reactants";

// What is wrong with the values, the column being the whole name of the option.
std::optional<CellFault> FaultOf(const TwoReactants& reactants);
// `node` is what stands under that name. Keys not given are 0.
Result<TwoReactants> ReadTwoReactants(const std::string& path, const toml::node& node, Notes& notes);
std::string TwoReactantsText(const TwoReactants& reactants);

}  // namespace lastreach::plain
