#pragma once

#include "core/result.h"
#include "store/database.h"

namespace lastreach {

// The newest version of the project file this program writes. Each version is one entry in the list of
// migrations in schema.cc; entries are only ever appended, and never changed once a release has written them.
int NewestSchemaVersion();

// Version of an open file. ERROR: kBadInput if it is not a project of ours or is newer than this program.
Result<int> SchemaVersion(Database& database);

// Brings the file up to `version`, all of it or nothing. A new, empty file is at version 0.
// DEFAULT: the newest. A lower number is for tests of later migrations.
Status Migrate(Database& database, int version = NewestSchemaVersion());

// GeoPackage 1.3 header of an empty file: application_id, user_version and the three tables every GeoPackage
// has. SOURCE: [OGC 12-128r17] clauses 1.1.1 to 1.1.3 and 2.1.5.
Status WriteGeoPackageFrame(Database& database);

}  // namespace lastreach
