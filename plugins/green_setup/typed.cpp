#include "plugins/green_setup/typed.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace brae::green_setup {

namespace {

constexpr double kLongestTapeM = 100;

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t");
    return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

// A whole text that is one finite number.
std::optional<double> number_from(const std::string& text) {
    const std::string t = trimmed(text);
    const char* from = t.data() + (t.starts_with('+') ? 1 : 0);
    double value = 0;
    const auto [end, code] = std::from_chars(from, t.data() + t.size(), value);
    if (t.empty() || code != std::errc() || end != t.data() + t.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace

Vec2 place_from(const std::string& text, const Frame& frame) {
    const std::string t = trimmed(text);
    const bool map = t.starts_with("map:");
    const std::string pair = map ? t.substr(4) : t;
    const auto comma = pair.find(',');
    const auto x = number_from(pair.substr(0, comma));
    const auto y = comma == std::string::npos ? std::nullopt : number_from(pair.substr(comma + 1));
    if (!x || !y)
        throw Error(fmt::format("'{}' is no place; X,Y in local metres or map:X,Y in the survey's system is wanted, with decimal points", t));
    const Vec2 p = map ? frame.from_map({*x, *y}) : Vec2{*x, *y};
    if (!std::isfinite(p.x) || !std::isfinite(p.y) || std::abs(p.x) > 1e5 || std::abs(p.y) > 1e5)
        throw Error(fmt::format("'{}' lies farther than 100 km from the green", t));
    return p;
}

double length_from(const std::string& text, plugin::Units units) {
    const std::string t = trimmed(text);
    const auto refuse = [&](const std::string& wanted) { return Error(fmt::format("'{}' is no tape reading; {} is wanted", t, wanted)); };
    const std::string wanted = units == plugin::Units::metric ? "a length such as 6.42 or 21 ft 3 in" : "a length such as 21.25, 21' 3\" or 6.42 m";
    // Numbers, each with its unit or, the last, without one.
    double metres = 0;
    std::string rest = t;
    int parts = 0;
    while (!(rest = trimmed(rest)).empty()) {
        const auto end = rest.find_first_not_of("0123456789.+-eE");
        const auto value = number_from(rest.substr(0, end));
        if (!value || ++parts > 2 || (parts > 1 && *value < 0)) throw refuse(wanted);
        rest = end == std::string::npos ? "" : trimmed(rest.substr(end));
        double unit = units == plugin::Units::metric ? 1 : kFoot;
        bool named = false;
        for (const auto& [word, factor] : {std::pair{"cm", 0.01}, {"mm", 0.001}, {"m", 1.0}, {"ft", kFoot}, {"in", kInch}, {"'", kFoot}, {"\"", kInch}})
            if (!named && rest.starts_with(word)) {
                unit = factor;
                rest = rest.substr(std::string(word).size());
                named = true;
            }
        if (!named && (!rest.empty() || parts > 1)) throw refuse(wanted);
        metres += *value * unit;
    }
    if (parts == 0) throw refuse(wanted);
    if (!(metres > 0)) throw refuse("a length above zero");
    if (metres > kLongestTapeM) throw refuse(units == plugin::Units::metric ? "at most 100 m" : "at most 328 ft");
    return metres;
}

double height_from(const std::string& text) {
    const auto value = number_from(text);
    if (!value || std::abs(*value) > 1e4) throw Error(fmt::format("'{}' is no height; metres such as 101.37 are wanted", trimmed(text)));
    return *value;
}

std::string day_from(const std::string& text) {
    const std::string t = trimmed(text);
    if (t.empty()) return {};
    if (day_of(t)) return t;
    throw Error(fmt::format("'{}' is no day of the calendar; one such as 2026-05-02 is wanted, or nothing", t));
}

std::string text_of(Vec2 p) { return fmt::format("{:.2f}, {:.2f}", p.x, p.y); }

std::string put_typed(RingEditor& editor, const std::string& text, const Frame& frame) {
    try {
        const Vec2 p = place_from(text, frame);
        if (editor.mode() == RingEditor::Mode::drawing) editor.add(p);
        else editor.move_selected(p);
        return "";
    } catch (const Error& e) {
        return e.what();
    }
}

}  // namespace brae::green_setup
