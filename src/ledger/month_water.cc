#include "ledger/month_water.h"

namespace lastreach {

MonthWater FilledFrom(MonthWater newer, const MonthWater& older) {
  if (!newer.temperature) newer.temperature = older.temperature;
  if (!newer.use_factor) newer.use_factor = older.use_factor;
  if (!newer.upstream_residual) newer.upstream_residual = older.upstream_residual;
  return newer;
}

}  // namespace lastreach
