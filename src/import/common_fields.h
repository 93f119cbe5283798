#pragma once

#include "import/fields.h"

// The fields that many kinds of sheet have, with all the headings they go by.
namespace lastreach::field {

Field Code();   // of a flush point, in a sheet of points; needed
Field Point();  // the same in a sheet of records, where people give the site by its name; needed
Field Who();
Field Notes();
Field Date();
Field Time();

}  // namespace lastreach::field
