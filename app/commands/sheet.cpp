// brae sheet: printed sheets.
#include "app/commands/day_sheet.h"
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/export/sheets.h"
#include "core/record/green_queries.h"
#include "core/record/hole_history.h"
#include "core/record/lesson_kind_file.h"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_sheet(const SheetArguments& a) {
    const auto& kinds = sheet_kinds();
    if (std::none_of(kinds.begin(), kinds.end(), [&](const SheetKind& k) { return k.name == a.kind; })) {
        std::string names;
        for (const auto& k : kinds) names += (names.empty() ? "" : ", ") + k.name;
        throw usage_error(fmt::format("--kind: found '{}', one of {} is wanted", a.kind, names));
    }
    if (is_day_kind(a.kind)) return run_day_sheet(a);
    if (a.card_scale != 0) throw usage_error("--card-scale belongs to --kind card");
    check_output(a.out, {a.green}, ".pdf");
    if (a.kind != "holes" && !a.from.empty()) throw usage_error(fmt::format("--from belongs to --kind holes, not to {}", a.kind));
    if (a.kind == "survey" && (!a.hole.empty() || a.lesson || !a.lesson_file.empty() || a.usual_speed_ft || a.past_m || a.speed_ft || a.days > 0))
        throw usage_error("--hole, --lesson, --lesson-file, --usual-speed, --past, --speed and --days do not belong to --kind survey");
    if (a.kind == "holes" && (!a.hole.empty() || a.lesson || !a.lesson_file.empty() || a.usual_speed_ft || a.past_m))
        throw usage_error("--hole, --lesson, --lesson-file, --usual-speed and --past belong to --kind stations, pocket or card, not to holes");
    if ((a.kind == "stations" || a.kind == "pocket" || a.kind == "lesson-card") && a.days > 0)
        throw usage_error(fmt::format("--days belongs to --kind holes, not to {}", a.kind));
    if (a.lesson && !a.lesson_file.empty()) throw usage_error("--lesson and --lesson-file: one of the two is wanted");
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());

    std::vector<std::string> warnings;
    std::optional<double> usual_speed_ft = a.usual_speed_ft;   // what was kept with the stations serves where nothing is told
    SheetRequest request;
    request.kind = a.kind;
    request.paper = a.paper == "letter" ? Paper::letter : Paper::a4;
    request.date = a.date;
    request.feet_and_inches = a.feet;
    if (a.kind == "survey") {
        request.green_speed_ft = 10;
    } else if (a.kind == "holes") {
        request.green_speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
        HolePlan plan = plan_holes_of(green, request.green_speed_ft, a.days, a.from, terminal.progress(), warnings);
        if (plan.positions.empty()) throw Error(plan.why_none);
        request.positions = std::move(plan.positions);
        // Days by their dates in words, by their numbers on the plan; days without a kept hole are planned for the paper only.
        if (a.days > 0)
            for (HolePosition& p : request.positions) p.why = date_after(a.from.empty() ? today() : a.from, std::stoi(p.day) - 1) + ": " + p.why;
        const std::string first = a.from.empty() ? today() : a.from;
        int open = 0;
        for (int d = 0; d < a.days; ++d)
            open += std::none_of(green.holes.begin(), green.holes.end(), [&](const StoredHole& h) { return h.date == date_after(first, d); }) && !skipped_day(green, date_after(first, d));
        if (open > 0)
            warnings.push_back(fmt::format("for {} of {} days the green keeps no hole: they are planned for this sheet, and not kept; brae holes --days {} --keep keeps a plan", open, a.days, a.days));
        if (request.date.empty() && a.days > 0) request.date = fmt::format("{} days from {}", a.days, a.from.empty() ? today() : a.from);
    } else if (a.hole.empty() && !a.lesson && a.lesson_file.empty() && !a.past_m && !a.speed_ft && !green.stations.empty()) {
        // What the coach kept in the file is what is printed, unless something else was asked for.
        warnings = request.warnings = stale_stations(green);
        for (const auto& s : green.stations) request.stations.push_back(s.station);
        request.missing = green.stations_told.missing;
        if (!usual_speed_ft) usual_speed_ft = green.stations_told.usual_speed_ft;
        request.green_speed_ft = request.stations.front().green_speed_ft;
    } else {
        // Another speed or pace for kept stations would print another lesson without a word.
        if (!a.lesson && a.lesson_file.empty() && !green.stations.empty() && a.hole.empty())
            throw usage_error("--speed and --past: the green keeps stations of its own; name the --lesson to plan anew");
        request.green_speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
        StationRequest asked = station_request(green, parse_hole(a.hole, green), request.green_speed_ft, a.past_m.value_or(kUsualPastM),
                                               a.lesson.value_or("ladder"));
        if (!a.lesson_file.empty()) asked.own = read_lesson_kind(a.lesson_file);
        const StationPlan plan = plan_stations(*green.terrain, asked, terminal.progress());
        if (plan.stations.empty()) throw Error(plan.missing);
        request.stations = plan.stations;
        request.missing = plan.missing;
    }
    if (a.kind == "stations" || a.kind == "pocket") request.speeds = breaks_for_sheet(*green.terrain, request.stations, usual_speed_ft);
    const SheetResult result = write_sheet(green, request, a.out);
    terminal.finish();
    if (!a.json) print_warnings(warnings);
    if (a.json) {
        nlohmann::ordered_json out{{"pages", result.pages}, {"scale", result.scale}, {"file", a.out}, {"warnings", warnings}};
        for (const HolePosition& p : request.positions) out["positions"].push_back({{"day", p.day}, {"x", tidy(p.p.x)}, {"y", tidy(p.p.y)}, {"why", p.why}});
        print_json(out);
        return 0;
    }
    fmt::print("written {}, {} page{}{}\n", a.out, result.pages, result.pages == 1 ? "" : "s",
               result.scale > 0 ? fmt::format(", scale 1:{}", result.scale) : "");
    return 0;
}

}  // namespace brae::app
