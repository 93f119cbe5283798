#pragma once

#include <string>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "report/sheet_options.h"

namespace lastreach {

// What a person has to alter to get from one state of a timer to another, one short sentence each:
// "Program 1: minutes 30 to 12", "Program 1: start 13:10 added", "Percentage 130 % back to 100 %",
// "Program 2: off". Empty when nothing differs; the order in which starts are keyed does not matter, and a
// programme with no starts is the same as none.
std::vector<std::string> ChangesBetween(const ControllerForm& form, const TimerSettings& present,
                                        const TimerSettings& planned, SheetUnits units);

}  // namespace lastreach
