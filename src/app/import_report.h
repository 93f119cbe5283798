#pragma once

#include <iosfwd>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "import/mapping.h"
#include "ledger/imports.h"

namespace lastreach {

// Pieces of what an import says, shared by sheets and layers.
nlohmann::ordered_json JsonOf(const std::vector<RejectedRow>& rows);
nlohmann::ordered_json JsonOf(const Preview& preview);  // its columns

// Rows or cells with line, column, value and reason: at most `shown` of them, then how many more there are by
// reason and column. Nothing at all where there are none.
void PrintRows(const std::string& title, const std::string& row_word, const std::vector<RejectedRow>& rows,
               size_t shown, std::ostream& out);

}  // namespace lastreach
