#include "core/survey/read_text.h"

#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"
#include "core/survey/text_rows.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <fmt/format.h>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

// Where another sign would part a line into as many columns as the rows before: "; semicolons stand between its columns, ...".
std::string another_sign(std::string_view line, const TextLayout& layout) {
    constexpr std::pair<char, const char*> kSigns[] = {{',', "commas"}, {';', "semicolons"}, {'\t', "tabs"}, {'|', "bars"}, {' ', "blanks"}};
    std::vector<std::string_view> fields;
    for (const auto& [sign, word] : kSigns) {
        if (sign == layout.separator || !split_fields(line, sign, fields) || fields.size() != layout.columns) continue;
        for (const auto& [own, own_word] : kSigns)
            if (own == layout.separator) return fmt::format("; {} stand between its columns, {} between those of the first row", word, own_word);
    }
    return {};
}

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

constexpr std::size_t kBlock = 1 << 20, kBlocksAtOnce = 8;
constexpr std::size_t kMostLevelBytes = 64'000'000;

// The next blocks of whole lines; `at` moves behind them.
std::vector<std::string_view> blocks_from(std::string_view bytes, std::size_t& at, char line_end) {
    std::vector<std::string_view> blocks;
    while (blocks.size() < kBlocksAtOnce && at < bytes.size()) {
        const std::size_t end = bytes.find(line_end, std::min(at + kBlock, bytes.size()));
        const std::size_t length = (end == bytes.npos ? bytes.size() : end + 1) - at;
        blocks.push_back(bytes.substr(at, length));
        at += length;
    }
    return blocks;
}

// Whether the whole file is UTF-8. Blocks end at line ends, which are never part of a letter.
bool all_utf8(const MappedFile& file, const std::string& name, Progress& progress) {
    const std::string_view bytes = file.bytes();
    for (std::size_t at = 0; at < bytes.size();) {
        progress.step(0, "reading " + name);
        const std::vector<std::string_view> blocks = blocks_from(bytes, at, '\n');
        std::atomic<bool> all = true;
        tbb::parallel_for(std::size_t{0}, blocks.size(), [&](std::size_t k) {
            if (!is_utf8(blocks[k])) all = false;
        });
        if (!all) return false;
        file.done_with(at);
    }
    return true;
}

