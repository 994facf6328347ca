// The tables of a lesson file, once, and the steps from older schemas. docs/file-formats.md says it for people.
#pragma once

#include "core/record/geopackage.h"

#include <string>
#include <vector>

namespace brae {

// "BRLS": tells the file from other databases.
inline constexpr std::int64_t kLessonApplication = 0x42524c53;

void create_lesson_tables(Database& db, int schema);

// One step: what SQL brings a file of schema `to` - 1 to `to`.
struct LessonStep { int to; std::vector<std::string> sql; };
const std::vector<LessonStep>& lesson_steps();
// Within the caller's transaction; the file's own rows stay as they are.
void migrate_lesson_file(Database& db, int from, const std::vector<LessonStep>& steps);

}  // namespace brae
