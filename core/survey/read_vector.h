// Points and lines with heights from a GIS or a drawing: GeoPackage, Shapefile, GeoJSON, DXF.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Every point, and the corners of every line and ring, that carries a height of its own or in a column named for one.
// Codes and names come from columns as in a CSV, else from the name of the layer where that means something (an "edge" layer).
// Throws Error where no driver of the list reads the file, or where nothing has a height.
RawSurvey read_vector(const std::filesystem::path& path, Progress& progress);

}  // namespace brae
