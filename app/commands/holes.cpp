// brae holes: fair hole positions at today's speed, ranked, or one a day; one place judged; maps; a folder as a course.
#include "app/commands/hole_request.h"
#include "app/commands/holes_course.h"
#include "app/commands/holes_keep.h"
#include "app/commands/output.h"
#include "app/commands/place_words.h"
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/export/raster_file.h"
#include "core/plan/hole_settings.h"
#include "core/record/cut_line.h"
#include "core/record/edit_lock.h"
#include "core/record/green_queries.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

using nlohmann::ordered_json;

std::optional<PlaceByPaces> paces_of(const Green& green, Vec2 p) {
    return green.line_of_play ? place_by_paces(green.terrain->outline, *green.line_of_play, p) : std::nullopt;
}

ordered_json json_of_hole(const HolePosition& p) {
    ordered_json row{{"x", tidy(p.p.x)}, {"y", tidy(p.p.y)}, {"score", tidy(p.score)}, {"fair", p.fair}, {"slope_pct", tidy(percent(p.slope))},
                     {"edge_m", tidy(p.edge_m)}, {"why", p.why}};
    if (p.putts > 0) row["putts"] = tidy(p.putts);
    if (!p.day.empty()) row["day"] = p.day;
    row["criteria"] = ordered_json::array();
    for (const Criterion& c : p.criteria)
        row["criteria"].push_back({{"name", c.name}, {"pass", c.pass}, {"value", tidy(c.value)}, {"limit", tidy(c.limit)}, {"unit", c.unit},
                                   {"measured", c.measured}, {"sentence", c.sentence}});
    return row;
}

ordered_json json_of_ramp(const RampSite& r) {
    ordered_json corners = ordered_json::array();
    for (Vec2 c : r.corners) corners.push_back({tidy(c.x), tidy(c.y)});
    return {{"x", tidy(r.centre.x)}, {"y", tidy(r.centre.y)}, {"bearing_deg", tidy(r.bearing_deg)}, {"slope_pct", tidy(percent(r.slope))},
            {"worst_slope_pct", tidy(percent(r.worst_slope))}, {"corners", corners}, {"sentence", r.sentence}};
}

ordered_json json_of_green_holes(const Green& green, const HolesOfGreen& h, double speed_ft, const std::string& first_day) {
    ordered_json out{{"positions", ordered_json::array()}, {"candidates", h.judged.places.size()}, {"fair", h.judged.fair},
                     {"fair_area_m2", tidy(h.judged.fair_area_m2)}, {"speed_ft", tidy(speed_ft)}};
    for (std::size_t k = 0; k < h.positions.size(); ++k) {
        ordered_json row = json_of_hole(h.positions[k]);
        if (const auto at = paces_of(green, h.positions[k].p)) row["place"] = json_of_paces(at);
        if (k < h.until.size()) {
            row["fair_to_ft"] = tidy(h.until[k].speed_ft);
            row["ends_by"] = h.until[k].criterion;
        }
        if (!h.positions[k].day.empty()) {
            row["date"] = date_after(first_day, std::stoi(h.positions[k].day) - 1);
            row["by_hand"] = static_cast<bool>(h.by_hand[k]);
        }
        out["positions"].push_back(row);
    }
    for (const SkippedDay& s : h.skipped) out["skipped"].push_back({{"date", s.date}, {"reason", s.reason}});
    if (!h.why_none.empty()) out["why_none"] = h.why_none;
    if (h.ramp) out["ramp"] = json_of_ramp(*h.ramp);
    if (!h.remarks.empty()) out["remarks"] = h.remarks;
    return out;
}

