#pragma once

#include <string>

#include "core/result.h"
#include "report/sheet_options.h"

namespace lastreach {

// "What this timer accepts", as PDF: a blank form to fill in beside the open lid, one question for each item
// of ControllerForm, each with a box to write in or ticks to make, and a "don't know" tick.
//
// ERROR: as WriteKeyInSheet.
Status WriteControllerFormBlank(const SheetOptions& options, const std::string& path);

}  // namespace lastreach
