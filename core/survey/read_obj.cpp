#include "core/survey/read_obj.h"

#include "core/base/error.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// A green's heights span less than this part of either side of its plan.
constexpr double kShallow = 1.0 / 3.0;

bool is_blank(char c) { return c == ' ' || c == '\t'; }

// Width that the middle 90 % of the points span along an axis.
double span(const std::vector<Vec3>& points, double Vec3::*axis) {
    std::vector<double> values;
    const std::size_t step = points.size() / 100'000 + 1;
    for (std::size_t k = 0; k < points.size(); k += step) values.push_back(points[k].*axis);
    const auto at = [&](double q) {
        const auto k = static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1));
        std::nth_element(values.begin(), values.begin() + k, values.end());
        return values[static_cast<std::size_t>(k)];
    };
    const double low = at(0.05);
    return at(0.95) - low;
}

}  // namespace

bool looks_like_obj(std::string_view start) {
    constexpr std::array<std::string_view, 14> words{"v", "vn", "vt", "vp", "f", "l", "p", "o", "g", "s", "mg", "mtllib", "usemtl", "usemap"};
    LineReader lines(start);
    bool vertex = false, other = false;
    for (std::string_view line; lines.next(line);) {
        if (lines.offset() >= start.size() && !vertex) other = other || line.size() > 2000;  // the last line may be cut
        const std::string_view text = trimmed(line);
        if (text.empty() || text.front() == '#') continue;
        const std::string_view word = text.substr(0, text.find_first_of(" \t"));
        if (std::find(words.begin(), words.end(), word) == words.end()) return false;
        vertex = vertex || word == "v";
        other = other || word != "v";
    }
    return vertex || other;
}

RawSurvey read_obj(const std::filesystem::path& path, Progress& progress) {
    const std::string name = path.string();
    const MappedFile file(path);
    RawSurvey raw;
    raw.path = path;
    LineReader lines(file.bytes());
    std::vector<std::string_view> fields;
    for (std::string_view line; lines.next(line);) {
        if ((lines.number() & 0xffff) == 0) {
            progress.step(static_cast<double>(lines.offset()) / static_cast<double>(file.bytes().size()), "reading " + name);
            file.done_with(lines.offset());
        }
        while (!line.empty() && is_blank(line.front())) line.remove_prefix(1);
        if (line.size() < 2 || line[0] != 'v' || !is_blank(line[1])) continue;
        // A weight or a colour may follow.
        const bool whole = split_fields(line.substr(1), ' ', fields, 8);
        if (!whole || fields.size() < 3)
            throw Error(fmt::format("'{}', line {}: {} where a vertex of three numbers is wanted", name, lines.number(), quote(line)));
        std::array<double, 3> xyz{};
        for (std::size_t k = 0; k < 3; ++k) {
            const auto value = parse_number(fields[k]);
            if (!value || !std::isfinite(*value))
                throw Error(fmt::format("'{}', line {}: {} where a finite number is wanted", name, lines.number(), quote(fields[k])));
            xyz[k] = *value;
        }
        raw.points.push_back({xyz[0], xyz[1], xyz[2]});
    }
    raw.rows = raw.points.size();
    if (raw.points.empty()) throw Error(fmt::format("'{}' is an OBJ mesh without vertices; lines such as 'v 1.0 2.0 3.0' are wanted", name));
    return raw;
}

void turn_y_up(RawSurvey& raw) {
    if (raw.points.size() < 10) return;
    const double x = span(raw.points, &Vec3::x), y = span(raw.points, &Vec3::y), z = span(raw.points, &Vec3::z);
    if (!(y < kShallow * x && y < kShallow * z)) return;
    for (Vec3& p : raw.points) p = {p.x, -p.z, p.y};
    raw.warnings.push_back(fmt::format("'{}' has its second axis up (it spans {:.2f} by {:.2f} and only {:.2f} in the second); it was turned "
                                       "so that the third is up", raw.path.string(), x, z, y));
}

}  // namespace brae
