#pragma once

#include <optional>
#include <string_view>

#include "network/drawing.h"

namespace lastreach {

// Words of a map's attributes. None where a word is not understood; nobody guesses.

// "active", "in service", "ABANDONED", "retired", "proposed", "under construction".
std::optional<MainStatus> ReadMainStatus(std::string_view text);

// What runs in a pipe.
enum class PipeContent {
  kDrinkingWater,  // "potable", "treated", "distribution main"
  kOtherWater,     // "raw", "reclaimed", "irrigation"
  kSewage,         // "sanitary", "storm", "gravity main": sewers and drains
};
std::optional<PipeContent> ReadPipeContent(std::string_view text);

// Whether a valve is shut: "closed", "NC", "normally closed", "shut" or "open", "N/O". `by_yes` where the
// heading asks "closed?", so that "yes", 1 and "no" answer.
std::optional<bool> ReadShut(std::string_view text, bool by_yes);

// Whether a type says that it lets water out at an end: "blow-off", "washout", "flush hydrant".
bool SaysBlowOff(std::string_view text);

// Whether pipes of that material are sewers or drains: "VCP", "RCP", "vitrified clay", "corrugated metal".
// Common practice, no source.
bool IsSewerMaterial(std::string_view text);

}  // namespace lastreach
