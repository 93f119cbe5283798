#include "report/month_paper.h"

#include <algorithm>
#include <utility>

#include "report/desk_table.h"
#include "report/words.h"

namespace lastreach {
namespace {

std::string Shown(const MonthCell& cell) {
  if (const auto* number = std::get_if<MonthNumber>(&cell)) return number->grouped();
  const std::string text = CellText(cell);
  return text.empty() ? "–" : text;
}

// A column of the page: which of the table, under which head, how wide.
struct PaperColumn {
  std::string key;
  std::string head;
  double share = 1;
};

class MonthPage {
 public:
  MonthPage(PageFlow& flow, const MonthBook& book) : flow_(flow), book_(book) {}

  void AddTop() {
    const std::string unit = UnitText(book_.unit);
    const std::string key = UnitKey(book_.unit);
    flow_.AddText(book_.title + ": flushing and residuals", {.size_pt = 20, .bold = true});
    flow_.AddGap(6);
    const std::string given = "metered " + Summary("metered_" + key) + ", estimated " +
                              Summary("estimated_" + key) + ", give or take " +
                              Summary("standard_deviation_" + key);
    std::string readings = Summary("readings") + " readings";
    if (Summary("samples_needed") != "–") readings += ", " + Summary("samples_needed") + " needed";
    AddBigNumbers(flow_, {{"Flushed (" + unit + ")", Summary("total_" + key), given},
                          {"Lowest residual", Lowest(), LowestAt()},
                          {"Below limit", PercentOf("below_limit_percent"),
                           readings + "; not detected " + PercentOf("undetected_percent")},
                          {"Open", Summary("exceptions_open"),
                           "exceptions; " + Summary("exceptions_closed") + " closed"}});
    for (const std::string& note : book_.notes) AddItem(flow_, note, kNoteStyle);
  }

  // `keep`: whether a row belongs on the page. Nothing at all where no row does.
  template <typename Keep>
  void AddSection(const std::string& key, const std::vector<PaperColumn>& columns, Keep keep,
                  const std::string& title = "", bool with_total = false) {
    const MonthTable& table = book_.Table(key);
    if (std::none_of(table.rows.begin(), table.rows.end(), keep)) return;
    AddHeading(flow_, title.empty() ? table.title : title);
    std::vector<Column> heads;
    for (const PaperColumn& column : columns) {
      const bool number = table.columns[static_cast<size_t>(table.Find(column.key))].is_number;
      heads.push_back({column.head, column.share, false, number ? Align::kRight : Align::kLeft});
    }
    heads.front().strong = true;
    DeskTable desk(flow_, heads);
    for (const auto& row : table.rows) {
      if (keep(row)) desk.AddRow(TextsOf(table, row, columns));
    }
    if (!table.total.empty() && with_total) {
      auto texts = TextsOf(table, table.total, columns);
      for (size_t i = 1; i < texts.size(); ++i) {
        if (texts[i] == "–") texts[i].clear();
      }
      desk.AddTotal(texts);
    }
    desk.End();
  }
  void AddWhole(const std::string& key, const std::vector<PaperColumn>& columns) {
    AddSection(
        key, columns, [](const std::vector<MonthCell>&) { return true; }, "", true);
  }

  // Where nothing stands out, that is said.
  void AddExceptions() {
    AddWhole("exceptions", {{"point", "Point", 12},
                            {"kind", "Kind", 16},
                            {"what", "What", 62},
                            {"state", "State", 10},
                            {"closed_on", "Closed on", 15}});
    if (!book_.Table("exceptions").rows.empty()) return;
    AddHeading(flow_, "Exceptions");
    flow_.AddText("None in this month.", kBodyStyle);
  }

  // Points that did not run are told of in one line.
  void AddWater() {
    const MonthTable& table = book_.Table("water");
    const auto worth = [&](const std::vector<MonthCell>& row) { return IsWorthALine(table, row); };
    const std::string in = " " + UnitText(book_.unit);
    AddSection("water",
               {{"point", "Point", 12},
                {"place", "Place", 21},
                {"runs", "Runs due", 8},
                {"open_h", "Hours due", 9},
                {"metered_" + UnitKey(book_.unit), "Metered" + in, 15},
                {"estimated_" + UnitKey(book_.unit), "Estimated" + in, 15},
                {"total_" + UnitKey(book_.unit), "Total" + in, 16},
                {"standard_deviation_" + UnitKey(book_.unit), "Give or take", 13},
                {"method", "Method", 18}},
               worth, "", true);
    const auto idle =
        static_cast<int64_t>(table.rows.size()) - std::count_if(table.rows.begin(), table.rows.end(), worth);
    if (idle == 0) return;
    flow_.AddText(MonthNumber{idle, 0}.text() + (idle == 1 ? " point" : " points") +
                      " let out nothing that anybody knows of.",
                  kNoteStyle);
  }

