// By-products of disinfection and what was supplied: the records of no single point.
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<ByproductResult> ReadByproduct(const Row& row) {
  const auto day = ReadDate(row, "day");
  if (!day.ok()) return day.error();
  const auto byproduct = ParseByproduct(row.Text("byproduct"));
  if (!byproduct.ok()) return byproduct.error();
  return ByproductResult{ByproductId{row.Int("id")},
                         row.Text("site"),
                         *day,
                         *byproduct,
                         Concentration::MicrogramsPerLitre(row.Number("value_ug_per_l")),
                         row.Int("below_detection") != 0,
                         row.Text("original")};
}

Result<SuppliedMonth> ReadSupplied(const Row& row) {
  return SuppliedMonth{static_cast<int>(row.Int("year")), static_cast<int>(row.Int("month")),
                       Volume::CubicMetres(row.Number("supplied_m3"))};
}

constexpr const char* kInMonth = "year = ? AND month = ?";

}  // namespace

Result<ByproductId> Project::AddByproduct(const ByproductResult& result, ByproductId replaces) {
  if (result.site.empty()) return BadInput("a laboratory result needs its site", {"", {}, "site", ""});
  const auto id = impl_->AddRowOf("byproducts", {"site", result.site},
                                  {{"site", result.site},
                                   {"day", DateValue(result.day)},
                                   {"byproduct", TextOf(ToText(result.byproduct))},
                                   {"value_ug_per_l", NumberValue(result.value, kMicrogramsPerLitre)},
                                   {"below_detection", int64_t{result.below_detection}},
                                   {"original", result.original}},
                                  replaces.number);
  if (!id.ok()) return id.error();
  return ByproductId{*id};
}

Result<std::vector<ByproductResult>> Project::Byproducts() const {
  return impl_->List<ByproductResult>(CurrentRows("byproducts", "", "day, id"), {}, ReadByproduct);
}

Status Project::PutSuppliedMonth(const SuppliedMonth& supplied) {
  if (supplied.month < 1 || supplied.month > 12) {
    return BadInput("there is no such month", {"", {}, "month", std::to_string(supplied.month)});
  }
  return InTransaction([&]() -> Status {
    const std::vector<Value> when = {int64_t{supplied.year}, int64_t{supplied.month}};
    const std::string standing = CurrentRows("supplied_months", kInMonth, "id");
    const auto there = impl_->List<SuppliedMonth>(standing, when, ReadSupplied);
    if (!there.ok()) return there.error();
    if (!there->empty() && there->front() == supplied) return Ok();
    const auto old = impl_->database->QueryInt("SELECT id FROM (" + standing + ")", when);
    if (!old.ok()) return old.error();
    const auto added = impl_->database->Insert("supplied_months",
                                               {{"year", int64_t{supplied.year}},
                                                {"month", int64_t{supplied.month}},
                                                {"supplied_m3", NumberValue(supplied.supplied, kCubicMetres)},
                                                {"replaces", old->has_value() ? Value(**old) : Value()}});
    return added.ok() ? Ok() : Status(added.error());
  });
}

Result<std::vector<SuppliedMonth>> Project::SuppliedMonths() const {
  return impl_->List<SuppliedMonth>(CurrentRows("supplied_months", "", "year, month, id"), {}, ReadSupplied);
}

}  // namespace lastreach
