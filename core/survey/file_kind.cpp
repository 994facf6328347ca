#include "core/survey/file_kind.h"

#include "core/base/error.h"
#include "core/survey/gdal_support.h"
#include "core/survey/read_obj.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

namespace brae {

FileKind kind_of_file(const std::filesystem::path& path) {
    require_plain_file(path);
    const std::string name = path.string();
    std::ifstream file(path, std::ios::binary);
    if (!file) throw Error(fmt::format("'{}' cannot be opened for reading; check its permissions", name));
    std::string start(4096, '\0');
    file.read(start.data(), static_cast<std::streamsize>(start.size()));
    start.resize(static_cast<std::size_t>(file.gcount()));
    const std::string_view head = start;
    const auto starts = [&](std::string_view sign) { return head.substr(0, sign.size()) == sign; };
    constexpr std::string_view accepted = "LAS, PLY, PCD, OBJ, XYZ, PTS, CSV, TXT, GeoTIFF, a grid, GeoPackage, Shapefile, GeoJSON or DXF";

    // Binary signatures.
    if (starts("ply\n") || starts("ply\r")) return FileKind::ply;
    using namespace std::string_view_literals;
    if (starts("II*\0"sv) || starts("MM\0*"sv) || starts("II+\0"sv) || starts("MM\0+"sv)) return FileKind::raster;
    if (starts("LASF")) return FileKind::las;
    if (starts("SQLite format 3") || starts("\0\0\x27\x0a"sv)) return FileKind::vector;
    if (starts("DSAA") || starts("DSBB") || starts("DSRB")) return FileKind::raster;
    if (starts("ASTM-E57"))
        throw Error(fmt::format("'{}' is E57, which is not read here; export it from the scanner's program as LAS, PLY or PTS", name));
    const std::string extension = lower_case(path.extension().string());
    // Plain arrays of numbers, told only by their name and the header beside them.
    if (extension == ".flt" || extension == ".bil" || extension == ".sdat") return FileKind::raster;
    if (extension == ".shx" || extension == ".dbf" || extension == ".prj")
        throw Error(fmt::format("'{}' only goes with another file ({}); name that one, and keep this beside it", name,
                                extension == ".prj" ? "it says that file's coordinate system" : "of a Shapefile, .shp"));
    if (starts("\xff\xfe") || starts("\xfe\xff"))
        throw Error(fmt::format("'{}' is text in UTF-16; save it as UTF-8 or plain text", name));

    // Text signatures.
    const std::string lower = lower_case(head.substr(0, 1024));
    const auto first = lower.find_first_not_of(" \t\r\n");
    const std::string_view body = first == std::string::npos ? std::string_view() : std::string_view(lower).substr(first);
    if (body.substr(0, 5) == "ncols" || body.substr(0, 5) == "nrows") return FileKind::raster;
    if (body.substr(0, 6) == "# .pcd" || (body.find("fields ") != body.npos && body.find("\ntype ") != body.npos)) return FileKind::pcd;
    if (head.find('\0') != head.npos)
        throw Error(fmt::format("'{}' is binary in a format that is not known here; wanted is {}", name, accepted));
    if (body.substr(0, 5) == "<vrtd" || body.substr(0, 9) == "<gdal_wms" || body.substr(0, 9) == "<gdal_wmt" || body.substr(0, 8) == "<ogrvrtd" ||
        body.substr(0, 5) == "<wcs_")
        throw Error(fmt::format("'{}' is no survey itself but leads to other files or addresses, which are not followed; name the file "
                                "with the heights", name));
    if (!body.empty() && body.front() == '{' && (body.find("\"features\"") != body.npos || body.find("\"coordinates\"") != body.npos))
        return FileKind::vector;
    if (extension == ".dxf" || extension == ".geojson") return FileKind::vector;
    if (extension == ".obj" || (!body.empty() && looks_like_obj(head))) return FileKind::obj;
    if (!body.empty() && (body.front() == '{' || body.front() == '<' || body.substr(0, 5) == "%pdf-"))
        throw Error(fmt::format("'{}' holds no list of points; wanted is {}", name, accepted));
    if (body.empty() && start.size() < 4096)
        throw Error(fmt::format("'{}' holds only blank lines; wanted is {}", name, accepted));
    return FileKind::text;
}

}  // namespace brae
