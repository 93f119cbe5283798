#include "report/network_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "report/map_frame.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

SheetOptions LetterOptions() {
  SheetOptions options;
  options.paper = Paper::kLetter;
  options.printed_on = TestDate(2026, 7, 1);
  return options;
}

// A grid of streets whose water grows older to the north-east, with a device at every second end.
NetworkMap GridMap(int side) {
  NetworkMap map;
  map.title = "How old the water gets";
  map.period = "Alderbrook, 1 to 14 July 2026";
  map.words = "The oldest water at the worse end of each pipe.";
  map.singled_words = "older than two days at a customer";
  for (int i = 0; i < side; ++i) {
    for (int j = 0; j < side; ++j) {
      const double value = 4.0 * (i + j);
      const MapPlace here = {100.0 * i, 100.0 * j};
      map.pipes.push_back({{here, {here.east_m + 100, here.north_m}}, value, value > 100});
      map.pipes.push_back({{here, {here.east_m, here.north_m + 100}}, value, false});
    }
    map.marks.push_back({MapMarkKind::kDevice, {100.0 * i, 100.0 * side}, "D" + std::to_string(i)});
  }
  map.pipes.push_back({{{0, 0}, {-100, 0}}, std::nan(""), false});
  map.marks.push_back({MapMarkKind::kSource, {0, 0}, "Millrace"});
  map.scale = ScaleFor(MapValue::kAge, 0, 8.0 * side);
  map.notes = {"Assumed: loss in the bulk of the water 0.5 per day at 20 C."};
  return map;
}

TEST(MapScale, AgesAreCountedInHoursThenDays) {
  const MapScale scale = ScaleFor(MapValue::kAge, 0, 260);
  EXPECT_THAT(scale.limits, ElementsAre(12, 24, 48, 96, 168));
  EXPECT_EQ(scale.LabelOf(0), "under 12 h");
  EXPECT_EQ(scale.LabelOf(1), "12 h to 1 d");
  EXPECT_EQ(scale.LabelOf(3), "2 to 4 d");
  EXPECT_EQ(scale.LabelOf(5), "7 d and over");
  EXPECT_EQ(scale.ClassOf(11.9), 0U);
  EXPECT_EQ(scale.ClassOf(12), 1U);
}

TEST(MapScale, LimitsAreRoundAndHoldTheTargetAndNoClassIsEmptyByMaking) {
  const MapScale scale = ScaleFor(MapValue::kResidual, 0.03, 1.08, 0.4);
  EXPECT_THAT(scale.limits, ElementsAre(0.2, 0.4, 0.6000000000000001, 0.8, 1.0));
  EXPECT_EQ(scale.LabelOf(0), "under 0.2 mg/L");
  for (double span = 1e-3; span < 1e4; span *= 1.7) {
    for (double least = 0; least < 3 * span; least += span / 3) {
      const MapScale any = ScaleFor(MapValue::kPressure, least, least + span);
      ASSERT_LE(any.classes(), 6U) << least << " to " << least + span;
      ASSERT_GE(any.classes(), 3U) << least << " to " << least + span;
      ASSERT_GT(any.limits.front(), least);
      ASSERT_LT(any.limits.back(), least + span);
    }
  }
}

TEST(MapScale, AResidualAgainstItsTargetIsToldInWords) {
  const MapScale scale = ScaleFor(MapValue::kAgainstTarget, 0, 5);
  std::vector<std::string> labels;
  for (size_t i = 0; i < scale.classes(); ++i) labels.push_back(scale.LabelOf(i));
  EXPECT_THAT(labels, ElementsAre("under half the target", "half to all of the target",
                                  "1 to 1.5 times the target", "1.5 to 2 times the target",
                                  "2 to 3 times the target", "3 times the target and over"));
}

TEST(MapScale, TheBadEndIsDarkAndWideAndTwoMapsShareNoInk) {
  const auto light = [](Ink ink) { return 0.2126 * ink.red + 0.7152 * ink.green + 0.0722 * ink.blue; };
  std::set<double> seen;
  for (const MapValue value : {MapValue::kAge, MapValue::kResidual, MapValue::kPressure, MapValue::kShare}) {
    const MapScale scale = ScaleFor(value, 0, 59);
    for (size_t i = 0; i < scale.classes(); ++i) {
      EXPECT_TRUE(seen.insert(light(scale.InkOf(i))).second);
      if (i == 0) continue;
      const bool worse = scale.BadnessOf(i) > scale.BadnessOf(i - 1);
      EXPECT_EQ(worse, !scale.low_is_bad);
      EXPECT_EQ(light(scale.InkOf(i)) < light(scale.InkOf(i - 1)), worse);
      EXPECT_EQ(scale.WidthOf_pt(i) > scale.WidthOf_pt(i - 1), worse);
    }
  }
}

TEST(MapFrame, KeepsShapesAndStaysInside) {
  const NetworkMap map = GridMap(9);
  const MapFrame frame(map, {30, 40}, 500, 300);
  const Point origin = frame.On({0, 0});
  EXPECT_NEAR(frame.On({100, 0}).x_pt - origin.x_pt, 100 / frame.metres_per_pt(), 1e-9);
  EXPECT_NEAR(origin.y_pt - frame.On({0, 100}).y_pt, 100 / frame.metres_per_pt(), 1e-9);
  for (const MapPipe& pipe : map.pipes) {
    for (const MapPlace& place : pipe.line) {
      EXPECT_GE(frame.On(place).y_pt, 40);
      EXPECT_LE(frame.On(place).y_pt, 340);
    }
  }
}

