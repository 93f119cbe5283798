#include "import/tags.h"

#include <algorithm>

#include "import/cell_words.h"
#include "import/heading_match.h"

namespace lastreach {
namespace {

// The text between the quotes at `at`, which is then behind them; false if there are none.
bool TakeQuoted(std::string_view text, size_t& at, std::string& quoted) {
  quoted.clear();
  if (at >= text.size() || text[at] != '"') return false;
  for (++at; at < text.size() && text[at] != '"'; ++at) {
    if (text[at] == '\\' && at + 1 < text.size()) ++at;
    quoted += text[at];
  }
  if (at >= text.size()) return false;
  ++at;
  return true;
}

}  // namespace

std::map<std::string, std::string> ReadTags(std::string_view text) {
  std::map<std::string, std::string> tags;
  std::string key;
  std::string value;
  for (size_t at = 0; at < text.size();) {
    if (text[at] != '"') {
      ++at;
      continue;
    }
    if (!TakeQuoted(text, at, key)) break;
    if (text.substr(at, 2) != "=>") continue;
    at += 2;
    if (TakeQuoted(text, at, value)) tags.emplace(key, value);
  }
  return tags;
}

void SpreadTags(Table& table, TableKind kind) {
  const auto heading = std::find(table.headings.begin(), table.headings.end(), "other_tags");
  if (heading == table.headings.end()) return;
  const auto column = static_cast<size_t>(heading - table.headings.begin());
  std::map<std::string, size_t> column_of;
  for (size_t i = 0; i < table.headings.size(); ++i) column_of.emplace(table.headings[i], i);
  std::map<std::string, bool> wanted;
  std::string list;
  for (TableRow& row : table.rows) {
    if (column >= row.cells.size()) continue;
    for (auto& [key, value] : ReadTags(row.cells[column])) {
      const auto [known, is_new] = wanted.emplace(key, false);
      if (is_new) known->second = column_of.count(key) == 0 && BestMatch(key, kind) >= 0.98;
      if (!known->second) continue;
      const auto [found, added] = column_of.emplace(key, table.headings.size());
      if (added) {
        table.headings.push_back(key);
        list += (list.empty() ? "" : ", ") + key;
      }
      row.cells.resize(std::max(row.cells.size(), found->second + 1));
      row.cells[found->second] = value;
    }
  }
  if (!list.empty()) table.notes.push_back("read out of other_tags: " + list);
}

}  // namespace lastreach
