#include "month/dechlorination.h"

#include <cctype>

namespace lastreach {
namespace {

constexpr double kChlorine_g_per_mol = 2 * 35.45;

constexpr DechlorinationAgent kAgents[] = {
    {"sodium sulfite", 126.037, 1, false},         {"sodium bisulfite", 104.055, 1, false},
    {"sodium metabisulfite", 190.095, 0.5, false}, {"sulfur dioxide", 64.058, 1, false},
    {"sodium thiosulfate", 158.097, 0.25, true},   {"sodium thiosulfate pentahydrate", 248.172, 0.25, true},
    {"calcium thiosulfate", 152.195, 0.25, true},  {"ascorbic acid", 176.124, 1, false},
    {"sodium ascorbate", 198.106, 1, false},
};

std::string Plain(std::string_view words) {
  std::string plain;
  for (const char c : words) {
    plain += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  for (size_t at = 0; (at = plain.find("sulph", at)) != std::string::npos;) plain.replace(at, 5, "sulf");
  return plain;
}

}  // namespace

std::span<const DechlorinationAgent> DechlorinationAgents() { return kAgents; }

double StoichiometricDose_mg_per_mg(const DechlorinationAgent& agent) {
  return agent.mol_per_mol_cl2 * agent.molar_mass_g / kChlorine_g_per_mol;
}

const DechlorinationAgent* FindAgent(std::string_view words) {
  const std::string plain = Plain(words);
  const DechlorinationAgent* found = nullptr;
  for (const DechlorinationAgent& agent : kAgents) {
    if (plain.find(agent.name) == std::string::npos) continue;
    if (found == nullptr || agent.name.size() > found->name.size()) found = &agent;
  }
  return found;
}

double ChlorineMass_kg(double volume_m3, double residual_mg_per_l) {
  return 1e-3 * volume_m3 * residual_mg_per_l;
}

}  // namespace lastreach
