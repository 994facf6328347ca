#include "core/survey/read_pcd.h"

#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <mutex>
#include <open3d/geometry/PointCloud.h>
#include <open3d/io/PointCloudIO.h>
#include <open3d/utility/Logging.h>

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
    double width = 0, height = 1;
    bool has_points = false;
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
        for (std::size_t i = 1; i < words.size(); ++i) {
            if (key == "FIELDS") header.fields.emplace_back(words[i]);
            if (key == "SIZE") header.sizes.push_back(static_cast<std::size_t>(number(i)));
            if (key == "COUNT") header.counts.push_back(static_cast<std::size_t>(number(i)));
            if (key == "TYPE") header.types.push_back(words[i][0]);
        }
        if (key == "WIDTH") width = number(1);
        if (key == "HEIGHT") height = number(1);
        if (key == "POINTS") {
            header.points = static_cast<std::uint64_t>(number(1));
            has_points = true;
        }
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
    if (!has_points) header.points = static_cast<std::uint64_t>(width * height);
    if (static_cast<double>(header.points) != width * height)
        throw Error(fmt::format("'{}' says {} points but {} x {} in its PCD header", name, header.points, width, height));
    return header;
}

Error cut_short(const std::string& name, std::uint64_t says, std::uint64_t holds) {
    return Error(fmt::format("'{}' says {} points, holds {}; the file is cut short or its header is wrong", name, says, holds));
}

// Reads what Open3D would take on trust: enough bytes, and in ASCII numbers in every row.
void check_body(std::string_view bytes, const PcdHeader& header, const std::string& name, Progress& progress) {
    std::size_t stride = 0, columns = 0;
    for (std::size_t i = 0; i < header.fields.size(); ++i) {
        stride += header.sizes[i] * header.counts[i];
        columns += header.counts[i];
    }
    const std::string_view body = bytes.substr(std::min(header.body, bytes.size()));
    if (header.data == "binary") {
        if (header.points > body.size() / stride) throw cut_short(name, header.points, body.size() / stride);
    } else if (header.data == "binary_compressed") {
        std::uint32_t packed = 0, plain = 0;
        if (body.size() < 8) throw cut_short(name, header.points, 0);
        std::memcpy(&packed, body.data(), 4);
        std::memcpy(&plain, body.data() + 4, 4);
        if (packed > body.size() - 8)
            throw Error(fmt::format("'{}' says {} compressed bytes, holds {}; the file is cut short", name, packed, body.size() - 8));
        if (header.points * stride != plain || plain / 300 > packed) throw cut_short(name, header.points, plain / stride);
    } else {
        LineReader lines(body);
        std::vector<std::string_view> fields;
        std::uint64_t rows = 0;
        for (std::string_view line; rows < header.points && lines.next(line);) {
            if (trimmed(line).empty()) continue;
            if ((rows & 0x3fff) == 0) progress.step(0.3 * static_cast<double>(lines.offset()) / static_cast<double>(bytes.size()), "checking " + name);
            split_fields(line, ' ', fields, 4096);
            if (fields.size() != columns)
                throw Error(fmt::format("'{}', line {}: {} columns in {} where the header names {}", name,
                                        header.lines + lines.number(), fields.size(), quote(line), columns));
            for (std::string_view field : fields)
                if (!parse_number(field))
                    throw Error(fmt::format("'{}', line {}: {} where a number is wanted", name, header.lines + lines.number(),
                                            quote(field)));
            ++rows;
        }
        if (rows < header.points) throw cut_short(name, header.points, rows);
    }
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

// Offset and size of a field in a point, and whether Open3D would read it: it takes 64-bit numbers for zero.
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

std::vector<Vec3> read_doubles(std::string_view body, const PcdHeader& header) {
    std::size_t stride = 0;
    for (std::size_t i = 0; i < header.fields.size(); ++i) stride += header.sizes[i] * header.counts[i];
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
    bool wide = false;
    {
        const MappedFile file(path);
        header = read_header(file.bytes(), name);
        check_body(file.bytes(), header, name, progress);
        bool floats = true;
        for (const char* field : {"x", "y", "z"}) {
            const Slot slot = slot_of(header, field);
            wide = wide || (slot.size > 4 && header.data != "ascii");
            floats = floats && slot.type == 'F' && (slot.size == 4 || slot.size == 8);
        }
        if (!floats && header.data != "ascii")
            throw Error(fmt::format("'{}' keeps x, y or z in PCD numbers that are not 32-bit or 64-bit floats", name));
        if (wide && header.data == "binary_compressed")
            throw Error(fmt::format("'{}' is a compressed PCD of 64-bit numbers, which is not read here; export it uncompressed", name));
        if (wide) raw.points = read_doubles(file.bytes().substr(header.body), header);
    }
    if (!wide) {
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
