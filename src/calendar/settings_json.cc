#include "calendar/settings_json.h"

#include <array>
#include <nlohmann/json.hpp>

namespace lastreach {
namespace {

using nlohmann::ordered_json;

constexpr std::array<const char*, 7> kShortDays = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

// What stands at an item, for an error; nothing where nothing stands.
std::string TextOf(const ordered_json& value) {
  if (value.is_null()) return "";
  return value.is_string() ? value.get<std::string>()
                           : value.dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

// Reads one document; remembers the first thing wrong with it, with the path to the item.
class Reader {
 public:
  explicit Reader(std::string file) : file_(std::move(file)) {}

  bool failed() const { return error_.has_value(); }
  Error error() const { return *error_; }
  void Fail(const std::string& path, const ordered_json& value, const std::string& message) {
    if (!error_)
      error_ = BadInput(message, {file_, {}, path.substr(0, path.find_last_not_of('.') + 1), TextOf(value)});
  }
  // Takes over an error that a parser of single words made.
  void Fail(const std::string& path, Error error) {
    if (error_) return;
    error_ = std::move(error);
    error_->place.file = file_;
    error_->place.column = path;
  }

  // The integer at `key`; none where it is missing or null.
  std::optional<int> Int(const ordered_json& object, const char* key, const std::string& path, int least,
                         int most) {
    const auto found = object.find(key);
    if (found == object.end() || found->is_null()) return std::nullopt;
    const std::string here = path + key;
    if (!found->is_number_integer()) {
      // 30.0 is a whole number to anybody but a parser.
      if (!found->is_number() || found->get<double>() != static_cast<int>(found->get<double>())) {
        Fail(here, *found, "a whole number is wanted");
        return std::nullopt;
      }
    }
    const double number = found->get<double>();
    if (number < least || number > most) {
      Fail(here, *found, "must be from " + std::to_string(least) + " to " + std::to_string(most));
      return std::nullopt;
    }
    return static_cast<int>(number);
  }
  std::optional<bool> Bool(const ordered_json& object, const char* key, const std::string& path) {
    const auto found = object.find(key);
    if (found == object.end() || found->is_null()) return std::nullopt;
    if (!found->is_boolean()) {
      Fail(path + key, *found, "true, false or null (don't know) is wanted");
      return std::nullopt;
    }
    return found->get<bool>();
  }
  std::optional<std::string> Text(const ordered_json& object, const char* key, const std::string& path) {
    const auto found = object.find(key);
    if (found == object.end() || found->is_null()) return std::nullopt;
    if (!found->is_string()) {
      Fail(path + key, *found, "a word is wanted");
      return std::nullopt;
    }
    return found->get<std::string>();
  }
  template <typename Enum>
  std::optional<Enum> Word(const ordered_json& object, const char* key, const std::string& path,
                           Result<Enum> (*parse)(std::string_view)) {
    const std::optional<std::string> text = Text(object, key, path);
    if (!text) return std::nullopt;
    const Result<Enum> value = parse(*text);
    if (!value.ok()) Fail(path + key, value.error());
    return value.ok() ? std::optional<Enum>(*value) : std::nullopt;
  }
  // A mistyped name must not pass for "don't know".
  void OnlyKeys(const ordered_json& object, const std::string& path,
                std::initializer_list<const char*> known) {
    for (const auto& [key, value] : object.items()) {
      if (std::find(known.begin(), known.end(), key) == known.end()) {
        Fail(path + key, value, "no such item is known here");
      }
    }
  }

 private:
  std::string file_;
  std::optional<Error> error_;
};

constexpr int kMany = 1000000;

ControllerForm ReadForm(Reader& reader, const ordered_json& object, const std::string& path) {
  ControllerForm form;
  if (!object.is_object()) {
    reader.Fail(path, object, "an object is wanted");
    return form;
  }
  reader.OnlyKeys(
      object, path,
      {"name", "programmes", "starts_per_programme", "start_step_minutes", "minutes_min", "minutes_max",
       "minutes_step", "percent_min", "percent_max", "percent_step", "percent_scope", "day_patterns",
       "odd_skips_31st", "every_n_max", "follows_clock_change", "overlap"});
  form.name = reader.Text(object, "name", path).value_or("");
  form.programmes = reader.Int(object, "programmes", path, 1, kMany);
  form.starts_per_programme = reader.Int(object, "starts_per_programme", path, 1, kMany);
  form.start_step_minutes = reader.Int(object, "start_step_minutes", path, 1, 1440);
  form.minutes_min = reader.Int(object, "minutes_min", path, 0, kMany);
  form.minutes_max = reader.Int(object, "minutes_max", path, 1, kMany);
  form.minutes_step = reader.Int(object, "minutes_step", path, 1, kMany);
  form.percent_min = reader.Int(object, "percent_min", path, 0, kMany);
  form.percent_max = reader.Int(object, "percent_max", path, 1, kMany);
  form.percent_step = reader.Int(object, "percent_step", path, 1, kMany);
  form.percent_scope = reader.Word<PercentScope>(object, "percent_scope", path, ParsePercentScope);
  form.odd_skips_31st = reader.Bool(object, "odd_skips_31st", path);
  form.every_n_max = reader.Int(object, "every_n_max", path, 1, kMany);
  form.follows_clock_change = reader.Bool(object, "follows_clock_change", path);
  form.overlap = reader.Word<Overlap>(object, "overlap", path, ParseOverlap).value_or(Overlap::kUnknown);
  if (const auto found = object.find("day_patterns"); found != object.end() && !found->is_null()) {
    form.day_patterns.emplace();
    if (!found->is_array()) reader.Fail(path + "day_patterns", *found, "a list is wanted");
    for (const auto& item : *found) {
      const Result<DayPatternKind> kind =
          ParseDayPatternKind(item.is_string() ? item.get<std::string>() : item.dump());
      if (kind.ok()) {
        form.day_patterns->push_back(*kind);
      } else {
        reader.Fail(path + "day_patterns", kind.error());
      }
    }
  }
  if (!reader.failed()) {
    if (const Status status = Validate(form); !status.ok())
      reader.Fail(status.error().place.column, status.error());
  }
  return form;
}

DayPattern ReadDayWord(Reader& reader, const ordered_json& days, const std::string& path) {
  const std::string word = days.get<std::string>();
  if (word == "odd") return OddDates{};
  if (word == "even") return EvenDates{};
  if (word != "daily") {
    reader.Fail(path, days, "days are a list of weekdays, \"odd\", \"even\", \"daily\" or {\"every\": n}");
  }
  return kEveryWeekday;
}

DayPattern ReadDays(Reader& reader, const ordered_json& days, const std::string& path) {
  if (days.is_string()) return ReadDayWord(reader, days, path);
  if (days.is_array()) {
    Weekdays weekdays;
    for (const auto& item : days) {
      const auto* found = std::find_if(kShortDays.begin(), kShortDays.end(),
                                       [&](const char* name) { return item.is_string() && item == name; });
      if (found == kShortDays.end()) {
        reader.Fail(path, item, "weekdays are mon, tue, wed, thu, fri, sat, sun");
      } else {
        weekdays.bits |= 1U << static_cast<unsigned>(found - kShortDays.begin());
      }
    }
    return weekdays;
  }
  if (days.is_object()) {
    reader.OnlyKeys(days, path + ".", {"every", "from"});
    EveryNDays every;
    if (const auto n = reader.Int(days, "every", path + ".", 1, 366)) {
      every.n = *n;
    } else {
      reader.Fail(path + ".every", days, "how many days is missing");
    }
    if (const auto from = reader.Text(days, "from", path + ".")) {
      const Result<Date> date = ParseDate(*from);
      if (date.ok()) every.from = *date;
      if (!date.ok()) reader.Fail(path + ".from", date.error());
    }
    return every;
  }
  reader.Fail(path, days, "days are a list of weekdays, \"odd\", \"even\", \"daily\" or {\"every\": n}");
  return kEveryWeekday;
}

Programme ReadProgramme(Reader& reader, const ordered_json& object, const std::string& path) {
  Programme programme;
  if (!object.is_object()) {
    reader.Fail(path, object, "an object is wanted");
    return programme;
  }
  reader.OnlyKeys(object, path + ".", {"starts", "minutes", "days", "percent"});
  const auto starts = object.find("starts");
  if (starts == object.end() || !starts->is_array()) {
    reader.Fail(path + ".starts", starts == object.end() ? ordered_json() : *starts,
                "a list of start times is wanted");
  } else {
    for (const auto& start : *starts) {
      // The off position of a start's dial.
      if (start.is_null() || start == "off") continue;
      const Result<int> minute = ParseTimeOfDay(start.is_string() ? start.get<std::string>() : start.dump());
      if (minute.ok()) programme.starts_min.push_back(*minute);
      if (!minute.ok()) reader.Fail(path + ".starts", minute.error());
    }
  }
  const auto minutes = reader.Int(object, "minutes", path + ".", 0, kMany);
  if (!minutes && !programme.starts_min.empty())
    reader.Fail(path + ".minutes", ordered_json(), "minutes are missing");
  programme.minutes = minutes.value_or(0);
  programme.percent = reader.Int(object, "percent", path + ".", 0, kMany);
  if (const auto days = object.find("days"); days != object.end() && !days->is_null()) {
    programme.days = ReadDays(reader, *days, path + ".days");
  }
  return programme;
}

TimerSettings ReadSettings(Reader& reader, const ordered_json& object) {
  TimerSettings settings;
  const std::optional<std::string> state = reader.Text(object, "state", "");
  if (state && *state != "on" && *state != "off") reader.Fail("state", *state, "the state is on or off");
  settings.on = !state || *state == "on";
  settings.percent = reader.Int(object, "percent", "", 0, kMany).value_or(100);
  const auto programmes = object.find("programmes");
  if (programmes == object.end() || !programmes->is_array()) {
    reader.Fail("programmes", programmes == object.end() ? ordered_json() : *programmes,
                "a list of programmes is wanted");
    return settings;
  }
  for (size_t i = 0; i < programmes->size(); ++i) {
    settings.programmes.push_back(
        ReadProgramme(reader, (*programmes)[i], "programmes[" + std::to_string(i) + "]"));
  }
  return settings;
}

template <typename Value, typename Read>
Result<Value> ParseDocument(std::string_view json, const std::string& file, Read read) {
  ordered_json document;
  try {
    document = ordered_json::parse(json);
  } catch (const nlohmann::json::out_of_range&) {
    return BadInput("a number in it is too large", {file, {}, "", ""});
  } catch (const nlohmann::json::parse_error& broken) {
    const size_t at = std::min(broken.byte, json.size());
    const int line =
        1 + static_cast<int>(std::count(json.begin(), json.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
    return BadInput("this is not JSON",
                    {file, line, "", std::string(json.substr(at > 10 ? at - 10 : 0, 20))});
  }
  Reader reader(file);
  if (!document.is_object()) return BadInput("an object is wanted", {file, 1, "", document.dump()});
  Value value = read(reader, document);
  if (reader.failed()) return reader.error();
  return value;
}

void PutInt(ordered_json& object, const char* key, const std::optional<int>& value) {
  if (value) object[key] = *value;
}

ordered_json JsonOf(const ControllerForm& form) {
  ordered_json object = ordered_json::object();
  if (!form.name.empty()) object["name"] = form.name;
  PutInt(object, "programmes", form.programmes);
  PutInt(object, "starts_per_programme", form.starts_per_programme);
  PutInt(object, "start_step_minutes", form.start_step_minutes);
  PutInt(object, "minutes_min", form.minutes_min);
  PutInt(object, "minutes_max", form.minutes_max);
  PutInt(object, "minutes_step", form.minutes_step);
  PutInt(object, "percent_min", form.percent_min);
  PutInt(object, "percent_max", form.percent_max);
  PutInt(object, "percent_step", form.percent_step);
  if (form.percent_scope) object["percent_scope"] = ToText(*form.percent_scope);
  if (form.day_patterns) {
    object["day_patterns"] = ordered_json::array();
    for (const DayPatternKind kind : *form.day_patterns) object["day_patterns"].push_back(ToText(kind));
  }
  if (form.odd_skips_31st) object["odd_skips_31st"] = *form.odd_skips_31st;
  PutInt(object, "every_n_max", form.every_n_max);
  if (form.follows_clock_change) object["follows_clock_change"] = *form.follows_clock_change;
  object["overlap"] = ToText(form.overlap);
  return object;
}

ordered_json JsonOf(const DayPattern& days) {
  if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
    ordered_json list = ordered_json::array();
    for (int day = 0; day < 7; ++day) {
      if (weekdays->Has(day)) list.push_back(kShortDays[static_cast<size_t>(day)]);
    }
    return list;
  }
  if (std::holds_alternative<OddDates>(days)) return "odd";
  if (std::holds_alternative<EvenDates>(days)) return "even";
  const auto& every = std::get<EveryNDays>(days);
  ordered_json object = {{"every", every.n}};
  if (every.from) object["from"] = FormatDate(*every.from);
  return object;
}

void PutSettings(ordered_json& document, const TimerSettings& settings) {
  document["state"] = settings.on ? "on" : "off";
  document["percent"] = settings.percent;
  document["programmes"] = ordered_json::array();
  for (const Programme& programme : settings.programmes) {
    ordered_json object = {{"starts", ordered_json::array()}};
    for (const int start : programme.starts_min) object["starts"].push_back(FormatTimeOfDay(start));
    object["minutes"] = programme.minutes;
    object["days"] = JsonOf(programme.days);
    PutInt(object, "percent", programme.percent);
    document["programmes"].push_back(object);
  }
}

}  // namespace

Result<DeviceSettings> ParseDeviceSettings(std::string_view json, const std::string& file) {
  return ParseDocument<DeviceSettings>(json, file, [](Reader& reader, const ordered_json& document) {
    reader.OnlyKeys(document, "", {"name", "notes", "controller", "state", "percent", "programmes"});
    DeviceSettings device;
    if (const auto found = document.find("controller"); found != document.end() && !found->is_null()) {
      device.form = ReadForm(reader, *found, "controller.");
    }
    device.settings = ReadSettings(reader, document);
    return device;
  });
}

Result<ControllerForm> ParseForm(std::string_view json, const std::string& file) {
  return ParseDocument<ControllerForm>(json, file, [](Reader& reader, const ordered_json& document) {
    return ReadForm(reader, document, "");
  });
}

Result<TimerSettings> ParseSettings(std::string_view json, const std::string& file) {
  return ParseDocument<TimerSettings>(json, file, [](Reader& reader, const ordered_json& document) {
    reader.OnlyKeys(document, "", {"state", "percent", "programmes"});
    return ReadSettings(reader, document);
  });
}

std::string ToJson(const DeviceSettings& device) {
  ordered_json document;
  document["controller"] = JsonOf(device.form);
  PutSettings(document, device.settings);
  return document.dump(2);
}

std::string FormToJson(const ControllerForm& form) { return JsonOf(form).dump(); }

std::string SettingsToJson(const TimerSettings& settings) {
  ordered_json document = ordered_json::object();
  PutSettings(document, settings);
  return document.dump();
}

}  // namespace lastreach
