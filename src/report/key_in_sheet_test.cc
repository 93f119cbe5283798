#include "report/key_in_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "report/page.h"
#include "report/settings_blocks.h"
#include "report/test_pages.h"
#include "report/test_plans.h"
#include "report/words.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

SheetOptions Options(Paper paper = Paper::kA5, SheetUnits units = SheetUnits::kMetric) {
  SheetOptions options;
  options.paper = paper;
  options.units = units;
  options.page_base_url = "http://flush.example:8080";
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

std::string WordsOnSheet(const DevicePlan& device, const SheetOptions& options) {
  const TestFolder folder;
  const Status status = WriteKeyInSheet(device, TestPlan({device}), options, folder / "sheet.pdf");
  return status.ok() ? WordsOf(folder / "sheet.pdf") : status.error().ToString();
}

TEST(KeyInSheet, SaysEverythingThatIsKeyed) {
  const std::string words = WordsOnSheet(TestDevice(), Options(Paper::kA5, SheetUnits::kUs));
  for (const char* part :
       {"FP-014", "End of Heron Lane, at no. 27", "KEY THESE SETTINGS",
        "Valid until Wednesday, September 30, 2026", "Standard time, all year",
        "It was last found 7 minutes fast.", "State ON Percentage 100 %", "Start 1 1:10 in the morning 01:10",
        "Start 2 1:10 in the afternoon 13:10", "Starts 3 and 4 OFF", "Key minutes 12 runs 12 minutes",
        "Days every day", "about 720 gal", "at 60 gpm, measured by R. Doe (drum)",
        "Programs 2 and 3 OFF, no starts", "2 m left of the hydrant, 14 turns"}) {
    EXPECT_THAT(words, HasSubstr(part));
  }
}

TEST(KeyInSheet, TellsTheNextRunsOnTheTimerAndOnThePhone) {
  const std::string words = WordsOnSheet(TestDevice(), Options());
  EXPECT_THAT(words, HasSubstr("Wed 1 Jul 1:10 in the morning 2:10 in the morning 12 min"));
  EXPECT_THAT(words, HasSubstr("Thu 2 Jul 1:10 in the morning 2:10 in the morning 12 min"));
}

TEST(KeyInSheet, GivesThePhoneItsOwnDayAfterMidnight) {
  DevicePlan device = TestDevice();
  device.next_runs = {{TestMoment(2026, 7, 2, 5, 30), 12, 1}};  // 00:30 CDT, 23:30 on the timer
  EXPECT_THAT(WordsOnSheet(device, Options()),
              HasSubstr("Wed 1 Jul 11:30 in the evening Thu 2 Jul, 12:30 in the 12 min morning"));
}

TEST(KeyInSheet, SaysWhatChangedAndWhatWasLastRecorded) {
  const std::string words = WordsOnSheet(TestDevice(), Options());
  EXPECT_THAT(words, HasSubstr("Percentage 130 % back to 100 %"));
  EXPECT_THAT(words, HasSubstr("Programme 1: minutes 30 → 12"));
  EXPECT_THAT(words, HasSubstr("Last recorded: Programme 1: 01:10, 30 minutes, Mon, Wed, Fri"));
}

TEST(KeyInSheet, ShowsKeyedAndEffectiveMinutesWhereTheyDiffer) {
  DevicePlan device = TestDevice();
  device.settings.percent = 130;
  // 12 x 130 % = 15.6, rounded half up to whole minutes: 16; 720 gal x 16 / 12 is not asked for, the plan
  // gives it.
  EXPECT_THAT(WordsOnSheet(device, Options()), HasSubstr("Key minutes 12 runs 16 minutes (12 at 130 %)"));
}

TEST(KeyInSheet, SpeaksPlainlyWhereNothingIsToBeKeyed) {
  for (const Verdict verdict : {Verdict::kNoFlushNeeded, Verdict::kFlushingIsNotTheAnswer,
                                Verdict::kCannotHold, Verdict::kTooLittleKnown}) {
    DevicePlan device = TestDevice();
    device.verdict = verdict;
    const std::string words = WordsOnSheet(device, Options());
    EXPECT_THAT(words, HasSubstr("DO NOT KEY ANYTHING"));
    EXPECT_THAT(words, HasSubstr("Three days pass without a run from Friday to Monday."));
    EXPECT_THAT(words, Not(HasSubstr("Key minutes")));
    EXPECT_THAT(words, Not(HasSubstr("KEY THESE")));
  }
}

TEST(KeyInSheet, PrintsTheSameSettingsAndAsNowWhereTheyStay) {
  DevicePlan device = TestDevice();
  device.verdict = Verdict::kKeep;
  device.settings = *device.present;
  const std::string words = WordsOnSheet(device, Options());
  EXPECT_THAT(words, HasSubstr("AS NOW"));
  EXPECT_THAT(words, HasSubstr("Key minutes 30 runs 39 minutes (30 at 130 %)"));
  EXPECT_THAT(words, HasSubstr("What changed since last time Nothing."));
}

TEST(KeyInSheet, NamesWhatTheFormDoesNotSay) {
  DevicePlan device = TestDevice();
  device.form = ControllerForm{};
  device.present.reset();
  device.point.isolation_valve.clear();
  const std::string words = WordsOnSheet(device, Options());
  EXPECT_THAT(words, HasSubstr("Other starts all OFF"));
  EXPECT_THAT(words, HasSubstr("Other programmes OFF"));
  EXPECT_THAT(words, HasSubstr("never recorded"));
  EXPECT_THAT(words, HasSubstr("Nobody has noted whether this clock moves itself"));
}

TEST(KeyInSheet, BreaksALongCodeWithoutAddingAHyphen) {
  DevicePlan device = TestDevice();
  device.point.code = PointCode(std::string(200, 'W'));
  EXPECT_THAT(WordsOnSheet(device, Options()), Not(HasSubstr("W-")));
}

TEST(KeyInSheet, CarriesThePageAddressInACodeThatReads) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  for (const Paper paper : {Paper::kA5, Paper::kHalfLetter, Paper::kA4, Paper::kLetter}) {
    ASSERT_TRUE(WriteKeyInSheet(device, TestPlan({device}), Options(paper), folder / "sheet.pdf").ok());
    OutputOf("pdftoppm -r 150 -f 1 -l 1 -png -singlefile '" + folder / "sheet.pdf' '" + folder / "sheet'");
    EXPECT_EQ(OutputOf("zbarimg -q --raw '" + folder / "sheet.png' 2>/dev/null"),
              "http://flush.example:8080/points/FP-014\n");
  }
}

