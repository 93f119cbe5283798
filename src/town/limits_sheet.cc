#include "town/device_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {

// Numbers are invented but for 20 psi, which many rules have. Common practice, no source.
std::string LimitsSheet() {
  constexpr const char* kSchool = "school office, by phone 2026-02-11";
  constexpr const char* kDrought = "drought plan, council minute 2026-05-19";
  return CsvText({
      {"Scope", "Subject", "Limit", "Value", "Days", "Discharge to", "Source"},
      {"point", "D05", "forbidden hours", "07:15-09:00", "Mon-Fri", "", kSchool},
      {"point", "D05", "forbidden hours", "14:30-16:00", "Mon-Fri", "", kSchool},
      {"point", "D01", "forbidden hours", "07:15-09:00", "Mon-Fri", "", kSchool},
      {"point", "D01", "forbidden hours", "14:30-16:00", "Mon-Fri", "", kSchool},
      {"point", "D19", "forbidden hours", "22:00-06:00", "daily", "",
       "quiet hours agreed with Silo Street, letter of 2025-09-03"},
      {"point", "D16", "most flow", "60 gpm", "", "",
       "street crew: the inlet in Gable Close backs up above this"},
      {"point", "D13", "most volume between refills", "18,000 gal", "", "",
       "tablet feeder: thirty charges in its tube"},
      {"point", "D13", "most volume a run", "600 gal", "", "",
       "creek discharge letter, clause 4: one charge of tablets"},
      {"zone", "Millrace", "least residual", "0.2 mg/L", "", "", "the town's own rule for free chlorine"},
      {"zone", "High Tank", "least residual", "0.5 mg/L", "", "", "the town's own rule for total chlorine"},
      {"system", "", "most volume a day", "25,000 gal", "", "",
       "drought rule, stage 2, council minute 2026-05-19"},
      {"system", "", "drought stage 1", "30,000 gal", "", "", kDrought},
      {"system", "", "drought stage 2", "25,000 gal", "", "", kDrought},
      {"system", "", "drought stage 3", "15,000 gal", "", "", kDrought},
      {"system", "", "least pressure", "20 psi", "", "", "state rule, as typed by the town office"},
      {"system", "", "flush at least every", "31 days", "", "",
       "state rule on dead ends, as typed by the town office"},
      {"zone", "High Tank", "most devices at once", "2", "", "", "booster is small, RM"},
      {"system", "High Tank", "least tank level", "10 ft", "", "", "fire department, letter of 2024-03-20"},
      {"system", "", "frost months", "November to March", "", "road",
       "street crew: ice on Silo Street, 2024"},
      {"point", "D24", "frost months", "December to February", "", "", "small line, KB drains it"},
  });
}

}  // namespace lastreach
