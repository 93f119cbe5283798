#include "core/zone.h"

#include <absl/time/time.h>

#include <optional>
#include <span>

namespace lastreach {
namespace {

namespace chrono = std::chrono;
using chrono::seconds;

// Zones are loaded once by the library and looked up by name afterwards; what we keep is the name.
absl::TimeZone Load(const std::string& name) {
  absl::TimeZone zone;
  absl::LoadTimeZone(name, &zone);
  return zone;
}

absl::Time ToAbsl(Instant instant) { return absl::FromUnixSeconds(instant.time_since_epoch().count()); }
Instant FromAbsl(absl::Time time) { return Instant(seconds(absl::ToUnixSeconds(time))); }

// A stretch of time with one offset, as the zone file has it.
struct Regime {
  Instant from;
  seconds offset;
  bool marked_summer;
};

// The moment of a change known by the civil time it leads to.
Instant MomentOf(const absl::TimeZone& zone, const absl::CivilSecond& to) {
  const absl::TimeZone::TimeInfo at = zone.At(to);
  return FromAbsl(at.kind == absl::TimeZone::TimeInfo::REPEATED ? at.trans : at.pre);
}

Regime RegimeAt(const absl::TimeZone& zone, Instant instant) {
  const absl::TimeZone::CivilInfo info = zone.At(ToAbsl(instant));
  return {instant, seconds(info.offset), info.is_dst};
}

std::vector<Regime> RegimesOver(const absl::TimeZone& zone, Instant from, Instant to) {
  std::vector<Regime> regimes = {RegimeAt(zone, from)};
  absl::TimeZone::CivilTransition change;
  while (zone.NextTransition(ToAbsl(regimes.back().from), &change)) {
    const Instant moment = MomentOf(zone, change.to);
    if (moment >= to || moment <= regimes.back().from) break;
    regimes.push_back(RegimeAt(zone, moment));
  }
  return regimes;
}

// Whether `winter` is the winter clock of `summer`, judged from two regimes that follow each other. No
// zone has moved by more than two hours for summer time since 1990; larger steps are changes of zone.
bool IsWinterOf(seconds winter, seconds summer) {
  return winter < summer && summer - winter <= chrono::hours(2);
}

// The winter clock for regimes[i], from the regimes before and after it.
seconds StandardOffset(std::span<const Regime> regimes, size_t i) {
  const Regime& here = regimes[i];
  std::optional<seconds> lower_neighbour;
  for (const size_t j : {i - 1, i + 1}) {  // i - 1 wraps for i == 0 and is then out of range
    if (j >= regimes.size() || regimes[j].marked_summer == here.marked_summer) continue;
    if (IsWinterOf(regimes[j].offset, here.offset)) lower_neighbour = regimes[j].offset;
    if (here.marked_summer && IsWinterOf(here.offset, regimes[j].offset)) return here.offset;
  }
  if (lower_neighbour) return *lower_neighbour;
  return here.marked_summer ? here.offset - chrono::hours(1) : here.offset;
}

}  // namespace

Zone::Zone(std::string name) : name_(std::move(name)) {}

Zone Zone::Utc() { return Zone("UTC"); }

Result<Zone> Zone::Find(std::string_view name) {
  absl::TimeZone loaded;
  // The library also takes "/path/to/file"; a zone is a name.
  if (name.empty() || name.front() == '/' || !absl::LoadTimeZone(std::string(name), &loaded)) {
    return BadRequest("no time zone is called '" + std::string(name) + "'; names look like America/Chicago");
  }
  return Zone(std::string(name));
}

seconds Zone::OffsetAt(Instant instant) const { return RegimeAt(Load(name_), instant).offset; }

LocalTime Zone::ToLocal(Instant instant) const {
  return LocalTime((instant + OffsetAt(instant)).time_since_epoch());
}

Instant Zone::FirstInstant(LocalTime local) const {
  const auto day = chrono::floor<chrono::days>(local);
  const Date date{day};
  const absl::CivilDay civil_day(static_cast<int>(date.year()),
                                 static_cast<int>(static_cast<unsigned>(date.month())),
                                 static_cast<int>(static_cast<unsigned>(date.day())));
  const absl::TimeZone zone = Load(name_);
  const absl::TimeZone::TimeInfo at = zone.At(absl::CivilSecond(civil_day) + (local - day).count());
  return FromAbsl(at.kind == absl::TimeZone::TimeInfo::SKIPPED ? at.trans : at.pre);
}

std::vector<OffsetPiece> Zone::Offsets(Instant from, Instant to) const {
  // Neighbours decide which offset is the winter clock, so look further than asked.
  constexpr chrono::days kNeighbourhood{400};
  const absl::TimeZone zone = Load(name_);
  const std::vector<Regime> regimes = RegimesOver(zone, from - kNeighbourhood, to + kNeighbourhood);
  std::vector<OffsetPiece> pieces;
  for (size_t i = 0; i < regimes.size() && regimes[i].from < to; ++i) {
    const OffsetPiece piece{regimes[i].from, regimes[i].offset, StandardOffset(regimes, i)};
    if (!pieces.empty() && piece.from <= from) pieces.pop_back();
    pieces.push_back(piece);
  }
  return pieces;
}

}  // namespace lastreach
