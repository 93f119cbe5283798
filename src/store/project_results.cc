// What was computed with the network: one row a result, one row a time with all its numbers.
#include <array>

#include "store/contents.h"
#include "store/float_blob.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

constexpr std::array<std::pair<ResultKind, std::string_view>, 6> kKinds = {
    {{ResultKind::kHeads, "heads"},
     {ResultKind::kPressure, "pressure"},
     {ResultKind::kFlow, "flow"},
     {ResultKind::kAge, "age"},
     {ResultKind::kChlorine, "chlorine"},
     {ResultKind::kSource, "source"}}};

std::string OfText(bool of_links) { return of_links ? "links" : "nodes"; }

Result<NetworkResult> ReadResult(const Row& row) {
  NetworkResult result;
  result.id = row.Int("id");
  const auto made = ReadTime(row, "made");
  if (!made.ok()) return made.error();
  result.made = *made;
  const auto kind = ParseResultKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  result.kind = *kind;
  result.of_links = row.Text("of") == "links";
  result.unit = row.Text("unit");
  if (!row.IsNull("begins")) {
    const auto begins = ReadTime(row, "begins");
    if (!begins.ok()) return begins.error();
    result.begins = *begins;
  }
  result.hours = row.Number("hours");
  result.step_h = row.Number("step_h");
  result.steps = static_cast<int>(row.Int("steps"));
  result.note = row.Text("note");
  return result;
}

Status NoteResults(Database& database) {
  if (Status noted = NoteChange(database, "network_results"); !noted.ok()) return noted;
  return NoteChange(database, "network_result_steps");
}

// How many numbers a step has: the nodes or links of the network.
Result<size_t> NumbersOf(Database& database, int64_t id) {
  const auto of_links = database.QueryInt("SELECT \"of\" = 'links' FROM network_results WHERE id = ?", {id});
  if (!of_links.ok()) return of_links.error();
  if (!of_links->has_value()) {
    return NotFound("there is no such result", {database.path(), {}, "id", std::to_string(id)});
  }
  const auto count = database.QueryInt(**of_links != 0 ? "SELECT count(*) FROM network_links"
                                                       : "SELECT count(*) FROM network_nodes");
  if (!count.ok()) return count.error();
  return static_cast<size_t>(count->value_or(0));
}

}  // namespace

std::string_view ToText(ResultKind kind) {
  for (const auto& [known, text] : kKinds) {
    if (known == kind) return text;
  }
  return {};
}

Result<ResultKind> ParseResultKind(std::string_view text) {
  for (const auto& [kind, known] : kKinds) {
    if (known == text) return kind;
  }
  return BadInput("this is no kind of result", {"", {}, "kind", std::string(text)});
}

Result<int64_t> Project::AddResult(const NetworkResult& result) {
  Database& database = *impl_->database;
  int64_t id = 0;
  Status done = InTransaction([&]() -> Status {
    const std::vector<Value> same = {std::string(ToText(result.kind)), OfText(result.of_links)};
    Status cleared = database.Run(
        "DELETE FROM network_result_steps WHERE result IN "
        "(SELECT id FROM network_results WHERE kind = ? AND \"of\" = ?)",
        same);
    if (cleared.ok()) {
      cleared = database.Run("DELETE FROM network_results WHERE kind = ? AND \"of\" = ?", same);
    }
    if (!cleared.ok()) return cleared;
    const auto added =
        database.Insert("network_results", {{"made", TimeValue(result.made)},
                                            {"kind", std::string(ToText(result.kind))},
                                            {"of", OfText(result.of_links)},
                                            {"unit", result.unit},
                                            {"begins", result.begins ? TimeValue(*result.begins) : Value()},
                                            {"hours", result.hours},
                                            {"step_h", result.step_h},
                                            {"note", result.note}});
    if (!added.ok()) return added.error();
    id = *added;
    return NoteResults(database);
  });
  if (!done.ok()) return done.error();
  return id;
}

Status Project::AddResultStep(int64_t id, double hour, std::span<const float> numbers) {
  Database& database = *impl_->database;
  return InTransaction([&]() -> Status {
    const auto wanted = NumbersOf(database, id);
    if (!wanted.ok()) return wanted.error();
    if (*wanted != numbers.size()) {
      return BadInput("a step of this result needs " + std::to_string(*wanted) + " numbers",
                      {database.path(), {}, "numbers", std::to_string(numbers.size())});
    }
    int64_t step = 0;
    double last_hour = 0;
    Status read = database.Query(
        "SELECT step, hour FROM network_result_steps WHERE result = ? ORDER BY step DESC LIMIT 1", {id},
        [&](const Row& row) -> Status {
          step = row.Int("step") + 1;
          last_hour = row.Number("hour");
          return Ok();
        });
    if (!read.ok()) return read;
    if (step > 0 && !(hour > last_hour)) {
      return BadInput("a step is not after the one before it",
                      {database.path(), {}, "hour", std::to_string(hour)});
    }
    const auto added =
        database.Insert("network_result_steps",
                        {{"result", id}, {"step", step}, {"hour", hour}, {"numbers", FloatBlob(numbers)}});
    if (!added.ok()) return added.error();
    return NoteResults(database);
  });
}

Result<std::vector<NetworkResult>> Project::Results() const {
  return impl_->List<NetworkResult>(
      "SELECT *, (SELECT count(*) FROM network_result_steps s WHERE s.result = r.id) AS steps "
      "FROM network_results r ORDER BY id",
      {}, ReadResult);
}

Result<std::vector<double>> Project::ResultHours(int64_t id) const {
  const auto known = NumbersOf(*impl_->database, id);
  if (!known.ok()) return known.error();
  std::vector<double> hours;
  Status read = impl_->database->Query("SELECT hour FROM network_result_steps WHERE result = ? ORDER BY step",
                                       {id}, [&](const Row& row) -> Status {
                                         hours.push_back(row.Number("hour"));
                                         return Ok();
                                       });
  if (!read.ok()) return read.error();
  return hours;
}

Result<std::vector<float>> Project::ResultStep(int64_t id, int step) const {
  const auto wanted = NumbersOf(*impl_->database, id);
  if (!wanted.ok()) return wanted.error();
  std::vector<float> numbers;
  bool found = false;
  Status read =
      impl_->database->Query("SELECT numbers FROM network_result_steps WHERE result = ? AND step = ?",
                             {id, int64_t{step}}, [&](const Row& row) -> Status {
                               found = true;
                               AppendFloats(row.Bytes("numbers"), numbers);
                               return Ok();
                             });
  if (!read.ok()) return read.error();
  const Place place{impl_->database->path(), {}, "step", std::to_string(step)};
  if (!found) return NotFound("the result has no such step", place);
  if (numbers.size() != *wanted) return BadInput("the step is not whole", place);
  return numbers;
}

}  // namespace lastreach
