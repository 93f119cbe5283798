#include "calendar/icalendar.h"

#include <libical/ical.h>

#include <memory>

namespace lastreach {
namespace {

struct FreeComponent {
  void operator()(icalcomponent* component) const { icalcomponent_free(component); }
};

icaltimetype UtcTime(Instant instant) {
  return icaltime_from_timet_with_zone(static_cast<time_t>(instant.time_since_epoch().count()), 0,
                                       icaltimezone_get_utc_timezone());
}

icalcomponent* EventOf(const Run& run, const std::string& name, Instant stamp) {
  const std::string uid = name + "-" + std::to_string(run.start.time_since_epoch().count()) + "-" +
                          std::to_string(run.programme) + "@lastreach";
  const std::string summary = name + ": flushing " + std::to_string(run.minutes) + " min (programme " +
                              std::to_string(run.programme) + ")";
  return icalcomponent_vanew(
      ICAL_VEVENT_COMPONENT, icalproperty_new_uid(uid.c_str()), icalproperty_new_dtstamp(UtcTime(stamp)),
      icalproperty_new_dtstart(UtcTime(run.start)), icalproperty_new_dtend(UtcTime(run.end())),
      icalproperty_new_summary(summary.c_str()), icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT), nullptr);
}

}  // namespace

std::string ToICalendar(const std::vector<Run>& runs, const std::string& name, Instant stamp) {
  const std::unique_ptr<icalcomponent, FreeComponent> calendar(
      icalcomponent_vanew(ICAL_VCALENDAR_COMPONENT, icalproperty_new_version("2.0"),
                          icalproperty_new_prodid("-//Lastreach//Runs//EN"), nullptr));
  for (const Run& run : runs) icalcomponent_add_component(calendar.get(), EventOf(run, name, stamp));
  const std::unique_ptr<char, decltype(&free)> text(icalcomponent_as_ical_string_r(calendar.get()), &free);
  return text.get();
}

}  // namespace lastreach
