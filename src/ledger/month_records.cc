#include "ledger/month_records.h"

#include "core/words.h"

namespace lastreach {

std::string_view ToText(Byproduct byproduct) {
  switch (byproduct) {
    case Byproduct::kTotalTrihalomethanes:
      return "total trihalomethanes";
    case Byproduct::kHaloaceticAcids5:
      return "haloacetic acids (five)";
  }
  return "total trihalomethanes";
}

Result<Byproduct> ParseByproduct(std::string_view text) {
  constexpr Byproduct kAll[] = {Byproduct::kTotalTrihalomethanes, Byproduct::kHaloaceticAcids5};
  return ParseByWord(text, kAll, "the by-product");
}

}  // namespace lastreach
