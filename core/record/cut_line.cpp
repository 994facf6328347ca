#include "core/record/cut_line.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/green_queries.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>
#include <utility>

namespace brae {

namespace {

constexpr const char* kWanted = "'12 on, 4 left', tapes such as 'S1=6.42, S2=8.13, left', X,Y or 'skipped REASON' is wanted";

std::vector<std::string_view> parts_of(std::string_view text, std::string_view separators) {
    std::vector<std::string_view> out;
    while (!text.empty()) {
        const std::size_t end = text.find_first_of(separators);
        if (const std::string_view part = trimmed(text.substr(0, end)); !part.empty()) out.push_back(part);
        if (end == std::string_view::npos) break;
        text.remove_prefix(end + 1);
    }
    return out;
}

[[noreturn]] void refuse(std::string_view text) { throw usage_error(fmt::format("found {}, {}", quote(text), kWanted)); }

// "12", "12.5 paces", "11 m": metres; nothing where it is no length. Paces are yards.
std::optional<double> length_of(std::string_view text) {
    const std::size_t digits = std::min(text.find_first_not_of("0123456789."), text.size());
    const auto value = parse_number(text.substr(0, digits));
    const std::string unit = lower_case(trimmed(text.substr(digits)));
    if (!value || !(*value >= 0) || !(*value <= 200)) return std::nullopt;
    if (unit.empty() || unit == "paces" || unit == "pace" || unit == "p" || unit == "yd" || unit == "yards") return *value * kPace;
    if (unit == "m") return *value;
    return std::nullopt;
}

// A length and the word behind it: "4 m left".
std::optional<double> length_before(std::string_view part, const std::string& word) {
    const std::string low = lower_case(part);
    if (!low.ends_with(word) || low.size() == word.size()) return std::nullopt;
    const char between = low[low.size() - word.size() - 1];
    if (between != ' ' && !(between >= '0' && between <= '9')) return std::nullopt;
    return length_of(trimmed(part.substr(0, part.size() - word.size())));
}

bool take_paces(std::string_view text, CutLine& line) {
    // "12 on 4 left" is one part, or two with a comma between.
    std::vector<std::string_view> parts = parts_of(text, ",");
    if (parts.size() == 1) {
        const std::size_t on = lower_case(text).find("on ");
        if (on == std::string::npos) return false;
        parts = {trimmed(text.substr(0, on + 2)), trimmed(text.substr(on + 3))};
    }
    if (parts.size() != 2) return false;
    for (const bool turned : {false, true}) {
        const auto on = length_before(parts[turned], "on");
        const auto left = length_before(parts[!turned], "left"), right = length_before(parts[!turned], "right");
        if (!on || (!left && !right)) continue;
        line.kind = CutLine::Kind::paces;
        line.on_m = *on;
        line.side = left ? GreenSide::left : GreenSide::right;
        line.side_m = left ? *left : *right;
        return true;
    }
    return false;
}

bool take_tapes(std::string_view text, CutLine& line) {
    if (text.find('=') == std::string_view::npos) return false;
    // Names may hold blanks where commas part them.
    for (std::string_view part : parts_of(text, text.find(',') != std::string_view::npos ? "," : " ")) {
        const std::string low = lower_case(part);
        if (low == "left" || low == "right") {
            line.tape_side = low == "left" ? TapeSide::left : TapeSide::right;
            continue;
        }
        const std::size_t equals = part.rfind('=');
        const auto metres = equals == std::string_view::npos ? std::nullopt : parse_number(trimmed(part.substr(equals + 1)));
        if (!metres || !(*metres > 0) || !(*metres <= 1000)) throw usage_error(fmt::format("found {} among the tapes, MARK=METRES is wanted", quote(part)));
        line.tapes.emplace_back(std::string(trimmed(part.substr(0, equals))), *metres);
    }
    if (line.tapes.size() < 2) throw usage_error(fmt::format("found one tape in {}, two are wanted", quote(text)));
    line.kind = CutLine::Kind::tapes;
    return true;
}

bool take_point(std::string_view text, CutLine& line) {
    const bool map = lower_case(text).starts_with("map:");
    const std::vector<std::string_view> parts = parts_of(map ? text.substr(4) : text, ",");
    if (parts.size() != 2) return false;
    const auto x = parse_number(parts[0]), y = parse_number(parts[1]);
    if (!x || !y || !std::isfinite(*x) || !std::isfinite(*y)) return false;
    line.kind = CutLine::Kind::point;
    line.point = {*x, *y};
    line.map = map;
    return true;
}

bool take_skipped(std::string_view text, CutLine& line) {
    const std::string low = lower_case(text);
    for (const std::string_view word : {"skipped", "skip"}) {
        if (!low.starts_with(word) || (low.size() > word.size() && low[word.size()] != ' ' && low[word.size()] != ':')) continue;
        std::string_view rest = trimmed(text.substr(word.size()));
        if (rest.starts_with(':')) rest = trimmed(rest.substr(1));
        if (rest.empty()) throw usage_error("found 'skipped' without a reason, such as 'skipped frost'");
        line.kind = CutLine::Kind::skipped;
        line.reason = std::string(rest);
        return true;
    }
    return false;
}

// "speed 9.8" behind a semicolon.
bool take_word(std::string_view part, std::string_view word, std::string_view& rest) {
    if (!lower_case(part).starts_with(std::string(word) + " ")) return false;
    rest = trimmed(part.substr(word.size() + 1));
    return true;
}

double speed_of(std::string_view text) {
    std::string_view number = text;
    if (lower_case(number).ends_with("ft")) number = trimmed(number.substr(0, number.size() - 2));
    const auto value = parse_number(number);
    if (!value || !(*value >= kSlowestGreenFt && *value <= kFastestGreenFt))
        throw usage_error(fmt::format("found the speed {}, {:g} to {:g} ft is wanted", quote(text), kSlowestGreenFt, kFastestGreenFt));
    return *value;
}

std::string date_of(std::string_view text) {
    if (!day_of(std::string(text))) throw usage_error(fmt::format("found the date {}, a day such as 2026-05-02 is wanted", quote(text)));
    return std::string(text);
}

}  // namespace

CutLine parse_cut_line(std::string_view text) {
    if (!is_utf8(text)) throw usage_error("found bytes that are no UTF-8 text");
    const std::vector<std::string_view> parts = parts_of(text, ";");
    if (parts.empty()) throw usage_error(fmt::format("found nothing, {}", kWanted));
    CutLine line;
    if (!take_skipped(parts[0], line)) {
        bool first = true;
        for (const std::string_view place : parts_of(parts[0], "+")) {
            CutLine one;
            if (!take_tapes(place, one) && !take_paces(place, one) && !take_point(place, one)) refuse(place);
            if (std::exchange(first, false)) line = std::move(one);
            else line.beside.push_back(std::move(one));
        }
        if (first) refuse(parts[0]);
    }
    for (std::size_t k = 1; k < parts.size(); ++k) {
        std::string_view rest;
        if (take_word(parts[k], "speed", rest)) line.speed_ft = speed_of(rest);
        else if (take_word(parts[k], "by", rest)) line.set_by = std::string(rest);
        else if (take_word(parts[k], "date", rest)) line.date = date_of(rest);
        else line.remark += (line.remark.empty() ? "" : "; ") + std::string(parts[k]);
    }
    return line;
}

CutPlace place_of(const CutLine& line, const Green& green) {
    const Outline& outline = green.terrain->outline;
    CutPlace out;
    switch (line.kind) {
    case CutLine::Kind::skipped:
        throw Error("a skipped day has no place");
    case CutLine::Kind::point:
        out.p = line.map ? green.terrain->frame.from_map(line.point) : line.point;
        break;
    case CutLine::Kind::paces: {
        if (!green.line_of_play)
            throw Error(fmt::format("paces on and from a side need the line of play of '{}', and it has none; set it with brae line", green.name));
        const CountedPlace place = place_at_paces(outline, *green.line_of_play, line.on_m, line.side, line.side_m);
        out = {place.p, place.se_m, {}};
        if (!place.nearer)
            if (const auto at = place_by_paces(outline, *green.line_of_play, place.p))
                out.understood = fmt::format("understood as {:.0f} paces from the {} edge; the {} one is nearer, so it is told as {}", line.side_m / kPace, to_text(line.side),
                                             to_text(at->side()), paces_text(*at));
        break;
    }
    case CutLine::Kind::tapes: {
        const std::vector<TapePoint> known = tape_points(green);
        std::vector<TapeReading> tapes, checks;
        for (const auto& [name, metres] : line.tapes) {
            const auto mark = std::find_if(known.begin(), known.end(), [&](const TapePoint& m) { return lower_case(m.name) == lower_case(name); });
            if (mark == known.end()) {
                std::string names;
                for (const auto& m : known) names += (names.empty() ? "" : ", ") + m.name;
                throw Error(fmt::format("'{}' has no mark {}; its marks are {}", green.name, quote(name), names.empty() ? "none" : names));
            }
            (tapes.size() < 2 ? tapes : checks).push_back({*mark, metres});
        }
        out.p = locate_by_tapes(tapes, line.tape_side, checks, known).p;
        break;
    }
    }
    if (!outline.contains(out.p))
        throw Error(fmt::format("the place {:.2f}, {:.2f} lies {:.1f} m outside the green '{}'", out.p.x, out.p.y, -outline.signed_distance(out.p), green.name));
    return out;
}

std::vector<CourseLine> parse_course_lines(std::string_view text, const std::string& name) {
    LineReader lines(text);
    std::string_view line;
    std::vector<CourseLine> out;
    std::set<std::pair<std::string, std::string>> seen;
    CutLine common;
    while (lines.next(line)) {
        const std::string_view body = trimmed(line.substr(0, line.find('#')));
        if (body.empty()) continue;
        const auto refuse_line = [&](const std::string& what) { throw usage_error(fmt::format("{}, line {}: {}", name, lines.number(), what)); };
        const std::size_t colon = body.find(':');
        if (colon == std::string_view::npos || colon == 0) refuse_line(fmt::format("found {}, GREEN: and where its hole was cut is wanted", quote(body)));
        const std::string_view key = trimmed(body.substr(0, colon)), rest = trimmed(body.substr(colon + 1));
        try {
            if (const std::string word = lower_case(key); word == "date") common.date = date_of(rest);
            else if (word == "by") common.set_by = std::string(rest);
            else if (word == "speed") common.speed_ft = rest.empty() ? std::nullopt : std::optional(speed_of(rest));
            else {
                CourseLine course{std::string(key), parse_cut_line(rest), lines.number()};
                if (course.line.date.empty()) course.line.date = common.date;
                if (course.line.set_by.empty()) course.line.set_by = common.set_by;
                if (!course.line.speed_ft) course.line.speed_ft = common.speed_ft;
                if (!seen.emplace(lower_case(key), course.line.date).second)
                    throw usage_error(fmt::format("the green {} comes twice{}", quote(key), course.line.date.empty() ? "" : " for " + course.line.date));
                out.push_back(std::move(course));
            }
        } catch (const Error& e) {
            refuse_line(e.what());
        }
    }
    if (out.empty()) throw usage_error(fmt::format("{} names no green; lines such as '7: 12 on, 4 left' are wanted", name));
    return out;
}

}  // namespace brae
