#include "simulation/period_stream.h"

#include <chrono>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace lastreach {
namespace {

// Enough that neither side waits for the other at a run of costly periods, few enough to hold.
constexpr size_t kHeld = 8;

using Clock = std::chrono::steady_clock;

double SecondsSince(Clock::time_point begin) {
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

// A period with its own numbers.
struct OwnPeriod {
  double begin_s = 0;
  double end_s = 0;
  std::vector<double> flow, outflow, head, tank_volume;

  void Take(const FlowPeriod& period) {
    begin_s = period.begin_s;
    end_s = period.end_s;
    flow.assign(period.flow_m3_per_s.begin(), period.flow_m3_per_s.end());
    outflow.assign(period.outflow_m3_per_s.begin(), period.outflow_m3_per_s.end());
    head.assign(period.head_m.begin(), period.head_m.end());
    tank_volume.assign(period.tank_volume_m3.begin(), period.tank_volume_m3.end());
  }
  FlowPeriod View() const { return {begin_s, end_s, flow, outflow, head, tank_volume}; }
};

}  // namespace

class PeriodStream::Impl {
 public:
  explicit Impl(FlowSimulation simulation)
      : simulation_(std::move(simulation)), thread_([this](const std::stop_token& stop) { Work(stop); }) {}

  ~Impl() {
    thread_.request_stop();
    // The thread may be waiting for room that nobody makes any more.
    const std::lock_guard lock(mutex_);
    changed_.notify_all();
  }

  Result<bool> Next(FlowPeriod& period) {
    std::unique_lock lock(mutex_);
    if (in_use_) {
      spare_.push_back(std::move(*in_use_));
      in_use_.reset();
      changed_.notify_all();
    }
    changed_.wait(lock, [this] { return !ready_.empty() || done_; });
    if (ready_.empty()) {
      if (!ended_.ok()) return ended_.error();
      return false;
    }
    in_use_ = std::move(ready_.front());
    ready_.pop_front();
    period = in_use_->View();
    return true;
  }

  const FlowSimulationSummary& summary() const { return simulation_.summary(); }
  double solving_s() const { return solving_s_; }

 private:
  void Work(const std::stop_token& stop) {
    Status ended = Ok();
    for (;;) {
      const Clock::time_point begin = Clock::now();
      FlowPeriod period;
      const Result<bool> more = simulation_.Next(period);
      if (!more.ok()) ended = more.error();
      if (!more.ok() || !*more) break;
      OwnPeriod own = Spare();
      own.Take(period);
      solving_s_ += SecondsSince(begin);
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return ready_.size() < kHeld || stop.stop_requested(); });
      if (stop.stop_requested()) return;
      ready_.push_back(std::move(own));
      changed_.notify_all();
    }
    const std::lock_guard lock(mutex_);
    ended_ = ended;
    done_ = true;
    changed_.notify_all();
  }

  OwnPeriod Spare() {
    const std::lock_guard lock(mutex_);
    if (spare_.empty()) return {};
    OwnPeriod own = std::move(spare_.back());
    spare_.pop_back();
    return own;
  }

  FlowSimulation simulation_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<OwnPeriod> ready_;
  std::vector<OwnPeriod> spare_;  // their room is used again
  std::optional<OwnPeriod> in_use_;
  bool done_ = false;
  Status ended_ = Ok();
  double solving_s_ = 0;
  std::jthread thread_;  // last: begins when all else stands, and is joined first
};

PeriodStream::PeriodStream(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
PeriodStream::~PeriodStream() = default;
PeriodStream::PeriodStream(PeriodStream&&) noexcept = default;
PeriodStream& PeriodStream::operator=(PeriodStream&&) noexcept = default;

Result<PeriodStream> PeriodStream::Begin(const Network& network, const FlowSimulationOptions& options) {
  auto simulation = FlowSimulation::Make(network, options);
  if (!simulation.ok()) return simulation.error();
  return PeriodStream(std::make_unique<Impl>(*std::move(simulation)));
}

Result<bool> PeriodStream::Next(FlowPeriod& period) { return impl_->Next(period); }
const FlowSimulationSummary& PeriodStream::summary() const { return impl_->summary(); }
double PeriodStream::solving_s() const { return impl_->solving_s(); }

}  // namespace lastreach
