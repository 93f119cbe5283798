#pragma once

#include "app/test_program.h"

namespace lastreach {

// Little sheets of an invented system with two devices, as somebody would type them.
inline constexpr const char* kTimersCsv =
    "Name,Programmes,Starts per programme,Start step (min),Minutes max,Follows clock change\n"
    "grey box,3,4,5,240,no\n";
inline constexpr const char* kZonesCsv =
    "Name,Disinfectant,Target mg/L,Upstream mg/L,Loss per day at 20 C,Worst week F\n"
    "North,free chlorine,0.4,1.2,0.5,77\n";
inline constexpr const char* kDevicesCsv =
    "Device,Where,Zone,Timer,Length (ft),Pipe dia (in),Material,Services,Flow (gpm),P1 starts,P1 minutes,P1 "
    "days\n"
    "D1,End of Alder Way,North,grey box,600,6,PVC,6,60,1:10,20,M W F\n"
    "D2,Birch Court,North,grey box,about 300,6,PVC,4,40,2:00,10,daily\n";
inline constexpr const char* kSamplesCsv =
    "Device,Date,Time,Free mg/L\n"
    "D1,2026-07-03,08:00,0.3\n"
    "D2,2026-07-14,09:15,ND\n";

// A project of those sheets.
class WithAProject : public InAFolder {
 protected:
  WithAProject() : project_(Path("mill.gpkg")) {
    ExpectDone(RunProgram({"new", project_, "--zone", "America/Chicago", "--name", "Mill End"}));
  }
  Answer Import(const std::string& sheet, const std::string& kind, std::vector<std::string> more = {},
                const char* now = kTestNow) const {
    std::vector<std::string> words = {"import", project_, sheet, "--as", kind};
    words.insert(words.end(), more.begin(), more.end());
    return RunProgram(words, now);
  }
  void ImportAll() const {
    ExpectDone(Import(Write("timers.csv", kTimersCsv), "controllers"));
    ExpectDone(Import(Write("zones.csv", kZonesCsv), "zones"));
    ExpectDone(Import(Write("devices.csv", kDevicesCsv), "devices"));
  }

  std::string project_;
};

}  // namespace lastreach
