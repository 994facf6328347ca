#include "core/export/line_file.h"

#include "core/base/safe_file.h"

#include <fmt/format.h>
#include <fstream>

namespace brae {

std::vector<NamedLine> named_contours(const std::vector<ContourLine>& contours, double datum_m) {
    std::vector<NamedLine> out;
    for (const ContourLine& c : contours) out.push_back({{{"height_m", c.height + datum_m}}, c.points, c.closed});
    return out;
}

void write_lines_geojson(const std::vector<NamedLine>& lines, const Frame& frame, const std::filesystem::path& file) {
    std::string text = "{\"type\":\"FeatureCollection\",";
    if (!frame.has_crs()) text += "\"note\":\"local metres, the survey has no coordinate system\",";
    text += "\"features\":[";
    for (std::size_t k = 0; k < lines.size(); ++k) {
        const NamedLine& line = lines[k];
        text += k ? ",\n" : "\n";
        text += "{\"type\":\"Feature\",\"properties\":{";
        bool first = true;
        for (const auto& [name, value] : line.properties) {
            text += fmt::format("{}\"{}\":{:.6g}", first ? "" : ",", name, value);
            first = false;
        }
        text += "},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[";
        const std::size_t count = line.points.size() + (line.closed ? 1 : 0);
        for (std::size_t i = 0; i < count; ++i) {
            const Vec2 p = line.points[i % line.points.size()];
            const Vec2 q = frame.has_crs() ? frame.to_lonlat(p) : p;
            text += frame.has_crs() ? fmt::format("{}[{:.9f},{:.9f}]", i ? "," : "", q.x, q.y)
                                    : fmt::format("{}[{:.4f},{:.4f}]", i ? "," : "", q.x, q.y);
        }
        text += "]}}";
    }
    text += "\n]}\n";
    write_file_safely(file, text);
}

}  // namespace brae
