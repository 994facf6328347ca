#include "core/survey/read_ply.h"

#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

enum class Type { i8, u8, i16, u16, i32, u32, f32, f64 };
constexpr std::array<std::size_t, 8> kSize{1, 1, 2, 2, 4, 4, 4, 8};

struct Property {
    std::string name;
    Type type = Type::f32;
    bool list = false;
    Type count_type = Type::u8;
};

struct Element {
    std::string name;
    std::uint64_t count = 0;
    std::vector<Property> properties;
};

struct Header {
    enum class Format { ascii, little, big } format = Format::ascii;
    std::vector<Element> elements;
    std::size_t body = 0;   // offset of the first byte after the header
    std::size_t lines = 0;  // in the header
};

std::optional<Type> type_of(std::string_view word) {
    constexpr std::array<std::pair<std::string_view, Type>, 16> names{{
        {"char", Type::i8}, {"int8", Type::i8}, {"uchar", Type::u8}, {"uint8", Type::u8}, {"short", Type::i16},
        {"int16", Type::i16}, {"ushort", Type::u16}, {"uint16", Type::u16}, {"int", Type::i32}, {"int32", Type::i32},
        {"uint", Type::u32}, {"uint32", Type::u32}, {"float", Type::f32}, {"float32", Type::f32},
        {"double", Type::f64}, {"float64", Type::f64},
    }};
    for (const auto& [text, type] : names)
        if (text == word) return type;
    return std::nullopt;
}

Header read_header(std::string_view bytes, const std::string& name) {
    Header header;
    LineReader lines(bytes);
    std::vector<std::string_view> words;
    bool formatted = false;
    for (std::string_view line; lines.next(line);) {
        const auto wrong = [&](const char* wanted) {
            return Error(fmt::format("'{}', line {}: {} in the PLY header where {} is wanted", name, lines.number(), quote(line),
                                     wanted));
        };
        if (lines.number() > 1000) throw wrong("end_header");
        if (!split_fields(trimmed(line), ' ', words)) throw wrong("a shorter line");
        if (lines.number() == 1 || words.empty() || words[0] == "comment" || words[0] == "obj_info") continue;
        if (words[0] == "end_header") {
            if (!formatted) throw wrong("a format line");
            header.body = lines.offset();
            header.lines = lines.number();
            return header;
        }
        if (words[0] == "format" && words.size() >= 2) {
            if (words[1] == "ascii") header.format = Header::Format::ascii;
            else if (words[1] == "binary_little_endian") header.format = Header::Format::little;
            else if (words[1] == "binary_big_endian") header.format = Header::Format::big;
            else throw wrong("ascii, binary_little_endian or binary_big_endian");
            formatted = true;
        } else if (words[0] == "element" && words.size() == 3) {
            const auto count = parse_number(words[2]);
            if (!count || *count < 0 || *count > 1e18 || *count != std::floor(*count)) throw wrong("a count");
            header.elements.push_back({std::string(words[1]), static_cast<std::uint64_t>(*count), {}});
        } else if (words[0] == "property" && words.size() >= 3 && !header.elements.empty()) {
            Property p;
            p.list = words[1] == "list";
            if (p.list && words.size() != 5) throw wrong("a list property");
            const auto type = type_of(p.list ? words[3] : words[1]);
            const auto count_type = p.list ? type_of(words[2]) : type;
            if (!type || !count_type) throw wrong("a known type");
            p.type = *type;
            p.count_type = *count_type;
            p.name = std::string(words.back());
            header.elements.back().properties.push_back(std::move(p));
        } else {
            throw wrong("element, property or end_header");
        }
    }
    throw Error(fmt::format("'{}' ends inside its PLY header; end_header is wanted", name));
}

template <class T>
double load_as(const char* at, bool swap) {
    std::array<char, sizeof(T)> raw;
    std::memcpy(raw.data(), at, sizeof(T));
    if (swap) std::reverse(raw.begin(), raw.end());
    return static_cast<double>(std::bit_cast<T>(raw));
}

double load(const char* at, Type type, bool swap) {
    switch (type) {
        case Type::i8: return load_as<std::int8_t>(at, swap);
        case Type::u8: return load_as<std::uint8_t>(at, swap);
        case Type::i16: return load_as<std::int16_t>(at, swap);
        case Type::u16: return load_as<std::uint16_t>(at, swap);
        case Type::i32: return load_as<std::int32_t>(at, swap);
        case Type::u32: return load_as<std::uint32_t>(at, swap);
        case Type::f32: return load_as<float>(at, swap);
        case Type::f64: break;
    }
    return load_as<double>(at, swap);
}