namespace {

// One GeoTIFF a criterion that was judged, and the margin.
std::vector<std::string> write_maps(const GreenJudgement& judged, const Green& green, const std::string& folder_name, const std::string& input) {
    const std::filesystem::path folder = folder_name;
    std::error_code fault;
    std::filesystem::create_directories(folder, fault);
    if (fault) throw Error(fmt::format("--maps: the folder {} cannot be made: {}", folder_name, fault.message()));
    std::vector<std::string> files;
    const auto write = [&](const std::string& name, const std::string& what) {
        std::string file = "holes-" + name + ".tif";
        std::replace(file.begin(), file.end(), ' ', '-');
        check_output(folder / file, {input}, ".tif", "--maps");
        const Raster raster = map_of(judged, name);
        if (std::all_of(raster.values.begin(), raster.values.end(), [](double v) { return !std::isfinite(v); })) return;
        write_raster_file(raster, green.terrain->frame, what, folder / file);
        files.push_back((folder / file).string());
    };
    write("margin", "margin to the nearest limit, 1 comfortable, 0 at it");
    for (const HoleCriterionName& n : hole_criterion_names()) {
        std::string unit;
        for (const HolePosition& h : judged.places)
            for (const Criterion& c : h.criteria)
                if (c.name == n.name) unit = c.unit;
        write(n.name, fmt::format("{}, {}", n.name, unit));
    }
    return files;
}

// A point, which may lie off the green, or any other place as brae cut takes it.
CutPlace judged_place(const std::string& text, const Green& green) {
    CutLine line;
    try {
        line = parse_cut_line(text);
    } catch (const Error& e) {
        throw usage_error(fmt::format("--place: {}", e.what()));
    }
    if (line.kind == CutLine::Kind::skipped || !line.beside.empty()) throw usage_error(fmt::format("--place: found '{}', one place is wanted", text));
    if (line.kind == CutLine::Kind::point) return {line.map ? green.terrain->frame.from_map(line.point) : line.point};
    return place_of(line, green);
}

int judge_place(const HolesArguments& a, const Green& green, double speed_ft, const HoleLimits& limits, TerminalProgress& terminal) {
    const CutPlace told = a.place == "today" ? CutPlace{parse_hole("", green)} : judged_place(a.place, green);
    const Vec2 p = told.p;
    const auto at = paces_of(green, p);
    const HoleRequest request = hole_request_of(green, first_day_of(a), 0, a.play_deg);
    const HolePosition h = HoleJudge(*green.terrain, request.around, speed_ft, limits).judge(p);
    const FairUntil until = fair_until(*green.terrain, request.around, p, speed_ft, limits, terminal.progress());
    const std::string warning = a.forecast_ft ? forecast_warning(until, *a.forecast_ft) : "";
    terminal.finish();
    if (a.json) {
        ordered_json out = json_of_hole(h);
        out["speed_ft"] = tidy(speed_ft);
        if (at) out["place"] = json_of_paces(at);
        if (told.loose_m > 0) out["loose_m"] = tidy(told.loose_m);
        if (!told.understood.empty()) out["understood"] = told.understood;
        if (until.fair_now) out["fair_to_ft"] = tidy(until.speed_ft), out["ends_by"] = until.criterion;
        if (!warning.empty()) out["forecast"] = {warning};
        out["warnings"] = request.warnings;
        print_json(out);
        return 0;
    }
    print_warnings(request.warnings);
    fmt::print("({:.2f}, {:.2f}){} at {:.1f} ft: {}\n\n", p.x, p.y, at ? ", " + words_of_place(*at, told.loose_m) + "," : "", speed_ft, h.fair ? "fair" : "not fair");
    if (!told.understood.empty()) fmt::print("  {}\n\n", told.understood);
    for (const Criterion& c : h.criteria) fmt::print("  {:<16} {:<5} {}\n", c.name, c.pass ? "meets" : "fails", c.sentence);
    if (until.fair_now)
        fmt::print("\n{}\n", until.criterion.empty() ? "fair up to " + fair_to_text(until) + ", where the search ends"
                                                      : fmt::format("fair up to {:.1f} ft; beyond, {}: {}", until.speed_ft, until.criterion, until.sentence));
    if (!warning.empty()) fmt::print("forecast: {}\n", warning);
    return 0;
}

}  // namespace

