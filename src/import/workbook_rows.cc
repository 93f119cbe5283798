#include <cpl_conv.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include "import/raw_rows.h"

namespace lastreach {
namespace {

// Everything as text and no row taken for headings, so that nothing is guessed behind our back.
class PlainText {
 public:
  PlainText() {
    CPLSetThreadLocalConfigOption("OGR_XLSX_HEADERS", "DISABLE");
    CPLSetThreadLocalConfigOption("OGR_XLSX_FIELD_TYPES", "STRING");
    CPLPushErrorHandler(CPLQuietErrorHandler);
  }
  ~PlainText() {
    CPLPopErrorHandler();
    CPLSetThreadLocalConfigOption("OGR_XLSX_HEADERS", nullptr);
    CPLSetThreadLocalConfigOption("OGR_XLSX_FIELD_TYPES", nullptr);
  }
  PlainText(const PlainText&) = delete;
  PlainText& operator=(const PlainText&) = delete;
};

RawRows RowsOf(OGRLayer& layer) {
  RawRows raw;
  raw.sheet = layer.GetName();
  for (const auto& feature : layer) {
    TableRow row;
    // With headings switched off the feature's number is the number of the row, blank rows counted.
    row.line = row.last_line = static_cast<int>(feature->GetFID());
    for (int i = 0; i < feature->GetFieldCount(); ++i) {
      row.cells.emplace_back(feature->IsFieldSetAndNotNull(i) ? feature->GetFieldAsString(i) : "");
    }
    raw.lines = std::max(raw.lines, row.line);
    if (!IsBlank(row)) raw.rows.push_back(std::move(row));
  }
  return raw;
}

}  // namespace

Result<RawRows> ReadWorkbook(const std::string& path, const std::string& sheet) {
  const PlainText plain_text;
  GDALAllRegister();
  const char* const drivers[] = {"XLSX", nullptr};
  const GDALDatasetUniquePtr book(
      GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, nullptr, nullptr));
  if (book == nullptr)
    return BadInput("the workbook cannot be read; is it a sound .xlsx file?", {path, {}, "", ""});
  std::string names;
  for (int i = 0; i < book->GetLayerCount(); ++i) {
    OGRLayer* layer = book->GetLayer(i);
    names += (names.empty() ? "" : ", ") + std::string(layer->GetName());
    if (!sheet.empty() && sheet != layer->GetName()) continue;
    RawRows raw = RowsOf(*layer);
    if (raw.rows.empty() && sheet.empty()) continue;
    if (book->GetLayerCount() > 1) {
      raw.notes.push_back("sheet '" + raw.sheet + "' was read, of " + std::to_string(book->GetLayerCount()) +
                          " in the workbook");
    }
    return raw;
  }
  if (sheet.empty()) return BadInput("every sheet of the workbook is empty", {path, {}, "", ""});
  return NotFound("the workbook has no such sheet; it has " + names, {path, {}, "", sheet});
}

}  // namespace lastreach
