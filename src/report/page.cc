#include "report/page.h"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <cassert>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <utility>

namespace lastreach {
namespace {

constexpr char kFamily[] = "DejaVu Sans";
constexpr double kSlack_pt = 0.05;  // rounding of the text library's units, 1/1024 pt each

cairo_status_t Append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

std::string ValidUtf8(const std::string& text) {
  char* valid = g_utf8_make_valid(text.data(), static_cast<gssize>(text.size()));
  std::string result(valid);
  g_free(valid);
  return result;
}

// A unit is never alone at the beginning of a line.
std::string WithUnitsAttached(std::string text) {
  constexpr std::string_view kNoBreakSpace = "\u00A0";
  for (const std::string_view unit : {" %", " mg/L"}) {
    for (size_t at = text.find(unit); at != std::string::npos; at = text.find(unit, at)) {
      text.replace(at, 1, kNoBreakSpace);
    }
  }
  return text;
}

double ToPoints(int pango_units) { return static_cast<double>(pango_units) / PANGO_SCALE; }

}  // namespace

struct Canvas::Backend {
  std::string bytes;  // must outlive the surface, which writes to it
  cairo_surface_t* surface = nullptr;
  cairo_t* cairo = nullptr;
  PangoLayout* layout = nullptr;
  bool is_png = false;

  Backend() = default;
  Backend(const Backend&) = delete;
  Backend& operator=(const Backend&) = delete;
  ~Backend() {
    if (layout != nullptr) g_object_unref(layout);
    if (cairo != nullptr) cairo_destroy(cairo);
    if (surface != nullptr) cairo_surface_destroy(surface);
  }

