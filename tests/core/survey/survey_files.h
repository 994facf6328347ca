// Small files that the tests of the readers write themselves, and the points they should give back.
#pragma once

#include "core/base/progress.h"
#include "core/base/vec.h"
#include "core/survey/read_survey.h"
#include "tests/support/support.h"

#include <bit>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <fstream>
#include <string>
#include <vector>

namespace brae::test {

inline void write_file(const fs::path& path, const std::string& bytes) {
    std::ofstream out(path, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

inline Survey read(const std::vector<fs::path>& files, const ReadOptions& options = {}) {
    Progress quiet;
    return read_survey(files, options, quiet);
}
inline Survey read(const fs::path& file, const ReadOptions& options = {}) { return read(std::vector<fs::path>{file}, options); }

// For files that tell no unit, which a warning would say.
inline ReadOptions metres() {
    ReadOptions options;
    options.units = "m";
    return options;
}

// The sentence with which reading fails, "" where it does not.
inline std::string failure(const fs::path& file, const ReadOptions& options = {}) {
    try {
        read(file, options);
    } catch (const Error& error) {
        return error.what();
    }
    return {};
}

inline bool says(const std::string& text, const std::string& part) {
    const bool found = text.find(part) != std::string::npos;
    if (!found) MESSAGE("'" << text << "' does not say '" << part << "'");
    return found;
}
inline bool warns(const Survey& survey, const std::string& part) {
    for (const std::string& warning : survey.warnings)
        if (warning.find(part) != std::string::npos) return true;
    return false;
}

// An uneven patch of points on a gentle surface, n x n at 1.37 m.
inline std::vector<Vec3> patch(Vec2 corner, double height, int n = 6) {
    std::vector<Vec3> points;
    for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) {
            const double x = 1.37 * i + 0.1 * std::sin(3.0 * j), y = 1.37 * j + 0.1 * std::cos(2.0 * i);
            points.push_back({corner.x + x, corner.y + y, height + 0.02 * x + 0.013 * y});
        }
    return points;
}

// Largest distance between what was read, brought back to the map, and what was written.
inline double largest_error(const Survey& survey, const std::vector<Vec3>& written) {
    REQUIRE(survey.points.size() == written.size());
    double worst = 0;
    for (std::size_t i = 0; i < written.size(); ++i) {
        const Vec2 map = survey.frame.to_map({survey.points[i].x, survey.points[i].y});
        const double z = survey.points[i].z + survey.frame.spec().origin_height_m;
        worst = std::max({worst, distance(map, {written[i].x, written[i].y}), std::abs(z - written[i].z)});
    }
    return worst;
}

template <class T>
void put(std::string& bytes, T value, bool big = false) {
    char raw[sizeof(T)];
    std::memcpy(raw, &value, sizeof(T));
    if (big) std::reverse(raw, raw + sizeof(T));
    bytes.append(raw, sizeof(T));
}

}  // namespace brae::test
