#pragma once

#include <string>
#include <string_view>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/result.h"

namespace lastreach {

// One device's timer: what it accepts and what is keyed into it. The JSON form is in
// docs/formats/settings.md.
struct DeviceSettings {
  ControllerForm form;
  TimerSettings settings;
  friend bool operator==(const DeviceSettings&, const DeviceSettings&) = default;
};

// `file` names the source in errors. A missing or null item of "controller" means "don't know".
// ERROR: kBadInput naming file, line (of broken JSON) or the path of the item, and its value.
Result<DeviceSettings> ParseDeviceSettings(std::string_view json, const std::string& file);

// ToJson(Parse(x)) keeps every value of x; Parse(ToJson(y)) == y.
std::string ToJson(const DeviceSettings& device);

// The two halves alone, for the ledger: the "controller" object, and the rest.
std::string FormToJson(const ControllerForm& form);
std::string SettingsToJson(const TimerSettings& settings);
Result<ControllerForm> ParseForm(std::string_view json, const std::string& file);
Result<TimerSettings> ParseSettings(std::string_view json, const std::string& file);

}  // namespace lastreach
