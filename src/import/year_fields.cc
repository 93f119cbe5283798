#include "import/year_fields.h"

#include "import/field_makers.h"

namespace lastreach {
namespace {

using Names = std::vector<std::string>;
using field::Day;
using field::Measure;
using field::Required;
using field::Text;

Field Who() {
  return Text("who", {"by", "who", "operator", "initials", "read by", "recorded by", "entered by"});
}

}  // namespace

std::vector<Field> TemperatureFields() {
  return {
      Text("zone", {"zone", "supply zone", "pressure zone", "water", "system", "area", "dma"}),
      Text("place", {"place", "site", "tap", "sample site", "location", "where", "point", "code", "device"}),
      Text("month", {"month", "mo", "month of year"}),
      Day("date", {"date", "day", "sample date", "read date", "date time", "datetime", "timestamp", "when"}),
      Measure("temperature", Dimension::kTemperature,
              {"temperature", "temp", "water temp", "water temperature", "warmest week", "t", "monthly high",
               "high"}),
      Text("use_factor", {"use factor", "use times average", "use", "demand factor", "factor",
                          "times average", "use over average", "seasonal factor"}),
      Measure("upstream_residual", Dimension::kConcentration,
              {"upstream residual", "upstream", "main residual", "feed residual", "plant residual",
               "residual", "chlorine"}),
      Text("source", {"source", "source box", "because", "basis", "from where"}),
      Who()};
}

std::vector<Field> TripFields() {
  return {Text("scope", {"scope", "applies to", "covers", "level"}),
          Text("subject", {"point or zone", "subject", "point", "zone", "zone or point", "device", "code",
                           "end", "where", "for", "which"}),
          Required(Day("when", {"when", "month", "months", "date", "day", "how often", "frequency",
                                "schedule", "month or date"})),
          Text("why", {"why", "reason", "purpose", "what for", "because", "task", "job", "trip", "what"})};
}

std::vector<Field> PriceFields() {
  return {Required(Text("what", {"what", "item", "price of", "cost of", "of", "kind", "for"})),
          Required(Text("price", {"price", "cost", "amount", "rate", "charge"})),
          Text("per", {"per", "unit", "each", "units", "uom"}),
          Text("currency", {"currency", "money", "cur"}),
          Text("source", {"source", "source box", "because", "reference", "basis", "who says"}),
          Who()};
}

}  // namespace lastreach
