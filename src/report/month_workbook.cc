#include "report/month_workbook.h"

#include <xlsxwriter.h>

#include <algorithm>
#include <filesystem>

namespace lastreach {
namespace {

constexpr size_t kMostDecimals = 5;
constexpr double kNarrowest = 8;
constexpr double kWidest = 60;

struct Looks {
  lxw_format* heading = nullptr;
  lxw_format* numbers[kMostDecimals] = {};
  lxw_format* totals[kMostDecimals] = {};
  lxw_format* total_text = nullptr;
};

Looks MakeLooks(lxw_workbook* workbook) {
  Looks looks;
  looks.heading = workbook_add_format(workbook);
  format_set_bold(looks.heading);
  format_set_text_wrap(looks.heading);
  format_set_bottom(looks.heading, LXW_BORDER_THIN);
  looks.total_text = workbook_add_format(workbook);
  format_set_bold(looks.total_text);
  format_set_top(looks.total_text, LXW_BORDER_THIN);
  std::string digits = "#,##0";
  for (size_t decimals = 0; decimals < kMostDecimals; ++decimals) {
    if (decimals > 0) digits += decimals == 1 ? ".0" : "0";
    looks.numbers[decimals] = workbook_add_format(workbook);
    format_set_num_format(looks.numbers[decimals], digits.c_str());
    looks.totals[decimals] = workbook_add_format(workbook);
    format_set_num_format(looks.totals[decimals], digits.c_str());
    format_set_bold(looks.totals[decimals]);
    format_set_top(looks.totals[decimals], LXW_BORDER_THIN);
  }
  return looks;
}

void WriteRow(lxw_worksheet* sheet, lxw_row_t at, const std::vector<MonthCell>& row, const Looks& looks,
              bool is_total) {
  for (size_t i = 0; i < row.size(); ++i) {
    const auto column = static_cast<lxw_col_t>(i);
    if (const auto* number = std::get_if<MonthNumber>(&row[i])) {
      const auto decimals = static_cast<size_t>(number->decimals);
      worksheet_write_number(sheet, at, column, number->value(),
                             is_total ? looks.totals[decimals] : looks.numbers[decimals]);
    } else if (const std::string text = CellText(row[i]); !text.empty()) {
      worksheet_write_string(sheet, at, column, text.c_str(), is_total ? looks.total_text : nullptr);
    } else if (is_total) {
      worksheet_write_blank(sheet, at, column, looks.total_text);
    }
  }
}

void WriteTable(lxw_workbook* workbook, const MonthTable& table, const Looks& looks) {
  lxw_worksheet* sheet = workbook_add_worksheet(workbook, table.key.c_str());
  for (size_t i = 0; i < table.columns.size(); ++i) {
    const auto column = static_cast<lxw_col_t>(i);
    size_t letters = table.columns[i].heading.size() / 2;
    for (const auto& row : table.rows) letters = std::max(letters, CellText(row[i]).size());
    worksheet_set_column(sheet, column, column,
                         std::clamp(static_cast<double>(letters) + 2, kNarrowest, kWidest), nullptr);
    worksheet_write_string(sheet, 0, column, table.columns[i].heading.c_str(), looks.heading);
  }
  worksheet_freeze_panes(sheet, 1, 0);
  worksheet_set_landscape(sheet);
  worksheet_repeat_rows(sheet, 0, 0);
  worksheet_fit_to_pages(sheet, 1, 0);
  lxw_row_t at = 1;
  for (const auto& row : table.rows) WriteRow(sheet, at++, row, looks, false);
  if (!table.total.empty()) WriteRow(sheet, at, table.total, looks, true);
}

}  // namespace

Status WriteMonthWorkbook(const MonthBook& book, Instant made, const std::string& path) {
  const std::string part = path + ".part";
  lxw_workbook* workbook = workbook_new(part.c_str());
  if (workbook == nullptr) return BadInput("the file cannot be written", {path, {}, "", ""});
  // So that the same month gives the same bytes.
  lxw_doc_properties properties{};
  std::string title = book.title;
  properties.title = title.data();
  properties.created = std::chrono::system_clock::to_time_t(made);
  workbook_set_properties(workbook, &properties);
  const Looks looks = MakeLooks(workbook);
  for (const MonthTable& table : book.tables) {
    if (!table.rows.empty()) WriteTable(workbook, table, looks);
  }
  std::error_code failed;
  if (const lxw_error fault = workbook_close(workbook); fault != LXW_NO_ERROR) {
    std::filesystem::remove(part, failed);
    return BadInput("the file cannot be written: " + std::string(lxw_strerror(fault)), {path, {}, "", ""});
  }
  std::filesystem::rename(part, path, failed);
  if (failed) return BadInput("the file cannot be written: " + failed.message(), {path, {}, "", ""});
  return Ok();
}

}  // namespace lastreach