TEST(KeyInSheet, FitsFrontAndBackOfOneCardInTheCommonCase) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  ASSERT_TRUE(WriteKeyInSheet(device, TestPlan({device}), Options(), folder / "sheet.pdf").ok());
  EXPECT_THAT(OutputOf("pdfinfo '" + folder / "sheet.pdf'"), HasSubstr("Pages:           2\n"));
}

TEST(KeyInSheet, DependsOnNothingButItsInput) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  for (const char* name : {"a.pdf", "b.pdf"}) {
    ASSERT_TRUE(WriteKeyInSheet(device, TestPlan({device}), Options(), folder / name).ok());
  }
  EXPECT_EQ(BytesOf(folder / "a.pdf"), BytesOf(folder / "b.pdf"));
  EXPECT_THAT(OutputOf("TZ=UTC pdfinfo '" + folder / "a.pdf'"), HasSubstr("Mon Jun 22 00:00:00 2026 UTC"));
}

TEST(KeyInSheet, NeedsNoColour) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  ASSERT_TRUE(WriteKeyInSheet(device, TestPlan({device}), Options(), folder / "sheet.pdf").ok());
  const Raster page = RasterOf(folder / "sheet.pdf", 1, 40);
  ASSERT_GT(page.width, 0);
  for (int y = 0; y < page.height; ++y) {
    for (int x = 0; x < page.width; ++x) {
      ASSERT_EQ(page.At(x, y, 0), page.At(x, y, 1));
      ASSERT_EQ(page.At(x, y, 0), page.At(x, y, 2));
    }
  }
}

TEST(KeyInSheet, SaysWhatIsWrongWithItsInputAndWritesNothing) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  SystemPlan plan = TestPlan({device});
  plan.zone = "Nowhere/Town";
  EXPECT_FALSE(WriteKeyInSheet(device, plan, Options(), folder / "sheet.pdf").ok());
  SheetOptions options = Options();
  options.page_base_url = std::string(5000, 'x');
  const Status too_long = WriteKeyInSheet(device, TestPlan({device}), options, folder / "sheet.pdf");
  ASSERT_FALSE(too_long.ok());
  EXPECT_EQ(too_long.error().code, ErrorCode::kBadRequest);
  EXPECT_FALSE(std::filesystem::exists(folder / "sheet.pdf"));
}

TEST(VolumeARun, FollowsTheMinutesOfEachProgramme) {
  DevicePlan device = TestDevice();
  device.settings.programmes.push_back({{300}, 6, OddDates{}, {}});
  EXPECT_NEAR(VolumeARun(device, 0).gallons(), 720, 1e-9);
  EXPECT_NEAR(VolumeARun(device, 1).gallons(), 360, 1e-9);
}

// Nasty but possible input: whatever it is, every word is on the page, in reading size, beside the others.
struct Nasty {
  Paper paper;
  size_t programmes;
  size_t starts;
  size_t code_letters;
  std::string long_text;
};

