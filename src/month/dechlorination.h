#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace lastreach {

// A chemical that takes chlorine out of the water let out.
struct DechlorinationAgent {
  std::string_view name;       // "sodium sulfite"
  double molar_mass_g = 0;     // per mol
  double mol_per_mol_cl2 = 0;  // by its reaction
  // Whether pH and time decide how far the reaction goes, so that the dose must be the user's own.
  bool needs_own_dose = false;
};

// Those it knows, in a fixed order. Sulfites by SO3(2-) + HOCl -> SO4(2-) + Cl- + H+; thiosulfates to
// sulfate, S2O3(2-) + 4 HOCl + H2O -> 2 SO4(2-) + 4 Cl- + 6 H+, the least there can be; ascorbates by C6H8O6
// + HOCl -> C6H6O6 + HCl + H2O. Sulfur dioxide and metabisulfite as the sulfite they give.
std::span<const DechlorinationAgent> DechlorinationAgents();

// mg of the agent for each mg of chlorine as Cl2, by the reaction alone: n M / 70.90.
// SOURCE: atomic masses H 1.008, C 12.011, O 15.999, Na 22.990, S 32.06, Cl 35.45, Ca 40.078.
double StoichiometricDose_mg_per_mg(const DechlorinationAgent& agent);

// The agent that words on a lid mean: "Na-sulfite tabs" is none, "sodium sulfite tablets" is sodium sulfite,
// "Vitamin C (ascorbic acid)" ascorbic acid. The longest name found counts; British spellings are read too.
const DechlorinationAgent* FindAgent(std::string_view words);

// Chlorine carried by `volume_m3` at `residual_mg_per_l` [kg]; m3 x mg/L is grams.
double ChlorineMass_kg(double volume_m3, double residual_mg_per_l);

}  // namespace lastreach
