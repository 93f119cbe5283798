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

// Where the walk along the instants stands, and what it writes.
struct Walk {
  const SegmentInstant* instants;
  std::size_t end;
  double held_m3, sliver_m3;
  std::size_t i = 0;  // the next instant to note
  Breakpoint* out;

  // Volume that had entered before what leaves at instant i.
  double Volume() const { return instants[i].volume_m3 - held_m3; }
  void NoteInstant(double entered_s, double base, bool must_keep) {
    *out++ = {instants[i].time_s, entered_s, base + instants[i].log_loss, static_cast<uint32_t>(i),
              must_keep};
  }
};

// Instants at which water between two neighbouring entries leaves.
inline void NoteBetween(const Entry& before, const Entry& next, Walk& walk) {
  const double per_m3 = 1 / (next.volume_m3 - before.volume_m3);
  const double entered_slope = (next.entered_s - before.entered_s) * per_m3;
  const double base_slope = (next.base - before.base) * per_m3;
  for (; walk.i < walk.end && walk.Volume() < next.volume_m3 - walk.sliver_m3; ++walk.i) {
    const double past = walk.Volume() - before.volume_m3;
    walk.NoteInstant(before.entered_s + entered_slope * past, before.base + base_slope * past, false);
  }
}

// Water at the volume of an entry, leaving within the step before instant i.
struct Leaving {
  double time_s, log_loss;
};
inline Leaving LeavesWithinStep(double volume_m3, const Walk& walk) {
  const SegmentInstant& at = walk.instants[walk.i - 1];
  const double wanted = (volume_m3 + walk.held_m3 - at.volume_m3) * at.seconds_per_m3;
  const double since = std::min(std::max(wanted, 0.0), walk.instants[walk.i].time_s - at.time_s);
  return {at.time_s + since, at.log_loss + at.loss_per_s * since};
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
  const std::span<const SegmentInstant> instants = segment.instants();
  const Entry* const in = entries.points.data();
  const std::size_t in_size = entries.points.size();
  const double sliver = segment.sliver_m3();
  outlet.points.resize(instants.size() + in_size + 2);
  Breakpoint* const begin = outlet.points.data();
  Walk walk{.instants = instants.data(),
            .end = instants.size(),
            .held_m3 = segment.segment_volume_m3(),
            .sliver_m3 = sliver,
            .out = begin};

  // The segment's own first filling; it is also the older side of the front at volume 0.
  const Entry filling{.entered_s = instants[0].time_s};
  for (; walk.i < walk.end && walk.Volume() < -sliver; ++walk.i)
    walk.NoteInstant(filling.entered_s, 0, false);
  Breakpoint* initial = walk.out;

  for (std::size_t first = 0; walk.i < walk.end && first < in_size;) {
    // Entries at one volume are a front: all between the first and the last went elsewhere.
    const double volume = in[first].volume_m3;
    std::size_t last = first;
    while (last + 1 < in_size && in[last + 1].volume_m3 <= volume + sliver) ++last;

    if (first > 0 && walk.Volume() < volume - sliver) {
      NoteBetween(in[first - 1], in[first], walk);
      if (first < entries.initial) initial = walk.out;
      if (walk.i == walk.end) break;
    }

    const bool is_front = first == 0 || last > first;
    const bool older_is_initial = first == 0 || first < entries.initial;
    const Entry& older = first == 0 ? filling : in[first];
    const Entry& younger = in[last];
    if (walk.Volume() <= younger.volume_m3 + sliver) {
      if (is_front) walk.NoteInstant(older.entered_s, older.base, true);
      if (older_is_initial) initial = walk.out;
      for (; walk.i < walk.end && walk.Volume() <= younger.volume_m3 + sliver; ++walk.i) {
        walk.NoteInstant(younger.entered_s, younger.base, true);
      }
    } else {
      const auto [time, lost] = LeavesWithinStep(volume, walk);
      const auto step = static_cast<uint32_t>(walk.i - 1);
      if (is_front) *walk.out++ = {time, older.entered_s, older.base + lost, step, true};
      if (older_is_initial) initial = walk.out;
      *walk.out++ = {time, younger.entered_s, younger.base + lost, step, true};
    }
    if (last < entries.initial) initial = walk.out;
    first = last + 1;
  }
  outlet.points.resize(static_cast<std::size_t>(walk.out - begin));
  outlet.initial = static_cast<std::size_t>(initial - begin);
}

}  // namespace lastreach
