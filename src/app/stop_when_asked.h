#pragma once

#include <chrono>
#include <optional>

namespace lastreach {

// Asks work to stop when its time is up, or when Ctrl-C is pressed; a second Ctrl-C ends the program as ever.
// While it stands the first Ctrl-C ends nothing by itself. THREADS: IsAsked from any; one object at a time.
class StopWhenAsked {
 public:
  explicit StopWhenAsked(std::optional<double> after_s);
  ~StopWhenAsked();
  StopWhenAsked(const StopWhenAsked&) = delete;
  StopWhenAsked& operator=(const StopWhenAsked&) = delete;

  bool IsAsked() const;

 private:
  using Clock = std::chrono::steady_clock;
  std::optional<Clock::time_point> until_;
  void (*before_)(int);
};

}  // namespace lastreach
