#include "quality/passage.h"

#include <algorithm>
#include <numeric>

namespace lastreach {
namespace {

// Writes an outlet passage. The arrays are sized for the worst case beforehand and cut to `count` at the end.
class PassageWriter {
 public:
  explicit PassageWriter(Passage& passage)
      : time_(passage.time_s.data()),
        entered_(passage.entered_s.data()),
        loss_(passage.log_loss.data()),
        instant_(passage.instant.data()) {}

  void Note(double time, double entered, double loss, std::size_t instant) {
    time_[count_] = time;
    entered_[count_] = entered;
    loss_[count_] = loss;
    instant_[count_] = static_cast<uint32_t>(instant);
    ++count_;
  }
  std::size_t count() const { return count_; }

 private:
  double* time_;
  double* entered_;
  double* loss_;
  uint32_t* instant_;
  std::size_t count_ = 0;
};

void ByVolume(const FlowHistory& flows, const SegmentHistory& segment, const Passage& inlet,
              EnteredWater& water) {
  const std::span<const double> time_s = flows.time_s();
  const std::span<const double> volume = segment.volume_m3();
  const std::span<const double> flow = segment.flow_m3_per_s();
  const std::span<const double> log_loss = segment.log_loss();
  const std::span<const double> loss = segment.loss_per_s();
  water.volume_m3.resize(inlet.size());
  water.base.resize(inlet.size());
  const std::size_t last_step = flows.steps() - 1;
  std::size_t i = 0;
  for (std::size_t m = 0; m < inlet.size(); ++m) {
    const double t = inlet.time_s[m];
    while (i < last_step && time_s[i + 1] <= t) ++i;
    const double since = t - time_s[i];
    water.volume_m3[m] = volume[i] + flow[i] * since;
    water.base[m] = inlet.log_loss[m] - (log_loss[i] + loss[i] * since);
  }
}

}  // namespace

void Passage::Resize(std::size_t size) {
  time_s.resize(size);
  entered_s.resize(size);
  log_loss.resize(size);
  instant.resize(size);
}

void PassRoot(const FlowHistory& flows, Passage& passage) {
  passage.Resize(flows.steps() + 1);
  std::copy(flows.time_s().begin(), flows.time_s().end(), passage.time_s.begin());
  passage.entered_s = passage.time_s;
  std::fill(passage.log_loss.begin(), passage.log_loss.end(), 0.0);
  std::fill(passage.instant.begin(), passage.instant.end(), Passage::kFront);
  passage.initial = 0;
}

void PassSegment(const FlowHistory& flows, const SegmentHistory& segment, const Passage& inlet,
                 EnteredWater& entered, Passage& outlet) {
  ByVolume(flows, segment, inlet, entered);
  const std::span<const double> time_s = flows.time_s();
  const std::span<const double> volume = segment.volume_m3();
  const std::span<const double> log_loss = segment.log_loss();
  const std::vector<double>& a = entered.volume_m3;
  const std::vector<double>& base = entered.base;
  const double held = segment.segment_volume_m3();
  const double sliver = segment.sliver_m3();
  const std::size_t end = time_s.size();

  outlet.Resize(end + inlet.size() + 2);
  PassageWriter out(outlet);
  std::size_t i = 0;  // the next instant to note
  for (; i < end && volume[i] - held < -sliver; ++i) out.Note(time_s[i], time_s[0], log_loss[i], i);
  std::size_t initial = out.count();

  for (std::size_t first = 0; i < end && first < a.size();) {
    // Inlet breakpoints at one volume are a front: all between the first and the last went elsewhere.
    std::size_t last = first;
    while (last + 1 < a.size() && a[last + 1] <= a[first] + sliver) ++last;

    if (first > 0 && volume[i] - held < a[first] - sliver) {
      const std::size_t before = first - 1;
      const double per_m3 = 1 / (a[first] - a[before]);
      const double entered_slope = (inlet.entered_s[first] - inlet.entered_s[before]) * per_m3;
      const double base_slope = (base[first] - base[before]) * per_m3;
      const double entered_at = inlet.entered_s[before];
      for (; i < end && volume[i] - held < a[first] - sliver; ++i) {
        const double past = volume[i] - held - a[before];
        out.Note(time_s[i], entered_at + entered_slope * past, base[before] + base_slope * past + log_loss[i],
                 i);
      }
      if (first < inlet.initial) initial = out.count();
      if (i == end) break;
    }

    // At volume 0 the older side is the segment's own first filling.
    const bool is_front = first == 0 || last > first;
    const double older_entered = first == 0 ? time_s[0] : inlet.entered_s[first];
    const double older_base = first == 0 ? 0 : base[first];
    if (volume[i] - held <= a[last] + sliver) {
      if (is_front) out.Note(time_s[i], older_entered, older_base + log_loss[i], Passage::kFront);
      if (first == 0 || first < inlet.initial) initial = out.count();
      for (; i < end && volume[i] - held <= a[last] + sliver; ++i) {
        out.Note(time_s[i], inlet.entered_s[last], base[last] + log_loss[i], Passage::kFront);
      }
    } else {
      const double wanted = (a[first] + held - volume[i - 1]) * segment.seconds_per_m3()[i - 1];
      const double since = std::clamp(wanted, 0.0, time_s[i] - time_s[i - 1]);
      const double time = time_s[i - 1] + since;
      const double lost = log_loss[i - 1] + segment.loss_per_s()[i - 1] * since;
      if (is_front) out.Note(time, older_entered, older_base + lost, Passage::kFront);
      if (first == 0 || first < inlet.initial) initial = out.count();
      out.Note(time, inlet.entered_s[last], base[last] + lost, Passage::kFront);
    }
    if (last < inlet.initial) initial = out.count();
    first = last + 1;
  }
  outlet.Resize(out.count());
  outlet.initial = initial;
}

void DropStraight(std::span<const uint8_t> bends, Passage& passage) {
  std::size_t kept = 0;
  std::size_t initial = 0;
  for (std::size_t m = 0; m < passage.size(); ++m) {
    const uint32_t instant = passage.instant[m];
    if (instant != Passage::kFront && bends[instant] == 0) continue;
    passage.time_s[kept] = passage.time_s[m];
    passage.entered_s[kept] = passage.entered_s[m];
    passage.log_loss[kept] = passage.log_loss[m];
    passage.instant[kept] = Passage::kFront;
    ++kept;
    if (m < passage.initial) initial = kept;
  }
  passage.Resize(kept);
  passage.initial = initial;
}

}  // namespace lastreach