std::vector<Nasty> NastyInputs() {
  std::string sentences;
  for (int i = 0; i < 120; ++i) sentences += "warning" + std::to_string(i) + " about the drain; ";
  std::vector<Nasty> all;
  for (const Paper paper : {Paper::kA5, Paper::kHalfLetter}) {
    for (const size_t programmes : {size_t{0}, size_t{3}, size_t{8}}) {
      for (const size_t starts : {size_t{4}, size_t{16}}) {
        for (const size_t letters : {size_t{1}, size_t{40}, size_t{300}}) {
          all.push_back(
              {paper, programmes, starts, letters, letters == 40 ? std::string(900, 'x') : sentences});
        }
      }
    }
  }
  return all;
}

DevicePlan DeviceOf(const Nasty& nasty) {
  DevicePlan device = TestDevice();
  device.point.code = PointCode("Z" + std::string(nasty.code_letters - 1, 'Q'));
  device.point.place = nasty.long_text;
  device.point.isolation_valve = "valve " + nasty.long_text;
  device.cautions = {nasty.long_text, "lastcaution"};
  device.settings.programmes.clear();
  for (size_t i = 0; i < nasty.programmes; ++i) {
    Programme programme;
    for (size_t k = 0; k < nasty.starts; ++k) programme.starts_min.push_back(static_cast<int>(k * 85 + 5));
    programme.minutes = 360;
    programme.days =
        i % 2 == 0 ? DayPattern(Weekdays{0x3E}) : DayPattern(EveryNDays{30, TestDate(2026, 9, 30)});
    device.settings.programmes.push_back(programme);
  }
  device.form.programmes = 9;
  device.form.starts_per_programme = 17;
  return device;
}

// Boxes of words drawn in by a quarter on each side, since the boxes of neighbouring lines may touch.
bool Overlap(const WordBox& a, const WordBox& b) {
  const double inset = std::min(a.bottom - a.top, b.bottom - b.top) / 4;
  return a.page == b.page && a.left + inset < b.right - inset && b.left + inset < a.right - inset &&
         a.top + inset < b.bottom - inset && b.top + inset < a.bottom - inset;
}

TEST(KeyInSheet, IsNeverCutOrShrunkOrSetOverItself) {
  const TestFolder folder;
  for (const Nasty& nasty : NastyInputs()) {
    const DevicePlan device = DeviceOf(nasty);
    const Status status =
        WriteKeyInSheet(device, TestPlan({device}), Options(nasty.paper), folder / "sheet.pdf");
    ASSERT_TRUE(status.ok()) << status.error().ToString();
    const std::vector<WordBox> boxes = WordBoxesOf(folder / "sheet.pdf");
    for (size_t i = 0; i < boxes.size(); ++i) {
      const WordBox& box = boxes[i];
      EXPECT_GE(box.left, 0) << box.text;
      EXPECT_LE(box.right, box.page_width) << box.text;
      EXPECT_LE(box.bottom, box.page_height) << box.text;
      // The reader's box is the type size times ascent plus descent, 1.16 for this face; 9 pt gives 10.4.
      EXPECT_GE(box.bottom - box.top, 1.1 * kLeastType_pt) << box.text;
      for (size_t k = i + 1; k < boxes.size() && boxes[k].page == box.page; ++k) {
        EXPECT_FALSE(Overlap(box, boxes[k]))
            << box.text << " and " << boxes[k].text << " on page " << box.page;
      }
    }
    const std::string words = WordsOf(folder / "sheet.pdf");
    for (const char* part : {"lastcaution", "page 1 of ", "Take care", "Write down"}) {
      EXPECT_THAT(words, HasSubstr(part));
    }
    if (nasty.programmes > 0) {
      EXPECT_THAT(words, HasSubstr("Start " + std::to_string(nasty.starts)));
    }
    if (nasty.long_text.starts_with("warning")) {
      EXPECT_THAT(words, HasSubstr("warning119"));
    }
  }
}

TEST(KeyInSheet, SetsEverySettingInLargeType) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.settings.programmes[0].minutes = 47;
  for (const Paper paper : {Paper::kA5, Paper::kHalfLetter}) {
    ASSERT_TRUE(WriteKeyInSheet(device, TestPlan({device}), Options(paper), folder / "sheet.pdf").ok());
    int found = 0;
    for (const WordBox& box : WordBoxesOf(folder / "sheet.pdf")) {
      if (box.page > 1 ||
          (box.text != "47" && box.text != "01:10" && box.text != "13:10" && box.text != "ON"))
        continue;
      if (box.bottom - box.top >= 1.1 * 16) ++found;
    }
    EXPECT_EQ(found, 4);
  }
}

}  // namespace
}  // namespace lastreach
