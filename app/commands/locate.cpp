// brae locate: a hole or ball that is really there, brought into the model by tapes from reference marks.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/plan/taping.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

// "S1=6.42" with S1 a mark of the green.
TapeReading parse_tape(const std::string& text, const std::string& option, const std::vector<TapePoint>& known) {
    const auto equals = text.find('=');
    if (equals == std::string::npos)
        throw usage_error(fmt::format("{}: found '{}', MARK=METRES is wanted", option, text));
    const std::string name = text.substr(0, equals);
    const auto mark = std::find_if(known.begin(), known.end(), [&](const TapePoint& m) { return m.name == name; });
    if (mark == known.end()) {
        std::string names;
        for (const auto& m : known) names += (names.empty() ? "" : ", ") + m.name;
        throw usage_error(fmt::format("{}: the green has no mark '{}'; its marks are {}", option, name,
                                      names.empty() ? "none" : names));
    }
    return {*mark, parse_number(text.substr(equals + 1), option)};
}

}  // namespace

int run_locate(const LocateArguments& a) {
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const auto known = tape_points(green);
    if (a.store && green.revision == 0)
        throw usage_error(fmt::format("--store: {} is a survey, not a green file; make one with brae survey", a.green));

    std::vector<TapeReading> tapes, checks;
    for (const auto& t : a.tapes) tapes.push_back(parse_tape(t, "--tape", known));
    for (const auto& t : a.checks) checks.push_back(parse_tape(t, "--check", known));
    std::optional<TapeSide> side;
    if (!a.side.empty()) side = a.side == "left" ? TapeSide::left : TapeSide::right;
    const TapeFix fix = locate_by_tapes(tapes, side, checks, known);
    const Outline& outline = green.terrain->outline;
    terminal.finish();
    std::vector<std::string> warnings;
    if (!outline.contains(fix.p))
        warnings.push_back(fmt::format("the place is {:.1f} m outside the green", -outline.signed_distance(fix.p)));
    if (!a.json) print_warnings(warnings);

    // The hole is where it really is.
    if (a.store) {
        Green changed = green;
        changed.holes = holes_with_today_at(green, fix.p, "", "taped");
        ++changed.revision;
        update_green_file(changed, a.green);
    }

    const Vec2 map = green.terrain->frame.to_map(fix.p);
    if (a.json) {
        print_json({{"x", tidy(fix.p.x)},
                    {"y", tidy(fix.p.y)},
                    {"residual_m", fix.residual_m ? nlohmann::ordered_json(tidy(*fix.residual_m)) : nlohmann::ordered_json(nullptr)},
                    {"crossing_deg", tidy(fix.crossing_deg)},
                    {"se_m", tidy(fix.se_m)},
                    {"map", {tidy(map.x), tidy(map.y)}},
                    {"warnings", warnings}});
        return 0;
    }
    fmt::print("at        {:.2f}, {:.2f} m\ntapes     cross under {:.0f} degrees, standard error {:.1f} cm\n", fix.p.x, fix.p.y,
               fix.crossing_deg, 100 * fix.se_m);
    if (fix.residual_m) fmt::print("check     {:.1f} cm off\n", 100 * *fix.residual_m);
    return 0;
}

}  // namespace brae::app
