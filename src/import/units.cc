#include "import/units.h"

#include <algorithm>
#include <cctype>

#include "core/quantity.h"
#include "import/cell_words.h"

namespace lastreach {
namespace {

using enum Dimension;
using enum UnitFamily;

struct KnownUnit {
  const char* name;
  Dimension dimension;
  double factor;
  double offset;
  UnitFamily family;
  std::string_view spellings;  // as Squeezed() leaves them, one space between
};

// Lower case, no blanks, no full stops, no brackets: "(gal. / min)" -> "gal/min".
std::string Squeezed(std::string_view text) {
  std::string squeezed;
  for (size_t i = 0; i < text.size(); ++i) {
    if (text.substr(i, 2) == "\xC2\xB3") {
      squeezed += '3';
      ++i;
    } else if (text.substr(i, 2) == "\xC2\xB0" || text.substr(i, 2) == "\xC2\xA0") {
      ++i;  // degree sign, no-break space
    } else if (text.substr(i, 3) == "\xE2\x80\xB3" || text.substr(i, 3) == "\xE2\x80\x9D") {
      squeezed += '"';
      i += 2;
    } else if (text.substr(i, 3) == "\xE2\x80\xB2" || text.substr(i, 3) == "\xE2\x80\x99") {
      squeezed += '\'';
      i += 2;
    } else if (text.substr(i, 2) == "\xC3\x97") {
      squeezed += 'x';
      ++i;
    } else if (std::string_view(" .()[]\t-_,^").find(text[i]) == std::string_view::npos) {
      squeezed += text[i];
    }
  }
  return Lower(squeezed);
}

constexpr double kGallon = kCubicMetresPerGallon;
constexpr double kImperial = kCubicMetresPerImperialGallon;
// SOURCE: NIST SP 811 (2008), Appendix B, exact.
constexpr double kKilogramsPerPound = 0.45359237;
// A twelfth of a year of 365.25 days: bills do not follow the calendar closely enough for more.
constexpr double kYear_s = 365.25 * kSecondsPerDay;
constexpr double kMonth_s = kYear_s / 12;

constexpr KnownUnit kUnits[] = {
    {"m", kLength, 1, 0, kMetric, "m metre metres meter meters mtr mtrs"},
    {"km", kLength, 1000, 0, kMetric, "km"},
    {"ft", kLength, kMetresPerFoot, 0, kUs, "ft feet foot ' lf linft lnft linearft linearfeet"},
    {"mm", kDiameter, 1e-3, 0, kMetric, "mm millimetre millimetres millimeters dn dnmm"},
    {"in", kDiameter, kMetresPerInch, 0, kUs, "in inch inches \" '' ins inchdia nps"},
    {"cm", kDiameter, 1e-2, 0, kMetric, "cm"},
    {"L/s", kFlow, 1e-3, 0, kMetric, "l/s lps l/sec litres/s litrespersecond ltr/s"},
    {"L/min", kFlow, 1e-3 / kSecondsPerMinute, 0, kMetric, "l/min lpm l/m litres/min litresperminute"},
    {"m3/h", kFlow, 1 / kSecondsPerHour, 0, kMetric, "m3/h m3/hr cmh m3ph m3perhour"},
    {"m3/d", kFlow, 1 / kSecondsPerDay, 0, kMetric, "m3/d m3/day cmd m3perday"},
    {"L/d", kFlow, 1e-3 / kSecondsPerDay, 0, kMetric, "l/d l/day lpd litres/day"},
    {"gpm", kFlow, kGallon / kSecondsPerMinute, 0, kUs,
     "gpm gal/min usgpm gpmus gallons/min gal/minute gallonsperminute g/m gals/min"},
    {"gpd", kFlow, kGallon / kSecondsPerDay, 0, kUs, "gpd gal/d gal/day gallons/day gallonsperday usgpd"},
    {"imperial gpm", kFlow, kImperial / kSecondsPerMinute, 0, kMetric,
     "imperialgpm igpm impgpm impgal/min igal/min"},
    {"m3", kVolume, 1, 0, kMetric, "m3 cum cubicmetres cubicmeters kl kilolitres"},
    {"L", kVolume, 1e-3, 0, kMetric, "l litres liters ltr"},
    {"gal", kVolume, kGallon, 0, kUs, "gal gals gallon gallons usgal galus usgallons"},
    {"100 gal", kVolume, 100 * kGallon, 0, kUs,
     "100gal x100gal galx100 gallonsx100 hgal 100gallons x100gallons 100sofgallons 100sgal"},
    {"1000 gal", kVolume, 1000 * kGallon, 0, kUs,
     "1000gal kgal kgals x1000gal galx1000 tgal thousandgallons 1000gallons 1000sgal x1000gallons thgal"},
    {"imperial gal", kVolume, kImperial, 0, kMetric,
     "imperialgal impgal igal imperialgallons galimp ukgal impgallons"},
    {"ft3", kVolume, kCubicMetresPerCubicFoot, 0, kUs, "ft3 cuft cf cubicfeet cubicft"},
    {"100 ft3", kVolume, 100 * kCubicMetresPerCubicFoot, 0, kUs,
     "100ft3 ccf hcf 100cuft 100cf x100ft3 x100cuft"},
    {"million gal", kVolume, 1e6 * kGallon, 0, kUs, "milliongal milliongallons mg mgal mgals mmgal"},
    {"ML", kVolume, 1000, 0, kMetric, "ml megalitres megaliters"},
    {"mg/L", kConcentration, 1, 0, kMetric, "mg/l mgl ppm mg/lcl2 mg/lascl2 mg/lasn mg/ln"},
    {"ug/L", kConcentration, 1e-3, 0, kMetric, "ug/l ppb \xC2\xB5g/l \xCE\xBCg/l mcg/l"},
    {"C", kTemperature, 1, 0, kMetric, "c degc celsius centigrade oc"},
    {"F", kTemperature, 1 / 1.8, -32 / 1.8, kUs, "f degf fahrenheit of"},
    {"gal/d", kUse, kGallon / kSecondsPerDay, 0, kUs,
     "gal/day gpd gallons/day gallonsperday gald galday usgpd"},
    {"m3/d", kUse, 1 / kSecondsPerDay, 0, kMetric, "m3/day m3d m3day cmd m3perday kl/d"},
    {"L/d", kUse, 1e-3 / kSecondsPerDay, 0, kMetric, "l/day ld lpd litres/day litresperday"},
    {"gal/month", kUse, kGallon / kMonth_s, 0, kUs,
     "gal/mo galmonth gallons/month gallonspermonth gpmo galpermonth"},
    {"kgal/month", kUse, 1000 * kGallon / kMonth_s, 0, kUs, "kgal/mo kgalmonth kgalpermonth 1000gal/month"},
    {"ft3/month", kUse, kCubicMetresPerCubicFoot / kMonth_s, 0, kUs, "ft3/mo cf/month cuft/month cfmonth"},
    {"ccf/month", kUse, 100 * kCubicMetresPerCubicFoot / kMonth_s, 0, kUs,
     "ccf/mo ccfmonth hcf/month ccfpermonth"},
    {"m3/month", kUse, 1 / kMonth_s, 0, kMetric, "m3/mo m3month m3permonth kl/month"},
    {"kgal/year", kUse, 1000 * kGallon / kYear_s, 0, kUs, "kgal/yr kgalyear kgal/a"},
    {"gal/year", kUse, kGallon / kYear_s, 0, kUs, "gal/yr galyear gallons/year"},
    {"m3/year", kUse, 1 / kYear_s, 0, kMetric, "m3/yr m3/a m3year m3a kl/year"},
    {"gpm", kUse, kGallon / kSecondsPerMinute, 0, kUs, "gal/min usgpm"},
    {"L/s", kUse, 1e-3, 0, kMetric, "lps l/sec"},
    {"psi", kPressure, kPascalsPerPsi / kPascalsPerMetreOfWater, 0, kUs, "psig lb/in2 lbs/in2 pounds"},
    {"m", kPressure, 1, 0, kMetric, "mh2o mwc mwater mofwater metre metres meter meters mhead mofhead"},
    {"bar", kPressure, 1e5 / kPascalsPerMetreOfWater, 0, kMetric, "bars"},
    {"kPa", kPressure, 1e3 / kPascalsPerMetreOfWater, 0, kMetric, "kilopascal kilopascals"},
    {"ft", kPressure, kMetresPerFoot, 0, kUs, "feet foot fth2o ftofwater ftofhead fthead"},
    {"kg", kMass, 1, 0, kMetric, "kgs kilogram kilograms kilos kilo"},
    {"g", kMass, 1e-3, 0, kMetric, "gram grams"},
    {"lb", kMass, kKilogramsPerPound, 0, kUs, "lbs pound pounds"},
};

Unit ToUnit(const KnownUnit& known) {
  return {known.name, known.dimension, known.factor, known.offset, known.family};
}

// Whether `word` is one of the words of `list`.
bool IsListed(std::string_view word, std::string_view list) {
  while (!list.empty()) {
    const size_t end = std::min(list.find(' '), list.size());
    if (list.substr(0, end) == word) return true;
    list.remove_prefix(std::min(end + 1, list.size()));
  }
  return false;
}

}  // namespace

std::optional<Unit> FindUnit(Dimension dimension, std::string_view text) {
  const std::string squeezed = Squeezed(text);
  if (squeezed.empty()) return std::nullopt;
  for (const KnownUnit& known : kUnits) {
    if (known.dimension != dimension) continue;
    if (squeezed == Squeezed(known.name) || IsListed(squeezed, known.spellings)) return ToUnit(known);
  }
  return std::nullopt;
}

std::string UnitBehind(Dimension dimension, std::string_view text) {
  const std::string trimmed = Trimmed(text);
  const auto is_letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
  const auto number = std::find_if_not(trimmed.begin(), trimmed.end(), is_letter);
  const std::string before(trimmed.begin(), number);
  if (dimension != Dimension::kDiameter || !FindUnit(dimension, before)) return std::string(text);
  return Trimmed(std::string(number, trimmed.end())) + " " + before;
}

std::string UnitNames(Dimension dimension) {
  std::string names;
  for (const KnownUnit& known : kUnits) {
    if (known.dimension == dimension) names += (names.empty() ? "" : ", ") + std::string(known.name);
  }
  return names;
}

HeadingParts TakeApart(std::string_view heading, Dimension dimension) {
  HeadingParts parts{Plainly(heading), {}};
  if (dimension == Dimension::kNone) return parts;
  const size_t open = heading.find_last_of("([");
  const size_t close = heading.find_last_of(")]");
  if (open != std::string_view::npos && close != std::string_view::npos && open < close) {
    parts.unit = FindUnit(dimension, heading.substr(open + 1, close - open - 1));
    if (parts.unit) {
      parts.words =
          Plainly(std::string(heading.substr(0, open)) + " " + std::string(heading.substr(close + 1)));
      return parts;
    }
  }
  // Databases write "diam_in" for "diam in".
  std::string spaced(heading);
  std::replace(spaced.begin(), spaced.end(), '_', ' ');
  const std::vector<std::string> words = Words(spaced);
  for (size_t count = std::min<size_t>(3, words.size()); count >= 1; --count) {
    std::string tail, front;
    for (size_t i = 0; i < words.size(); ++i) (i + count < words.size() ? front : tail) += words[i] + " ";
    parts.unit = FindUnit(dimension, tail);
    if (parts.unit && !Plainly(front).empty()) {
      parts.words = Plainly(front);
      return parts;
    }
    // The unit alone, as in a column headed "gpm": the words stay, the fields list them.
    if (parts.unit) return parts;
  }
  return parts;
}

}  // namespace lastreach
