#pragma once

#include <optional>
#include <string>

#include "core/origin.h"

namespace lastreach {

// How far a number that was fitted to readings may be off, kept in its note so that whoever uses it can take
// it into account: "log sd 0.12", one standard deviation of its logarithm. Stored words: never change them.
std::string LogSdNote(double log_sd);
// None where the note does not begin with it.
std::optional<double> StatedLogSd(const Origin& origin);

}  // namespace lastreach
