#include "month/samples_needed.h"

namespace lastreach {

int SamplesNeeded(int64_t population) {
  struct Step {
    int64_t up_to;
    int samples;
  };
  constexpr Step kSteps[] = {{1000, 1},      {2500, 2},      {3300, 3},      {4100, 4},      {4900, 5},
                             {5800, 6},      {6700, 7},      {7600, 8},      {8500, 9},      {12900, 10},
                             {17200, 15},    {21500, 20},    {25000, 25},    {33000, 30},    {41000, 40},
                             {50000, 50},    {59000, 60},    {70000, 70},    {83000, 80},    {96000, 90},
                             {130000, 100},  {220000, 120},  {320000, 150},  {450000, 180},  {600000, 210},
                             {780000, 240},  {970000, 270},  {1230000, 300}, {1520000, 330}, {1850000, 360},
                             {2270000, 390}, {3020000, 420}, {3960000, 450}};
  for (const Step& step : kSteps) {
    if (population <= step.up_to) return step.samples;
  }
  return 480;
}

}  // namespace lastreach