int run_holes(const HolesArguments& a) {
    const HoleLimits limits = hole_limits_of(a);
    first_day_of(a);
    if (a.forecast_ft && !(*a.forecast_ft >= kSlowestGreenFt && *a.forecast_ft <= kFastestGreenFt))
        throw usage_error(fmt::format("--forecast: found {:g} ft; {:.0f} to {:.0f} ft are wanted", *a.forecast_ft, kSlowestGreenFt, kFastestGreenFt));
    if (a.speed_ft && !(*a.speed_ft >= kSlowestGreenFt && *a.speed_ft <= kFastestGreenFt))
        throw usage_error(fmt::format("--speed: found {:g} ft; {:.0f} to {:.0f} ft are wanted", *a.speed_ft, kSlowestGreenFt, kFastestGreenFt));
    if (a.keep && a.days == 0) throw usage_error("--keep: found no --days; the days to plan are wanted");
    if (!a.by.empty() && !a.keep) throw usage_error("--by: found without --keep, which it belongs to");
    if (a.days > 0 && !a.place.empty()) throw usage_error("--days: found beside --place, which judges one place; one of the two is wanted");
    std::error_code code;
    if (std::filesystem::is_directory(a.green, code)) return run_holes_course(a, limits);

    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const double speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
    if (!a.place.empty()) return judge_place(a, green, speed_ft, limits, terminal);
    const bool maps = !a.maps.empty();
    const std::string first_day = first_day_of(a);
    if (a.keep) {
        if (green.revision == 0) throw usage_error(fmt::format("--keep: {} is a survey, not a green file; make one with brae survey", a.green));
        require_unlocked(a.green);
    }
    const HolesOfGreen made = holes_of_green(green, a, limits, speed_ft, maps ? HoleScope::every_place : HoleScope::only_possible, terminal.progress());
    std::vector<std::string> files;
    if (maps) files = write_maps(made.judged, green, a.maps, a.green);
    const GreenAround around = hole_request_of(green, first_day, a.days, a.play_deg).around;
    std::vector<FairAtSpeed> by_speed;
    if (a.by_speed) by_speed = fair_area_at(*green.terrain, around, {8, 9, 10, 11, 12, 13}, limits, terminal.progress());

    // The forecast, against the places proposed and the hole that is cut.
    std::vector<std::string> forecast;
    if (a.forecast_ft) {
        const auto warn = [&](const std::string& which, const FairUntil& until) {
            if (const std::string w = forecast_warning(until, *a.forecast_ft); !w.empty()) forecast.push_back(which + ": " + w);
        };
        for (std::size_t k = 0; k < made.until.size(); ++k) warn(fmt::format("place {}", k + 1), made.until[k]);
        if (const StoredHole* cut = green.todays_hole())
            warn("today's hole", fair_until(*green.terrain, around, cut->p, speed_ft, limits, terminal.progress()));
    }
    std::optional<KeptPlan> kept;
    if (a.keep) {
        std::vector<PlannedHole> plan;
        for (std::size_t k = 0; k < made.positions.size(); ++k)
            if (!made.by_hand[k]) plan.push_back({date_after(first_day, std::stoi(made.positions[k].day) - 1), made.positions[k].p, speed_ft});
        kept = keep_plan(green, a.green, first_day, a.days, plan, a.by);
    }
    terminal.finish();

    std::vector<std::string> warnings = made.warnings;
    if (std::string edge = edge_warning(green); !edge.empty()) warnings.push_back(std::move(edge));
    if (a.json) {
        ordered_json out = json_of_green_holes(green, made, speed_ft, first_day);
        if (a.days > 0) out["gap_pct"] = tidy(percent(made.gap));
        if (kept) out["kept"] = kept->holes, out["kept_remarks"] = kept->remarks;
        for (const FairAtSpeed& f : by_speed) out["by_speed"].push_back({{"speed_ft", f.green_speed_ft}, {"area_m2", tidy(f.area_m2)}});
        if (!forecast.empty()) out["forecast"] = forecast;
        if (maps) out["maps"] = files;
        out["outline"] = to_text(green.terrain->outline.source());
        for (const std::string& w : green.terrain->warnings) warnings.push_back(w);
        out["warnings"] = warnings;
        print_json(out);
        return 0;
    }
    print_warnings(warnings);
    if (made.positions.empty()) fmt::print("no fair position: {}\n", made.why_none);
    else {
        fmt::print("{} of {} places are fair at {:.1f} ft, {:.0f} m2 of {:.0f} m2\n\n", made.judged.fair, made.judged.places.size(), speed_ft,
                   made.judged.fair_area_m2, green.terrain->outline.area_m2());
        fmt::print("{:<10} {:>8} {:>8}  {:<17}{}why\n", a.days > 0 ? "day" : "rank", "x m", "y m", green.line_of_play ? "paces" : "", a.days > 0 ? "" : "fair to         ");
        for (std::size_t k = 0; k < made.positions.size(); ++k) {
            const HolePosition& p = made.positions[k];
            const std::string until = k < made.until.size() ? fmt::format("{:<16}", fair_to_text(made.until[k])) : "";
            const auto at = paces_of(green, p.p);
            fmt::print("{:<10} {:8.2f} {:8.2f}  {:<17}{}{}\n", p.day.empty() ? std::to_string(k + 1) : date_after(first_day, std::stoi(p.day) - 1), p.p.x, p.p.y,
                       at ? paces_text(*at) : "", until, p.why);
        }
        for (const SkippedDay& s : made.skipped)
            if (a.days > 0) fmt::print("{:<10} no hole is cut ({}): the one before stays\n", s.date, s.reason);
        if (!made.why_none.empty()) fmt::print("\n{}\n", made.why_none);
        for (const std::string& r : made.remarks) fmt::print("{}\n", r);
    }
    if (!by_speed.empty()) {
        fmt::print("\nfair area");
        for (const FairAtSpeed& f : by_speed) fmt::print("  {:.0f} ft: {:.0f} m2", f.green_speed_ft, f.area_m2);
        fmt::print("\n");
    }
    if (made.ramp) fmt::print("\nramp: {}\n", made.ramp->sentence);
    for (const std::string& f : forecast) fmt::print("forecast: {}\n", f);
    for (const std::string& f : files) fmt::print("written {}\n", f);
    if (kept) {
        fmt::print("\nkept {} hole{} with {}; brae sheet {} --kind day --date {} --out DAY.pdf prints a day\n", kept->holes, kept->holes == 1 ? "" : "s", green.name, a.green, first_day);
        for (const std::string& r : kept->remarks) fmt::print("{}\n", r);
    }
    fmt::print("\nThe greenkeeper decides; the committee and local rules come first. Keep off frosted turf, and off treated turf until its re-entry time.\n");
    return 0;
}

}  // namespace brae::app
