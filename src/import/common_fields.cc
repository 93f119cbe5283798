#include "import/common_fields.h"

#include "import/field_makers.h"

namespace lastreach::field {

Field Code() {
  return Required(Text("code", {"code",
                                "device",
                                "id",
                                "end",
                                "end no",
                                "dead end",
                                "device id",
                                "device no",
                                "device number",
                                "device code",
                                "flusher",
                                "flusher id",
                                "flush point",
                                "flushing point",
                                "fp",
                                "asset id",
                                "asset",
                                "unit",
                                "unit no",
                                "unit id",
                                "station",
                                "af",
                                "tag",
                                "site id",
                                "facility id",
                                "point",
                                "point code",
                                "site code",
                                "blow off",
                                "blowoff",
                                "bo no",
                                "washout",
                                "scour",
                                "no"}));
}
Field Point() {
  Field field = Code();
  std::erase(field.headings, "unit");  // there it is the unit of the reading
  for (const char* name : {"site", "site name", "sample site", "sample point", "sample location", "location",
                           "location name", "address", "place", "name", "where", "street", "account"}) {
    field.headings.emplace_back(name);
  }
  return field;
}
Field Who() {
  return Text("who", {"by", "who", "operator", "initials", "read by", "recorded by", "sampler", "sampled by",
                      "collector", "collected by", "entered by", "person", "tech", "technician", "crew"});
}
Field Notes() { return Text("notes", {"notes", "note", "comments", "comment", "remarks", "remark"}); }
Field Date() {
  return Day("date", {"date", "day", "date time", "datetime", "sample date", "read date", "collection date",
                      "date read", "date sampled", "date collected", "collected", "timestamp",
                      "date and time", "when"});
}
Field Time() {
  return Text("time", {"time", "time of day", "sample time", "read time", "collection time", "hour", "at"});
}

}  // namespace lastreach::field
