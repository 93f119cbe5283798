#pragma once

#include "report/network_map.h"

namespace lastreach {

// What stands beside a map, and how its lines and marks are drawn on both.

inline constexpr Ink kGroundInk{0.975, 0.970, 0.955};

// Along the middle of a pipe singled out: to be seen on dark ink, and on a grey copy.
inline const LineStyle kSingledStyle{.width_pt = 0.8, .ink = kWhite};

// Not finite: thin, grey and dashed.
LineStyle PipeStyle(const MapScale& scale, double value);

double RadiusOf_pt(MapMarkKind kind);
void DrawMark(Canvas& canvas, Point at, MapMarkKind kind);

// `left_out`: names that found no place. Notes that find no room end with how many more there are.
void DrawLegend(Canvas& canvas, Point at, double width_pt, double height_pt, const NetworkMap& map,
                double metres_per_pt, SheetUnits units, int left_out);

}  // namespace lastreach
