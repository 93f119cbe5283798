#include "report/page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "report/page_flow.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

constexpr TextStyle kStyle{.size_pt = 12};

std::unique_ptr<Canvas> NewCanvas(Paper paper = Paper::kA5) {
  return Canvas::Pdf(SizeOf(paper), "test", TestDate(2026, 6, 22));
}

std::string Many(const std::string& word, int times) {
  std::string text;
  for (int i = 0; i < times; ++i) text += word + " ";
  return text;
}

TEST(Canvas, HasThePageSizeOfThePaper) {
  const TestFolder folder;
  // ISO 216 and ANSI Y14.1, in points of 1/72 in, as the reader prints them.
  for (const auto& [paper, size] : {std::pair{Paper::kA5, "419.528 x 595.276"},
                                    {Paper::kHalfLetter, "396 x 612"},
                                    {Paper::kA4, "595.276 x 841.89"},
                                    {Paper::kLetter, "612 x 792"}}) {
    const auto canvas = NewCanvas(paper);
    ASSERT_TRUE(WriteWhole(folder / "page.pdf", *canvas->Finish()).ok());
    EXPECT_THAT(OutputOf("pdfinfo '" + folder / "page.pdf'"), HasSubstr(size));
  }
}

TEST(Canvas, RefusesAFileWhenTextSticksOutOfThePage) {
  const auto canvas = NewCanvas();
  canvas->Text({20, canvas->height_pt() - 20}, 300, Many("drain", 60), kStyle);
  const Result<std::string> bytes = canvas->Finish();
  ASSERT_FALSE(bytes.ok());
  EXPECT_EQ(bytes.error().code, ErrorCode::kInternal);
  EXPECT_THAT(bytes.error().message, HasSubstr("does not fit on page 1"));
}

TEST(Canvas, RefusesAFileWhenALineOrABoxSticksOut) {
  const auto with_line = NewCanvas();
  with_line->Line({10, 10}, {with_line->width_pt() + 5, 10}, {});
  EXPECT_FALSE(with_line->Finish().ok());
  const auto with_box = NewCanvas();
  with_box->Fill({-3, 10}, 30, 30, kBlack);
  EXPECT_FALSE(with_box->Finish().ok());
}

TEST(Canvas, RefusesAFileWhenABlockRunsIntoTheNext) {
  const auto canvas = NewCanvas();
  PageFlow flow(*canvas, 20, "foot");
  flow.Add(12,
           [](Canvas& on, Point at, double width_pt) { on.Text(at, width_pt, Many("long", 80), kStyle); });
  flow.Add(12, [](Canvas&, Point, double) {});
  flow.Draw();
  EXPECT_FALSE(canvas->Finish().ok());
}

TEST(Canvas, BreaksAWordOnlyWhereItIsWiderThanItsBox) {
  const auto canvas = NewCanvas();
  const std::string word(200, 'w');
  EXPECT_GT(canvas->LinesOf(word, 300, kStyle).size(), 1u);
  std::string joined;
  for (const std::string& line : canvas->LinesOf(word, 300, kStyle)) joined += line;
  EXPECT_EQ(joined, word);
  EXPECT_THAT(canvas->LinesOf("Heron Lane", 300, kStyle), testing::ElementsAre("Heron Lane"));
}

TEST(Canvas, NeverBreaksAUnit) {
  const auto canvas = NewCanvas();
  const std::string text = "3 customers would be left 0.2 mg/L of 0.4 mg/L without it";
  for (double width_pt = 60; width_pt < 320; width_pt += 1) {
    for (const std::string& line : canvas->LinesOf(text, width_pt, kStyle)) {
      EXPECT_FALSE(line.ends_with("mg") || line.ends_with("mg/") || line.starts_with("mg") ||
                   line.starts_with("L"))
          << line;
    }
  }
}

TEST(Canvas, LinesSetAgainStayOneLineEach) {
  const auto canvas = NewCanvas();
  const double one_line_pt = canvas->HeightOf("x", 400, kStyle);
  for (double width_pt = 60; width_pt < 380; width_pt += 7) {
    for (const std::string& line :
         canvas->LinesOf(Many("Check the whole path at 130 % first,", 9), width_pt, kStyle)) {
      EXPECT_LE(canvas->WidthOf(line, kStyle), width_pt + 0.01) << line;
      EXPECT_NEAR(canvas->HeightOf(line, width_pt, kStyle), one_line_pt, 0.01) << line;
    }
  }
}

