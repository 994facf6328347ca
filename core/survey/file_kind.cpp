#include "core/survey/file_kind.h"

#include "core/base/error.h"
#include "core/survey/gdal_support.h"
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
    constexpr std::string_view accepted = "PLY, PCD, XYZ, PTS, CSV, TXT, GeoTIFF or ESRI ASCII grid";

    // Binary signatures.
    if (starts("ply\n") || starts("ply\r")) return FileKind::ply;
    using namespace std::string_view_literals;
    if (starts("II*\0"sv) || starts("MM\0*"sv) || starts("II+\0"sv) || starts("MM\0+"sv)) return FileKind::raster;
    if (starts("LASF"))
        throw Error(fmt::format("'{}' is a LAS or LAZ file, which this version does not read; export it as {}", name, accepted));
    if (starts("SQLite format 3"))
        throw Error(fmt::format("'{}' is a GeoPackage or another SQLite database, not a survey; wanted is {}", name, accepted));
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
    if (!body.empty() && (body.front() == '{' || body.front() == '<' || body.substr(0, 5) == "%pdf-"))
        throw Error(fmt::format("'{}' holds no list of points; wanted is {}", name, accepted));
    if (body.empty() && start.size() < 4096)
        throw Error(fmt::format("'{}' holds only blank lines; wanted is {}", name, accepted));
    return FileKind::text;
}

}  // namespace brae
