#include "import/feature_row.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "import/cell_words.h"

namespace lastreach {
namespace {

// Numbers that stand for "unknown" in exports of databases. Common practice, no source.
bool IsMissingNumber(double value) {
  static constexpr std::array<double, 11> kMissing = {-1,     -9,   -9.9,  -9.99,  -99,  -99.9,
                                                      -99.99, -999, -9999, -99999, -1e10};
  return std::any_of(kMissing.begin(), kMissing.end(),
                     [&](double missing) { return std::abs(value - missing) < 1e-9 * std::abs(missing); });
}

// What a field's numbers cannot be.
bool CannotBe(const std::string& field, double value) {
  if (field == "year") return value == 999 || value == 9999 || value == 99999;  // 0: years.h
  if (field == "diameter") return value == 0 || value == 999 || value == 9999 || value == 99999;
  return field == "length" && value == 0;
}

bool IsNumeric(const Field& field) {
  return field.dimension != Dimension::kNone || field.holds_dates || field.name == "count" ||
         field.name == "period_days";
}

std::string Percent(size_t part, size_t whole) {
  const double percent = 100.0 * static_cast<double>(part) / static_cast<double>(whole);
  char text[32];
  std::snprintf(text, sizeof text, percent < 10 ? "%.1f %%" : "%.0f %%", percent);
  return text;
}

}  // namespace

FeatureRow::FeatureRow(const Layer& layer, const Preview& preview, const FeatureOptions& options,
                       ImportedLayer& to)
    : layer_(layer), preview_(preview), options_(options), to_(to), key_(FindKeyColumn(layer, preview)) {
  context_.who = options.who;
  context_.when = options.when;
  if (!key_.note.empty()) to_.notes.push_back(key_.note);
  for (const ColumnChoice& choice : preview.columns) {
    if (!FindField(preview.kind, choice.field)->holds_dates) continue;
    std::vector<std::string> cells;
    for (const TableRow& row : layer.table.rows) {
      if (choice.column < row.cells.size()) cells.push_back(row.cells[choice.column]);
    }
    const YearColumn column(cells);
    if (!column.meaning().empty()) to_.notes.push_back("'" + choice.heading + "' is in " + column.meaning());
    years_.emplace(choice.field, column);
  }
}

bool FeatureRow::SaysNothing(const ColumnChoice& choice, const Field& field, const std::string& cell) const {
  if (SaysUnknown(cell)) return true;
  if (!IsNumeric(field)) return false;
  if (const auto year = years_.find(choice.field); year != years_.end() && year->second.SaysUnknown(cell))
    return true;
  const auto number = ParseNumber(cell, choice.decimal_mark);
  return number.ok() && (IsMissingNumber(number->value) || CannotBe(field.name, number->value));
}

void FeatureRow::Clean(TableRow& row) {
  row.cells.resize(std::max(row.cells.size(), layer_.table.headings.size()));
  for (const ColumnChoice& choice : preview_.columns) {
    std::string& cell = row.cells[choice.column];
    if (const auto values = options_.values.find(choice.field); values != options_.values.end()) {
      if (const std::string* meaning = StandsFor(values->second, cell)) cell = *meaning;
    }
    const Field& field = *FindField(preview_.kind, choice.field);
    if (!SaysNothing(choice, field, cell)) continue;
    ++unknown_[choice.field][Trimmed(cell)];
    cell.clear();
  }
}

void FeatureRow::MoveTo(size_t row) {
  row_ = row;
  cleaned_ = layer_.table.rows[row];
  Clean(cleaned_);
  reader_.emplace(cleaned_, preview_, context_, listings_);
}

void FeatureRow::Finish() {
  const bool rejected = reader_->rejected();
  const std::string original = AsWritten(layer_.table.rows[row_]);
  const auto take = [&](std::vector<RejectedRow>& from, std::vector<RejectedRow>& list) {
    for (RejectedRow& row : from) {
      row.original = original;
      list.push_back(std::move(row));
    }
    from.clear();
  };
  take(listings_.rejected, to_.rejected);
  if (rejected) listings_.left_out.clear();
  take(listings_.left_out, to_.left_out);
  if (!rejected) ++to_.rows_in;
}

FeatureKey FeatureRow::Key(size_t part) const {
  std::string key = key_.column ? Trimmed(layer_.table.rows[row_].cells[*key_.column])
                                : std::to_string(layer_.table.rows[row_].line);
  if (part > 0) key += ":" + std::to_string(part + 1);
  return {layer_.key, std::move(key)};
}

std::optional<int> FeatureRow::Year(std::string_view field) {
  const std::string text = reader_->Text(field);
  const auto column = years_.find(std::string(field));
  if (text.empty() || column == years_.end()) return std::nullopt;
  const auto year = column->second.Read(text);
  if (year.ok()) return *year;
  reader_->LeaveOut(field, year.error().message);
  return std::nullopt;
}

void FeatureRow::NotUnderstood(std::string_view field, const std::string& taken) {
  auto& [said, count] = words_[{std::string(field), reader_->Text(field)}];
  said = taken;
  ++count;
}

void FeatureRow::SetAsideAs(const std::string& reason, double length_m, std::optional<Position> at,
                            size_t part) {
  to_.set_aside.push_back({Key(part), reason, length_m, at});
}

void FeatureRow::AddUnknownNotes() {
  for (const ColumnChoice& choice : preview_.columns) {
    const auto found = unknown_.find(choice.field);
    // That most lines are no bridges and most valves have no name is no news.
    static constexpr std::array<std::string_view, 8> kNoNews = {"level", "bridge",  "tunnel", "name",
                                                                "id",    "enabled", "open",   "type"};
    if (found == unknown_.end() || std::find(kNoNews.begin(), kNoNews.end(), choice.field) != kNoNews.end())
      continue;
    size_t all = 0;
    std::vector<std::pair<int, std::string>> words;
    for (const auto& [word, count] : found->second) {
      all += static_cast<size_t>(count);
      words.emplace_back(-count, word.empty() ? "blank" : word);
    }
    std::sort(words.begin(), words.end());
    std::string list;
    for (size_t i = 0; i < std::min<size_t>(words.size(), 5); ++i)
      list += (i == 0 ? "" : ", ") + words[i].second + " " + std::to_string(-words[i].first);
    if (words.size() > 5) list += ", ...";
    to_.notes.push_back(choice.field + ": " + Percent(all, layer_.table.rows.size()) + " unknown (" + list +
                        ")");
  }
}

void FeatureRow::AddNotes() {
  AddUnknownNotes();
  std::vector<std::pair<int, std::string>> notes;
  for (const auto& [where, said] : words_) {
    notes.emplace_back(-said.second, where.first + " '" + where.second + "' (" + std::to_string(said.second) +
                                         ") is not understood and taken as " + said.first +
                                         "; a columns file may say what it stands for: [values." +
                                         where.first + "]");
  }
  std::sort(notes.begin(), notes.end());
  constexpr size_t kMostWords = 10;
  for (size_t i = 0; i < std::min(notes.size(), kMostWords); ++i) to_.notes.push_back(notes[i].second);
  if (notes.size() > kMostWords)
    to_.notes.push_back("and " + std::to_string(notes.size() - kMostWords) + " more words like these");
  for (const auto& [sentence, count] : tallies_)
    to_.notes.push_back(std::to_string(count) + (count == 1 ? " feature " : " features ") + sentence);
}

}  // namespace lastreach
