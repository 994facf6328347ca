// brae line: the line of play of a green, gates, and places told in paces.
#include "app/commands/place_words.h"
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/cut_line.h"
#include "core/record/green_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_line(const LineArguments& a) {
    const bool sets = a.bearing_deg || !a.points.empty() || !a.gates.empty() || a.clear;
    if (a.clear && (a.bearing_deg || !a.points.empty() || !a.gates.empty())) throw usage_error("--clear: found beside what it would take away; one of the two is wanted");
    TerminalProgress terminal;
    Green green = open_for_verb(a.green, a.json, terminal.progress());
    if (sets && green.revision == 0) throw usage_error(fmt::format("{} is a survey, not a green file; make one with brae survey", a.green));

    // What is set.
    const Frame& frame = green.terrain->frame;
    if (a.bearing_deg && !(std::abs(*a.bearing_deg) <= 360)) throw usage_error(fmt::format("--bearing: found {:g}, degrees clockwise from north between -360 and 360 are wanted", *a.bearing_deg));
    if (a.clear) green.line_of_play.reset(), green.gates.clear();
    if (a.bearing_deg) green.line_of_play = line_of_play_towards(*a.bearing_deg);
    if (!a.points.empty()) {
        std::vector<Vec2> points;
        for (const std::string& text : a.points) points.push_back(parse_point(text, "--point", frame));
        green.line_of_play = line_of_play_along(points);
    }
    if (!a.gates.empty()) green.gates.clear();
    for (std::size_t k = 0; k < a.gates.size(); ++k) green.gates.push_back({fmt::format("gate {}", k + 1), parse_point(a.gates[k], "--gate", frame)});
    if (sets) {
        ++green.revision;
        update_green_file(green, a.green);
    }

    // A place on it: the one that is asked for, else today's hole.
    std::optional<Vec2> place;
    double loose_m = 0;
    if (!a.place.empty()) {
        const CutPlace found = place_of(parse_cut_line(a.place), green);
        place = found.p, loose_m = found.loose_m;
    } else if (const StoredHole* today = green.todays_hole()) {
        place = today->p;
    }
    const auto at = place && green.line_of_play ? place_by_paces(green.terrain->outline, *green.line_of_play, *place) : std::nullopt;
    // How deep and wide it is through its middle, where that is green.
    double depth_m = 0, width_m = 0;
    if (green.line_of_play)
        if (const auto middle = place_by_paces(green.terrain->outline, *green.line_of_play, green.terrain->outline.centroid())) {
            depth_m = middle->on_m + middle->behind_m;
            width_m = middle->left_m + middle->right_m;
        }
    terminal.finish();

    if (a.json) {
        nlohmann::ordered_json out{{"bearing_deg", nullptr}, {"approach", nlohmann::ordered_json::array()}, {"gates", nlohmann::ordered_json::array()}};
        if (green.line_of_play) {
            out["bearing_deg"] = tidy(bearing_deg(green.line_of_play->direction));
            for (const Vec2& p : green.line_of_play->approach) out["approach"].push_back({tidy(p.x), tidy(p.y)});
        }
        for (const Gate& g : green.gates) out["gates"].push_back({tidy(g.p.x), tidy(g.p.y)});
        if (depth_m > 0) out["depth_m"] = tidy(depth_m), out["width_m"] = tidy(width_m);
        if (place) out["place"] = json_of_place(*place, at, loose_m);
        print_json(out);
        return 0;
    }
    if (!green.line_of_play) {
        fmt::print("no line of play; set it with --bearing or --point\n");
    } else {
        fmt::print("line of play  towards {:.0f} degrees\n", bearing_deg(green.line_of_play->direction));
        if (depth_m > 0) fmt::print("its middle    {:.0f} paces deep, {:.0f} wide\n", depth_m / kPace, width_m / kPace);
    }
    for (const Gate& g : green.gates) fmt::print("gate          {:.2f}, {:.2f} m\n", g.p.x, g.p.y);
    if (place) fmt::print("{}  {:.2f}, {:.2f} m{}\n", a.place.empty() ? "today's hole" : "place       ", place->x, place->y, at ? "; " + words_of_place(*at, loose_m) : "");
    return 0;
}

}  // namespace brae::app
