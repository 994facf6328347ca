// Lines of a green as GeoJSON.
#pragma once

#include "core/survey/frame.h"
#include "core/terrain/slope.h"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace brae {

struct NamedLine {
    std::map<std::string, double> properties;
    std::vector<Vec2> points;   // local metres
    bool closed = false;
};

// Contours with their height over the survey's datum as height_m; `datum_m` is that of local z = 0.
std::vector<NamedLine> named_contours(const std::vector<ContourLine>& contours, double datum_m);

// RFC 7946: longitude and latitude, nine decimals. Where the survey had no system the coordinates are local metres and
// the file says so in a member "note". Writes a part beside FILE and renames.
void write_lines_geojson(const std::vector<NamedLine>& lines, const Frame& frame, const std::filesystem::path& file);

}  // namespace brae
