#pragma once

#include <string>

#include "core/result.h"
#include "town/dirty_year.h"

namespace lastreach {

// The year as the town's sheets, as text. Each is the same to the byte for the same year.
std::string YearDevicesSheet(const DirtyYear& year);      // devices.csv, without settings
std::string YearEndsSheet(const DirtyYear& year);         // ends.csv, flushed by hand
std::string YearSettingsSheet(const DirtyYear& year);     // settings.csv, as-found and as-left
std::string YearVisitsSheet(const DirtyYear& year);       // visits.csv
std::string YearReadsSheet(const DirtyYear& year);        // reads.csv, each in the unit of its meter
std::string YearSamplesSheet(const DirtyYear& year);      // samples.csv
std::string YearRunsSheet(const DirtyYear& year);         // runs.csv, hand and test flushes
std::string YearFlowTestsSheet(const DirtyYear& year);    // flow-tests.csv
std::string YearTestFlushesSheet(const DirtyYear& year);  // test-flushes.csv, a row a reading
std::string YearByproductsSheet(const DirtyYear& year);   // byproducts.csv, in ug/L
std::string YearProductionSheet(const DirtyYear& year);   // production.csv
std::string YearKeySheet(const DirtyYear& year);  // KEY.csv: what was planted where, and what could tell
std::string YearReadme();                         // README.txt

// All of them, with timers.csv and zones.csv, into `folder`, making it if need be.
// ERROR: kBadInput naming the folder or file that cannot be made.
Status WriteDirtyYearSheets(const std::string& folder, const DirtyYear& year);

// How the two people write a day and a time: R.M. month first, K.B. as 2025-07-01 and by 24 hours.
std::string WrittenDay(const std::string& who, Date day);
std::string WrittenTime(const std::string& who, int minute);

}  // namespace lastreach
