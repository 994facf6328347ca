// Green files of older schemas: read as they are, and brought up to date when they are next written.
#pragma once

#include "core/record/green_tables.h"

#include <string>

namespace brae {

// The expressions that read `columns` (comma separated) of `table` from a file of `schema`: a column that is younger than
// the file reads as its default.
std::string columns_of_schema(const std::string& table, const std::string& columns, int schema);

// Adds what a file of schema `from` lacks, within the caller's transaction; the file's own rows stay as they are. Does
// not write the number of the schema: write_meta does.
void migrate_green_file(Database& db, int from, const FileFrame& frame);

}  // namespace brae