TEST(LabelPlacer, NamesCoverNeitherEachOtherNorAMark) {
  const NetworkMap map = GridMap(9);
  const MapFrame frame(map, {0, 0}, 400, 400);
  LabelPlacer placer(frame, map);
  std::vector<LabelBox> boxes;
  std::vector<Point> marks;
  for (const MapMark& mark : map.marks) {
    marks.push_back(frame.On(mark.at));
    placer.Block(marks.back(), 3);
  }
  for (const Point mark : marks) {
    LabelBox box;
    if (placer.Place(mark, 3, 60, 12, box)) boxes.push_back(box);
  }
  EXPECT_GE(boxes.size(), 8U);
  for (size_t i = 0; i < boxes.size(); ++i) {
    for (size_t j = 0; j < i; ++j) {
      const bool apart = boxes[i].at.x_pt + boxes[i].width_pt <= boxes[j].at.x_pt ||
                         boxes[j].at.x_pt + boxes[j].width_pt <= boxes[i].at.x_pt ||
                         boxes[i].at.y_pt + boxes[i].height_pt <= boxes[j].at.y_pt ||
                         boxes[j].at.y_pt + boxes[j].height_pt <= boxes[i].at.y_pt;
      EXPECT_TRUE(apart) << i << " and " << j;
    }
    for (const Point mark : marks) {
      const bool covers = mark.x_pt > boxes[i].at.x_pt && mark.x_pt < boxes[i].at.x_pt + boxes[i].width_pt &&
                          mark.y_pt > boxes[i].at.y_pt && mark.y_pt < boxes[i].at.y_pt + boxes[i].height_pt;
      EXPECT_FALSE(covers) << i;
    }
  }
}

TEST(NetworkMap, TellsClassesMarksScaleBarAndWhatItRestsOn) {
  const TestFolder folder;
  ASSERT_TRUE(WriteNetworkMap(GridMap(12), LetterOptions(), folder / "age").ok());
  const std::string words = WordsOf(folder / "age.pdf");
  for (const char* wanted :
       {"How old the water gets", "Alderbrook, 1 to 14 July 2026", "under 4 h", "2 d and over", "not known",
        "older than two days at a customer", "flushing device on a timer", "source", "500 ft", "N",
        "loss in the bulk of the water 0.5", "Millrace"}) {
    EXPECT_THAT(words, HasSubstr(wanted));
  }
  EXPECT_GT(std::filesystem::file_size(folder / "age.png"), 10000U);
}

// The pipes singled out get white pixels along their middle, on a map where all ink is dark.
TEST(NetworkMap, APipeSingledOutHasAWhiteLineAlongItsMiddle) {
  const TestFolder folder;
  NetworkMap map;
  map.title = "One main";
  map.scale = ScaleFor(MapValue::kResidual, 0, 1);
  map.pipes = {{{{0, 0}, {1000, 300}}, 0.01, false}};
  const auto white_inside = [&](const char* name) {
    EXPECT_TRUE(WriteNetworkMap(map, LetterOptions(), folder / name).ok());
    const Raster raster = RasterOf(folder / (std::string(name) + ".pdf"), 1, 300);
    int count = 0;
    const auto is_dark = [&](int x, int y) { return raster.At(x, y, 0) < 60; };
    const auto is_white = [&](int x, int y) { return raster.At(x, y, 0) > 250; };
    // In the left half, where the map is: down a column, white with dark close on both sides.
    for (int x = 300; x < raster.width / 2; x += 10) {
      for (int y = 400; y < raster.height - 200; ++y) {
        if (is_white(x, y) && is_dark(x, y - 5) && is_dark(x, y + 5)) ++count;
      }
    }
    return count;
  };
  EXPECT_EQ(white_inside("plain"), 0);
  map.pipes.front().singled = true;
  EXPECT_GT(white_inside("singled"), 30);
}

TEST(NetworkMap, LongNotesEndWithHowManyMoreThereAre) {
  const TestFolder folder;
  NetworkMap map = GridMap(5);
  for (int i = 0; i < 60; ++i)
    map.notes.push_back("A note that takes a line or two beside the map, number " + std::to_string(i));
  ASSERT_TRUE(WriteNetworkMap(map, LetterOptions(), folder / "age").ok());
  EXPECT_THAT(WordsOf(folder / "age.pdf"), HasSubstr("more, told by the command"));
}

TEST(NetworkMap, WithoutPlacesThereIsNothingToDraw) {
  const TestFolder folder;
  NetworkMap map = GridMap(1);
  map.pipes = {{{{5, 5}, {5, 5}}, 1, false}};
  const Status status = WriteNetworkMap(map, LetterOptions(), folder / "age");
  ASSERT_FALSE(status.ok());
  EXPECT_EQ(status.error().code, ErrorCode::kBadRequest);
}

}  // namespace
}  // namespace lastreach
