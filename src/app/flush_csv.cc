#include "app/flush_csv.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "network/csv_table.h"
#include "network/decimal.h"

namespace lastreach {
namespace {

constexpr std::array<std::string_view, 2> kRequired = {"minutes", "residual_mg_per_l"};
constexpr std::array<std::string_view, 7> kOptional = {"temperature_c", "temperature_f", "turbidity_ntu",
                                                       "flow_gpm",      "flow_l_per_s",  "pressure_psi",
                                                       "pressure_m"};

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

class RowOfReadings {
 public:
  RowOfReadings(const CsvTable& table, std::size_t row, double kit) : table_(table), row_(row), kit_(kit) {}

  Result<FlushReading> Read() {
    const auto minutes = Number("minutes", 0, 2000);
    if (!minutes) return Wrong("minutes", "minutes after opening are wanted, 0 to 2000");
    reading_.after = Duration::Minutes(*minutes);
    Residual();
    if (const auto c = Number("temperature_c", 0, 50)) reading_.temperature = Temperature::Celsius(*c);
    if (const auto f = Number("temperature_f", 32, 122)) reading_.temperature = Temperature::Fahrenheit(*f);
    reading_.turbidity_ntu = Number("turbidity_ntu", 0, 4000);
    if (const auto gpm = Number("flow_gpm", 0, 20000)) reading_.flow = Flow::GallonsPerMinute(*gpm);
    if (const auto ls = Number("flow_l_per_s", 0, 1300)) reading_.flow = Flow::LitresPerSecond(*ls);
    if (const auto psi = Number("pressure_psi", 0, 400))
      reading_.pressure = Pressure::PoundsPerSquareInch(*psi);
    if (const auto m = Number("pressure_m", 0, 280)) reading_.pressure = Pressure::MetresOfWater(*m);
    if (wrong_) return *wrong_;
    return reading_;
  }

 private:
  Error Wrong(std::string_view column, const std::string& why) {
    return BadInput(why, table_.PlaceOf(row_, column));
  }

  std::optional<double> Number(std::string_view column, double least, double most) {
    const std::string& cell = table_.Cell(row_, column);
    if (cell.empty()) return std::nullopt;
    const auto number = ParseDecimal(cell);
    if (number && *number >= least && *number <= most) return number;
    if (!wrong_)
      wrong_ = Wrong(column, "a number from " + ToDecimal(least) + " to " + ToDecimal(most) + " is wanted");
    return std::nullopt;
  }

  void Residual() {
    const std::string& cell = table_.Cell(row_, "residual_mg_per_l");
    if (cell.empty()) return;
    const std::string word = Lower(cell);
    std::optional<double> number = ParseDecimal(cell);
    if (word == "nd" || word == "none") {
      number = kit_;
      reading_.below_detection = true;
    } else if (cell.front() == '<') {
      number = ParseDecimal(cell.substr(1));
      reading_.below_detection = true;
    }
    if (!number || *number < 0 || *number > 20) {
      if (!wrong_) wrong_ = Wrong("residual_mg_per_l", "a residual from 0 to 20 mg/L, <0.1 or ND is wanted");
      return;
    }
    reading_.residual = Concentration::MilligramsPerLitre(*number);
  }

  const CsvTable& table_;
  std::size_t row_;
  double kit_;
  FlushReading reading_;
  std::optional<Error> wrong_;
};

}  // namespace

Result<TestFlush> ReadFlushCsv(const std::string& path, double kit_mg_per_l) {
  const auto table = CsvTable::Read(path, kRequired, kOptional);
  if (!table.ok()) return table.error();
  if (!table->notes().empty()) return BadInput(table->notes().front(), {path, {}, "", ""});
  TestFlush flush;
  for (std::size_t row = 0; row < table->size(); ++row) {
    auto reading = RowOfReadings(*table, row, kit_mg_per_l).Read();
    if (!reading.ok()) return reading.error();
    if (!flush.readings.empty() && !(reading->after > flush.readings.back().after))
      return BadInput("minutes must rise from row to row", table->PlaceOf(row, "minutes"));
    flush.readings.push_back(*reading);
  }
  if (flush.readings.empty()) return BadInput("there is no reading in it", {path, {}, "", ""});
  return flush;
}

}  // namespace lastreach
