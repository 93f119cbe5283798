#include "import/mapping.h"

#include <algorithm>
#include <cmath>

#include "import/cell_words.h"
#include "import/heading_match.h"
#include "import/unit_guess.h"

namespace lastreach {
namespace {

struct Candidate {
  const Field* field = nullptr;
  size_t column = 0;
  double score = 0;
  size_t rank = 0;
  ChosenHow how = ChosenHow::kExact;
  std::optional<Unit> unit;
};

std::string HeadingList(const Table& table) {
  std::string list;
  for (const std::string& heading : table.headings) {
    if (!heading.empty()) list += (list.empty() ? "" : ", ") + heading;
  }
  return list;
}

std::optional<size_t> ColumnHeaded(const Table& table, const std::string& heading) {
  for (size_t i = 0; i < table.headings.size(); ++i) {
    if (table.headings[i] == heading) return i;
  }
  for (size_t i = 0; i < table.headings.size(); ++i) {
    if (!Plainly(heading).empty() && Plainly(table.headings[i]) == Plainly(heading)) return i;
  }
  return std::nullopt;
}

// The named columns, which go before what the words say. A remembered heading that is gone is no fault.
Status AddNamed(const Table& table, TableKind kind, const std::vector<ChosenColumn>& named, ChosenHow how,
                std::vector<Candidate>& to) {
  for (const ChosenColumn& choice : named) {
    const Field* field = FindField(kind, choice.field);
    if (choice.heading.empty() || (field == nullptr && how == ChosenHow::kRemembered)) continue;
    if (field == nullptr) {
      return BadInput("a sheet of " + std::string(ToText(kind)) + " has no such field",
                      {table.file, {}, "", choice.field});
    }
    const auto column = ColumnHeaded(table, choice.heading);
    if (!column) {
      if (how == ChosenHow::kRemembered) continue;
      return BadInput(
          "the sheet has no heading for '" + choice.field + "' written so; it has " + HeadingList(table),
          {table.file, table.heading_line, "", choice.heading});
    }
    const HeadingParts parts = TakeApart(table.headings[*column], field->dimension);
    to.push_back({field, *column, how == ChosenHow::kTyped ? 3.0 : 2.0, 0, how, parts.unit});
  }
  return Ok();
}

const SeenColumn* FindSeen(const MappingOptions& options, const std::string& field,
                           const std::string& heading) {
  for (const SeenColumn& seen : options.seen) {
    if (seen.field == field && seen.heading == heading) return &seen;
  }
  return nullptr;
}

std::vector<Candidate> CandidatesOf(const Table& table, TableKind kind, const MappingOptions& options) {
  std::vector<Candidate> candidates;
  for (const Field& field : FieldsOf(kind)) {
    if (std::count(options.not_wanted.begin(), options.not_wanted.end(), field.name) > 0) continue;
    for (size_t i = 0; i < table.headings.size(); ++i) {
      if (table.headings[i].empty()) continue;
      const SeenColumn* seen = FindSeen(options, field.name, table.headings[i]);
      if (seen != nullptr && !seen->unit) continue;
      const HeadingMatch match = MatchHeading(table.headings[i], field);
      if (match.score <= 0) continue;
      candidates.push_back({&field, i, match.score, match.rank,
                            match.score == 1 ? ChosenHow::kExact : ChosenHow::kSimilar, match.unit});
    }
  }
  return candidates;
}

std::vector<std::string> CellsOf(const Table& table, size_t column) {
  std::vector<std::string> cells;
  for (const TableRow& row : table.rows) {
    // Rows with too many cells are shifted, and headings come again on each printed page.
    if (column >= row.cells.size() || row.cells.size() > table.headings.size()) continue;
    const std::string& cell = row.cells[column];
    if (!SaysUnknown(cell) && Trimmed(cell) != table.headings[column]) cells.push_back(cell);
  }
  return cells;
}

ColumnChoice MakeChoice(const Table& table, const Candidate& candidate, const MappingOptions& options) {
  ColumnChoice choice;
  choice.field = candidate.field->name;
  choice.dimension = candidate.field->dimension;
  choice.heading = table.headings[candidate.column];
  choice.column = candidate.column;
  choice.how = candidate.how;
  choice.confidence = std::min(1.0, candidate.score);
  choice.unit = candidate.unit;
  if (choice.unit) choice.unit_why = "in the heading";
  const std::vector<std::string> cells = CellsOf(table, candidate.column);
  choice.decimal_mark = DecimalMarkOf(cells);
  if (candidate.field->holds_dates) {
    choice.date_order = DateOrderOf(cells);
    if (!choice.date_order) choice.date_order = options.date_order;
  }
  for (const std::string& cell : cells) {
    const std::string value = Trimmed(cell);
    if (choice.samples.size() < 3 &&
        std::find(choice.samples.begin(), choice.samples.end(), value) == choice.samples.end()) {
      choice.samples.push_back(value);
    }
  }
  return choice;
}

// A unit that was typed or remembered goes before the heading's.
Status TakeNamedUnits(const std::vector<ChosenColumn>& named, const char* why, const Table& table,
                      Preview& preview) {
  for (const ChosenColumn& column : named) {
    if (column.unit.empty()) continue;
    for (ColumnChoice& choice : preview.columns) {
      if (choice.field != column.field) continue;
      const auto unit = FindUnit(choice.dimension, column.unit);
      if (!unit) {
        return BadInput("no such unit for '" + choice.field + "'; there are " + UnitNames(choice.dimension),
                        {table.file, {}, choice.heading, column.unit});
      }
      choice.unit = unit;
      choice.unit_why = why;
    }
  }
  return Ok();
}

Status RequireNeeded(const Table& table, TableKind kind, const Preview& preview) {
  std::string missing;
  for (const Field& field : FieldsOf(kind)) {
    if (field.required && preview.Find(field.name) == nullptr)
      missing += (missing.empty() ? "" : ", ") + field.name;
  }
  const bool no_reading = kind == TableKind::kSamples && preview.Find("residual") == nullptr &&
                          preview.Find("free") == nullptr && preview.Find("total") == nullptr &&
                          preview.Find("monochloramine") == nullptr && preview.Find("ammonia") == nullptr &&
                          preview.Find("nitrite") == nullptr;
  if (no_reading) missing += std::string(missing.empty() ? "" : ", ") + "residual";
  const bool no_result = kind == TableKind::kByproducts && preview.Find("tthm") == nullptr &&
                         preview.Find("haa5") == nullptr && preview.Find("result") == nullptr;
  if (no_result) missing += std::string(missing.empty() ? "" : ", ") + "tthm";
  if (missing.empty()) return Ok();
  return BadInput("no column for what is needed: " + missing + "; name the headings in a columns file",
                  {table.file, table.heading_line, "", HeadingList(table)});
}

}  // namespace

std::string_view ToText(ChosenHow how) {
  switch (how) {
    case ChosenHow::kExact:
      return "same words";
    case ChosenHow::kSimilar:
      return "similar words";
    case ChosenHow::kRemembered:
      return "remembered";
    case ChosenHow::kTyped:
      return "columns file";
  }
  return "similar words";
}

const ColumnChoice* Preview::Find(std::string_view field) const {
  for (const ColumnChoice& choice : columns) {
    if (choice.field == field) return &choice;
  }
  return nullptr;
}

Result<Preview> MapColumns(const Table& table, TableKind kind, const MappingOptions& options) {
  std::vector<Candidate> candidates;
  for (const auto& [named, how] : {std::pair(&options.typed, ChosenHow::kTyped),
                                   std::pair(&options.remembered, ChosenHow::kRemembered)}) {
    if (Status added = AddNamed(table, kind, *named, how, candidates); !added.ok()) return added.error();
  }
  const std::vector<Candidate> by_words = CandidatesOf(table, kind, options);
  candidates.insert(candidates.end(), by_words.begin(), by_words.end());
  // Best first; of equals the plainer words, then the field and the column that stand first.
  std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
    return a.score != b.score ? a.score > b.score : a.rank < b.rank;
  });

  Preview preview;
  preview.kind = kind;
  std::vector<bool> column_taken(table.headings.size());
  std::vector<std::optional<ColumnChoice>> chosen(FieldsOf(kind).size());
  for (const Candidate& candidate : candidates) {
    auto& slot = chosen[static_cast<size_t>(candidate.field - FieldsOf(kind).data())];
    if (slot || column_taken[candidate.column]) continue;
    slot = MakeChoice(table, candidate, options);
    column_taken[candidate.column] = true;
  }
  for (auto& slot : chosen) {
    if (slot) preview.columns.push_back(std::move(*slot));
  }
  for (size_t i = 0; i < table.headings.size(); ++i) {
    if (!column_taken[i] && !table.headings[i].empty()) preview.unused_headings.push_back(table.headings[i]);
  }
  preview.notes = table.notes;
  if (Status needed = RequireNeeded(table, kind, preview); !needed.ok()) return needed.error();
  if (Status units = TakeNamedUnits(options.remembered, "remembered", table, preview); !units.ok())
    return units.error();
  if (Status units = TakeNamedUnits(options.typed, "columns file", table, preview); !units.ok())
    return units.error();
  for (ColumnChoice& choice : preview.columns) {
    const SeenColumn* seen = FindSeen(options, choice.field, choice.heading);
    if (choice.unit || seen == nullptr || !seen->unit) continue;
    choice.unit = seen->unit;
    choice.unit_why = seen->why;
  }
  for (const SeenColumn& seen : options.seen) {
    if (!seen.unit) preview.notes.push_back("'" + seen.heading + "' is not read: " + seen.why);
  }
  if (Status guessed = GuessUnits(table, preview); !guessed.ok()) return guessed.error();
  return preview;
}

