#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace lastreach {

// What kind of thing went wrong, in ranges by stage. The number is printed and may be stored in logs:
// never renumber, only append.
enum class ErrorCode {
  kBadRequest = 100,  // a command, option or date that cannot be meant
  kBadInput = 200,    // a file, row, column or value the user can mend
  kNotFound = 201,    // a named thing that is not there
  kConflict = 202,    // it would overwrite or contradict what is kept
  kInfeasible = 500,  // the question was well put and the answer is "no"
  kInternal = 900,    // ours
};

// Where a value came from, as far as it is known: "devices.csv", line 14, column "Flow", value "abc".
struct Place {
  std::string file;
  std::optional<int> line;  // 1-based, as a text editor or spreadsheet shows it
  std::string column;
  std::string value;
};

// One sentence about the user's world, and where in it. Not for our own bugs: those are assertions.
struct Error {
  ErrorCode code = ErrorCode::kInternal;
  std::string message;
  Place place;

  // "devices.csv, line 14, column Flow, value 'abc': flow is not a number". One line, no newline.
  std::string ToString() const;
};

// Exit code of the program for an error: 1 the answer is "no", 2 the input is wrong, 3 ours.
int ExitCodeOf(ErrorCode code);

// A value of type T, or an Error saying why there is none.
//
//   Result<Zone> zone = Zone::Find("America/Chicago");
//   if (!zone.ok()) return zone.error();
//   Use(*zone);
//
// REQUIRES: operator*, operator-> and value() are called only when ok(); error() only when !ok().
template <typename T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::move(value)) {}      // NOLINT: implicit by design, `return value;`
  Result(Error error) : state_(std::move(error)) {}  // NOLINT: implicit by design, `return Error{...};`

  bool ok() const { return state_.index() == 0; }
  const T& value() const& { return std::get<0>(state_); }
  T& value() & { return std::get<0>(state_); }
  T&& value() && { return std::get<0>(std::move(state_)); }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::get<0>(std::move(state_)); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }
  const Error& error() const { return std::get<1>(state_); }

 private:
  std::variant<T, Error> state_;
};

// For functions that return nothing but may fail: `return Ok();`.
struct Done {};
using Status = Result<Done>;
inline Status Ok() { return Done{}; }

// ERROR: `return BadInput("flow is not a number", {"devices.csv", 14, "Flow", "abc"});`
Error BadInput(std::string message, Place place = {});
Error BadRequest(std::string message);
Error NotFound(std::string message, Place place = {});
Error Conflict(std::string message, Place place = {});
Error Internal(std::string message);

}  // namespace lastreach
