// Wavefront OBJ meshes: their vertices.
#pragma once

#include "core/base/progress.h"
#include "core/survey/raw_survey.h"

namespace brae {

// Vertices as 64-bit numbers in file order; normals, textures, faces and materials are passed over, and no file that the
// mesh names (mtllib) is opened. Throws Error for a vertex that is no three finite numbers, naming the line.
RawSurvey read_obj(const std::filesystem::path& path, Progress& progress);

// Whether the start of a text is that of an OBJ mesh: a vertex line, and nothing that OBJ does not know before it.
bool looks_like_obj(std::string_view start);

// Turns a cloud or mesh whose second axis is up, told by its extents (plan wide, height shallow), to z up: (x, y, z) becomes
// (x, -z, y), with a warning. Nothing happens where the axes leave it open.
void turn_y_up(RawSurvey& raw);

}  // namespace brae
