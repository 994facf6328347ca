// brae survey: files in, a green file out, and what the survey is worth.
#include "app/commands/output.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_file.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

namespace fs = std::filesystem;

std::string today() {
    const std::chrono::year_month_day day(std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now()));
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()));
}

Box parse_clip(const std::string& text) {
    std::vector<double> n;
    for (std::size_t from = 0; from <= text.size();) {
        const auto to = std::min(text.find(',', from), text.size());
        n.push_back(parse_number(text.substr(from, to - from), "--clip"));
        from = to + 1;
    }
    if (n.size() != 4 || !(n[0] < n[2]) || !(n[1] < n[3]))
        throw usage_error(fmt::format("--clip: found '{}', WEST,SOUTH,EAST,NORTH in map coordinates is wanted", text));
    return {n[0], n[1], n[2], n[3]};
}

// The output may replace an older green, never one of the inputs, never something that is not a green file, and a green
// that holds people's work only when told to.
void check_green_output(const SurveyArguments& a) {
    check_output(a.out, a.files, ".gpkg");
    std::error_code ignored;
    if (!fs::exists(a.out, ignored)) return;
    Green old;
    try {
        old = read_green_file(a.out);
    } catch (const Error& e) {
        throw usage_error(fmt::format("--out: {} exists and is not a green file ({}); choose another name", a.out, e.what()));
    }
    const auto placed = std::count_if(old.holes.begin(), old.holes.end(), [](const StoredHole& h) { return h.name != "surveyed"; });
    if (!a.replace && (placed > 0 || !old.stations.empty() || !old.zones.empty() || !old.speeds.empty()))
        throw usage_error(fmt::format("--out: {} holds {} holes, {} stations, {} zones and {} speed readings that would be lost; choose "
                                      "another name, or say --replace", a.out, placed, old.stations.size(), old.zones.size(), old.speeds.size()));
}

}  // namespace

int run_survey(const SurveyArguments& a) {
    check_green_output(a);
    ReadOptions read;
    read.crs = a.crs;
    read.units = a.units;
    read.height_units = a.height_units;
    if (!a.outline.empty()) read.outline = a.outline;
    if (!a.clip.empty()) read.clip = parse_clip(a.clip);
    read.method = method_of(a.method);
    read.date = a.date;
    read.top_dressed = a.top_dressed;
    if (a.height_of_cut_mm > 0) read.height_of_cut_m = a.height_of_cut_mm / 1000;
    BuildOptions build;
    build.cell_m = a.cell_m;

    // Read, clean, fit, store.
    TerminalProgress terminal;
    Survey survey = read_survey({a.files.begin(), a.files.end()}, read, terminal.progress());
    const std::size_t coded = survey.coded.size();
    const auto removed = clean_survey(survey, terminal.progress());
    const std::string name = a.name.empty() ? fs::path(a.out).stem().string() : a.name;
    Green green = make_green(std::move(survey), name, build, terminal.progress());
    green.revision = green.surface_revision = 1;  // stored; a survey that was only opened is 0
    write_green_file(green, a.out, terminal.progress());

    terminal.finish();
    const TerrainModel& t = *green.terrain;
    // Age counts from the day of reading, so it is told and not stored.
    std::vector<std::string> warnings = t.warnings;
    for (std::string& w : age_warnings(green.survey, today()))
        if (std::find(warnings.begin(), warnings.end(), w) == warnings.end()) warnings.push_back(std::move(w));
    const SlopeSummary slope = slope_summary(t);
    std::vector<double> se;
    for (std::size_t k = 0; k < t.grid.mask.size(); ++k)
        if (t.grid.mask[k]) se.push_back(t.grid.slope_se.values[k]);
    std::nth_element(se.begin(), se.begin() + static_cast<std::ptrdiff_t>(se.size() / 2), se.end());
    const double slope_se = se.empty() ? 0 : se[se.size() / 2];
    const Box box = t.outline.box();
    const StoredHole* hole = green.todays_hole();
    const FrameSpec& frame = t.frame.spec();
    if (a.json) {
        nlohmann::ordered_json marks = nlohmann::ordered_json::array();
        for (const auto& m : green.marks)
            marks.push_back({{"name", m.name}, {"description", m.description}, {"x", tidy(m.p.x)}, {"y", tidy(m.p.y)}});
        print_json({{"name", green.name},
                    {"width_m", tidy(box.width())},
                    {"height_m", tidy(box.height())},
                    {"area_m2", tidy(t.outline.area_m2())},
                    {"outline", to_text(t.outline.source())},
                    {"cell_m", t.grid.height.cell},
                    {"points_read", t.points_read},
                    {"points_used", t.points_used},
                    {"points_coded", coded},
                    {"removed_above", removed[above_turf]},
                    {"removed_below", removed[below_turf]},
                    {"noise_m", tidy(t.noise_m)},
                    {"slope_median_pct", tidy(percent(slope.median))},
                    {"slope_median_se_pct", tidy(percent(slope.median_se))},
                    {"slope_p90_pct", tidy(percent(slope.p90))},
                    {"slope_se_pct", tidy(percent(slope_se))},
                    {"origin_map", {tidy(frame.origin_map.x), tidy(frame.origin_map.y)}},
                    {"crs", frame.crs_name},
                    {"local_tm", frame.local_tm},
                    {"scale_factor", tidy(frame.scale_factor)},
                    {"convergence_deg", tidy(frame.convergence_deg)},
                    {"marks", marks},
                    {"hole", hole ? nlohmann::ordered_json({tidy(hole->p.x), tidy(hole->p.y)}) : nlohmann::ordered_json(nullptr)},
                    {"survey_date", green.survey.date},
                    {"removed_other_class", removed[other_class]},
                    {"removed_double_strip", removed[double_strip]},
                    {"removed_withheld", removed[withheld]},
                    {"warnings", warnings}});
        return 0;
    }
    fmt::print("green       {}\nsize        {:.1f} x {:.1f} m, {:.0f} m2, edge from {}\n", green.name, box.width(), box.height(),
               t.outline.area_m2(), to_text(t.outline.source()));
    fmt::print("points      {} read, {} used; {} above the turf, {} below it, {} astray, {} of other classes, {} in a second layer, {} "
               "withheld, the rest outside the edge\n", t.points_read, t.points_used, removed[above_turf], removed[below_turf],
               removed[sparse], removed[other_class], removed[double_strip], removed[withheld]);
    fmt::print("noise       {:.1f} mm a point, cell {:.2f} m\n", 1000 * t.noise_m, t.grid.height.cell);
    fmt::print("slope       median {:.1f} % (standard error {:.2f}), 90 % of the green under {:.1f} %\n", percent(slope.median),
               percent(slope.median_se), percent(slope.p90));
    fmt::print("at one spot the slope's standard error is {:.2f} %\n", percent(slope_se));
    fmt::print("system      {}, origin {:.2f}, {:.2f}\n", frame.crs_name.empty() ? "none" : frame.crs_name, frame.origin_map.x,
               frame.origin_map.y);
    if (hole) fmt::print("hole        {:.2f}, {:.2f} m\n", hole->p.x, hole->p.y);
    for (const auto& m : green.marks) fmt::print("mark        {:6} {:8.2f}, {:.2f} m  {}\n", m.name, m.p.x, m.p.y, m.description);
    fmt::print("written     {}\n", a.out);
    print_warnings(warnings);
    return 0;
}

}  // namespace brae::app
