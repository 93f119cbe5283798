#include "town/device_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {

// Three invented forms; what such timers accept is common practice, no source.
std::string TimersSheet() {
  return CsvText({
      {"Timer", "Programmes", "Starts per programme", "Start step (min)", "Minutes min", "Minutes max",
       "Minutes step", "Percent min", "Percent max", "Percent step", "Percent scope", "Day patterns",
       "Odd skips 31st", "Every n max", "Follows clock change", "Overlap", "Notes"},
      {"Green box", "3", "4", "5", "1", "360", "1", "10", "200", "10", "all", "weekdays, odd, even, every-n",
       "no", "30", "no", "queue", "tried the overlap on the bench, it waits its turn"},
      {"Two-knob box", "1", "2", "15", "5", "45", "5", "", "", "", "none", "weekdays", "", "", "don't know",
       "unknown", "card in the lid has faded"},
      {"Battery lid box", "2", "3", "don't know", "1", "99", "1", "don't know", "don't know", "don't know",
       "don't know", "every-n, odd, even", "?", "15", "yes", "drop", "needs a new battery each May"},
  });
}

std::string ZonesSheet() {
  return CsvText({
      {"Zone", "Disinfectant", "Target (mg/L)", "Upstream residual (mg/L)", "Bulk decay at 20 C (1/day)",
       "Wall decay (m/day)", "Worst week temp", "Use per service (gal/day)", "Notes"},
      {"Millrace", "free chlorine", "0.4", "1.1", "0.35", "0.003", "26 C", "180",
       "jar test last August; 1.0 to 1.2 at the plant tap all summer"},
      {"High Tank", "chloramine", "1.0", "2.2", "", "", "77 F", "about 160",
       "bought water, total chlorine, nobody has done a jar test"},
  });
}

}  // namespace lastreach
