#pragma once

#include <map>
#include <string>
#include <string_view>

#include "import/table.h"

namespace lastreach {

// Pairs of key and value as some layers keep them in one attribute: "bridge"=>"yes","layer"=>"1", with \" and
// \\ inside quotes. What does not read so is left out.
std::map<std::string, std::string> ReadTags(std::string_view text);

// Makes a column of each key in the attribute `other_tags` that is a heading of some field of `kind`, and
// that the table has not already. Does nothing to a table without that attribute.
// COST: linear in the text.
void SpreadTags(Table& table, TableKind kind);

}  // namespace lastreach
