#include "ledger/prices.h"

namespace lastreach {

Prices FilledFrom(Prices newer, const Prices& older) {
  if (newer.currency.empty()) newer.currency = older.currency;
  if (!newer.water_per_m3) newer.water_per_m3 = older.water_per_m3;
  if (!newer.visit) newer.visit = older.visit;
  return newer;
}

}  // namespace lastreach
