// From survey files to a green, and the same once more with another choice of what is put back.
#pragma once

#include "core/record/green.h"

namespace brae {

// What is to be read, and how. read.frame and read.outline are used.
struct SurveyOrder {
    std::vector<std::filesystem::path> files;
    ReadOptions read;
    double cell_m = 0;
    PutBack put_back;
    std::optional<Outline> edge;   // a ring that was drawn on the green, in its frame: rules over what the files say
    std::optional<Outline> former_edge;   // the edge that the green had, in its frame: taken where the files bring none (keep_former_edge)
};

// Reads, cleans, fits. The green remembers its files and options; revision 0, unsaved. Throws Error as read_survey and
// build_terrain do, and knows how far its data reach and how well what was put back lies on the surface. Progress runs once from
// 0 to 1 over all of it. `coded`: how many points of the files carry a code.
Green green_from_survey(const SurveyOrder& order, const std::string& name, Progress& progress, std::size_t* coded = nullptr);

// The green with its survey read again from its sources and `put_back` in place of what was put back before, under `edge` where
// one is given, such as a ring drawn past the surface (needs_new_surface), else under the edge that it has. The frame stays; what
// people have put on the green is kept, as renewed_green says. A green that was never stored (revision 0) keeps its revisions.
// Throws Error where the green does not know its survey, or a source has gone or changed (source_fault).
Green survey_again(const Green& old, const PutBack& put_back, Progress& progress, std::size_t* coded = nullptr,
                   const std::optional<std::vector<Vec2>>& edge = {});

// The same record with one source replaced by `file`. Throws Error where there is no such file.
SurveyRecord with_source(SurveyRecord record, const SurveySource& old, const std::filesystem::path& file);

}  // namespace brae
