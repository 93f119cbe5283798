#include "together/stagger_conflict.h"

#include <algorithm>
#include <functional>
#include <numeric>

#include "together/programme_rows.h"
namespace lastreach {
namespace {

// A least part of `items` for which, with `base`, the test is true. REQUIRES: it is for all of them, and
// stays true as items are added.
template <typename Item>
std::vector<Item> LeastPart(const std::vector<Item>& base, bool base_grew, const std::vector<Item>& items,
                            const std::function<bool(const std::vector<Item>&)>& test) {
  if (base_grew && test(base)) return {};
  if (items.size() <= 1) return items;
  const auto middle = items.begin() + static_cast<std::ptrdiff_t>(items.size() / 2);
  const std::vector<Item> first(items.begin(), middle), second(middle, items.end());
  const auto joined = [](std::vector<Item> a, const std::vector<Item>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
  };
  const std::vector<Item> of_second = LeastPart(joined(base, first), true, second, test);
  const std::vector<Item> of_first = LeastPart(joined(base, of_second), !of_second.empty(), first, test);
  return joined(of_first, of_second);
}

bool Concerns(const SharedLimit& limit, const std::vector<size_t>& who) {
  double sum = 0;
  for (const size_t d : who) sum += limit.need[d];
  return sum > *std::min_element(limit.kept_room.begin(), limit.kept_room.end());
}

std::string Listed(const std::vector<std::string>& names, size_t most) {
  std::string words;
  const size_t shown = std::min(names.size(), most);
  for (size_t i = 0; i < shown; ++i) {
    words += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  }
  if (shown < names.size()) words += " and " + std::to_string(names.size() - shown) + " more";
  return words;
}

constexpr size_t kNamed = 8;

}  // namespace

std::string StaggerConflict::Words() const {
  const bool one = devices.size() == 1;
  std::string words = Listed(devices, kNamed);
  if (proven) {
    words +=
        one ? " can run at none of its times: " : " cannot all run, whichever of their times are taken: ";
  } else {
    words += ": no times were found at which they can all run, though it is not proven that there are none: ";
  }
  return words + Listed(limits, kNamed);
}

StaggerConflict ExplainConflict(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care,
                                bool proven) {
  std::vector<uint32_t> limits;
  for (uint32_t l = 0; l < system.limits.size(); ++l) {
    if (Concerns(system.limits[l], who)) limits.push_back(l);
  }
  std::vector<size_t> devices = who;
  if (proven && CannotAllRun(system, who, limits, care)) {
    devices = LeastPart<size_t>({}, false, who, [&](const std::vector<size_t>& part) {
      return CannotAllRun(system, part, limits, care);
    });
    limits = LeastPart<uint32_t>({}, false, limits, [&](const std::vector<uint32_t>& part) {
      return CannotAllRun(system, devices, part, care);
    });
  }
  StaggerConflict conflict;
  conflict.proven = proven;
  std::sort(devices.begin(), devices.end());
  for (const size_t d : devices) conflict.devices.push_back((*system.devices)[d].code);
  for (const uint32_t l : limits) conflict.limits.push_back(system.limits[l].words);
  return conflict;
}

}  // namespace lastreach
