// What water and visits cost.
#include <cctype>

#include "import/cell_words.h"
#include "import/row_imports.h"

namespace lastreach {
namespace {

// "$4.85 / 1000 gal" taken apart: what stands before the number, the number, and per what.
struct WrittenPrice {
  std::string currency;
  double amount = 0;
  std::string per;
};

Result<WrittenPrice> ParsePrice(const std::string& text, DecimalMark mark) {
  const size_t number_at = text.find_first_of("-+.0123456789");
  if (number_at == std::string::npos) return BadInput("a price is wanted");
  WrittenPrice price;
  price.currency = Trimmed(text.substr(0, number_at));
  const auto number = ParseNumber(text.substr(number_at), mark);
  if (!number.ok() || number->value < 0) return BadInput("a price of nothing or more is wanted");
  price.amount = number->value;
  std::string rest = number->rest;
  for (const std::string_view between : {"/", "per ", "a "}) {
    const size_t at = rest.find(between);
    if (at == std::string::npos) continue;
    price.per = Trimmed(rest.substr(at + between.size()));
    rest = Trimmed(rest.substr(0, at));
    break;
  }
  if (price.currency.empty()) price.currency = rest;
  return price;
}

// Cubic metres that the price is for. None, and the row rejected, if nobody says.
std::optional<double> PerCubicMetres(RowReader& row, const WrittenPrice& price) {
  const std::string per = price.per.empty() ? row.Known("per") : price.per;
  const auto unit = FindUnit(Dimension::kVolume, per.starts_with("per ") ? per.substr(4) : per);
  if (unit) return unit->factor;
  row.Reject(price.per.empty() ? "per" : "price",
             "how much water the price is for is wanted: " + UnitNames(Dimension::kVolume));
  return std::nullopt;
}

// False, and the row rejected, where another row is in another currency.
bool TakeCurrency(RowReader& row, const std::string& currency, Prices& prices) {
  if (currency.empty() || prices.currency == currency) return true;
  if (prices.currency.empty()) {
    prices.currency = currency;
    return true;
  }
  row.Reject("price", "this is in " + currency + " and a row before in " + prices.currency);
  return false;
}

}  // namespace

void ImportPrice(RowReader& row, SeenRows& seen, ImportResult& result) {
  const std::string what = Plainly(row.Known("what"));
  const bool visit = Mentions(what, {"visit", "trip", "truck", "call", "crew"});
  if (!visit && !Mentions(what, {"water", "volume", "gallon", "m3"}))
    return row.Reject("what", "a price is of water or of a visit");
  const auto* column = row.ColumnOf("price");
  const auto price =
      ParsePrice(row.Known("price"), column == nullptr ? DecimalMark::kPoint : column->decimal_mark);
  if (!price.ok()) return row.Reject("price", price.error().message);
  double amount = price->amount;
  if (!visit) {
    const auto per_m3 = PerCubicMetres(row, *price);
    if (!per_m3) return;
    amount /= *per_m3;
  }
  if (!seen.IsNew(visit ? "visit" : "water", visit ? "the price of a visit" : "the price of water", "what",
                  row))
    return;
  Prices prices = result.prices.value_or(Prices{});
  const std::string currency = row.Known("currency");
  if (!TakeCurrency(row, currency.empty() ? price->currency : currency, prices)) return;
  const std::string source = row.Known("source");
  const Sourced<double> sourced{
      amount, row.OriginOf(false, (source.empty() ? "" : source + "; ") +
                                      ("written " + row.Known("price") +
                                       (row.Known("per").empty() ? "" : " a " + row.Known("per"))))};
  (visit ? prices.visit : prices.water_per_m3) = sourced;
  result.prices = std::move(prices);
}

}  // namespace lastreach
