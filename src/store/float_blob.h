#pragma once

#include <span>
#include <vector>

#include "store/database.h"

namespace lastreach {

// Numbers as four bytes each, IEEE 754 single precision, least significant byte first, whatever the machine.
Blob FloatBlob(std::span<const float> numbers);
void AppendFloats(const Blob& bytes, std::vector<float>& numbers);  // odd bytes at the end are left

}  // namespace lastreach