// Where x, y and z stand in a vertex.
struct Columns {
    std::array<std::size_t, 3> property{};
};

Columns find_columns(const Element& vertex, const std::string& name) {
    Columns columns;
    constexpr std::array<std::string_view, 3> wanted{"x", "y", "z"};
    for (std::size_t k = 0; k < 3; ++k) {
        const auto at = std::find_if(vertex.properties.begin(), vertex.properties.end(),
                                     [&](const Property& p) { return !p.list && p.name == wanted[k]; });
        if (at == vertex.properties.end())
            throw Error(fmt::format("'{}' has vertices without a property '{}'; x, y and z are wanted", name, wanted[k]));
        columns.property[k] = static_cast<std::size_t>(at - vertex.properties.begin());
    }
    return columns;
}

Error cut_short(const std::string& name, std::uint64_t says, std::uint64_t holds) {
    return Error(fmt::format("'{}' says {} vertices, holds {}; the file is cut short or its header is wrong", name, says, holds));
}

// Bytes of the row of a binary element that starts at `at`, or nothing where the file ends first.
std::optional<std::size_t> row_bytes(std::string_view bytes, std::size_t at, const Element& element, bool swap) {
    std::size_t i = at;
    for (const Property& p : element.properties) {
        if (!p.list) {
            i += kSize[static_cast<std::size_t>(p.type)];
        } else {
            const std::size_t head = kSize[static_cast<std::size_t>(p.count_type)];
            if (i + head > bytes.size()) return std::nullopt;
            const double n = load(bytes.data() + i, p.count_type, swap);
            if (!(n >= 0) || n > static_cast<double>(bytes.size())) return std::nullopt;
            i += head + static_cast<std::size_t>(n) * kSize[static_cast<std::size_t>(p.type)];
        }
        if (i > bytes.size()) return std::nullopt;
    }
    return i - at;
}

void read_binary(const MappedFile& file, const Header& header, std::size_t vertex_index, RawSurvey& raw, Progress& progress) {
    const std::string name = raw.path.string();
    const std::string_view bytes = file.bytes();
    const bool swap = (header.format == Header::Format::big) != (std::endian::native == std::endian::big);
    const auto has_list = [](const Element& e) {
        return std::any_of(e.properties.begin(), e.properties.end(), [](const Property& p) { return p.list; });
    };

    // Step over what stands before the vertices.
    std::size_t at = header.body;
    for (std::size_t e = 0; e < vertex_index; ++e) {
        const Element& element = header.elements[e];
        if (element.properties.empty()) continue;
        for (std::uint64_t r = 0; r < element.count; ++r) {
            const auto length = row_bytes(bytes, at, element, swap);
            if (!length) throw cut_short(name, header.elements[vertex_index].count, 0);
            at += *length;
        }
    }

    const Element& vertex = header.elements[vertex_index];
    const Columns columns = find_columns(vertex, name);
    std::array<std::size_t, 3> offset{};
    std::size_t stride = 0;
    const bool lists = has_list(vertex);
    for (std::size_t k = 0; k < vertex.properties.size(); ++k) {
        for (std::size_t c = 0; c < 3; ++c)
            if (columns.property[c] == k) offset[c] = stride;
        if (!vertex.properties[k].list) stride += kSize[static_cast<std::size_t>(vertex.properties[k].type)];
        else if (k < *std::max_element(columns.property.begin(), columns.property.end()))
            throw Error(fmt::format("'{}' has a list before x, y or z in its vertices; plain numbers are wanted there", name));
    }

    // A claim beyond the size of the file is refused before any memory is asked for.
    const std::uint64_t fits = (bytes.size() - at) / stride;
    if (vertex.count > fits) throw cut_short(name, vertex.count, fits);
    const auto count = static_cast<std::size_t>(vertex.count);
    PointThinner sink(raw, vertex.count);
    const std::array<Type, 3> type{vertex.properties[columns.property[0]].type, vertex.properties[columns.property[1]].type,
                                   vertex.properties[columns.property[2]].type};
    for (std::size_t i = 0; i < count; ++i) {
        if ((i & 0xffff) == 0) {
            progress.step(static_cast<double>(i) / static_cast<double>(count), "reading " + name);
            file.done_with(at);
        }
        std::size_t length = stride;
        if (lists) {
            const auto row = row_bytes(bytes, at, vertex, swap);
            if (!row) throw cut_short(name, vertex.count, i);
            length = *row;
        }
        const char* row = bytes.data() + at;
        const Vec3 p{load(row + offset[0], type[0], swap), load(row + offset[1], type[1], swap), load(row + offset[2], type[2], swap)};
        if (!std::isfinite(p.x) || !std::isfinite(p.y) || !std::isfinite(p.z))
            throw Error(fmt::format("'{}': vertex {} is ({}, {}, {}); finite numbers are wanted", name, i + 1, p.x, p.y, p.z));
        sink.add(p);
        at += length;
    }
    sink.finish();
    raw.rows = count;
}

