#pragma once

#include <chrono>
#include <string>
#include <string_view>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// From `from` on, local time = UTC + offset, until the next piece.
struct OffsetPiece {
  Instant from;
  std::chrono::seconds offset;           // what clocks in the zone show over UTC [s]
  std::chrono::seconds standard_offset;  // the same less summer time [s]
};

// A time zone by its IANA name, with the rules of the system's zone files, which hold for any year:
// dates past the last recorded change follow the zone's rule of recurrence.
//
// Standard time is the winter clock. A few zones (Europe/Dublin) are recorded the other way about,
// summer as standard and winter as a negative shift; they are read like their neighbours here, because
// a clock nobody moves is a clock set in winter time.
//
// THREADS: immutable after Find(); copies are cheap.
class Zone {
 public:
  // ERROR: kBadRequest if the system knows no such zone.
  static Result<Zone> Find(std::string_view name);
  static Zone Utc();

  const std::string& name() const { return name_; }

  std::chrono::seconds OffsetAt(Instant instant) const;

  // The first moment at which a clock in this zone reads `local` or later. Inside a skipped hour that
  // is the moment of the change; inside a repeated hour it is the first pass.
  Instant FirstInstant(LocalTime local) const;

  LocalTime ToLocal(Instant instant) const;

  // The offsets in force over [from, to): at least one piece, the first with from <= `from`, in order.
  std::vector<OffsetPiece> Offsets(Instant from, Instant to) const;

 private:
  explicit Zone(std::string name);

  std::string name_;
};

}  // namespace lastreach
