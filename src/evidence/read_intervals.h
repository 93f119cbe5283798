#pragma once

#include <string>
#include <vector>

#include "evidence/point_records.h"

namespace lastreach {

// What a dial showed, made into one row of numbers that only grow: turned over, changed meters and all.
struct DialRead {
  Instant at{};
  MeterRead read;
  double total_m3 = 0;     // since the first read
  bool new_meter = false;  // what follows is read on another meter
  double step_m3 = 0;      // the least the dial shows; figures that are never anything but 0 do not count
};

// From one read that counts to the next.
struct ReadInterval {
  Instant from{};
  Instant to{};
  MeterRead before, after;
  double volume_m3 = 0;    // read; below 0 where the dial went back and nothing explains it
  double sd_m3 = 0;        // of what the dial can show
  double expected_m3 = 0;  // filled in by Reconcile; logged flushes taken in
  double expected_sd_m3 = 0;
  double by_hand_m3 = 0;  // of it, logged flushes
  bool counts = true;     // false where nobody knows the settings
  std::vector<std::string> notes;
};

// Reads in order of time, estimates left out. A dial that shows less than before has turned over if that
// leaves no more water than `most_m3_per_s` gives in the time, and the reads on its other side do not go on
// as if one read were not there: at the volume the point gives, else at the next power of ten of its own, if
// the dial was within a fifth of that. A lower read on the same day is a new meter. Else it stays below.
std::vector<DialRead> DialReads(const PointRecords& records, double most_m3_per_s,
                                std::vector<std::string>* notes);

// What the number written is to be multiplied by to have two neighbouring figures the other way about, for
// each pair that differs.
std::vector<double> SwappedFigures(const std::string& original);

std::vector<ReadInterval> ReadIntervals(const std::vector<DialRead>& reads);

}  // namespace lastreach
