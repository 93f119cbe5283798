#include "import/record_fields.h"

#include "import/common_fields.h"
#include "import/field_makers.h"

namespace lastreach {
namespace {

using field::Measure;
using field::Required;
using field::Text;
using enum Dimension;

Field Why() {
  return Text("why", {"why", "reason", "purpose", "because", "what for", "cause", "flush type"});
}
Field Method() {
  return Text("method", {"method", "measured by", "how measured", "flow method", "measured with", "how"});
}
Field FlowWhileOpen() {
  return Measure("flow", kFlow,
                 {"flow", "flow rate", "flush flow", "flush rate", "rate", "gpm", "l s", "q", "measured flow",
                  "discharge"});
}

}  // namespace

std::vector<Field> RunFields() {
  Field start = field::Time();
  for (const char* heading :
       {"start", "start time", "time on", "began", "from", "opened", "on", "time start"})
    start.headings.emplace_back(heading);
  return {field::Point(),
          Required(field::Date()),
          start,
          Text("minutes", {"minutes", "mins", "min", "duration", "run time", "run minutes", "time flushed",
                           "minutes flushed", "flush time", "duration min", "length of run", "how long"}),
          Text("end", {"end", "end time", "stop", "stop time", "time off", "finish", "to", "closed", "until",
                       "off", "time end"}),
          Measure("volume", kVolume,
                  {"volume", "water used", "gallons", "gallons flushed", "amount", "total volume", "used",
                   "volume flushed", "total gallons", "est gallons", "quantity"}),
          Measure("meter_before", kVolume,
                  {"meter before", "start read", "meter start", "begin read", "read before", "start reading",
                   "meter on", "before"}),
          Measure("meter_after", kVolume,
                  {"meter after", "end read", "meter end", "stop read", "read after", "end reading",
                   "meter off", "after"}),
          Text("unit", {"unit", "units", "uom"}),
          Method(),
          field::Who(),
          Why(),
          field::Notes()};
}

std::vector<Field> FlowTestFields() {
  return {field::Point(),
          Required(field::Date()),
          field::Time(),
          Required(FlowWhileOpen()),
          Method(),
          Text("accuracy", {"accuracy", "accuracy percent", "plus or minus", "uncertainty", "good to",
                            "accuracy of reading"}),
          field::Who(),
          field::Notes()};
}

std::vector<Field> TestFlushFields() {
  return {field::Point(),
          Required(field::Date()),
          Text("opened", {"opened", "opened at", "start", "start time", "flush start", "valve opened",
                          "time opened", "began"}),
          Text("after", {"minutes after opening", "minutes", "after", "elapsed", "elapsed min", "mins", "min",
                         "minute", "time elapsed", "minutes flushed", "elapsed time", "t min"}),
          Text("time", {"time", "time of day", "read time", "sample time", "clock", "at", "time of reading"}),
          Measure("residual", kConcentration,
                  {"residual", "chlorine", "cl2", "chlorine residual", "cl2 residual", "reading",
                   "outlet residual", "residual at outlet", "mg l", "ppm"}),
          Measure("free", kConcentration,
                  {"free chlorine", "free", "free cl2", "free residual", "fac", "free chlorine residual"}),
          Measure("total", kConcentration,
                  {"total chlorine", "total", "total cl2", "total residual", "total chlorine residual"}),
          Measure("monochloramine", kConcentration, {"monochloramine", "mono", "nh2cl"}),
          Text("analyte", {"analyte", "parameter", "free or total", "f t", "test", "type"}),
          Measure("upstream", kConcentration,
                  {"upstream residual", "upstream", "upstream cl2", "upstream chlorine", "main residual",
                   "residual upstream", "residual in the main"}),
          Measure("temperature", kTemperature, {"temperature", "temp", "water temp", "water temperature"}),
          Text("turbidity", {"turbidity", "turbidity ntu", "turb", "ntu", "turb ntu"}),
          FlowWhileOpen(),
          Measure("pressure", kPressure,
                  {"pressure", "outlet pressure", "residual pressure", "psi", "pressure at outlet"}),
          field::Who(),
          field::Notes()};
}

std::vector<Field> VisitFields() {
  return {field::Point(),
          Required(field::Date()),
          field::Time(),
          field::Who(),
          Text("why", {"why", "reason", "purpose", "what for", "because", "task", "job", "work done"}),
          Text("battery", {"new battery", "battery", "battery changed", "battery replaced", "batteries",
                           "changed battery"}),
          Text("refilled", {"dechlorination refilled", "refilled", "dechlor refilled", "tablets refilled",
                            "tablets", "tablets added", "dechlor", "dechlorination"}),
          Text("clock", {"clock off by", "clock", "clock error", "clock off", "clock is", "clock fast",
                         "clock as found", "clock drift"}),
          field::Notes()};
}

std::vector<Field> ByproductFields() {
  Field result = Measure("result", kConcentration, {"result", "value", "concentration", "amount"});
  return {
      Required(Text("site", {"site", "location", "sample site", "sample point", "sample location", "place",
                             "site name", "location name", "where", "point", "site id", "station"})),
      Required(field::Date()),
      Measure("tthm", kConcentration,
              {"tthm", "total trihalomethanes", "trihalomethanes", "total thm", "thm", "tthms", "thms"}),
      Measure("haa5", kConcentration,
              {"haa5", "haloacetic acids", "haa", "haa 5", "haa5s", "total haa5", "five haloacetic acids"}),
      Text("analyte", {"analyte", "parameter", "measure", "determinant", "substance", "contaminant",
                       "by product", "byproduct", "test", "compound", "determinand"}),
      result};
}

std::vector<Field> ProductionFields() {
  return {Required(Text("month", {"month", "month of", "date", "period", "mo", "month and year", "when"})),
          Text("year", {"year", "yr"}),
          Required(Measure("supplied", kVolume,
                           {"supplied", "production", "water produced", "produced", "total production",
                            "volume", "system input", "water supplied", "finished water", "total", "pumped",
                            "amount", "volume supplied", "total produced", "water into system"}))};
}

}  // namespace lastreach
