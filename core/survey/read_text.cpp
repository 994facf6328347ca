#include "core/survey/read_text.h"

#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// One coordinate, or the sentence that says why it is none.
double coordinate(const std::vector<std::string_view>& fields, int column, const TextLayout& layout, const char* what,
                  const std::string& name, std::size_t line) {
    const std::string_view text = fields[static_cast<std::size_t>(column)];
    const auto value = parse_number(text, layout.decimal_comma);
    if (!value)
        throw Error(fmt::format("'{}', line {}: {} where a number is wanted ({}, column {})", name, line, quote(text), what,
                                column + 1));
    if (!std::isfinite(*value))
        throw Error(fmt::format("'{}', line {}: {} is {}; a finite number is wanted", name, line, what, quote(text)));
    return *value;
}

}  // namespace

RawSurvey read_text(const std::filesystem::path& path, Progress& progress, const std::optional<Box>& clip) {
    const std::string name = path.string();
    const MappedFile file(path);
    // No row of a survey is this long; what is would cost its own size again further down.
    constexpr std::size_t longest = 1'000'000;
    for (std::size_t at = 0; at < file.bytes().size();) {
        const std::size_t end = std::min(file.bytes().find_first_of("\n\r", at), file.bytes().size());
        if (end - at > longest)
            throw Error(fmt::format("'{}', line {}: it is {} bytes long and starts with {}; rows of numbers are wanted", name,
                                    1 + std::count(file.bytes().begin(), file.bytes().begin() + static_cast<std::ptrdiff_t>(at), '\n'),
                                    end - at, quote(file.bytes().substr(at, 60))));
        // The next look is one longest line on, at the start of the line that it falls into.
        if (file.bytes().size() - at <= longest) break;
        const std::size_t back = file.bytes().find_last_of("\n\r", at + longest);
        at = back == std::string_view::npos || back < at ? end + 1 : back + 1;
    }

    // Old controllers write letters in one byte each.
    std::string decoded;
    const bool latin = !is_utf8(file.bytes());
    if (latin) decoded = utf8_from_latin1(file.bytes());
    const std::string_view bytes = latin ? std::string_view(decoded) : file.bytes();
    const std::string extension = lower_case(path.extension().string());
    TextLayout layout = detect_layout(bytes, name, extension == ".csv");

    RawSurvey raw;
    raw.path = path;
    raw.kind = layout.name >= 0 || layout.code >= 0 ? RawSurvey::Kind::levels : RawSurvey::Kind::cloud;
    if (latin) raw.warnings.push_back(fmt::format("'{}' is not in UTF-8; its letters are read as Latin-1", name));
    raw.metres_per_unit = layout.metres_per_unit;
    raw.metres_per_height = layout.metres_per_height;
    if (layout.lonlat) {
        raw.crs = "EPSG:4326";
        raw.names_units = true;
        raw.warnings.push_back(fmt::format("'{}' gives longitude and latitude; they are taken for WGS 84", name));
    }
    PointThinner sink(raw, raw.kind == RawSurvey::Kind::cloud ? std::min<std::size_t>(bytes.size() / 20, layout.count.value_or(bytes.size()) + 1) : 0, clip);

    LineReader lines(bytes);
    std::vector<std::string_view> fields;
    bool header = layout.header, count = layout.count.has_value();
    for (std::string_view line; lines.next(line);) {
        if (is_comment(line)) continue;
        if (count || header) {
            (count ? count : header) = false;
            continue;
        }
        if ((raw.rows & 0x3fff) == 0) {
            progress.step(static_cast<double>(lines.offset()) / static_cast<double>(bytes.size()), "reading " + name);
            if (!latin) file.done_with(lines.offset());
        }
        const bool whole = split_fields(line, layout.separator, fields);
        const bool fits = whole && fields.size() >= layout.fewest && (layout.open_end || fields.size() == layout.columns);
        if (!fits) {
            throw Error(fmt::format("'{}', line {}: {}{} column{} in {} where the first row has {}", name, lines.number(),
                                    whole ? "" : "more than ", fields.size(), fields.size() == 1 ? "" : "s", quote(line),
                                    layout.columns));
        }
        const Vec3 p{coordinate(fields, layout.x, layout, "easting", name, lines.number()),
                     coordinate(fields, layout.y, layout, "northing", name, lines.number()),
                     coordinate(fields, layout.z, layout, "height", name, lines.number())};
        ++raw.rows;
        if (raw.kind == RawSurvey::Kind::cloud) {
            sink.add(p);
            continue;
        }
        RawLevel level;
        level.p = p;
        const auto text = [&](int column) {
            const auto i = static_cast<std::size_t>(column);
            return column >= 0 && i < fields.size() ? std::string(fields[i]) : std::string();
        };
        level.name = text(layout.name);
        level.code = text(layout.code);
        level.description = text(layout.description);
        // Separators inside the last text column belong to it.
        if (layout.open_end && fields.size() > layout.columns) {
            const int last = std::max(layout.code, layout.description);
            const auto i = static_cast<std::size_t>(last);
            if (i < fields.size()) {
                const std::size_t at = static_cast<std::size_t>(fields[i].data() - line.data());
                (last == layout.code ? level.code : level.description) = std::string(trimmed(line.substr(at)));
            }
        }
        raw.levels.push_back(std::move(level));
    }
    sink.finish();
    if (layout.count && *layout.count != raw.rows)
        throw Error(fmt::format("'{}' says {} points, holds {}; the file is cut short or its first line is wrong", name,
                                *layout.count, raw.rows));
    return raw;
}

}  // namespace brae
