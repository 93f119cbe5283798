#pragma once

#include <string>
#include <string_view>

namespace lastreach {

// A street's name in one spelling: small letters, no signs, common short forms written out, so that "N. Elm
// St" and "NORTH ELM STREET" are equal: "north elm street". "St" before a name is a saint. Letters beyond
// ASCII stay.
std::string PlainStreet(std::string_view written);

// The same of an address: what follows a comma, a flat's number and the house's number, before or behind the
// name, are left out. "12A Elm St, Apt 4" gives "elm street", "12 County Road 7" "county road 7".
std::string PlainStreetOfAddress(std::string_view written);

// True if a service's street, with or without a house number, is a main's: `main_street` is a PlainStreet().
bool IsOnStreet(std::string_view service_street, const std::string& main_street);

}  // namespace lastreach
