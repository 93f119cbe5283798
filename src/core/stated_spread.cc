#include "core/stated_spread.h"

#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace lastreach {
namespace {

constexpr std::string_view kLogSd = "log sd ";

}  // namespace

std::string LogSdNote(double log_sd) {
  char text[32];
  std::snprintf(text, sizeof text, "%.3g", log_sd);
  return std::string(kLogSd) + text;
}

std::optional<double> StatedLogSd(const Origin& origin) {
  if (!origin.note.starts_with(kLogSd)) return std::nullopt;
  const char* number = origin.note.c_str() + kLogSd.size();
  char* end = nullptr;
  const double log_sd = std::strtod(number, &end);
  if (end == number || !(log_sd > 0 && log_sd < 10)) return std::nullopt;
  return log_sd;
}

}  // namespace lastreach
