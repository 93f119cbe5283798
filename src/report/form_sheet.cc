#include "report/form_sheet.h"

#include <algorithm>

#include "report/page_flow.h"
#include "report/sheet_blocks.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr double kAnswer_pt = 92;  // room for a number, or for yes and no
constexpr double kBoxWidth_pt = 64;
constexpr double kBoxHeight_pt = 20;
constexpr double kTick_pt = 13;
constexpr double kDontKnow_pt = 80;
constexpr TextStyle kQuestion{.size_pt = kBodyType_pt, .bold = true};

void PaintTickAndWord(Canvas& canvas, Point at, double width_pt, const std::string& word) {
  PaintTick(canvas, at, kTick_pt);
  canvas.Text({at.x_pt + kTick_pt + 4, at.y_pt + 1}, width_pt - kTick_pt - 4, word, kNoteStyle);
}

void PaintDontKnow(Canvas& canvas, Point at) { PaintTickAndWord(canvas, at, kDontKnow_pt, "don't know"); }

// A question at the left, the answer painted beside it, and "don't know" at the right.
void AddQuestion(PageFlow& flow, const std::string& question, const std::string& hint,
                 const PageFlow::Painter& answer) {
  const double text_pt = flow.width_pt() - kAnswer_pt - kDontKnow_pt - 2 * kGutter_pt;
  const double question_pt = flow.canvas().HeightOf(question, text_pt, kQuestion);
  const double hint_pt = hint.empty() ? 0 : flow.canvas().HeightOf(hint, text_pt, kSmallStyle);
  const double height_pt = std::max(question_pt + hint_pt, kBoxHeight_pt) + 5;
  flow.Add(height_pt, [=](Canvas& canvas, Point at, double) {
    const double middle_pt = at.y_pt + height_pt / 2;
    const double text_y_pt = middle_pt - (question_pt + hint_pt) / 2;
    canvas.Text({at.x_pt, text_y_pt}, text_pt, question, kQuestion);
    if (!hint.empty()) canvas.Text({at.x_pt, text_y_pt + question_pt}, text_pt, hint, kSmallStyle);
    answer(canvas, {at.x_pt + text_pt + kGutter_pt, middle_pt}, kAnswer_pt);
    PaintDontKnow(canvas, {at.x_pt + text_pt + kAnswer_pt + 2 * kGutter_pt, middle_pt - kTick_pt / 2});
  });
}

void AddNumber(PageFlow& flow, const std::string& question, const std::string& hint) {
  AddQuestion(flow, question, hint, [](Canvas& canvas, Point middle, double) {
    canvas.Frame({middle.x_pt, middle.y_pt - kBoxHeight_pt / 2}, kBoxWidth_pt, kBoxHeight_pt, {});
  });
}

void AddYesNo(PageFlow& flow, const std::string& question) {
  AddQuestion(flow, question, "", [](Canvas& canvas, Point middle, double width_pt) {
    const Point at{middle.x_pt, middle.y_pt - kTick_pt / 2};
    PaintTickAndWord(canvas, at, width_pt / 2, "yes");
    PaintTickAndWord(canvas, {at.x_pt + width_pt / 2, at.y_pt}, width_pt / 2, "no");
  });
}

// A question with words to tick under it.
void AddChoice(PageFlow& flow, const std::string& question, const std::string& hint,
               const std::vector<std::string>& words) {
  const double text_pt = flow.width_pt() - kDontKnow_pt - kGutter_pt;
  flow.BeginTogether();
  flow.AddGap(3);
  flow.Add(std::max(flow.canvas().HeightOf(question, text_pt, kQuestion), kTick_pt + 2),
           [=](Canvas& canvas, Point at, double) {
             canvas.Text(at, text_pt, question, kQuestion);
             PaintDontKnow(canvas, {at.x_pt + text_pt + kGutter_pt, at.y_pt + 1});
           });
  if (!hint.empty()) flow.AddText(hint, kSmallStyle);
  AddTicks(flow, words, kNoteStyle);
  flow.EndTogether();
}

// One question for each item of ControllerForm, in its order.
void AddQuestions(PageFlow& flow, SheetUnits units) {
  std::string programme = ProgrammeWord(units);
  programme[0] = 'p';
  AddHeading(flow, "Starts");
  AddNumber(flow, "How many " + programme + "s?", "A, B, C or 1, 2, 3 on its face");
  AddNumber(flow, "How many starts in each?", "");
  AddNumber(flow, "Starts go in steps of how many minutes?", "turn one start up by one and look");
  AddHeading(flow, "Minutes of a run");
  AddNumber(flow, "Least minutes", "");
  AddNumber(flow, "Most minutes", "");
  AddNumber(flow, "Minutes go in steps of", "");
  AddHeading(flow, "Percentage");
  AddNumber(flow, "Least percentage", "leave all three empty if it has none");
  AddNumber(flow, "Most percentage", "");
  AddNumber(flow, "Percentage goes in steps of", "");
  AddChoice(flow, "The percentage is", "",
            {"one for the whole timer", "one for each " + programme, "it has none"});
  AddHeading(flow, "Days");
  AddChoice(flow, "Which kinds of days can be keyed? Tick all.", "",
            {"days of the week", "odd dates", "even dates", "every so many days"});
  AddYesNo(flow, "Odd dates: is the 31st left out?");
  AddNumber(flow, "Every so many days: at most how many?", "");
  AddHeading(flow, "Clock and overlap");
  AddYesNo(flow, "Does the clock move itself for " + SummerTimeWord(units) + "?");
  AddChoice(flow, "A start falls due while a run is on. Then",
            "To try it: key a run of 4 minutes, and a second start as soon after it as the steps allow.",
            {"the new run waits, then runs whole", "the two become one", "the new start is lost",
             "the first stops, the new one begins"});
}

}  // namespace

Status WriteControllerFormBlank(const SheetOptions& options, const std::string& path) {
  const auto canvas = Canvas::Pdf(SizeOf(options.paper), "What this timer accepts", options.printed_on);
  PageFlow flow(*canvas, kMargin_pt, "What this timer accepts");
  flow.AddText("What this timer accepts", {.size_pt = 20, .bold = true});
  flow.AddText(
      "Fill in beside the open lid, once for each type of timer. \"Don't know\" is a good answer: the plan "
      "then makes sure that it cannot matter.",
      kBodyStyle);
  flow.AddGap(6);
  AddPenBoxes(flow, {{"Your name for this type of timer", 2.2}, {"Seen at point"}, {"Who"}, {"Date"}});
  AddQuestions(flow, options.units);
  flow.Draw();
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok()) return bytes.error();
  return WriteWhole(path, *bytes);
}

}  // namespace lastreach
