#pragma once

#include <string>
#include <unordered_map>

#include "core/result.h"
#include "store/database.h"

namespace lastreach {

// Rows of the project file name nodes and links by id; the program numbers them in the order they stand
// there.
template <typename Index>
class IndexOfId {
 public:
  explicit IndexOfId(const char* what) : what_(what) {}  // "node" or "link"

  void Add(const std::string& id) { places_.emplace(id, static_cast<Index>(places_.size())); }

  // ERROR: kBadInput naming it.
  Result<Index> Find(const std::string& id) const {
    const auto found = places_.find(id);
    if (found != places_.end()) return found->second;
    return BadInput(std::string("the network has no such ") + what_, {"", {}, what_, id});
  }

 private:
  const char* what_;
  std::unordered_map<std::string, Index> places_;
};

}  // namespace lastreach
