#include "app/year_on_paper.h"

#include "report/changes_list.h"
#include "report/drought_sheet.h"
#include "report/season_calendar.h"
#include "report/year_paper.h"
#include "year/year_json.h"

namespace lastreach {
namespace {

YearPaper PaperOf(const YearAnswer& year, const ProjectFacts& facts) {
  YearPaper paper;
  paper.name = year.name;
  paper.trip_months = year.trip_months;
  for (const DeviceFacts& device : facts.devices) {
    paper.forms[device.point.code] = device.form;
    if (device.present) paper.present[device.point.code] = *device.present;
  }
  return paper;
}

}  // namespace

Result<std::optional<YearAnswer>> LatestYear(const Project& project, const std::string& file) {
  const auto stored = project.LatestYearPlan();
  if (!stored.ok()) return stored.error();
  if (!*stored) return std::optional<YearAnswer>();
  auto year = YearFromJson((*stored)->json, file);
  if (!year.ok()) return year.error();
  return std::optional<YearAnswer>(*std::move(year));
}

Status PrintYearSheets(const YearAnswer& year, const ProjectFacts& facts, const SheetOptions& desk,
                       const std::string& folder, std::vector<std::string>& files) {
  if (year.plan.devices.empty()) return Ok();
  const YearPaper paper = PaperOf(year, facts);
  files.emplace_back("season-calendar.pdf");
  Status written = WriteSeasonCalendar(year.plan, paper, desk, folder + "/" + files.back());
  if (!written.ok()) return written;
  files.emplace_back("year-changes.pdf");
  written = WriteYearChangesList(year.plan, paper, desk, folder + "/" + files.back());
  if (!written.ok() || year.drought.empty()) return written;
  std::map<PointCode, std::string> places;
  for (const DeviceFacts& device : facts.devices) places[device.point.code] = device.point.place;
  files.emplace_back("drought.pdf");
  return WriteDroughtSheet(year.drought, places, desk, folder + "/" + files.back());
}

}  // namespace lastreach
