#include "app/commands/points.h"

#include "core/base/error.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace brae::app {

double parse_number(const std::string& text, const std::string& option) {
    double value = 0;
    const char* end = text.data() + text.size();
    const auto [stop, fault] = std::from_chars(text.data(), end, value);
    if (fault != std::errc() || stop != end || !std::isfinite(value))
        throw usage_error(fmt::format("{}: found '{}', a number is wanted", option, text));
    return value;
}

Vec2 parse_point(const std::string& text, const std::string& option, const Frame& frame) {
    const bool map = text.starts_with("map:");
    const std::string body = map ? text.substr(4) : text;
    const auto comma = body.find(',');
    if (comma == std::string::npos || body.find(',', comma + 1) != std::string::npos)
        throw usage_error(fmt::format("{}: found '{}', a point X,Y in metres or map:X,Y is wanted", option, text));
    const Vec2 p{parse_number(body.substr(0, comma), option), parse_number(body.substr(comma + 1), option)};
    return map ? frame.from_map(p) : p;
}

Vec2 parse_hole(const std::string& text, const Green& green) {
    if (!text.empty() && text != "today") return parse_point(text, "--hole", green.terrain->frame);
    if (const StoredHole* hole = green.todays_hole()) return hole->p;
    throw usage_error("--hole: the green holds no hole of today, so a point X,Y is wanted");
}

double speed_of_day(std::optional<double> asked_ft, const Green& green) {
    if (asked_ft) return *asked_ft;
    if (!green.speeds.empty()) return green.speeds.back().speed_ft;
    throw usage_error("--speed: the green holds no reading of its speed, so a number in ft (4 to 16) is wanted");
}

std::vector<TapePoint> known_points(const Green& green) {
    std::vector<TapePoint> points;
    for (const auto& m : green.marks) points.push_back({m.name, {m.p.x, m.p.y}});
    return points;
}

}  // namespace brae::app
