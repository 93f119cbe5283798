#include "app/evidence_facts.h"

#include <algorithm>
#include <optional>
#include <sstream>
#include <utility>

#include "map/plane.h"
#include "map/street_name.h"

namespace lastreach {
namespace {

constexpr double kNear_m = 500;

template <typename T>
T Named(const std::vector<T>& all, const std::string& name) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const T& each) { return each.name == name; });
  if (found != all.end()) return *found;
  T unknown;
  unknown.name = name;
  return unknown;
}

// Fills in the lists of one point.
Status ReadLists(const Project& project, PointRecords& records) {
  const PointCode& code = records.point.code;
  const auto take = [](auto list, auto& into) -> Status {
    if (!list.ok()) return list.error();
    into = std::move(list).value();
    return Ok();
  };
  if (auto done = take(project.SettingsOf(code), records.settings); !done.ok()) return done;
  if (auto done = take(project.MeterReadsOf(code), records.reads); !done.ok()) return done;
  if (auto done = take(project.SamplesOf(code), records.samples); !done.ok()) return done;
  if (auto done = take(project.FlowTestsOf(code), records.flow_tests); !done.ok()) return done;
  if (auto done = take(project.FlushRunsOf(code), records.flush_runs); !done.ok()) return done;
  return take(project.VisitsOf(code), records.visits);
}

std::vector<std::string> WordsOf(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

// Letters to change, add or leave out.
size_t LettersApart(const std::string& a, const std::string& b) {
  std::vector<size_t> row(b.size() + 1);
  for (size_t j = 0; j < row.size(); ++j) row[j] = j;
  for (size_t i = 1; i <= a.size(); ++i) {
    size_t diagonal = row[0];
    row[0] = i;
    for (size_t j = 1; j <= b.size(); ++j) {
      const size_t changed = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      diagonal = row[j];
      row[j] = std::min({changed, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

// How far a place is from what was asked for, in letters; none where a word is not in it at all.
std::optional<size_t> StreetApart(const std::vector<std::string>& asked, const std::string& place) {
  const std::vector<std::string> there = WordsOf(PlainStreet(place));
  size_t apart = 0;
  for (const std::string& word : asked) {
    size_t best = word.size();
    for (const std::string& other : there) best = std::min(best, LettersApart(word, other));
    // A letter off in short words would make them any other.
    const size_t most = word.size() < 4 ? 0 : word.size() < 7 ? 1 : 2;
    if (best > most) return std::nullopt;
    apart += best;
  }
  return apart;
}

std::optional<Position> PositionIn(const std::string& words) {
  std::istringstream in(words);
  Position position;
  char comma = 0;
  if (!(in >> position.latitude_deg >> comma >> position.longitude_deg) || comma != ',') return std::nullopt;
  if (!(in >> std::ws).eof()) return std::nullopt;
  return position;
}

std::string SomeOf(const std::vector<WatchFacts>& facts) {
  constexpr size_t kShown = 6;
  std::string names;
  for (size_t i = 0; i < std::min(kShown, facts.size()); ++i) {
    const FlushPoint& point = facts[i].records.point;
    names += (i > 0 ? "; " : "") + point.code.text() + (point.place.empty() ? "" : " " + point.place);
  }
  return names + (facts.size() > kShown ? "; ..." : "");
}

std::vector<size_t> ByStreet(const std::vector<WatchFacts>& facts, const std::string& words) {
  std::string plain = PlainStreetOfAddress(words);
  if (plain.empty()) plain = PlainStreet(words);
  const std::vector<std::string> asked = WordsOf(plain);
  std::vector<std::pair<size_t, size_t>> found;
  if (asked.empty()) return {};
  for (size_t i = 0; i < facts.size(); ++i) {
    if (const auto apart = StreetApart(asked, facts[i].records.point.place)) found.emplace_back(*apart, i);
  }
  std::sort(found.begin(), found.end());
  std::vector<size_t> order;
  for (const auto& [apart, index] : found) order.push_back(index);
  return order;
}

std::vector<size_t> ByDistance(const std::vector<WatchFacts>& facts, const Position& at) {
  const Plane plane(at);
  std::vector<std::pair<double, size_t>> found;
  for (size_t i = 0; i < facts.size(); ++i) {
    const auto& position = facts[i].records.point.position;
    if (!position) continue;
    const double apart_m = Distance_m(plane.To(at), plane.To(*position));
    if (apart_m <= kNear_m) found.emplace_back(apart_m, i);
  }
  std::sort(found.begin(), found.end());
  std::vector<size_t> order;
  for (const auto& [apart, index] : found) order.push_back(index);
  return order;
}

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return text;
}

}  // namespace

Result<std::vector<WatchFacts>> EvidenceFactsOf(const Project& project) {
  const auto info = project.Info();
  if (!info.ok()) return info.error();
  const auto zone = Zone::Find(info->zone);
  if (!zone.ok()) return zone.error();
  const auto points = project.FlushPoints();
  if (!points.ok()) return points.error();
  const auto forms = project.ControllerForms();
  if (!forms.ok()) return forms.error();
  const auto supplies = project.SupplyZones();
  if (!supplies.ok()) return supplies.error();
  const auto limits = project.Limits();
  if (!limits.ok()) return limits.error();
  std::vector<WatchFacts> facts;
  for (const FlushPoint& point : *points) {
    WatchFacts of_point;
    of_point.records.point = point;
    of_point.records.zone = *zone;
    of_point.records.form = Named(*forms, point.controller);
    of_point.supply = Named(*supplies, point.supply_zone);
    for (const Limit& limit : *limits) {
      if (Binds(limit, point)) of_point.limits.push_back(limit);
    }
    if (const Status read = ReadLists(project, of_point.records); !read.ok()) return read.error();
    facts.push_back(std::move(of_point));
  }
  return facts;
}

Result<std::vector<size_t>> PointsNear(const std::vector<WatchFacts>& facts, const std::string& words) {
  for (size_t i = 0; i < facts.size(); ++i) {
    if (Lower(facts[i].records.point.code.text()) == Lower(words)) return std::vector<size_t>{i};
  }
  const auto at = PositionIn(words);
  std::vector<size_t> found = at ? ByDistance(facts, *at) : ByStreet(facts, words);
  if (!found.empty()) return found;
  if (at) return BadRequest("no flush point stands within 500 m of " + words);
  return BadRequest("no flush point stands at '" + words + "'; there are " + SomeOf(facts));
}

Result<Date> TodayOf(const std::string& said, const Zone& zone, Instant now) {
  if (said.empty()) return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(now))};
  const auto day = ParseDate(said);
  if (!day.ok()) return BadRequest("--today: " + day.error().ToString());
  return *day;
}

}  // namespace lastreach
