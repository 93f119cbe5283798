#pragma once

#include <cstdint>

namespace lastreach {

// Routine total coliform samples a month for so many people served, with which residuals are measured at the
// same place and time. SOURCE: 40 CFR 141.857(b); one for 1000 people or fewer (from memory).
// REQUIRES: population >= 0.
int SamplesNeeded(int64_t population);

}  // namespace lastreach
