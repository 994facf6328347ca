#include "app/commands/points.h"

#include "core/base/error.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <string_view>

namespace brae::app {

double parse_number(const std::string& text, const std::string& option) {
    const auto first = text.find_first_not_of(" \t"), last = text.find_last_not_of(" \t");
    std::string_view body = first == std::string::npos ? std::string_view() : std::string_view(text).substr(first, last - first + 1);
    if (body.size() > 1 && body[0] == '+' && body[1] != '-') body.remove_prefix(1);
    double value = 0;
    const char* end = body.data() + body.size();
    const auto [stop, fault] = std::from_chars(body.data(), end, value);
    if (fault != std::errc() || stop != end || !(std::abs(value) <= 1e9))
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

}  // namespace brae::app