  void AddLoggedFlushes() {
    const MonthTable& log = book_.Table("flush_log");
    const auto how = static_cast<size_t>(log.Find("how_known"));
    const auto who = static_cast<size_t>(log.Find("who"));
    AddSection(
        "flush_log",
        {{"point", "Point", 12},
         {"date", "Date", 14},
         {"start", "Start", 9},
         {"minutes", "Minutes", 11},
         {"volume_" + UnitKey(book_.unit), "Volume (" + UnitText(book_.unit) + ")", 13},
         {"how_known", "How known", 24},
         {"who", "By", 14},
         {"why", "Why", 20}},
        [=](const std::vector<MonthCell>& row) {
          return CellText(row[how]).starts_with("log") || !CellText(row[who]).empty();
        },
        "Flushes that somebody logged");
  }

 private:
  std::string Summary(const std::string& key) const {
    const MonthTable& table = book_.Table("summary");
    return Shown(table.rows.front()[static_cast<size_t>(table.Find(key))]);
  }
  std::string PercentOf(const std::string& key) const {
    const std::string text = Summary(key);
    return text == "–" ? text : text + " %";
  }
  std::string Lowest() const {
    if (LowestAt().ends_with("not detected")) return "ND";
    const std::string lowest = Summary("lowest_mg_per_l");
    return lowest == "–" ? lowest : lowest + " mg/L";
  }
  std::string LowestAt() const {
    const MonthTable& table = book_.Table("residuals");
    const std::string where = CellText(table.rows.front()[static_cast<size_t>(table.Find("lowest_at"))]);
    return where.empty() ? "no reading" : where;
  }

  static std::vector<std::string> TextsOf(const MonthTable& table, const std::vector<MonthCell>& row,
                                          const std::vector<PaperColumn>& columns) {
    std::vector<std::string> texts;
    for (const PaperColumn& column : columns) {
      texts.push_back(Shown(row[static_cast<size_t>(table.Find(column.key))]));
    }
    return texts;
  }

  PageFlow& flow_;
  const MonthBook& book_;
};

void AddTables(MonthPage& page, VolumeUnit unit) {
  const std::string key = UnitKey(unit);
  page.AddExceptions();
  page.AddWhole("residuals", {{"zone", "Zone", 16},
                              {"readings", "Read", 8},
                              {"lowest_mg_per_l", "Lowest mg/L", 10},
                              {"average_mg_per_l", "Mean mg/L", 9},
                              {"below_limit_percent", "Below limit %", 9},
                              {"undetected_percent", "Not detected %", 12},
                              {"undetected_percent_month_before", "Month before %", 11},
                              {"year_average_mg_per_l", "Year mg/L", 9},
                              {"year_months", "of months", 10},
                              {"finding", "Finding", 22}});
  const std::string in = " " + UnitText(unit);
  page.AddWater();
  page.AddWhole("balance", {{"item", "Item", 40},
                            {"volume_" + key, "Volume" + in, 16},
                            {"standard_deviation_" + key, "Give or take", 14},
                            {"percent_of_supplied", "Percent of supplied", 18}});
  page.AddLoggedFlushes();
  page.AddWhole("dechlorination", {{"point", "Point", 12},
                                   {"fed", "Fed", 22},
                                   {"residual_mg_per_l", "Residual mg/L", 11},
                                   {"chlorine_kg", "Chlorine kg", 11},
                                   {"dose_mg_per_mg", "Dose mg/mg", 9},
                                   {"agent_kg", "Used kg", 9},
                                   {"refills", "Refills", 9},
                                   {"basis", "Basis", 28}});
  page.AddWhole("byproducts", {{"site", "Site", 17},
                               {"byproduct", "By-product", 24},
                               {"quarter_1_mg_per_l", "First", 10},
                               {"quarter_2_mg_per_l", "Second", 10},
                               {"quarter_3_mg_per_l", "Third", 10},
                               {"quarter_4_mg_per_l", "Latest", 10},
                               {"running_annual_average_mg_per_l", "Mean mg/L", 11},
                               {"evaluation_level_mg_per_l", "Evaluation level", 17},
                               {"limit_mg_per_l", "Limit", 8},
                               {"finding", "Finding", 18}});
}

}  // namespace

Status WriteMonthPaper(const MonthBook& book, const SheetOptions& options, const std::string& path) {
  const std::string name = book.title + ": flushing and residuals";
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), name, options.printed_on);
  PageFlow flow(*canvas, kDeskMargin_pt,
                name + ", printed " + DateInWords(options.printed_on, options.units));
  MonthPage page(flow, book);
  page.AddTop();
  AddTables(page, book.unit);
  const auto& amount = book.Table("cost").columns.back();
  page.AddWhole("cost", {{"item", "Item", 40},
                         {"quantity", "Quantity", 16},
                         {"unit", "Unit", 12},
                         {amount.key, amount.heading, 20}});
  flow.AddGap(10);
  flow.KeepWithNext();
  AddPenBoxes(flow, {{"Prepared by", 3}, {"Licensed operator in charge", 3}, {"Date", 2}});
  flow.AddGap(4);
  flow.AddText(
      "Volumes \"give or take\" one standard deviation. The operator in charge decides what is reported; "
      "local "
      "rules come first.",
      kSmallStyle);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
