// From files to a Survey: the one entry point that picks the reader, the units and the local frame.
#pragma once

#include "core/base/progress.h"
#include "core/survey/removed_points.h"
#include "core/survey/survey.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace brae {

struct ReadOptions {
    std::string crs;                              // "EPSG:27700" or WKT; empty: from the file
    std::string units;                            // "m", "ft", "us-ft"; empty: from the file, metres where it is silent
    std::string height_units;                     // the same for heights where they differ
    std::optional<std::filesystem::path> outline; // GeoJSON, GeoPackage or Shapefile
    std::optional<Box> clip;                      // in map coordinates, applied before the frame is set; marks and hole stay
    std::optional<FrameSpec> frame;               // of a green that is surveyed again: its frame never moves
    SurveyMethod method = SurveyMethod::unknown;
    std::string date, top_dressed;                // days, "2026-05-02"; date empty: from the file where it says
    std::optional<double> height_of_cut_m;
};

// Reads one or several files (they become one survey; levels and marks CSVs may accompany a cloud or a raster).
// Formats: LAS (LAZ with LASzip), PLY, OBJ, PCD, XYZ, XYZN, PTS, CSV/TXT, GeoTIFF, ESRI, Surfer and SAGA grids, GeoPackage,
// Shapefile, GeoJSON, DXF. The kind is taken from the content where the name lies.
// Throws Error with one sentence naming the file, what was found and what is wanted: missing, empty, text where
// numbers belong (with the line number), mixed column counts, NaN, not a surface, fewer than 10 points.
Survey read_survey(const std::vector<std::filesystem::path>& files, const ReadOptions& options, Progress& progress);

// What a point code means in the trade; case and digits at the end are ignored ("EDGE1", "edge" -> edge).
enum class CodeMeaning { ground, edge, tier_top, tier_toe, hole, mark, other };
CodeMeaning meaning_of_code(const std::string& code);

// Marks in `removed` what is not turf: clutter above, noise below, stray points. Robust interpolation with asymmetric
// weights (Kraus and Pfeifer 1998), a quadric a cell, after a first ground pick per cell.
// What `put_back` names stays in. Returns the counts by reason, indexed by RemovalReason.
std::vector<std::size_t> clean_survey(Survey& survey, Progress& progress, const PutBack& put_back = {});

// The boundary of the data: outer ring of the union of discs round the kept points (radius from their spacing).
Outline data_boundary(const Survey& survey, const Progress& progress = {});

}  // namespace brae
