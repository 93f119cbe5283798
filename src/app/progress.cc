#include "app/progress.h"

#include <algorithm>
#include <ostream>

namespace lastreach {
namespace {
constexpr size_t kBarWidth = 30;
}

Progress::Progress(std::ostream& err, bool is_terminal, std::string what, size_t total)
    : err_(err), is_terminal_(is_terminal), what_(std::move(what)), total_(std::max<size_t>(1, total)) {
  Show(0);
}

Progress::~Progress() {
  if (is_terminal_) err_ << "\r" << std::string(what_.size() + kBarWidth + 24, ' ') << "\r" << std::flush;
}

void Progress::Show(size_t done) {
  if (!is_terminal_) return;
  const size_t filled = kBarWidth * std::min(done, total_) / total_;
  err_ << "\r" << what_ << "  [" << std::string(filled, '#') << std::string(kBarWidth - filled, '-') << "]  "
       << done << " of " << total_ << std::flush;
}

}  // namespace lastreach
