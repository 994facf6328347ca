#include "app/commands/plans.h"

#include "app/commands/hole_request.h"
#include "app/commands/terminal.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"
#include "core/record/worked_lesson.h"
#include "core/teach/learned_spread.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

Green open_for_verb(const std::string& file, bool quiet, Progress& progress) {
    Green green = open_green(file, progress);
    if (green.revision == 0 && !quiet) print_warnings(green.terrain->warnings);
    return green;
}

PlayerMeant player_meant(const PlayerArguments& who, const Green& green, Progress& progress) {
    const bool typed = who.start_line_sigma_deg || who.pace_sigma_pct || who.read_sigma_deg;
    if (who.player_file.empty()) {
        if (!who.player.empty()) throw usage_error("--player: the lesson file that knows the player is wanted too, as --player-file");
        PlayerFigures figures;
        const auto take = [](const std::optional<double>& given, double low, double high, const char* option, const char* unit, double& into) {
            if (!given) return;
            if (!(*given >= low && *given <= high)) throw usage_error(fmt::format("{}: found {:g} {}, {:g} to {:g} are wanted", option, *given, unit, low, high));
            into = *given;
        };
        take(who.start_line_sigma_deg, 0.01, 20, "--start-line-sigma", "degrees", figures.start_line_deg);
        take(who.pace_sigma_pct, 0.01, 25, "--pace-sigma", "%", figures.pace_pct);
        take(who.read_sigma_deg, 0, 20, "--read-sigma", "degrees", figures.read_deg);
        const auto turn = [](double v) { return fmt::format("{:g} degree{}", v, v == 1 ? "" : "s"); };
        return {spread_of(figures), fmt::format("{}: 1 sigma {} of start line, {:g} % of launch, {} of read", typed ? "a player" : "a fair amateur",
                                                turn(figures.start_line_deg), figures.pace_pct, turn(figures.read_deg))};
    }
    if (typed) throw usage_error("--player-file and typed sigmas: one of the two is wanted");
    LessonFile file(who.player_file, Database::Access::read);
    if (who.player.empty()) {
        const auto all = file.players();
        if (all.size() != 1) throw usage_error(fmt::format("--player: {} holds {} players, a name or code is wanted", who.player_file, all.size()));
    }
    const StoredPlayer player = who.player.empty() ? file.players().front() : file.player(who.player);
    std::optional<StoredLesson> newest;
    for (StoredLesson& l : file.lessons(player.id))
        if (l.green_id == green.id && !file.putts(l.id).empty()) newest = std::move(l);
    if (!newest) throw usage_error(fmt::format("--player-file: {} has no lesson with putts on {}, one is wanted to learn the player's figures from", player.name, green.name));
    const WorkedLesson w = work_out_lesson(file, *newest, green, true, progress);
    const PlayerSpread s = learned_spread(w.estimate);
    return {s, fmt::format("{}, as learned up to the lesson{}: start line {:.1f} degrees {} and 1 sigma {:.1f}, launch {:+.0f} % and {:.0f} %, read {:.1f} degrees", player.name,
                           newest->date.empty() ? "" : " of " + newest->date, std::abs(degrees(s.start_line_bias_rad)), s.start_line_bias_rad < 0 ? "left" : "right",
                           degrees(s.start_line.rad), 100 * s.launch_bias_rel, 100 * s.launch_sigma_rel, degrees(s.read_sigma_rad))};
}

HolePlan plan_holes_of(const Green& green, double speed_ft, int days, const std::string& first_day, Progress& progress, std::vector<std::string>& remarks) {
    HolesArguments a;
    a.days = days;
    a.from = first_day;
    a.as_kept = true;
    HolesOfGreen made = holes_of_green(green, a, HoleLimits{}, speed_ft, HoleScope::only_possible, progress);
    HolePlan out;
    out.positions = std::move(made.positions);
    out.why_none = std::move(made.why_none);
    remarks = std::move(made.remarks);
    out.candidates = made.judged.places.size();
    out.fair = made.judged.fair;
    out.fair_area_m2 = made.judged.fair_area_m2;
    return out;
}

nlohmann::ordered_json json_of_path(const RollPath& path) {
    auto rows = nlohmann::ordered_json::array();
    for (const RollSample& s : path.samples)
        rows.push_back({tidy(s.p.x), tidy(s.p.y), tidy(s.p.z), tidy(s.t), tidy(s.v)});
    return rows;
}

CaptureModel capture_model(const std::string& text) {
    if (text.empty()) return kDefaultCapture;
    return text == "rim" ? CaptureModel::rim : CaptureModel::free_fall;
}

}  // namespace brae::app
