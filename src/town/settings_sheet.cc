#include "town/device_sheets.h"
#include "town/sheet_text.h"

namespace lastreach {

// Visits to a dozen devices. K.B. writes dates the ISO way, R.M. month first; both are invented.
std::string SettingsSheet() {
  return CsvText({
      {"Date", "Time", "Code", "Kind", "Who", "Why", "Revert by", "Clock off by (min)", "State", "Percent",
       "P1 starts", "P1 minutes", "P1 days", "P2 starts", "P2 minutes", "P2 days", "P3 starts", "P3 minutes",
       "P3 days"},
      // Left off since winterising.
      {"2025-10-28", "13:40", "D01", "as-found", "KB", "winterise", "", "3", "on", "100", "01:00, 13:00",
       "25", "daily", "", "", "", "", "", ""},
      {"2025-10-28", "14:05", "D01", "as-left", "KB", "winterise, drained", "2026-04-15", "0", "OFF", "100",
       "01:00, 13:00", "25", "daily", "", "", "", "", "", ""},
      // Overlaps from the summer step-up on.
      {"4/13/26", "9:20 am", "D02", "as-left", "RM", "spring start-up", "", "0", "on", "100",
       "01:00, 01:50, 02:40", "40", "daily", "", "", "", "", "", ""},
      {"6/2/26", "10:15 am", "D02", "as-found", "RM", "summer step-up", "", "-2", "on", "100",
       "01:00, 01:50, 02:40", "40", "daily", "", "", "", "", "", ""},
      {"6/2/26", "10:25 am", "D02", "as-left", "RM", "summer step-up", "9/15/26", "-2", "on", "130",
       "01:00, 01:50, 02:40", "40", "daily", "", "", "", "", "", ""},
      {"2026-04-14", "09:10", "D03", "as-left", "KB", "spring start-up", "", "0", "on", "100", "02:00", "20",
       "odd", "", "", "", "", "", ""},
      {"2026-04-14", "09:45", "D04", "as-left", "KB", "spring start-up", "", "0", "on", "100", "02:00", "20",
       "even", "", "", "", "", "", ""},
      // The clock does not follow the change, so 06:30 happens at 07:30 in summer.
      {"2026-04-15", "11:00", "D05", "as-left", "KB", "spring start-up, school asked for an early start", "",
       "0", "on", "100", "06:30", "40", "daily", "", "", "", "", "", ""},
      {"7/21/26", "8:05 am", "D05", "as-found", "RM",
       "school called again, its clock is an hour behind my phone", "", "", "on", "100", "06:30", "40",
       "daily", "", "", "", "", "", ""},
      {"7/21/26", "8:20 am", "D05", "as-left", "RM", "settings looked right, left alone", "", "", "on", "100",
       "06:30", "40", "daily", "", "", "", "", "", ""},
      // 30 becomes 36 by the percentage, then 54 by the minutes.
      {"2026-04-16", "10:30", "D06", "as-left", "KB", "spring start-up", "", "0", "on", "100", "02:30", "30",
       "daily", "", "", "", "", "", ""},
      {"5/18/26", "1:10 pm", "D06", "as-found", "RM", "hot spell", "", "1", "on", "100", "02:30", "30",
       "daily", "", "", "", "", "", ""},
      {"5/18/26", "1:15 pm", "D06", "as-left", "RM", "hot spell, up a fifth", "", "1", "on", "120", "02:30",
       "30", "daily", "", "", "", "", "", ""},
      {"2026-07-06", "14:40", "D06", "as-left", "KB",
       "low reading, half as long again, did not look at the percent", "", "2", "on", "", "02:30", "45",
       "daily", "", "", "", "", "", ""},
      {"8/10/26", "9:50 am", "D06", "as-found", "RM", "meter bill", "", "3", "on", "120", "02:30", "45",
       "daily", "", "", "", "", "", ""},
      // Twelve hours out since the battery change.
      {"2026-04-17", "08:30", "D07", "as-left", "KB", "spring start-up, new battery", "", "0", "on", "",
       "02:15", "30", "daily", "", "", "", "", "", ""},
      {"8/12/26", "3:30 pm", "D07", "as-found", "RM", "call from no. 9", "", "720", "on", "", "02:15", "30",
       "daily", "", "", "", "", "", ""},
      // The count of days started again, nobody knows when.
      {"5/20/26", "11:40 am", "D08", "as-left", "RM", "battery", "", "", "on", "100", "03:00", "30",
       "every 3 days", "", "", "", "", "", ""},
      {"2026-04-17", "10:20", "D13", "as-left", "KB", "spring start-up", "", "5", "on", "100", "04:00", "45",
       "daily", "", "", "", "", "", ""},
      // Meant for three weeks, never put back.
      {"2026-05-25", "09:00", "D17", "as-found", "KB", "free-chlorine weeks", "", "0", "on", "100", "02:00",
       "15", "Mon Thu", "", "", "", "", "", ""},
      {"2026-05-25", "09:10", "D17", "as-left", "KB", "free-chlorine weeks", "2026-06-15", "0", "on", "100",
       "02:00", "30", "daily", "", "", "", "", "", ""},
      {"6/9/26", "2:20 pm", "D21", "as-found", "RM", "tablets round", "", "0", "on", "100", "04:00", "25",
       "Tue Thu Sun", "", "", "", "", "", ""},
      {"6/9/26", "2:30 pm", "D21", "as-left", "RM", "low battery light, no spare on the truck", "", "0", "on",
       "100", "04:00", "25", "Tue Thu Sun", "", "", "", "", "", ""},
  });
}

}  // namespace lastreach
