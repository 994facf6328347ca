#include "core/survey/read_pcd.h"

#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <mutex>
#include <open3d/geometry/PointCloud.h>
#include <open3d/io/PointCloudIO.h>
#include <open3d/utility/Logging.h>
#include <optional>
#include <set>

namespace brae {

namespace {

struct PcdHeader {
    std::vector<std::string> fields;
    std::vector<std::size_t> sizes, counts;
    std::vector<char> types;
    std::uint64_t points = 0;
    std::string data;  // ascii, binary, binary_compressed
    std::size_t body = 0, lines = 0;
};

PcdHeader read_header(std::string_view bytes, const std::string& name) {
    PcdHeader header;
    LineReader lines(bytes);
    std::vector<std::string_view> words;
    double width = 0, height = 0;
    std::set<std::string> seen;
    for (std::string_view line; lines.next(line);) {
        const auto wrong = [&] {
            return Error(fmt::format("'{}', line {}: {} in the PCD header cannot be followed", name, lines.number(), quote(line)));
        };
        if (is_comment(line)) continue;
        if (lines.number() > 200 || !split_fields(line, ' ', words, 256) || words.size() < 2) throw wrong();
        const auto number = [&](std::size_t i) {
            const auto value = parse_number(words[i]);
            if (!value || !(*value >= 0) || *value > 1e18 || *value != std::floor(*value)) throw wrong();
            return *value;
        };
        const std::string_view key = words[0];
        // The words of version 0.7, each once: readers differ over the rest.
        constexpr std::array<std::string_view, 10> known{"VERSION", "FIELDS", "SIZE", "TYPE", "COUNT", "WIDTH", "HEIGHT", "VIEWPOINT", "POINTS", "DATA"};
        if (std::find(known.begin(), known.end(), key) == known.end() || !seen.insert(std::string(key)).second) throw wrong();
        for (std::size_t i = 1; i < words.size(); ++i) {
            if (key == "FIELDS") header.fields.emplace_back(words[i]);
            if (key == "SIZE") header.sizes.push_back(static_cast<std::size_t>(number(i)));
            if (key == "COUNT") header.counts.push_back(static_cast<std::size_t>(number(i)));
            if (key == "TYPE") header.types.push_back(words[i][0]);
        }
        if (key == "WIDTH") width = number(1);
        if (key == "HEIGHT") height = number(1);
        if (key == "POINTS") header.points = static_cast<std::uint64_t>(number(1));
        if (key == "DATA") {
            header.data = lower_case(words[1]);
            header.body = lines.offset();
            header.lines = lines.number();
            break;
        }
    }
    if (header.data != "ascii" && header.data != "binary" && header.data != "binary_compressed")
        throw Error(fmt::format("'{}' has no DATA line of ascii, binary or binary_compressed in its PCD header", name));
    if (header.counts.empty()) header.counts.assign(header.fields.size(), 1);
    const std::size_t n = header.fields.size();
    if (n == 0 || header.sizes.size() != n || header.types.size() != n || header.counts.size() != n)
        throw Error(fmt::format("'{}' has a PCD header whose FIELDS, SIZE, TYPE and COUNT differ in length", name));
    for (std::size_t i = 0; i < n; ++i)
        if (header.sizes[i] < 1 || header.sizes[i] > 8 || header.counts[i] < 1 || header.counts[i] > 4096)
            throw Error(fmt::format("'{}' has a PCD field '{}' of size {} and count {}; sizes of 1 to 8 are wanted", name,
                                    header.fields[i], header.sizes[i], header.counts[i]));
    for (const char* wanted : {"x", "y", "z"})
        if (std::find(header.fields.begin(), header.fields.end(), wanted) == header.fields.end())
            throw Error(fmt::format("'{}' has no PCD field '{}'; x, y and z are wanted", name, wanted));
    for (const char* wanted : {"WIDTH", "HEIGHT", "POINTS"})
        if (!seen.count(wanted)) throw Error(fmt::format("'{}' has no {} line in its PCD header", name, wanted));
    if (header.points == 0) throw Error(fmt::format("'{}' says that it holds no points; at least 10 are wanted", name));
    if (static_cast<double>(header.points) != width * height)
        throw Error(fmt::format("'{}' says {} points but {} x {} in its PCD header", name, header.points, width, height));
    return header;
}

Error cut_short(const std::string& name, std::uint64_t says, std::uint64_t holds) {
    return Error(fmt::format("'{}' says {} points, holds {}; the file is cut short or its header is wrong", name, says, holds));
}

std::size_t stride_of(const PcdHeader& header) {
    std::size_t stride = 0;
    for (std::size_t i = 0; i < header.fields.size(); ++i) stride += header.sizes[i] * header.counts[i];
    return stride;
}

// Bytes that a stream of LZF (M. Lehmann's LibLZF format) unpacks to; nothing where it reaches before its start or is cut short.
std::optional<std::size_t> unpacked_length(std::string_view packed) {
    std::size_t out = 0;
    for (std::size_t i = 0; i < packed.size();) {
        const auto control = static_cast<unsigned char>(packed[i++]);
        if (control < 32) {
            if (packed.size() - i < control + 1u) return std::nullopt;
            i += control + 1u;
            out += control + 1u;
            continue;
        }
        std::size_t length = control >> 5;
        if (length == 7) {
            if (i >= packed.size()) return std::nullopt;
            length += static_cast<unsigned char>(packed[i++]);
        }
        if (i >= packed.size()) return std::nullopt;
        const std::size_t back = ((control & 0x1fu) << 8) + static_cast<unsigned char>(packed[i++]) + 1;
        if (back > out) return std::nullopt;
        out += length + 2;
    }
    return out;
}

// What Open3D would take on trust in a compressed file.
void check_packed(std::string_view body, const PcdHeader& header, const std::string& name) {
    const std::size_t stride = stride_of(header);
    std::uint32_t packed = 0, plain = 0;
    if (body.size() < 8) throw cut_short(name, header.points, 0);
    std::memcpy(&packed, body.data(), 4);
    std::memcpy(&plain, body.data() + 4, 4);
    if (packed > body.size() - 8)
        throw Error(fmt::format("'{}' says {} compressed bytes, holds {}; the file is cut short", name, packed, body.size() - 8));
    const auto unpacked = unpacked_length(body.substr(8, packed));
    if (!unpacked) throw Error(fmt::format("'{}' has compressed points that cannot be unpacked; the file is damaged", name));
    if (header.points > plain / stride || header.points * stride != plain || *unpacked != plain)
        throw cut_short(name, header.points, *unpacked / stride);
}

std::vector<Vec3> read_ascii(std::string_view body, const PcdHeader& header, const std::string& name, Progress& progress) {
    std::size_t columns = 0;
    std::array<std::size_t, 3> at{};
    for (std::size_t i = 0; i < header.fields.size(); ++i) {
        for (std::size_t k = 0; k < 3; ++k)
            if (header.fields[i] == std::string(1, "xyz"[k])) at[k] = columns;
        columns += header.counts[i];
    }
    std::vector<Vec3> points;
    LineReader lines(body);
    std::vector<std::string_view> fields;
    for (std::string_view line; points.size() < header.points && lines.next(line);) {
        if (trimmed(line).empty()) continue;
        if ((points.size() & 0x3fff) == 0) progress.step(static_cast<double>(lines.offset()) / static_cast<double>(body.size()), "reading " + name);
        const bool whole = split_fields(line, ' ', fields, 4096);
        if (!whole || fields.size() != columns)
            throw Error(fmt::format("'{}', line {}: {} columns in {} where the header names {}", name, header.lines + lines.number(),
                                    fields.size(), quote(line), columns));
        std::array<double, 3> xyz{};
        for (std::size_t k = 0; k < 3; ++k) {
            const auto value = parse_number(fields[at[k]]);
            if (!value)
                throw Error(fmt::format("'{}', line {}: {} where a number is wanted", name, header.lines + lines.number(), quote(fields[at[k]])));
            xyz[k] = *value;
        }
        points.push_back({xyz[0], xyz[1], xyz[2]});
    }
    if (points.size() < header.points) throw cut_short(name, header.points, points.size());
    return points;
}

// Open3D's log goes to standard output; here its last line is kept for the error sentence instead.
bool read_with_open3d(const std::string& name, open3d::geometry::PointCloud& cloud, std::string& said) {
    static std::mutex lock;
    const std::lock_guard<std::mutex> guard(lock);
    auto& logger = open3d::utility::Logger::GetInstance();
    logger.SetPrintFunction([&said](const std::string& text) { said = text; });
    bool fine = false;
    try {
        fine = open3d::io::ReadPointCloudFromPCD(name, cloud, open3d::io::ReadPointCloudOption("pcd"));
    } catch (const std::exception& problem) {
        said = problem.what();
    }
    logger.ResetPrintFunction();
    return fine;
}

// Offset and size of a field in a point.
struct Slot {
    std::size_t offset = 0, size = 0;
    char type = 'F';
};
Slot slot_of(const PcdHeader& header, std::string_view field) {
    Slot slot;
    for (std::size_t i = 0; i < header.fields.size(); ++i) {
        slot.size = header.sizes[i];
        slot.type = header.types[i];
        if (header.fields[i] == field) break;
        slot.offset += header.sizes[i] * header.counts[i];
    }
    return slot;
}

std::vector<Vec3> read_binary(std::string_view body, const PcdHeader& header, const std::string& name) {
    const std::size_t stride = stride_of(header);
    // A claim beyond the size of the file is refused before any memory is asked for.
    if (header.points > body.size() / stride) throw cut_short(name, header.points, body.size() / stride);
    const auto value = [&](const char* row, const Slot& slot) {
        double d = 0;
        float f = 0;
        if (slot.size == 8) std::memcpy(&d, row + slot.offset, 8);
        else std::memcpy(&f, row + slot.offset, 4);
        return slot.size == 8 ? d : static_cast<double>(f);
    };
    const Slot x = slot_of(header, "x"), y = slot_of(header, "y"), z = slot_of(header, "z");
    std::vector<Vec3> points(static_cast<std::size_t>(header.points));
    for (std::size_t i = 0; i < points.size(); ++i) {
        const char* row = body.data() + i * stride;
        points[i] = {value(row, x), value(row, y), value(row, z)};
    }
    return points;
}

}  // namespace

RawSurvey read_pcd(const std::filesystem::path& path, Progress& progress) {
    const std::string name = path.string();
    RawSurvey raw;
    raw.path = path;
    PcdHeader header;
    {
        const MappedFile file(path);
        header = read_header(file.bytes(), name);
        const std::string_view body = file.bytes().substr(std::min(header.body, file.bytes().size()));
        bool floats = true, wide = false;
        for (const char* field : {"x", "y", "z"}) {
            const Slot slot = slot_of(header, field);
            wide = wide || slot.size > 4;
            floats = floats && slot.type == 'F' && (slot.size == 4 || slot.size == 8);
        }
        if (!floats && header.data != "ascii")
            throw Error(fmt::format("'{}' keeps x, y or z in PCD numbers that are not 32-bit or 64-bit floats", name));
        if (wide && header.data == "binary_compressed")
            throw Error(fmt::format("'{}' is a compressed PCD of 64-bit numbers, which is not read here; export it uncompressed", name));
        if (header.data == "ascii") raw.points = read_ascii(body, header, name, progress);
        else if (header.data == "binary") raw.points = read_binary(body, header, name);
        else check_packed(body, header, name);
    }
    if (header.data == "binary_compressed") {
        progress.step(0.3, "reading " + name);
        open3d::geometry::PointCloud cloud;
        std::string said;
        if (!read_with_open3d(name, cloud, said))
            throw Error(fmt::format("'{}' cannot be read as PCD; its header is sound but its data is not", name));
        if (cloud.points_.size() != header.points) throw cut_short(name, header.points, cloud.points_.size());
        raw.points.reserve(cloud.points_.size());
        for (const auto& p : cloud.points_) raw.points.push_back({p.x(), p.y(), p.z()});
    }
    raw.rows = raw.points.size();
    std::erase_if(raw.points, [](const Vec3& p) { return !std::isfinite(p.x) || !std::isfinite(p.y) || !std::isfinite(p.z); });
    if (raw.points.size() < raw.rows)
        raw.warnings.push_back(fmt::format("'{}' holds {} of {} points without a position (NaN); they were left out", name,
                                           raw.rows - raw.points.size(), raw.rows));
    const auto is_float = [&](const char* field) {
        const auto i = static_cast<std::size_t>(std::find(header.fields.begin(), header.fields.end(), field) - header.fields.begin());
        return header.data != "ascii" && header.types[i] == 'F' && header.sizes[i] == 4;
    };
    warn_of_steps(raw, is_float("x") || is_float("y"), is_float("z"));
    return raw;
}

}  // namespace brae