void read_ascii(std::string_view bytes, const Header& header, std::size_t vertex_index, RawSurvey& raw, Progress& progress) {
    const std::string name = raw.path.string();
    const Element& vertex = header.elements[vertex_index];
    const Columns columns = find_columns(vertex, name);
    const std::size_t needed = *std::max_element(columns.property.begin(), columns.property.end()) + 1;
    const bool lists = std::any_of(vertex.properties.begin(), vertex.properties.end(), [](const Property& p) { return p.list; });
    // A vertex takes at least one digit and one blank a property.
    const std::uint64_t fits = (bytes.size() - header.body + 1) / (2 * vertex.properties.size()) + 1;
    raw.points.reserve(static_cast<std::size_t>(std::min(vertex.count, fits)));

    // Rows of the elements before the vertices are passed over; blank lines carry nothing.
    std::uint64_t skip = 0;
    for (std::size_t e = 0; e < vertex_index; ++e) skip += header.elements[e].count;
    LineReader lines(bytes.substr(header.body));
    std::vector<std::string_view> fields;
    for (std::string_view line; raw.points.size() < vertex.count && lines.next(line);) {
        if (trimmed(line).empty()) continue;
        if (skip > 0) {
            --skip;
            continue;
        }
        if ((raw.points.size() & 0x3fff) == 0)
            progress.step(static_cast<double>(raw.points.size()) / static_cast<double>(vertex.count), "reading " + name);
        const std::size_t number = header.lines + lines.number();
        const bool whole = split_fields(line, ' ', fields, 256);
        if (fields.size() < needed || (!lists && (!whole || fields.size() != vertex.properties.size())))
            throw Error(fmt::format("'{}', line {}: {} columns in {} where the header names {}", name, number, fields.size(),
                                    quote(line), vertex.properties.size()));
        std::array<double, 3> xyz{};
        for (std::size_t k = 0; k < 3; ++k) {
            const std::string_view text = fields[columns.property[k]];
            const auto value = parse_number(text);
            if (!value || !std::isfinite(*value))
                throw Error(fmt::format("'{}', line {}: {} where a finite number is wanted", name, number, quote(text)));
            xyz[k] = *value;
        }
        raw.points.push_back({xyz[0], xyz[1], xyz[2]});
    }
    if (raw.points.size() < vertex.count) throw cut_short(name, vertex.count, raw.points.size());
}

}  // namespace

RawSurvey read_ply(const std::filesystem::path& path, Progress& progress) {
    const MappedFile file(path);
    RawSurvey raw;
    raw.path = path;
    const Header header = read_header(file.bytes(), path.string());
    const auto vertex = std::find_if(header.elements.begin(), header.elements.end(), [](const Element& e) { return e.name == "vertex"; });
    if (vertex == header.elements.end() || vertex->properties.empty())
        throw Error(fmt::format("'{}' has no element 'vertex'; points are wanted", path.string()));
    const auto index = static_cast<std::size_t>(vertex - header.elements.begin());
    if (header.format == Header::Format::ascii) read_ascii(file.bytes(), header, index, raw, progress);
    else read_binary(file, header, index, raw, progress);
    if (raw.rows == 0) raw.rows = raw.points.size();

    // Binary floats are stepped; the type in an ASCII header says nothing about the digits.
    const Columns columns = find_columns(*vertex, path.string());
    const auto is_float = [&](std::size_t k) {
        return header.format != Header::Format::ascii && vertex->properties[columns.property[k]].type == Type::f32;
    };
    warn_of_steps(raw, is_float(0) || is_float(1), is_float(2));
    return raw;
}

}  // namespace brae
