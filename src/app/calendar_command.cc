#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/files.h"
#include "app/subcommands.h"
#include "calendar/answer.h"
#include "calendar/icalendar.h"

namespace lastreach {
namespace {

struct Options {
  std::string settings;
  std::string from;
  std::string to;
  std::string zone = "UTC";
  int clock_fast = 0;
  bool am_pm_swapped = false;
  bool json = false;
  bool ics = false;
};

std::string StartText(const Zone& zone, MinuteInstant start) {
  return FormatRfc3339(Instant(start), zone.OffsetAt(Instant(start)));
}

void PrintJson(const DeviceSettings& device, const Zone& zone, const CalendarAnswer& answer,
               std::ostream& out) {
  using Json = nlohmann::ordered_json;
  Json json = {{"runs", Json::array()}};
  for (const Run& run : answer.runs) {
    json["runs"].push_back(
        {{"start", StartText(zone, run.start)}, {"minutes", run.minutes}, {"programme", run.programme}});
  }
  json["runs_per_year"] = answer.runs_per_year;
  json["longest_gap_h"] = nullptr;
  if (answer.longest_gap) {
    json["longest_gap_h"] = answer.longest_gap->hours();
    json["longest_gap"] = {{"from", StartText(zone, answer.longest_gap->from)},
                           {"to", StartText(zone, answer.longest_gap->to)}};
  }
  json["total_minutes"] = answer.total_minutes;
  json["programmes"] = Json::array();
  for (size_t i = 0; i < device.settings.programmes.size(); ++i) {
    const Programme& programme = device.settings.programmes[i];
    json["programmes"].push_back(
        {{"programme", i + 1},
         {"days", Describe(programme.days)},
         {"minutes_keyed", programme.minutes},
         {"minutes_effective", EffectiveMinutes(device.form, device.settings, programme)}});
  }
  json["warnings"] = answer.warnings;
  out << json.dump(2) << "\n";
}

void PrintText(const DeviceSettings& device, const Zone& zone, const CalendarAnswer& answer,
               std::ostream& out) {
  for (size_t i = 0; i < device.settings.programmes.size(); ++i) {
    const Programme& programme = device.settings.programmes[i];
    if (programme.starts_min.empty()) continue;
    out << "Programme " << i + 1 << ": " << Describe(programme.days) << ", " << programme.minutes
        << " minutes keyed, " << EffectiveMinutes(device.form, device.settings, programme)
        << " effective, at";
    for (const int start : programme.starts_min) out << " " << FormatTimeOfDay(start);
    out << " by the device's clock\n";
  }
  out << "\n";
  for (const Run& run : answer.runs) {
    const LocalTime local = zone.ToLocal(Instant(run.start));
    const Date day{std::chrono::floor<std::chrono::days>(local)};
    out << "  " << FormatLocal(local) << "  " << WeekdayName(day).substr(0, 3) << "  " << run.minutes
        << " min  programme " << run.programme << "\n";
  }
  out << "\n"
      << answer.runs.size() << " runs here, " << answer.runs_per_year << " in the year from the first day; "
      << answer.total_minutes << " minutes here.\n";
  if (answer.longest_gap) {
    out << "Longest gap " << answer.longest_gap->hours() << " h, from "
        << FormatLocal(zone.ToLocal(Instant(answer.longest_gap->from))) << " to "
        << FormatLocal(zone.ToLocal(Instant(answer.longest_gap->to))) << ".\n";
  }
  for (const std::string& warning : answer.warnings) out << "! " << warning << "\n";
}

Result<int> Answer(const Options& options, Surroundings& around) {
  const Result<std::string> text = ReadFile(options.settings);
  if (!text.ok()) return text.error();
  const Result<DeviceSettings> device = ParseDeviceSettings(*text, options.settings);
  if (!device.ok()) return device.error();
  const Result<Zone> zone = Zone::Find(options.zone);
  if (!zone.ok()) return zone.error();
  const Result<Date> from = ParseDate(options.from);
  if (!from.ok()) return BadRequest("--from: " + from.error().ToString());
  const Result<Date> to = ParseDate(options.to);
  if (!to.ok()) return BadRequest("--to: " + to.error().ToString());
  if (*to <= *from) return BadRequest("--to " + options.to + " is not after --from " + options.from);

  if (*from < *ParseDate("1900-01-01") || *to > *ParseDate("2200-01-01")) {
    return BadRequest("dates are from 1900-01-01 to 2200-01-01; zone rules say little beyond");
  }
  constexpr int kTwoDays_min = 2880;
  if (options.clock_fast < -kTwoDays_min || options.clock_fast > kTwoDays_min) {
    return BadRequest("--clock-fast " + std::to_string(options.clock_fast) + " is more than two days");
  }
  constexpr int kHalfDay_min = 720;
  const int fast = options.clock_fast + (options.am_pm_swapped ? kHalfDay_min : 0);
  CalendarAnswer answer = AnswerCalendar(*device, *zone, {*from, *to}, fast);
  if (options.ics) {
    const std::string name = options.settings.substr(options.settings.find_last_of('/') + 1);
    around.out << ToICalendar(answer.runs, name.substr(0, name.find_last_of('.')), around.now);
  } else if (options.json) {
    PrintJson(*device, *zone, answer, around.out);
  } else {
    PrintText(*device, *zone, answer, around.out);
  }
  return 0;
}

}  // namespace

void AddCalendarCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command =
      app.add_subcommand("calendar", "Every run that some settings really make between two dates");
  command->footer(
      "\nSETTINGS.json holds what one timer accepts and what is keyed into it (docs/formats/settings.md).\n"
      "  lastreach calendar lid.json --from 2026-06-01 --to 2026-07-01 --zone America/Chicago\n"
      "  lastreach calendar lid.json --from 2026-01-01 --to 2027-01-01 --zone Europe/Paris --ics > runs.ics");
  const auto options = std::make_shared<Options>();
  command->add_option("SETTINGS.json", options->settings, "the settings of one device")->required();
  command->add_option("--from", options->from, "first day, yyyy-mm-dd, local")->required();
  command->add_option("--to", options->to, "the day after the last")->required();
  command->add_option("--zone", options->zone, "IANA time zone the device stands in")->capture_default_str();
  command->add_option("--clock-fast", options->clock_fast,
                      "minutes the device's clock is fast (slow: negative)");
  command->add_flag("--am-pm-swapped", options->am_pm_swapped, "the clock was set half a day out");
  auto* json = command->add_flag("--json", options->json, "one JSON document and nothing else");
  command->add_flag("--ics", options->ics, "an iCalendar file")->excludes(json);
  command->callback(
      [options, &around, &action] { action = [options, &around] { return Answer(*options, around); }; });
}

}  // namespace lastreach