std::vector<ChosenColumn> ToRemember(const Preview& preview) {
  std::vector<ChosenColumn> columns;
  for (const ColumnChoice& choice : preview.columns) {
    columns.push_back({choice.field, choice.heading, choice.unit ? choice.unit->name : ""});
  }
  return columns;
}

std::string Describe(const Preview& preview) {
  const auto one_line = [](std::string value) {
    std::replace(value.begin(), value.end(), '\n', ' ');
    return value;
  };
  std::string text;
  for (const ColumnChoice& choice : preview.columns) {
    text += choice.field + " <- '" + choice.heading + "' (" + std::string(ToText(choice.how)) + ", " +
            std::to_string(std::lround(choice.confidence * 100)) + " % sure)";
    if (choice.unit) text += ", in " + choice.unit->name + ": " + choice.unit_why;
    if (choice.decimal_mark == DecimalMark::kComma) text += ", decimal commas";
    if (choice.date_order)
      text += *choice.date_order == DateOrder::kDayFirst ? ", day first" : ", month first";
    for (size_t i = 0; i < choice.samples.size(); ++i)
      text += (i == 0 ? "; as in '" : "', '") + one_line(choice.samples[i]);
    text += choice.samples.empty() ? "\n" : "'\n";
  }
  for (const std::string& heading : preview.unused_headings) text += "not read: '" + heading + "'\n";
  for (const std::string& note : preview.notes) text += "note: " + note + "\n";
  return text;
}

}  // namespace lastreach
