#include "core/export/wording.h"

#include "core/base/compass.h"
#include "core/base/constants.h"
#include "core/base/interval.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <initializer_list>
#include <optional>
#include <utility>

namespace brae {

std::string feet_inches(double metres, bool quarters) {
    // Counted in the smallest unit, so that twelve inches carry into a foot.
    const long parts = quarters ? 4 : 1;
    const long total = std::lround(std::abs(metres) / kInch * static_cast<double>(parts));
    const long feet = total / (12 * parts), inches = total / parts % 12;
    static const char* const fractions[] = {"", "¼", "½", "¾"};
    const char* fraction = quarters ? fractions[total % 4] : "";
    const std::string in = inches == 0 && fraction[0] != 0 ? fraction : fmt::format("{}{}", inches, fraction);
    return feet == 0 ? in + "\u00a0in" : fmt::format("{}\u00a0ft\u00a0{}\u00a0in", feet, in);
}

std::string tape_length(double metres, bool feet) {
    return feet ? feet_inches(metres, true) : fmt::format("{:.2f}\u00a0m", metres);
}

std::string small_length(double metres, bool feet) {
    return feet ? fmt::format("{:.1f}\u00a0in", metres / kInch) : fmt::format("{:.1f}\u00a0cm", metres * 100);
}

std::string pace_length(double past_m, bool feet) {
    return feet ? fmt::format("{:.0f}\u00a0in", past_m / kInch) : fmt::format("{:.2f}\u00a0m", past_m);
}

std::string break_figure(double metres, bool feet) { return feet ? fmt::format("{:.1f}", metres / kInch) : fmt::format("{:.0f}", 100 * metres); }

namespace {

// Decimals of a length whose error is so large, in its unit: tenths mean something up to an error of three.
int places_of(double error) { return error < 2.95 ? 1 : 0; }

// The larger of the error and the least that a page says.
double shown_error(double se_m, bool feet) { return std::max(kZ90 * se_m / (feet ? kInch : 0.01), feet ? 0.05 : 0.1); }

}  // namespace

std::string nine_of_ten(double se_m, bool feet) {
    const double error = shown_error(se_m, feet);
    return fmt::format("{:.{}f}\u00a0{}", error, places_of(error), feet ? "in" : "cm");
}

std::string with_nine_of_ten(double metres, double se_m, bool feet) {
    if (!(se_m > 0)) return small_length(metres, feet);
    const double error = shown_error(se_m, feet);
    return fmt::format("{:.{}f}\u00a0± {}", metres / (feet ? kInch : 0.01), places_of(error), nine_of_ten(se_m, feet));
}

std::string speed_text(double mps, bool feet) {
    return feet ? fmt::format("{:.1f}\u00a0ft/s", mps / kFoot) : fmt::format("{:.1f}\u00a0m/s", mps);
}

std::string aim_text(double offset, bool feet, double se_m) {
    if (std::abs(offset) < 0.005) return "on the hole's\ncentre";
    const int places = se_m > 0 ? places_of(shown_error(se_m, feet)) : 1;
    return fmt::format("{:.{}f}\u00a0{}", std::abs(offset) / (feet ? kInch : 0.01), places, feet ? "in" : "cm") + (offset > 0 ? " right\nof the hole" : " left\nof the hole");
}

std::vector<std::string> tape_cells(const TapePlan& p, bool feet) {
    const auto from = [&](const TapeReading& r) { return r.from.name + " " + tape_length(r.metres, feet); };
    return {from(p.first), from(p.second),
            fmt::format("{} of the line {}–{}", p.side == TapeSide::left ? "left" : "right", p.first.from.name,
                        p.second.from.name),
            p.check ? from(*p.check) : "", "± " + nine_of_ten(p.se_m, feet)};
}

std::string compass_point(double bearing) { return compass(bearing).sign; }

namespace {

// Numbers of a sentence that share one unit: "3", "3 to 8", "2, 3 and 4". Where each begins and ends.
struct Number { std::size_t from = 0, to = 0; double value = 0; int places = 0; };
std::optional<Number> number_at(const std::string& s, std::size_t at) {
    const auto digit = [&](std::size_t k) { return k < s.size() && s[k] >= '0' && s[k] <= '9'; };
    if (!digit(at)) return std::nullopt;
    // Not within a name or a number that has begun.
    if (at > 0 && (std::isalnum(static_cast<unsigned char>(s[at - 1])) != 0 || s[at - 1] == '.')) return std::nullopt;
    Number n{at, at, 0, 0};
    while (digit(n.to)) ++n.to;
    if (n.to < s.size() && s[n.to] == '.' && digit(n.to + 1)) {
        const std::size_t point = n.to++;
        while (digit(n.to)) ++n.to;
        n.places = static_cast<int>(n.to - point - 1);
    }
    n.value = std::strtod(s.substr(at, n.to - at).c_str(), nullptr);
    return n;
}

// Length of a space, plain or no-break, at `at`; 0 where there is none.
std::size_t space_at(const std::string& s, std::size_t at) { return s.compare(at, 1, " ") == 0 ? 1 : s.compare(at, 2, "\u00a0") == 0 ? 2 : 0; }

// The unit at `at`, metres of one and how long it is; 0 where it is none of a length.
struct Unit { double metres = 0; std::size_t length = 0; };
Unit unit_at(const std::string& s, std::size_t at, std::initializer_list<std::pair<const char*, double>> units) {
    for (const auto& [name, metres] : units) {
        const std::string word = name;
        if (s.compare(at, word.size(), word) != 0) continue;
        const char next = at + word.size() < s.size() ? s[at + word.size()] : ' ';
        if (std::isalnum(static_cast<unsigned char>(next)) != 0 || next == '/' || s.compare(at + word.size(), 2, "²") == 0) continue;
        return {metres, word.size()};
    }
    return {};
}

// A length of a sentence in the hand's other units: as coarse as it was written.
std::string as_feet(const Number& n, double metres) {
    const double length = n.value * metres;
    if (metres == 0.001 && length < kInch) return fmt::format("{:.2f}\u00a0in", length / kInch);
    if (metres == 1.0) return length < 1.0 && n.places >= 2 ? pace_length(length, true) : feet_inches(length);
    return length < 0.10 ? small_length(length, true) : pace_length(length, true);
}

}  // namespace

std::string in_units(const std::string& s, bool feet) {
    std::string out;
    for (std::size_t at = 0; at < s.size();) {
        const auto first = number_at(s, at);
        if (!first) {
            out += s[at++];
            continue;
        }
        // The numbers before one unit, with the words between them.
        std::vector<Number> all{*first};
        std::size_t end = first->to;
        Unit unit;
        while (unit.length == 0) {
            end = all.back().to;
            if (const std::size_t gap = space_at(s, end); gap > 0) unit = unit_at(s, end + gap, {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}}), end += gap;
            if (unit.length > 0) break;
            std::optional<Number> next;
            for (const char* between : {" to ", ", ", " and ", " or ", " by ", " ± "})
                if (const std::size_t word = std::string(between).size(); s.compare(all.back().to, word, between) == 0) next = number_at(s, all.back().to + word);
            if (!next) break;
            all.push_back(*next);
        }
        if (unit.length == 0) {
            out += s.substr(at, first->to - at);
            at = first->to;
            continue;
        }
        end += unit.length;
        if (!feet) out += s.substr(at, end - at);
        for (std::size_t k = 0; feet && k < all.size(); ++k) {
            out += as_feet(all[k], unit.metres);
            if (k + 1 < all.size()) out += s.substr(all[k].to, all[k + 1].from - all[k].to);
        }
        at = end;
        // What the sentence itself said in feet or inches.
        if (s.compare(at, 2, " (") == 0)
            if (const auto again = number_at(s, at + 2))
                if (const std::size_t gap = space_at(s, again->to); gap > 0)
                    if (const Unit other = unit_at(s, again->to + gap, {{"ft", kFoot}, {"in", kInch}}); other.length > 0 && s.compare(again->to + gap + other.length, 1, ")") == 0)
                        at = again->to + gap + other.length + 1;
    }
    return out;
}

