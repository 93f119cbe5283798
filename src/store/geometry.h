#pragma once

#include <optional>

#include "core/result.h"
#include "ledger/flush_point.h"
#include "store/database.h"

namespace lastreach {

// A point as GeoPackage stores it: an 8-byte header ("GP", version 0, flags, reference system 4326) and
// well-known binary, both little-endian.
// SOURCE: [OGC 12-128r17] clause 2.1.3; [OGC 06-103r4] clause 8.2.
Blob PointBlob(const Position& position);

// Reads either byte order and skips an envelope, since another program may have moved the point.
// ERROR: kBadInput if it is no point. An empty point is none.
Result<std::optional<Position>> ReadPointBlob(const Blob& bytes);

}  // namespace lastreach
