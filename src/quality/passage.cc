#include "quality/passage.h"

#include <algorithm>

namespace lastreach {
namespace {

// Inlet breakpoints first to last, by volume; those that are straight are overwritten by the next. Returns
// how many.
std::size_t EnterRange(std::span<const Breakpoint> inlet, const SegmentInstant* instants,
                       const uint8_t* bends, Entry* entries) {
  std::size_t kept = 0;
  for (const Breakpoint& point : inlet) {
    const SegmentInstant& at = instants[point.step];
    const double since = point.time_s - at.time_s;
    entries[kept] = {at.volume_m3 + at.flow_m3_per_s * since,
                     point.log_loss - (at.log_loss + at.loss_per_s * since), point.entered_s};
    kept += point.must_keep || bends == nullptr || bends[point.step] != 0 ? 1 : 0;
  }
  return kept;
}

void Enter(const SegmentHistory& segment, std::span<const uint8_t> bends, const Passage& inlet,
           Entries& entries) {
  const std::span<const Breakpoint> points = inlet.points;
  const SegmentInstant* instants = segment.instants().data();
  const uint8_t* keep = bends.empty() ? nullptr : bends.data();
  entries.points.resize(points.size() + 1);
  Entry* out = entries.points.data();
  entries.initial = EnterRange(points.first(inlet.initial), instants, keep, out);
  const std::size_t kept =
      entries.initial + EnterRange(points.subspan(inlet.initial), instants, keep, out + entries.initial);
  entries.points.resize(kept);
}

}  // namespace

void PassRoot(const FlowHistory& flows, Passage& passage) {
  passage.points.resize(flows.time_s().size());
  for (std::size_t i = 0; i < passage.points.size(); ++i) {
    passage.points[i] = {
        .time_s = flows.time_s()[i], .entered_s = flows.time_s()[i], .step = static_cast<uint32_t>(i)};
  }
  passage.initial = 0;
}

void PassSegment(const SegmentHistory& segment, std::span<const uint8_t> bends, const Passage& inlet,
                 Entries& entries, Passage& outlet) {
  Enter(segment, bends, inlet, entries);
  const SegmentInstant* const instants = segment.instants().data();
  const std::size_t end = segment.instants().size();
  const Entry* const in = entries.points.data();
  const std::size_t in_size = entries.points.size();
  const double held = segment.segment_volume_m3();
  const double sliver = segment.sliver_m3();
  const double start_s = instants[0].time_s;

  outlet.points.resize(end + in_size + 2);
  Breakpoint* const out_begin = outlet.points.data();
  Breakpoint* out = out_begin;
  std::size_t i = 0;  // the next instant to note
  for (; i < end && instants[i].volume_m3 - held < -sliver; ++i) {
    *out++ = {instants[i].time_s, start_s, instants[i].log_loss, static_cast<uint32_t>(i), false};
  }
  Breakpoint* initial = out;

  for (std::size_t first = 0; i < end && first < in_size;) {
    // Entries at one volume are a front: all between the first and the last went elsewhere.
    const double volume = in[first].volume_m3;
    std::size_t last = first;
    while (last + 1 < in_size && in[last + 1].volume_m3 <= volume + sliver) ++last;

    if (instants[i].volume_m3 - held < volume - sliver && first > 0) {
      const Entry& before = in[first - 1];
      const double per_m3 = 1 / (volume - before.volume_m3);
      const double entered_slope = (in[first].entered_s - before.entered_s) * per_m3;
      const double base_slope = (in[first].base - before.base) * per_m3;
      do {
        const double past = instants[i].volume_m3 - held - before.volume_m3;
        *out++ = {instants[i].time_s, before.entered_s + entered_slope * past,
                  before.base + base_slope * past + instants[i].log_loss, static_cast<uint32_t>(i), false};
        ++i;
      } while (i < end && instants[i].volume_m3 - held < volume - sliver);
      if (first < entries.initial) initial = out;
      if (i == end) break;
    }

    // At volume 0 the older side is the segment's own first filling.
    const bool is_front = first == 0 || last > first;
    const Entry older = first == 0 ? Entry{.entered_s = start_s} : in[first];
    const Entry& younger = in[last];
    if (instants[i].volume_m3 - held <= younger.volume_m3 + sliver) {
      if (is_front) {
        *out++ = {instants[i].time_s, older.entered_s, older.base + instants[i].log_loss,
                  static_cast<uint32_t>(i), true};
      }
      if (first == 0 || first < entries.initial) initial = out;
      for (; i < end && instants[i].volume_m3 - held <= younger.volume_m3 + sliver; ++i) {
        *out++ = {instants[i].time_s, younger.entered_s, younger.base + instants[i].log_loss,
                  static_cast<uint32_t>(i), true};
      }
    } else {
      const SegmentInstant& at = instants[i - 1];
      const double wanted = (volume + held - at.volume_m3) * at.seconds_per_m3;
      const double since = std::min(std::max(wanted, 0.0), instants[i].time_s - at.time_s);
      const double time = at.time_s + since;
      const double lost = at.log_loss + at.loss_per_s * since;
      if (is_front) *out++ = {time, older.entered_s, older.base + lost, static_cast<uint32_t>(i - 1), true};
      if (first == 0 || first < entries.initial) initial = out;
      *out++ = {time, younger.entered_s, younger.base + lost, static_cast<uint32_t>(i - 1), true};
    }
    if (last < entries.initial) initial = out;
    first = last + 1;
  }
  outlet.points.resize(static_cast<std::size_t>(out - out_begin));
  outlet.initial = static_cast<std::size_t>(initial - out_begin);
}

}  // namespace lastreach
