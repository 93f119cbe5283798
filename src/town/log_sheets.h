#pragma once

#include <string>

namespace lastreach {

// The sheets kept through the summer of 2026, drawn from the habits of the devices with a fixed seed. Each is
// the same to the byte every time.
//
// samples.csv: June to August, about 250 grabs by two people with two ways of writing, with the usual mess.
std::string SamplesSheet();

// reads.csv: one read a month from March to August of the devices with a meter, as a spreadsheet saves it
// (byte-order mark, CR LF).
std::string ReadsSheet();

}  // namespace lastreach
