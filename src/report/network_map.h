#pragma once

#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"
#include "report/map_scale.h"
#include "report/page.h"
#include "report/sheet_options.h"

namespace lastreach {

// A place on the ground, metres east and north of any point.
struct MapPlace {
  double east_m = 0;
  double north_m = 0;
};

struct MapPipe {
  std::vector<MapPlace> line;
  double value = 0;      // in the unit of the scale; not finite where nothing is known
  bool singled = false;  // a white line along its middle: what NetworkMap::singled_words says
};

enum class MapMarkKind { kDevice, kEnd, kSource, kTank };

struct MapMark {
  MapMarkKind kind = MapMarkKind::kEnd;
  MapPlace at;
  std::string label;  // written beside it; empty for none
};

// The network with a value on each pipe, for a wall or a meeting.
struct NetworkMap {
  std::string title;   // "How old the water gets"
  std::string period;  // what place, what days
  std::string words;   // what a pipe's colour says, one sentence
  MapScale scale;
  std::string singled_words;  // "below the target of its zone"; empty where no pipe is singled out
  std::vector<MapPipe> pipes;
  std::vector<MapMark> marks;
  std::vector<std::string> notes;  // what it rests on: assumed numbers first
};

// One page on its side: the map, and beside it the classes with their colours and widths, what the marks
// mean, north, a scale bar and the notes. Bad pipes are drawn last and widest; names stand where they cover
// neither each other nor a mark, and are left out (and counted) where they would.
// REQUIRES: a pipe with two different places.
void DrawNetworkMap(Canvas& canvas, const NetworkMap& map, SheetUnits units);

// The same as `stem`.pdf, and `stem`.png of 1980 pixels across. ERROR: kBadInput if a file cannot be written;
// kBadRequest if there is nothing to draw.
Status WriteNetworkMap(const NetworkMap& map, const SheetOptions& options, const std::string& stem);

}  // namespace lastreach
