#include "import/cell_choices.h"

#include <cmath>
#include <initializer_list>
#include <string>

#include "import/cell_words.h"
#include "import/dates.h"
#include "import/numbers.h"

namespace lastreach {
namespace {

using Stems = std::initializer_list<std::string_view>;

bool IsOneOf(const std::string& plain, Stems words) {
  for (const std::string_view word : words) {
    if (plain == word) return true;
  }
  return false;
}

// Whether some word of the cell begins so.
bool HasStem(const std::string& plain, Stems stems) {
  for (const std::string& word : Words(plain)) {
    for (const std::string_view stem : stems) {
      if (word.compare(0, stem.size(), stem) == 0) return true;
    }
  }
  return false;
}

Error NotOneOf(std::string_view text, const std::string& message) {
  return BadInput(message, {"", {}, "", std::string(text)});
}

}  // namespace

Result<bool> ParseOnOff(std::string_view text) {
  const std::string plain = Plainly(text);
  if (IsOneOf(plain,
              {"on", "running", "in service", "active", "yes", "y", "auto", "run", "1", "enabled", "open"}))
    return true;
  if (IsOneOf(plain, {"off", "not running", "out of service", "inactive", "no", "n", "oos", "0", "disabled",
                      "winterized", "winterised", "shut off", "shut", "dead", "closed"})) {
    return false;
  }
  return NotOneOf(text, "the state is on or off");
}

Result<bool> ParseYesNo(std::string_view text) {
  const std::string plain = Plainly(text);
  if (IsOneOf(plain, {"yes", "y", "true", "x", "1", "t"})) return true;
  if (IsOneOf(plain, {"no", "n", "false", "0", "f"})) return false;
  return NotOneOf(text, "yes or no is wanted");
}

Result<bool> ParseDone(std::string_view text) {
  if (const auto plainly = ParseYesNo(text); plainly.ok()) return plainly;
  const std::string plain = Plainly(text);
  if (IsOneOf(plain, {"ok", "okay", "good", "fine", "not needed", "full", "none"})) return false;
  if (HasStem(plain, {"new", "chang", "replac", "refill", "filled", "done", "added", "swapped"})) return true;
  return NotOneOf(text, "whether it was done is wanted: yes or no");
}

Result<MeasuredBy> ReadMeasuredBy(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain, {"guess", "est", "assum", "design", "nameplate", "rated", "approx", "eye"}))
    return MeasuredBy::kEstimate;
  if (HasStem(plain, {"drum", "bucket", "stopwatch", "timed", "volumetric", "container", "barrel"}))
    return MeasuredBy::kDrum;
  if (HasStem(plain, {"pitot", "diffuser", "gauge", "gage"})) return MeasuredBy::kPitot;
  if (HasStem(plain, {"meter", "register", "dial"})) return MeasuredBy::kMeter;
  return NotOneOf(text, "how it was measured is meter, drum, pitot or estimate");
}

Result<bool> ReadEstimated(std::string_view text) {
  const std::string plain = Plainly(text);
  if (IsOneOf(plain, {"e", "est", "estimate", "estimated", "est read", "estimated read"})) return true;
  if (IsOneOf(plain, {"a", "act", "actual", "read", "actual read", "r"})) return false;
  if (const auto plainly = ParseYesNo(text); plainly.ok()) return plainly;
  return NotOneOf(text, "a read is actual or estimated");
}

Result<PointKind> ReadPointKind(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain, {"hand", "manual", "hydrant", "blow", "bo", "washout", "scour", "fh", "crew", "post"}))
    return PointKind::kHand;
  if (HasStem(plain, {"device", "auto", "flusher", "afd", "afs", "timer", "unit"})) return PointKind::kDevice;
  return NotOneOf(text, "the kind of a flush point is device or hand");
}

Result<DischargeTo> ReadDischargeTo(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain, {"creek", "stream", "river", "brook", "pond", "lake", "bayou", "canal"}))
    return DischargeTo::kCreek;
  if (HasStem(plain, {"storm", "inlet", "gutter", "catch", "culvert"})) return DischargeTo::kStormDrain;
  if (HasStem(plain, {"sewer", "sanitary", "foul", "manhole", "mh"})) return DischargeTo::kSewer;
  if (HasStem(plain, {"drain"})) return DischargeTo::kStormDrain;
  if (HasStem(plain,
              {"ground", "grass", "field", "lawn", "soak", "swale", "ditch", "verge", "yard", "woods"}))
    return DischargeTo::kGround;
  if (HasStem(plain, {"road", "street", "pavement", "curb", "kerb", "roadway"})) return DischargeTo::kRoad;
  if (HasStem(plain, {"use", "irrigation", "golf", "reuse", "tank", "garden"})) return DischargeTo::kUse;
  return NotOneOf(text, "where the water goes is ground, storm drain, creek, sewer, road or use");
}

Result<Disinfectant> ReadDisinfectant(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain, {"chloram", "mono", "total", "combined", "nh2cl"})) return Disinfectant::kChloramine;
  if (HasStem(plain, {"free", "chlorine", "cl2", "fac", "hypo"})) return Disinfectant::kFreeChlorine;
  return NotOneOf(text, "the disinfectant is free chlorine or chloramine");
}

Result<int> ParsePercent(std::string_view text) {
  const auto number = ParseNumber(text);
  const bool sign = number.ok() && Plainly(number->rest) == "percent";
  if (!number.ok() || (!number->rest.empty() && !sign)) return NotOneOf(text, "a percentage is wanted");
  // Nobody keys a timer to 3 %, and a spreadsheet keeps 130 % as 1.3.
  const double percent = !sign && number->value <= 3 ? number->value * 100 : number->value;
  const double whole = std::round(percent);
  if (std::abs(percent - whole) > 1e-6 || whole < 0 || whole > 1000)
    return NotOneOf(text, "a whole percentage is wanted");
  return static_cast<int>(whole);
}

Result<int> ParseClockOffset(std::string_view text) {
  std::string lower = Lower(Trimmed(text));
  if (IsOneOf(Plainly(text), {"ok", "okay", "correct", "right", "good", "on time", "fine", "exact"}))
    return 0;
  int sign = 1;
  for (const std::string_view word : {"fast", "ahead", "slow", "behind", "late"}) {
    const size_t at = lower.find(word);
    if (at == std::string::npos) continue;
    if (word == "slow" || word == "behind" || word == "late") sign = -1;
    lower.erase(at, word.size());
  }
  lower = Trimmed(lower);
  if (!lower.empty() && (lower[0] == '-' || lower[0] == '+')) {
    if (lower[0] == '-') sign = -sign;
    lower.erase(0, 1);
  }
  const auto minutes = ParseMinutes(lower);
  if (!minutes.ok()) return NotOneOf(text, "how far the clock is off is wanted, as in 12 min fast");
  return sign * *minutes;
}

MethodKind ReadMethod(std::string_view text) {
  const std::string plain = Plainly(text);
  if (HasStem(plain, {"guess", "est", "assum", "design", "nameplate", "rated", "approx"}))
    return MethodKind::kGuess;
  if (HasStem(plain, {"meter", "drum", "bucket", "stopwatch", "pitot", "gauge", "gage", "diffuser", "measur",
                      "volumetric", "timed"})) {
    return MethodKind::kMeasurement;
  }
  return MethodKind::kNotSaid;
}

}  // namespace lastreach
