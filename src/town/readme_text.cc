#include "town/device_sheets.h"

namespace lastreach {

std::string TownReadme() {
  return R"(The invented town
=================
Nothing here is real: not the town, its streets, its people (KB and RM), its timers or its water.
It lies on open range at 42.23 to 42.28 north, 99.93 to 99.87 west; its clocks are those of America/Chicago.
The sheets are messy because sheets are. The same sheets come out every time.

What each sheet is
------------------
devices.csv   24 flushing devices, typed from the lids. Feet with a few metres, inches with a few millimetres,
              gallons a minute with a few litres a second, "about", "UNK" and blanks. Headings as typed.
              A start is as the clock in the box shows it, "clock off by" is how many minutes that clock reads
              too late.
ends.xlsx     40 ends flushed by hand, from the blue binder. The headings are in the third row.
timers.csv    What the three kinds of timer can be keyed to, with "don't know" where nobody does.
zones.csv     Two waters: Millrace (free chlorine) and High Tank (chloramine, so total chlorine counts).
limits.csv    What must not be done where and when, alone and together, each with who said so.
samples.csv   Residuals of June, July and August 2026 by two people with two ways of writing. One night in
              March got in as well.
reads.csv     Meters on the first of the month, March to August 2026, as a spreadsheet saved them.
settings.csv  What was found in the boxes and what was left in them.
temperatures.csv
              How warm each water gets in each month, in degrees C and F as each office writes them, with the
              use as times the average.
trips.csv     Visits that are made anyway.
prices.csv    What water and a visit cost.

The folder year beside this one holds the year 2025 as it was written down, with twelve troubles to find.

Which trap sits where
---------------------
D01 Heron Court      Left OFF since it was winterised in October; the date to put it back has passed.
D02 Foundry Lane     Starts 50 minutes apart, 40 minutes each: fine at 100 %, but at 130 % a run takes
                     52 minutes and the starts overlap.
D03 Alder Row        Odd dates: the 31st and the 1st are two days running, all other gaps are two days.
D04 Sedge Row        Even dates: from the 30th to the 2nd is three days at the end of every 31-day month.
D05 Schoolhouse Road Starts at 06:30 by a clock nobody moves, so at 07:30 in summer, in the school run.
D06 Tannery Road     One person put 30 minutes up to 45, another 100 % up to 120 %: it runs 54.
                     New meter in June.
D07 Cooper Street    The clock is 12 hours out: the 02:15 run happens in the afternoon.
D08 Weir Street      Every 3 days, and nobody knows from which day.
D09 Chandler Way     Monday to Friday: three days from Friday's run to Monday's. The July read is an
                     estimate.
D10 Orchard View     The neighbour's 30 minutes every day on a reach of under 800 gallons: water thrown away.
D11 Quarry Road      The main that feeds it carries 0.3 mg/L: flushing is not the answer.
D12 Baker Terrace    38 houses keep it fresh: no flush needed.
D13 Fen Lane         Into the creek through one charge of tablets: 600 gallons a run at most, 1575 keyed.
D14 Far Meadow Road  3050 ft of 8 inch for one farm, and a timer with two starts of 45 minutes.
D15 Mason Road       Two pipe sizes in one reach, in one cell. The flow was last measured in 2014
                     and is less now.
D16 Gable Close      5 L/s into an inlet that takes 60 gallons a minute.
D17 Lookout Drive    Turned up for the free-chlorine weeks, to be put back by 15 June, still up. In July
                     the two painted zeros of its meter were left out.
D18 Windpump Road    Typed in metres and millimetres.
D19 Silo Street      Quiet hours agreed from 22:00 to 06:00, keyed for 02:00.
D20 Harrow Lane      Diameter, services and outlet unknown: too little known to plan.
D21 Thresher Road    Died of its battery in June: the meter stands still and the residual sinks.
D22 Barley Close     Stuck open for two days in July: the August read shows 145,800 gallons too much.
D24 Stonecrop Lane   A small line, and two programmes.

In samples.csv: ND, n.d., <0.1, 0.6T, pairs of free and total, a decimal comma, a lost decimal point, a
comment inside a reading, a reading that is words, a site left blank, a site misspelt, a time left out, a row
typed twice, a cell of two lines, and 02:30 on 8 March 2026, a time that no clock in the zone showed.
)";
}

}  // namespace lastreach
