#include "ledger/records.h"

#include "core/words.h"

namespace lastreach {

std::string_view ToText(SettingsKind kind) {
  switch (kind) {
    case SettingsKind::kPlanned:
      return "planned";
    case SettingsKind::kAsLeft:
      return "as-left";
    case SettingsKind::kAsFound:
      return "as-found";
  }
  return "planned";
}

std::string_view ToText(Analyte analyte) {
  switch (analyte) {
    case Analyte::kFreeChlorine:
      return "free chlorine";
    case Analyte::kTotalChlorine:
      return "total chlorine";
    case Analyte::kMonochloramine:
      return "monochloramine";
    case Analyte::kFreeAmmonia:
      return "free ammonia";
    case Analyte::kNitrite:
      return "nitrite";
  }
  return "free chlorine";
}

Result<SettingsKind> ParseSettingsKind(std::string_view text) {
  constexpr SettingsKind kAll[] = {SettingsKind::kPlanned, SettingsKind::kAsLeft, SettingsKind::kAsFound};
  return ParseByWord(text, kAll, "the kind of a settings record");
}

Result<Analyte> ParseAnalyte(std::string_view text) {
  constexpr Analyte kAll[] = {Analyte::kFreeChlorine, Analyte::kTotalChlorine, Analyte::kMonochloramine,
                              Analyte::kFreeAmmonia, Analyte::kNitrite};
  return ParseByWord(text, kAll, "what was measured");
}

}  // namespace lastreach
