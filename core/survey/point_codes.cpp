#include "core/survey/point_codes.h"

#include "core/base/error.h"
#include "core/survey/read_survey.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>

namespace brae {

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string upper_case(std::string_view text) {
    std::string result(text);
    for (char& c : result)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return result;
}

// "edge-12 left" -> "EDGE": the first word in capitals without digits and signs at its end.
std::string stem_of(std::string_view code) {
    code = trimmed(code);
    std::string word = upper_case(code.substr(0, code.find_first_of(" \t,;:/")));
    while (!word.empty() && (is_digit(word.back()) || word.back() == '-' || word.back() == '_' || word.back() == '.' || word.back() == '#'))
        word.pop_back();
    return word;
}

std::string without_trailing_digits(std::string_view text) {
    while (!text.empty() && (is_digit(text.back()) || text.back() == '-' || text.back() == '_' || text.back() == '.' || text.back() == ' '))
        text.remove_suffix(1);
    return std::string(text);
}

// Rows of one string share this: the code with its digits, else what the point names have in common.
std::string string_key(const RawLevel& level) {
    const std::string_view code = trimmed(level.code);
    std::string word = upper_case(code.substr(0, code.find_first_of(" \t,;:/")));
    if (!word.empty() && is_digit(word.back())) return word;
    return word + "|" + upper_case(without_trailing_digits(level.name));
}

// What a mark is called where nobody described it.
std::string describe_mark(const std::string& stem) {
    if (stem == "SPR" || stem == "SPRINKLER" || stem == "HEAD" || stem == "SH") return "sprinkler head";
    if (stem == "DRAIN" || stem == "DR") return "drain";
    if (stem == "COVER" || stem == "MH") return "cover";
    if (stem == "NAIL") return "nail";
    return "mark";
}

std::optional<Outline> try_outline(const std::vector<Vec2>& ring) {
    try {
        return Outline(ring, OutlineSource::point_codes);
    } catch (const Error&) {
        return std::nullopt;
    }
}

// Joins several strings end to end, each time the nearest free end next.
std::vector<Vec2> join_strings(std::vector<std::vector<Vec2>> strings) {
    std::vector<Vec2> ring = std::move(strings.front());
    strings.erase(strings.begin());
    while (!strings.empty()) {
        std::size_t best = 0;
        bool turned = false;
        double least = INFINITY;
        for (std::size_t k = 0; k < strings.size(); ++k)
            for (bool t : {false, true})
                if (const double d = distance(ring.back(), t ? strings[k].back() : strings[k].front()); d < least) {
                    least = d;
                    best = k;
                    turned = t;
                }
        if (turned) std::reverse(strings[best].begin(), strings[best].end());
        ring.insert(ring.end(), strings[best].begin(), strings[best].end());
        strings.erase(strings.begin() + static_cast<std::ptrdiff_t>(best));
    }
    return ring;
}

// The edge in file order; where that crosses itself, in order of direction from the middle; each with a word about it.
void make_outline(const std::vector<std::vector<Vec2>>& strings, Survey& survey) {
    std::size_t count = 0;
    Vec2 middle;
    for (const auto& s : strings)
        for (Vec2 p : s) {
            middle = middle + p;
            ++count;
        }
    if (count < 3) {
        survey.warnings.push_back(fmt::format("only {} point{} coded as edge; 3 or more make an outline, so the boundary of "
                                              "the data is used", count, count == 1 ? " is" : "s are"));
        return;
    }
    const std::vector<Vec2> ring = join_strings(strings);
    survey.outline = try_outline(ring);
    if (survey.outline) return;
    middle = middle / static_cast<double>(count);
    std::vector<Vec2> sorted = ring;
    std::stable_sort(sorted.begin(), sorted.end(), [&](Vec2 a, Vec2 b) {
        return std::atan2(a.y - middle.y, a.x - middle.x) < std::atan2(b.y - middle.y, b.x - middle.x);
    });
    survey.outline = try_outline(sorted);
    survey.warnings.push_back(survey.outline
                                  ? "the edge points cross over in the order of the file; they were put in order around the middle"
                                  : "the edge points make no ring that does not cross itself; the boundary of the data is used");
}

// Where no code says ground, the commonest unknown one is taken for it.
std::string guessed_ground(const std::vector<RawLevel>& levels, Survey& survey) {
    std::size_t turf = 0;
    std::map<std::string, std::size_t> others;
    for (const RawLevel& level : levels) {
        switch (meaning_of_code(level.code)) {
            case CodeMeaning::other: ++others[stem_of(level.code)]; break;
            case CodeMeaning::hole:
            case CodeMeaning::mark: break;
            default: ++turf;
        }
    }
    const auto most = std::max_element(others.begin(), others.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    if (turf >= 10 || most == others.end() || most->second < 10) return {};
    survey.warnings.push_back(fmt::format("no code for ground was found; the {} points coded {} are taken for turf", most->second,
                                          quote(most->first)));
    return most->first;
}

}  // namespace

CodeMeaning meaning_of_code(const std::string& code) {
    static const std::map<std::string, CodeMeaning, std::less<>> meanings{
        {"", CodeMeaning::ground}, {"GND", CodeMeaning::ground}, {"GRD", CodeMeaning::ground}, {"GROUND", CodeMeaning::ground},
        {"LEV", CodeMeaning::ground}, {"LEVEL", CodeMeaning::ground}, {"TURF", CodeMeaning::ground}, {"SL", CodeMeaning::ground},
        {"SPOT", CodeMeaning::ground}, {"GR", CodeMeaning::ground}, {"GREEN", CodeMeaning::ground}, {"PUTT", CodeMeaning::ground},
        {"EDGE", CodeMeaning::edge}, {"GE", CodeMeaning::edge}, {"OUTLINE", CodeMeaning::edge}, {"EOG", CodeMeaning::edge},
        {"PERIMETER", CodeMeaning::edge}, {"BOUNDARY", CodeMeaning::edge},
        {"TOP", CodeMeaning::tier_top}, {"TT", CodeMeaning::tier_top}, {"TIERTOP", CodeMeaning::tier_top},
        {"TOE", CodeMeaning::tier_toe}, {"TB", CodeMeaning::tier_toe}, {"TIERTOE", CodeMeaning::tier_toe},
        {"BOT", CodeMeaning::tier_toe}, {"BOTTOM", CodeMeaning::tier_toe},
        {"HOLE", CodeMeaning::hole}, {"PIN", CodeMeaning::hole}, {"CUP", CodeMeaning::hole}, {"FLAG", CodeMeaning::hole},
        {"SPR", CodeMeaning::mark}, {"SPRINKLER", CodeMeaning::mark}, {"HEAD", CodeMeaning::mark}, {"SH", CodeMeaning::mark},
        {"DRAIN", CodeMeaning::mark}, {"DR", CodeMeaning::mark}, {"NAIL", CodeMeaning::mark}, {"MARK", CodeMeaning::mark},
        {"COVER", CodeMeaning::mark}, {"MH", CodeMeaning::mark}, {"BM", CodeMeaning::mark},
    };
    std::string stem = stem_of(code);
    // "TIER_TOP" and "tier-toe" are written both ways.
    std::erase_if(stem, [](char c) { return c == '_' || c == '-'; });
    const auto at = meanings.find(stem);
    return at == meanings.end() ? CodeMeaning::other : at->second;
}

void sort_levels(const std::vector<RawLevel>& levels, bool as_points, Survey& survey) {
    const std::string ground = as_points ? guessed_ground(levels, survey) : std::string();

    // Strings keep the order of the file, and so do the strings among themselves.
    std::vector<std::string> edge_keys, line_keys;
    std::vector<std::vector<Vec2>> edges;
    std::map<std::string, std::size_t> unused;
    std::vector<Breakline> lines;
    std::set<std::string> mark_names;
    for (const ReferenceMark& mark : survey.marks) mark_names.insert(mark.name);
    const auto slot = [](std::vector<std::string>& keys, const std::string& key) {
        const auto at = std::find(keys.begin(), keys.end(), key);
        if (at != keys.end()) return static_cast<std::size_t>(at - keys.begin());
        keys.push_back(key);
        return keys.size() - 1;
    };

    for (const RawLevel& level : levels) {
        CodeMeaning meaning = meaning_of_code(level.code);
        const std::string stem = stem_of(level.code);
        if (meaning == CodeMeaning::other && !ground.empty() && stem == ground) meaning = CodeMeaning::ground;
        // Of what lies outside the clip box only the edge is wanted, to be cut as a whole.
        if (level.beyond && meaning != CodeMeaning::edge) continue;
        if (meaning != CodeMeaning::ground && !level.beyond) survey.coded.push_back({level.p, level.name, level.code});
        switch (meaning) {
            case CodeMeaning::edge: {
                const std::size_t k = slot(edge_keys, string_key(level));
                edges.resize(std::max(edges.size(), k + 1));
                edges[k].push_back({level.p.x, level.p.y});
                break;
            }
            case CodeMeaning::tier_top:
            case CodeMeaning::tier_toe: {
                const std::size_t k = slot(line_keys, string_key(level));
                lines.resize(std::max(lines.size(), k + 1));
                lines[k].code = level.code;
                lines[k].points.push_back(level.p);
                break;
            }
            case CodeMeaning::hole:
                if (survey.todays_hole)
                    survey.warnings.push_back(fmt::format("a second hole at ({:.2f}, {:.2f}) is kept as a coded point only; the "
                                                          "first is today's hole", level.p.x, level.p.y));
                else
                    survey.todays_hole = level.p;
                break;
            case CodeMeaning::mark: {
                // The surveyor's point name, else the code and a number; always another one.
                ReferenceMark mark;
                mark.p = level.p;
                const std::string base = !level.name.empty() ? level.name : stem;
                mark.name = level.name.empty() ? base + "1" : base;
                for (int n = 2; mark_names.count(mark.name); ++n) mark.name = fmt::format("{}{}{}", base, level.name.empty() ? "" : "-", n);
                mark_names.insert(mark.name);
                // Words behind the code are a description too.
                const std::string_view code = trimmed(level.code);
                const auto blank = code.find_first_of(" \t,;:/");
                const std::string_view rest = blank == code.npos ? std::string_view() : trimmed(code.substr(blank + 1));
                mark.description = !level.description.empty() ? level.description
                                   : rest.empty()             ? describe_mark(stem)
                                                              : describe_mark(stem) + ", " + std::string(rest);
                survey.marks.push_back(std::move(mark));
                break;
            }
            case CodeMeaning::other: ++unused[stem]; break;
            case CodeMeaning::ground: break;
        }
        const bool turf = meaning == CodeMeaning::ground || meaning == CodeMeaning::edge || meaning == CodeMeaning::tier_top ||
                          meaning == CodeMeaning::tier_toe;
        if (turf && as_points && !level.beyond) survey.points.push_back(level.p);
        if (meaning == CodeMeaning::ground && !as_points && !level.beyond) survey.checks.push_back(level.p);
    }

    for (Breakline& line : lines)
        if (line.points.size() >= 2) survey.breaklines.push_back(std::move(line));
    if (!edges.empty()) make_outline(edges, survey);
    for (const auto& [code, count] : unused)
        survey.warnings.push_back(fmt::format("{} point{} coded {} {} not used as turf", count, count == 1 ? "" : "s", quote(code),
                                              count == 1 ? "is" : "are"));
}

}  // namespace brae
