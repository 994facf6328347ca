// The green file: one GeoPackage that any GIS opens. Reading, writing safely, and reading raw surveys as a green.
#pragma once

#include "core/base/progress.h"
#include "core/record/green.h"
#include "core/survey/read_survey.h"
#include "core/terrain/build_terrain.h"

#include <filesystem>

namespace brae {

// Writes a new file: builds FILE.part beside it, syncs, renames over FILE. What was there stays until the rename.
// Layers: elevation and standard error as tiled gridded coverages, outline, reference marks, holes, zones, stations,
// speed readings, the spline's coefficients as a table of doubles, brae_meta. No personal data. Throws Error, and leaves
// what was there, for a missing or read-only folder, a symbolic link, a full disk, a file that another program holds or that is
// open for editing elsewhere (edit_lock.h), and where `over_revision` is given and the file is at another revision by now.
void write_green_file(const Green& green, const std::filesystem::path& file, Progress& progress, std::optional<int> over_revision = {});

// Replaces the vector tables (holes, zones, stations, speeds, marks) of an existing file in one transaction, and with them
// the outline, its gaps and the mask where the outline is another one (core/terrain/new_outline.h).
// Throws Error when the file is missing, of another green id or surface revision, newer than `green.revision - 1`, or open for
// editing in another process (edit_lock.h).
void update_green_file(const Green& green, const std::filesystem::path& file);

// Throws Error where a green could not be stored as it is: no terrain, rings of fewer than three corners, marks of equal names.
void check_green(const Green& green);

// Reads a green file. Throws Error with one sentence: not a GeoPackage, no brae tables, a newer schema, damaged.
Green read_green_file(const std::filesystem::path& file);

// A green from a green file, or from any survey or elevation file with default settings (revision 0, unsaved).
Green open_green(const std::filesystem::path& file, Progress& progress);

// A green from a survey that was read and cleaned: builds the terrain, takes over marks and today's hole.
Green make_green(Survey survey, const std::string& name, const BuildOptions& options, Progress& progress);

// A green that was surveyed again: the new ground with what people have put on the old one. Keeps id, name, holes, zones,
// stations (which then say that they belong to another surface) and speed readings; marks of the new survey replace those
// of the same name, the others stay; revision and surface revision go up by one. `fresh` must be in the frame of `old`
// (ReadOptions::frame); throws Error otherwise. What now lies outside the outline is named in the terrain's warnings.
Green renewed_green(const Green& old, Green fresh);

// A random UUID (RFC 9562, version 4).
std::string new_uuid();

}  // namespace brae