  // Sizes must not depend on the grid of a screen: the same text has the same width on paper and in pictures.
  void Begin() {
    cairo = cairo_create(surface);
    layout = pango_cairo_create_layout(cairo);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(pango_layout_get_context(layout), options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(pango_layout_get_context(layout), FALSE);
    pango_layout_context_changed(layout);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  }

  void SetBreaks(const std::string& text) const {
    constexpr std::string_view kNeverBroken = "mg/L";
    PangoAttrList* attributes = pango_attr_list_new();
    // A hyphen at the end of a line would be read as part of a device's code.
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    for (size_t at = 0; (at = text.find(kNeverBroken, at)) != std::string::npos; at += kNeverBroken.size()) {
      PangoAttribute* whole = pango_attr_allow_breaks_new(FALSE);
      whole->start_index = static_cast<guint>(at);
      whole->end_index = static_cast<guint>(at + kNeverBroken.size());
      pango_attr_list_insert(attributes, whole);
    }
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
  }

  void SetText(const std::string& text, double width_pt, const TextStyle& style) const {
    assert(style.size_pt >= kLeastType_pt);
    PangoFontDescription* font = pango_font_description_new();
    pango_font_description_set_family_static(font, kFamily);
    pango_font_description_set_weight(font, style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, style.size_pt * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(layout, width_pt < 0 ? -1 : static_cast<int>(std::ceil(width_pt * PANGO_SCALE)));
    pango_layout_set_alignment(layout, style.align == Align::kLeft     ? PANGO_ALIGN_LEFT
                                       : style.align == Align::kCentre ? PANGO_ALIGN_CENTER
                                                                       : PANGO_ALIGN_RIGHT);
    const std::string valid = WithUnitsAttached(ValidUtf8(text));
    pango_layout_set_text(layout, valid.data(), static_cast<int>(valid.size()));
    SetBreaks(valid);
  }

  void SetInk(Ink ink) const { cairo_set_source_rgb(cairo, ink.red, ink.green, ink.blue); }

  void Stroke(const LineStyle& style) const {
    SetInk(style.ink);
    cairo_set_line_width(cairo, style.width_pt);
    cairo_set_dash(cairo, style.dashes_pt.data(), static_cast<int>(style.dashes_pt.size()), 0);
    cairo_set_line_cap(cairo, style.round_ends ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_stroke(cairo);
  }
};

Canvas::Canvas(PaperSize size, std::unique_ptr<Backend> backend) : size_(size), backend_(std::move(backend)) {
  Release();
}
Canvas::~Canvas() = default;

std::unique_ptr<Canvas> Canvas::Pdf(PaperSize size, const std::string& title, Date made_on) {
  auto backend = std::make_unique<Backend>();
  backend->surface =
      cairo_pdf_surface_create_for_stream(Append, &backend->bytes, size.width_pt, size.height_pt);
  // The library would put the present moment here, and no two printings would be equal.
  const std::string moment = FormatDate(made_on) + "T00:00:00Z";
  cairo_pdf_surface_set_metadata(backend->surface, CAIRO_PDF_METADATA_CREATE_DATE, moment.c_str());
  cairo_pdf_surface_set_metadata(backend->surface, CAIRO_PDF_METADATA_TITLE, ValidUtf8(title).c_str());
  cairo_pdf_surface_set_metadata(backend->surface, CAIRO_PDF_METADATA_CREATOR, "Lastreach");
  backend->Begin();
  return std::unique_ptr<Canvas>(new Canvas(size, std::move(backend)));
}

std::unique_ptr<Canvas> Canvas::Png(PaperSize size, double pixels_per_pt) {
  auto backend = std::make_unique<Backend>();
  backend->is_png = true;
  backend->surface = cairo_image_surface_create(
      CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(size.width_pt * pixels_per_pt)),
      static_cast<int>(std::lround(size.height_pt * pixels_per_pt)));
  backend->Begin();
  cairo_scale(backend->cairo, pixels_per_pt, pixels_per_pt);
  backend->SetInk(kWhite);
  cairo_paint(backend->cairo);
  return std::unique_ptr<Canvas>(new Canvas(size, std::move(backend)));
}

double Canvas::HeightOf(const std::string& text, double width_pt, const TextStyle& style) const {
  backend_->SetText(text, width_pt, style);
  int height = 0;
  pango_layout_get_size(backend_->layout, nullptr, &height);
  return ToPoints(height);
}

double Canvas::WidthOf(const std::string& text, const TextStyle& style) const {
  backend_->SetText(text, -1, style);
  int width = 0;
  pango_layout_get_size(backend_->layout, &width, nullptr);
  return ToPoints(width);
}

std::vector<std::string> Canvas::LinesOf(const std::string& text, double width_pt,
                                         const TextStyle& style) const {
  backend_->SetText(text, width_pt, style);
  const std::string shown(pango_layout_get_text(backend_->layout));
  std::vector<std::string> lines;
  for (GSList* item = pango_layout_get_lines_readonly(backend_->layout); item != nullptr; item = item->next) {
    const auto* line = static_cast<const PangoLayoutLine*>(item->data);
    std::string text_of_line =
        shown.substr(static_cast<size_t>(line->start_index), static_cast<size_t>(line->length));
    // The space at which a line was broken would make it too wide when it is set again.
    text_of_line.erase(text_of_line.find_last_not_of(' ') + 1);
    lines.push_back(std::move(text_of_line));
  }
  return lines;
}

// Lays the text out, holds it against the page and puts the pen where it begins.
double Canvas::PlaceText(Point at, double width_pt, const std::string& text, const TextStyle& style) {
  backend_->SetText(text, width_pt, style);
  PangoRectangle ink{};
  PangoRectangle box{};
  pango_layout_get_extents(backend_->layout, &ink, &box);
  const double height_pt = ToPoints(box.height);
  Require(at, width_pt, height_pt, "text '" + text + "'");
  // A letter such as J reaches a little out of its own box.
  const double overhang_pt = style.size_pt / 8;
  Require({at.x_pt + ToPoints(ink.x) + overhang_pt, at.y_pt}, ToPoints(ink.width) - 2 * overhang_pt,
          height_pt, "text '" + text + "'");
  cairo_new_path(backend_->cairo);
  cairo_move_to(backend_->cairo, at.x_pt, at.y_pt);
  return height_pt;
}

double Canvas::Text(Point at, double width_pt, const std::string& text, const TextStyle& style) {
  const double height_pt = PlaceText(at, width_pt, text, style);
  backend_->SetInk(style.ink);
  pango_cairo_show_layout(backend_->cairo, backend_->layout);
  return height_pt;
}

double Canvas::TextOnLines(Point at, double width_pt, const std::string& text, const TextStyle& style) {
  constexpr double kRim_pt = 2.4;
  PlaceText(at, width_pt, text, style);
  pango_cairo_layout_path(backend_->cairo, backend_->layout);
  cairo_set_line_join(backend_->cairo, CAIRO_LINE_JOIN_ROUND);
  backend_->Stroke({.width_pt = kRim_pt, .ink = kWhite});
  return Text(at, width_pt, text, style);
}

void Canvas::Line(Point from, Point to, const LineStyle& style) { Polyline({from, to}, style); }

void Canvas::Polyline(const std::vector<Point>& points, const LineStyle& style) {
  cairo_new_path(backend_->cairo);  // text leaves a point behind
  for (const Point& point : points) {
    Require(point, 0, 0, "a line");
    cairo_line_to(backend_->cairo, point.x_pt, point.y_pt);
  }
  cairo_set_line_join(backend_->cairo, CAIRO_LINE_JOIN_ROUND);
  backend_->Stroke(style);
}

void Canvas::Frame(Point at, double width_pt, double height_pt, const LineStyle& style) {
  Require(at, width_pt, height_pt, "a frame");
  cairo_set_line_join(backend_->cairo, CAIRO_LINE_JOIN_MITER);
  cairo_rectangle(backend_->cairo, at.x_pt, at.y_pt, width_pt, height_pt);
  backend_->Stroke(style);
}

void Canvas::Fill(Point at, double width_pt, double height_pt, Ink ink) {
  Require(at, width_pt, height_pt, "a filled box");
  backend_->SetInk(ink);
  cairo_rectangle(backend_->cairo, at.x_pt, at.y_pt, width_pt, height_pt);
  cairo_fill(backend_->cairo);
}

void Canvas::Shape(const std::vector<Point>& corners, Ink fill, const LineStyle& edge) {
  cairo_new_path(backend_->cairo);
  for (const Point& corner : corners) {
    Require(corner, 0, 0, "a shape");
    cairo_line_to(backend_->cairo, corner.x_pt, corner.y_pt);
  }
  cairo_close_path(backend_->cairo);
  cairo_set_line_join(backend_->cairo, CAIRO_LINE_JOIN_MITER);
  backend_->SetInk(fill);
  cairo_fill_preserve(backend_->cairo);
  backend_->Stroke(edge);
}

void Canvas::Disc(Point middle, double radius_pt, Ink fill, const LineStyle& edge) {
  Require({middle.x_pt - radius_pt, middle.y_pt - radius_pt}, 2 * radius_pt, 2 * radius_pt, "a disc");
  cairo_new_path(backend_->cairo);
  cairo_arc(backend_->cairo, middle.x_pt, middle.y_pt, radius_pt, 0, 2 * std::numbers::pi);
  backend_->SetInk(fill);
  cairo_fill_preserve(backend_->cairo);
  backend_->Stroke(edge);
}

void Canvas::Confine(Point at, double width_pt, double height_pt) {
  Require(at, width_pt, height_pt, "a block");
  bounds_ = {at, width_pt, height_pt};
}

void Canvas::Release() { bounds_ = {{0, 0}, size_.width_pt, size_.height_pt}; }

void Canvas::NextPage() {
  cairo_show_page(backend_->cairo);
  ++page_;
}

Result<std::string> Canvas::Finish() {
  if (!overflow_.empty()) return Internal(overflow_);
  cairo_status_t status = cairo_status(backend_->cairo);
  if (backend_->is_png) {
    if (status == CAIRO_STATUS_SUCCESS) {
      status = cairo_surface_write_to_png_stream(backend_->surface, Append, &backend_->bytes);
    }
  } else {
    cairo_show_page(backend_->cairo);
    cairo_surface_finish(backend_->surface);
    if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(backend_->surface);
  }
  if (status != CAIRO_STATUS_SUCCESS)
    return Internal(std::string("drawing: ") + cairo_status_to_string(status));
  return backend_->bytes;
}

void Canvas::Require(Point at, double width_pt, double height_pt, const std::string& what) {
  if (!overflow_.empty()) return;
  const double right = bounds_.at.x_pt + bounds_.width_pt + kSlack_pt;
  const double bottom = bounds_.at.y_pt + bounds_.height_pt + kSlack_pt;
  if (at.x_pt >= bounds_.at.x_pt - kSlack_pt && at.y_pt >= bounds_.at.y_pt - kSlack_pt &&
      at.x_pt + width_pt <= right && at.y_pt + height_pt <= bottom) {
    return;
  }
  overflow_ = what + " does not fit on page " + std::to_string(page_);
}

Status WriteWhole(const std::string& path, const std::string& bytes) {
  const std::string part = path + ".part";
  std::ofstream file(part, std::ios::binary | std::ios::trunc);
  file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  file.close();
  std::error_code problem;
  if (file) std::filesystem::rename(part, path, problem);
  if (!file || problem) {
    std::filesystem::remove(part, problem);
    return BadInput("cannot be written", {path, {}, "", ""});
  }
  return Ok();
}

}  // namespace lastreach