TEST(Canvas, PrintsBytesThatAreNotUtf8WithoutFailing) {
  const TestFolder folder;
  const auto canvas = NewCanvas();
  canvas->Text({20, 20}, 300, "Mill \xff\xfe Court", kStyle);
  ASSERT_TRUE(WriteWhole(folder / "page.pdf", *canvas->Finish()).ok());
  EXPECT_THAT(WordsOf(folder / "page.pdf"), HasSubstr("Court"));
}

TEST(PageFlow, KeepsEveryLineOfALongTextOverManyPages) {
  const TestFolder folder;
  const auto canvas = NewCanvas();
  PageFlow flow(*canvas, 30, "foot");
  std::string text;
  for (int i = 0; i < 3000; ++i) text += "w" + std::to_string(i) + " ";
  flow.AddText(text, kStyle);
  const int pages = flow.Draw();
  EXPECT_GT(pages, 5);
  ASSERT_TRUE(WriteWhole(folder / "page.pdf", *canvas->Finish()).ok());
  std::string words = WordsOf(folder / "page.pdf");
  for (int i = 0; i < 3000; ++i) EXPECT_THAT(words, HasSubstr("w" + std::to_string(i) + " "));
  EXPECT_THAT(words, HasSubstr("page 2 of " + std::to_string(pages)));
}

// On a page of 12 blocks, 5 blocks kept together after 9 others begin a page.
TEST(PageFlow, KeepsBlocksTogetherWhereAPageCanHoldThem) {
  const auto canvas = NewCanvas();
  PageFlow flow(*canvas, 20, "foot");
  std::vector<double> tops_pt;
  const auto note = [&tops_pt](Canvas&, Point at, double) { tops_pt.push_back(at.y_pt); };
  for (int i = 0; i < 9; ++i) flow.Add(44, note);
  flow.BeginTogether();
  for (int i = 0; i < 5; ++i) flow.Add(44, note);
  flow.EndTogether();
  flow.Add(44, note);
  EXPECT_EQ(flow.Draw(), 2);
  EXPECT_GT(tops_pt[8], tops_pt[7]);
  EXPECT_DOUBLE_EQ(tops_pt[9], 20);
  EXPECT_DOUBLE_EQ(tops_pt[14], 20 + 5 * 44);
}

TEST(PageFlow, BreaksWhatNoPageCanHoldTogether) {
  const auto canvas = NewCanvas();
  PageFlow flow(*canvas, 20, "foot");
  flow.BeginTogether();
  for (int i = 0; i < 30; ++i) flow.Add(44, [](Canvas&, Point, double) {});
  flow.EndTogether();
  EXPECT_EQ(flow.Draw(), 3);
  EXPECT_TRUE(canvas->Finish().ok());
}

TEST(PageFlow, RepeatsTheHeadOfATableOnEveryPage) {
  const auto canvas = NewCanvas();
  PageFlow flow(*canvas, 20, "foot");
  int heads = 0;
  flow.Add(100, [](Canvas&, Point, double) {});
  flow.SetHead(30, [&heads](Canvas&, Point, double) { ++heads; });
  for (int i = 0; i < 30; ++i) flow.Add(44, [](Canvas&, Point, double) {});
  flow.ClearHead();
  flow.Add(44, [](Canvas&, Point, double) {});
  EXPECT_EQ(flow.Draw(), heads);
  EXPECT_TRUE(canvas->Finish().ok());
}

TEST(WriteWhole, SaysWhichFileCannotBeWrittenAndLeavesNoPiece) {
  const TestFolder folder;
  const Status status = WriteWhole(folder / "missing/page.pdf", "bytes");
  ASSERT_FALSE(status.ok());
  EXPECT_EQ(status.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(status.error().ToString(), HasSubstr("missing/page.pdf"));
  std::filesystem::create_directory(folder / "taken");
  EXPECT_FALSE(WriteWhole(folder / "taken", "bytes").ok());
  EXPECT_FALSE(std::filesystem::exists(folder / "taken.part"));
}

}  // namespace
}  // namespace lastreach