std::string as_sentence(std::string s) {
    if (s.empty()) return s;
    s[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(s[0])));
    if (s.back() != '.' && s.back() != '?' && s.back() != '!') s += '.';
    return s;
}

std::string short_cautions() {
    return "Markers, lines and this page are for practice only, not for use during a round (Rules of Golf; the committee's local rules). Ask the greenkeeper. "
           "Pegs, strings and coins trip people and damage mowers: count them out and in. Move the ball spot after about 20 putts.";
}

namespace {

std::vector<std::string> clauses(const std::string& note) {
    std::vector<std::string> out;
    for (std::size_t from = 0; from < note.size();) {
        const std::size_t to = std::min(note.find("; ", from), note.size());
        out.push_back(note.substr(from, to - from));
        from = to + 2;
    }
    return out;
}

}  // namespace

std::vector<std::string> shared_notes(const std::vector<PracticeStation>& stations) {
    std::vector<std::string> out;
    if (stations.size() < 2) return out;
    for (const std::string& c : clauses(stations.front().note)) {
        const bool all = std::all_of(stations.begin(), stations.end(), [&](const PracticeStation& s) {
            const auto own = clauses(s.note);
            return std::find(own.begin(), own.end(), c) != own.end();
        });
        if (all && std::find(out.begin(), out.end(), c) == out.end()) out.push_back(c);
    }
    return out;
}

std::string note_without(const std::string& note, const std::vector<std::string>& shared) {
    std::string out;
    for (const std::string& c : clauses(note))
        if (std::find(shared.begin(), shared.end(), c) == shared.end()) out += (out.empty() ? "" : "; ") + c;
    return out;
}

}  // namespace brae
