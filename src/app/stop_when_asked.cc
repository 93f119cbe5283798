#include "app/stop_when_asked.h"

#include <atomic>
#include <csignal>

namespace lastreach {
namespace {

std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free);  // else a signal must not touch it

void Interrupt(int) {
  interrupted = true;
  std::signal(SIGINT, SIG_DFL);
}

}  // namespace

StopWhenAsked::StopWhenAsked(std::optional<double> after_s) {
  if (after_s) {
    until_ =
        Clock::now() + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(*after_s));
  }
  interrupted = false;
  before_ = std::signal(SIGINT, Interrupt);
}

StopWhenAsked::~StopWhenAsked() { std::signal(SIGINT, before_); }

bool StopWhenAsked::IsAsked() const { return interrupted || (until_ && Clock::now() >= *until_); }

}  // namespace lastreach
