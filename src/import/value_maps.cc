#include "import/value_maps.h"

#include <toml++/toml.h>

#include <filesystem>

#include "import/cell_words.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

int LineOf(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

// A measure needs a number; its unit may come from the column.
bool FitsField(const Field& field, const std::string& value) {
  if (field.dimension == Dimension::kNone || SaysUnknown(value)) return true;
  const auto number = ParseNumber(value);
  return number.ok() && (number->rest.empty() || FindUnit(field.dimension, number->rest));
}

Result<ValueMap> ReadValues(const toml::table& from, const Field& field, const std::string& path) {
  ValueMap values;
  for (const auto& [key, node] : from) {
    const auto text = node.value_exact<std::string>();
    if (!text)
      return BadInput("a text in quotes is wanted", {path, LineOf(node), std::string(key.str()), ""});
    if (!FitsField(field, *text)) {
      return BadInput("a number is wanted, with one of the units " + UnitNames(field.dimension),
                      {path, LineOf(node), "values." + field.name, *text});
    }
    values.emplace(Trimmed(key.str()), *text);
  }
  return values;
}

}  // namespace

Result<ValueMaps> ReadValueMaps(const std::string& path, TableKind kind) {
  if (!std::filesystem::is_regular_file(path)) return NotFound("there is no such file", {path, {}, "", ""});
  try {
    const toml::table document = toml::parse_file(path);
    ValueMaps maps;
    const toml::table* all = document["values"].as_table();
    if (all == nullptr) return maps;
    for (const auto& [key, node] : *all) {
      const std::string name(key.str());
      const Field* field = FindField(kind, name);
      if (field == nullptr || !node.is_table()) {
        return BadInput("there is no such field of " + std::string(ToText(kind)),
                        {path, LineOf(node), "", "values." + name});
      }
      auto values = ReadValues(*node.as_table(), *field, path);
      if (!values.ok()) return values.error();
      maps.emplace(name, *std::move(values));
    }
    return maps;
  } catch (const toml::parse_error& error) {
    return BadInput("this is not TOML: " + std::string(error.description()),
                    {path, static_cast<int>(error.source().begin.line), "", ""});
  }
}

const std::string* StandsFor(const ValueMap& values, std::string_view cell) {
  const std::string trimmed = Trimmed(cell);
  if (const auto found = values.find(trimmed); found != values.end()) return &found->second;
  const std::string plain = Plainly(trimmed);
  const auto number = ParseNumber(trimmed);
  for (const auto& [code, meaning] : values) {
    if (!plain.empty() && Plainly(code) == plain) return &meaning;
    if (!number.ok() || !number->rest.empty()) continue;
    const auto code_number = ParseNumber(code);
    if (code_number.ok() && code_number->rest.empty() && code_number->value == number->value) return &meaning;
  }
  return nullptr;
}

}  // namespace lastreach