// The rows of a list of levels, with their names and codes. `tick` is called now and then.
template <class RowOf, class Tick>
void read_levels(LineReader& lines, const TextLayout& layout, bool latin, const RowOf& row_of, RawSurvey& raw, const Tick& tick) {
    std::vector<std::string_view> fields;
    std::string decoded;
    for (std::string_view line; lines.next(line);) {
        if ((lines.number() & 0xfff) == 0) tick();
        if (is_comment(line)) continue;
        if (latin) {
            decoded = utf8_from_latin1(line);
            line = decoded;
        }
        RawLevel level;
        level.p = row_of(line, lines.number(), fields);
        ++raw.rows;
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
    const std::string_view bytes = file.bytes();
    const bool latin = !all_utf8(file, name, progress);
    std::string head;
    if (latin) head = utf8_from_latin1(bytes.substr(0, 5'000'000));
    const std::string extension = lower_case(path.extension().string());
    TextLayout layout = detect_layout(latin ? head : bytes, name, extension == ".csv");

    RawSurvey raw;
    raw.path = path;
    raw.kind = layout.name >= 0 || layout.code >= 0 ? RawSurvey::Kind::levels : RawSurvey::Kind::cloud;
    // Nobody picks millions of levels: names and codes of so many say nothing, and each would cost more than its point.
    if (raw.kind == RawSurvey::Kind::levels && bytes.size() > kMostLevelBytes) {
        raw.kind = RawSurvey::Kind::cloud;
        raw.warnings.push_back(fmt::format("'{}' holds {:.0f} MB of points with names or codes, more than are picked by hand; it is read as a "
                                           "cloud, without them", name, 1e-6 * static_cast<double>(bytes.size())));
    }
    if (latin) raw.warnings.push_back(fmt::format("'{}' is not in UTF-8; its letters are read as Latin-1", name));
    raw.metres_per_unit = layout.metres_per_unit;
    raw.metres_per_height = layout.metres_per_height;
    if (layout.lonlat) {
        raw.crs = "EPSG:4326";
        raw.names_units = true;
        raw.warnings.push_back(fmt::format("'{}' gives longitude and latitude; they are taken for WGS 84", name));
    }
    PointThinner sink(raw, raw.kind == RawSurvey::Kind::cloud ? std::min<std::size_t>(bytes.size() / 20, layout.count.value_or(bytes.size()) + 1) : 0, clip);

    // One line as a row, or the sentence that says why it is none.
    const auto row_of = [&](std::string_view line, std::size_t number, std::vector<std::string_view>& fields) {
        const bool whole = split_fields(line, layout.separator, fields);
        const bool fits = whole && fields.size() >= layout.fewest && (layout.open_end || fields.size() == layout.columns);
        if (!fits)
            throw Error(fmt::format("'{}', line {}: {}{} column{} in {} where the first row has {}{}", name, number, whole ? "" : "more than ",
                                    fields.size(), fields.size() == 1 ? "" : "s", quote(line), layout.columns, another_sign(line, layout)));
        return Vec3{coordinate(fields, layout.x, layout, "easting", name, number), coordinate(fields, layout.y, layout, "northing", name, number),
                    coordinate(fields, layout.z, layout, "height", name, number)};
    };

    // The lines before the rows.
    LineReader lines(bytes);
    std::string_view line;
    for (bool header = layout.header, count = layout.count.has_value(); (header || count) && lines.next(line);)
        if (!is_comment(line)) (count ? count : header) = false;

    if (raw.kind == RawSurvey::Kind::cloud) {
        const auto slow = [&](std::string_view text) -> std::optional<Vec3> {
            if (is_comment(text)) return std::nullopt;
            std::vector<std::string_view> fields;
            return row_of(text, 0, fields);
        };
        // Whole lines in blocks, some at a time; points are taken in the order of the file.
        std::vector<TextRows> parts(kBlocksAtOnce);
        std::size_t walked = lines.number();
        for (std::size_t at = lines.offset(); at < bytes.size();) {
            progress.step(static_cast<double>(at) / static_cast<double>(bytes.size()), "reading " + name);
            const std::vector<std::string_view> blocks = blocks_from(bytes, at, lines.line_end());
            tbb::parallel_for(std::size_t{0}, blocks.size(), [&](std::size_t k) { read_rows(blocks[k], lines.line_end(), layout, slow, parts[k]); });
            for (std::size_t k = 0; k < blocks.size(); ++k) {
                const TextRows& part = parts[k];
                for (const Vec3& p : part.points) sink.add(p);
                raw.rows += part.points.size();
                walked += part.lines;
                if (!part.not_a_row) continue;
                // Once more for the sentence with the right number, and letters as they are meant.
                std::vector<std::string_view> fields;
                const std::string text = latin ? utf8_from_latin1(*part.not_a_row) : std::string(*part.not_a_row);
                row_of(text, walked + 1, fields);
                throw Error(fmt::format("'{}', line {}: {} is no row of numbers", name, walked + 1, quote(text)));
            }
            file.done_with(at);
        }
    } else {
        read_levels(lines, layout, latin, row_of, raw, [&] {
            progress.step(static_cast<double>(lines.offset()) / static_cast<double>(bytes.size()), "reading " + name);
            file.done_with(lines.offset());
        });
    }
    sink.finish();
    if (layout.count && *layout.count != raw.rows)
        throw Error(fmt::format("'{}' says {} points, holds {}; the file is cut short or its first line is wrong", name,
                                *layout.count, raw.rows));
    return raw;
}

}  // namespace brae
