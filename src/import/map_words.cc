#include "import/map_words.h"

#include <initializer_list>
#include <string>

#include "import/cell_words.h"

namespace lastreach {
namespace {

using Stems = std::initializer_list<std::string_view>;

bool IsOneOf(const std::string& plain, Stems words) {
  for (const std::string_view word : words) {
    if (plain == word) return true;
  }
  return false;
}

// Whether some word begins so; a stem of two words stands anywhere at the beginning of a word.
bool HasStem(const std::string& plain, Stems stems) {
  for (const std::string_view stem : stems) {
    for (size_t at = plain.find(stem); at != std::string::npos; at = plain.find(stem, at + 1)) {
      if (at == 0 || plain[at - 1] == ' ') return true;
    }
  }
  return false;
}

}  // namespace

std::optional<MainStatus> ReadMainStatus(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain,
              {"abandon",        "aban",   "abd",        "remov",   "retir",   "inactiv",        "not active",
               "disus",          "decom",  "demol",      "destroy", "obsolet", "out of service", "not in use",
               "not in service", "salvag", "disconnect", "unused",  "killed",  "capped"}) ||
      IsOneOf(plain, {"oos", "rem", "ret", "dead", "aip", "ab", "historical", "former", "razed"})) {
    return MainStatus::kAbandoned;
  }
  if (HasStem(plain,
              {"propos", "plan", "future", "design", "under constr", "unbuilt", "not built", "pending"}) ||
      IsOneOf(plain, {"construction", "prop", "fut"})) {
    return MainStatus::kProposed;
  }
  if (HasStem(plain, {"activ", "in serv", "inserv", "in use", "inuse", "exist", "live", "operat", "install",
                      "as built", "asbuilt", "constructed", "current", "accepted", "normal"}) ||
      IsOneOf(plain, {"act", "is", "i s", "built", "public", "private", "open", "ok", "on", "online",
                      "service", "good"})) {
    return MainStatus::kInUse;
  }
  return std::nullopt;
}

std::optional<PipeContent> ReadPipeContent(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain,
              {"sewer", "sanit", "wastewater", "waste water", "sewage", "gravity", "storm", "drain",
               "effluent", "forcemain", "force main", "foul", "manhole", "culvert", "surface water"}) ||
      IsOneOf(plain, {"san", "ss", "sd", "sw", "ww", "combined", "fm", "gm"})) {
    return PipeContent::kSewage;
  }
  if (HasStem(plain, {"raw", "reclaim", "recycl", "reuse", "re use", "reused", "non potable", "nonpotable",
                      "not potable", "irrigat", "untreated", "chilled", "steam", "brine", "grey", "gray",
                      "river", "nonpot"}) ||
      IsOneOf(plain, {"rw", "rcw", "np", "gas", "oil", "air"})) {
    return PipeContent::kOtherWater;
  }
  if (HasStem(plain, {"potable",  "drink",    "domestic", "treated",      "finished", "distrib",
                      "transmis", "water",    "main",     "trunk",        "feeder",   "lateral",
                      "service",  "hydrant",  "fire",     "pressur",      "arterial", "supply",
                      "loop",     "dead end", "bypass",   "interconnect", "private",  "public"}) ||
      IsOneOf(plain, {"w", "pw", "dw", "wm", "fw", "tw", "d", "t"})) {
    return PipeContent::kDrinkingWater;
  }
  return std::nullopt;
}

std::optional<bool> ReadShut(std::string_view text, bool by_yes) {
  const std::string plain = Plainly(text);
  if (by_yes) {
    if (IsOneOf(plain, {"yes", "y", "true", "t", "1", "1 0", "x"})) return true;
    if (IsOneOf(plain, {"no", "n", "false", "f", "0", "0 0"})) return false;
  }
  // Before "open": "not open", "normally closed" stand with words of the other.
  if (HasStem(plain, {"clos", "shut", "normally clos", "not open", "clsd"}) ||
      IsOneOf(plain, {"c", "nc", "n c", "cl"}))
    return plain.find("not clos") == std::string::npos ? std::optional(true) : std::optional(false);
  if (HasStem(plain, {"open", "partial", "throttl", "half"}) || IsOneOf(plain, {"o", "no", "n o", "op"}))
    return false;
  return std::nullopt;
}

bool SaysBlowOff(std::string_view text) {
  const std::string plain = Plainly(text);
  return HasStem(plain, {"blow off", "blowoff", "washout", "wash out", "scour", "flush"}) ||
         IsOneOf(plain, {"bo", "b o"});
}

bool IsSewerMaterial(std::string_view text) {
  const std::string plain = Plainly(text);
  return HasStem(plain, {"vitrified", "clay", "corrugat", "brick", "reinforced concrete pipe", "truss",
                         "terra cotta"}) ||
         IsOneOf(plain, {"vcp", "vc", "rcp", "cmp", "vcl", "cmpa", "orangeburg"});
}

}  // namespace lastreach
