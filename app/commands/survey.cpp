// brae survey: files in, a green file out, and what the survey is worth.
#include "app/commands/output.h"
#include "app/commands/points.h"
#include "app/commands/survey_folder.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/plan/survey_quality.h"
#include "core/record/edit_lock.h"
#include "core/record/green_file.h"
#include "core/record/survey_again.h"
#include "core/terrain/new_outline.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

namespace fs = std::filesystem;

// Four numbers, the first two less than the last two.
Box parse_box(const std::string& text, const char* option, const char* wanted) {
    std::vector<double> n;
    for (std::size_t from = 0; from <= text.size();) {
        const auto to = std::min(text.find(',', from), text.size());
        n.push_back(parse_number(text.substr(from, to - from), option));
        from = to + 1;
    }
    if (n.size() != 4 || !(n[0] < n[2]) || !(n[1] < n[3])) throw usage_error(fmt::format("{}: found '{}', {} is wanted", option, text, wanted));
    return {n[0], n[1], n[2], n[3]};
}

RemovalReason parse_reason(const std::string& word, const char* option) {
    const auto reason = reason_of(word);
    if (reason == outside_clip)
        throw usage_error(fmt::format("{}: what lies outside the edge stays out; move the edge (--outline) instead", option));
    if (!reason) throw usage_error(fmt::format("{}: found '{}', one of {} is wanted", option, word, words_to_put_back()));
    return *reason;
}

// What was put back before, less what is to be removed again, and what is put back now.
PutBack put_back_of(const SurveyArguments& a, PutBack before) {
    for (const std::string& word : a.remove_again) {
        if (word == "all") before = {};
        else if (word == "boxes") before.boxes.clear();
        else before.reasons[parse_reason(word, "--remove-again")] = false;
    }
    for (const std::string& word : a.put_back) before.reasons[parse_reason(word, "--put-back")] = true;
    for (const std::string& text : a.put_back_boxes)
        before.boxes.push_back(parse_box(text, "--put-back-box", "X0,Y0,X1,Y1 in local metres, the lower left corner first,"));
    return before;
}

// A single green file: its survey is read again.
bool is_stored_green(const SurveyArguments& a) {
    if (a.files.size() != 1 || fs::path(a.files.front()).extension() != ".gpkg") return false;
    return revision_of_file(a.files.front()).has_value();
}

std::string words_of_put_back(const PutBack& put_back) {
    std::string out;
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (put_back.reasons[k]) out += (out.empty() ? "points " : ", ") + std::string(to_text(static_cast<RemovalReason>(k)));
    if (!put_back.boxes.empty())
        out += fmt::format("{}all in {} box{}", out.empty() ? "" : "; ", put_back.boxes.size(), put_back.boxes.size() == 1 ? "" : "es");
    return out;
}

nlohmann::ordered_json json_of(const ReasonCounts& counts) {
    nlohmann::ordered_json out = nlohmann::ordered_json::object();
    for (std::size_t k = 1; k < kRemovalReasons; ++k) {
        std::string word = word_of(static_cast<RemovalReason>(k));
        std::replace(word.begin(), word.end(), '-', '_');
        out[word] = counts[k];
    }
    return out;
}

nlohmann::ordered_json json_of(const PutBack& put_back) {
    nlohmann::ordered_json reasons = nlohmann::ordered_json::array(), boxes = nlohmann::ordered_json::array();
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (put_back.reasons[k]) reasons.push_back(word_of(static_cast<RemovalReason>(k)));
    for (const Box& b : put_back.boxes) boxes.push_back({b.x0, b.y0, b.x1, b.y1});
    return {{"reasons", reasons}, {"boxes_m", boxes}};
}

// The green that stands at --out already, where this survey is to renew it. The output is never one of the inputs, and
// never something that is not a green file.
std::optional<Green> green_to_renew(const SurveyArguments& a) {
    check_output(a.out, a.files, ".gpkg");
    std::error_code ignored;
    if (!fs::exists(a.out, ignored)) return std::nullopt;
    try {
        Green old = read_green_file(a.out);
        if (a.replace) return std::nullopt;
        return old;
    } catch (const Error& e) {
        // One that another program holds may well be a green.
        if (std::string(e.what()).find("in use by another program") != std::string::npos) throw;
        throw usage_error(fmt::format("--out: {} exists and is not a green file ({}); choose another name", a.out, e.what()));
    }
}

nlohmann::ordered_json json_of(const SurveyQuality& q) {
    const auto known_if = [](bool known, double value) { return known ? nlohmann::ordered_json(tidy(value)) : nlohmann::ordered_json(nullptr); };
    const auto known = [&](double value) { return known_if(q.putts > 0, value); };
    // The surface less heights that are no part of it.
    const CheckResult& c = q.check;
    const nlohmann::ordered_json check{{"count", c.count},
                                       {"mean_m", known_if(c.count > 0, c.mean_m)},
                                       {"rms_m", known_if(c.count > 0, c.rms_m)},
                                       {"dome_m", known_if(c.fitted, c.dome_m)},
                                       {"dome_se_m", known_if(c.fitted, c.dome_se_m)},
                                       {"dome_radius_m", known_if(c.fitted, c.radius_m)},
                                       {"tilt_pct", known_if(c.fitted, percent(std::hypot(c.tilt_x, c.tilt_y)))},
                                       {"tilt_se_pct", known_if(c.fitted, percent(c.tilt_se))},
                                       {"point_noise_m", known_if(c.fitted, c.point_noise_m)},
                                       {"domed", c.domed},
                                       {"tilted", c.tilted}};
    return {{"verdict", to_text(q.verdict)},
            {"density_per_m2", tidy(q.density_per_m2)},
            {"noise_m", tidy(q.noise_m)},
            {"height_se_m", tidy(q.height_se_m)},
            {"slope_se_pct", tidy(percent(q.slope_se))},
            {"slope_se_p90_pct", tidy(percent(q.slope_se_p90))},
            {"missing_pct", tidy(percent(q.missing))},
            {"aim_se_3m_putt_m", known(q.aim_se_m)},
            {"aim_se_3m_putt_p90_m", known(q.aim_se_p90_m)},
            {"check_points", check},
            {"advice", q.advice}};
}

// What came of it, for people or as JSON.
int tell(const SurveyArguments& a, const Green& green, bool renewed, std::size_t coded, const std::string& file, TerminalProgress& terminal) {
    const TerrainModel& t = *green.terrain;
    const ReasonCounts removed = green.removed ? green.removed->counts : ReasonCounts{};
    const SurveyQuality quality = survey_quality(t, terminal.progress());

    terminal.finish();
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
                    {"renewed", renewed},
                    {"surface_revision", green.surface_revision},
                    {"width_m", tidy(box.width())},
                    {"height_m", tidy(box.height())},
                    {"area_m2", tidy(t.outline.area_m2())},
                    {"outline", to_text(t.outline.source())},
                    {"cell_m", t.grid.height.cell},
                    {"points_read", t.points_read},
                    {"points_used", t.points_used},
                    {"points_coded", coded},
                    {"removed", json_of(removed)},
                    {"put_back", json_of(green.record.put_back)},
                    {"put_back_points", t.put_back.points},
                    {"put_back_scatter_m", t.put_back.points > 0 ? nlohmann::ordered_json(tidy(t.put_back.scatter_m)) : nlohmann::ordered_json(nullptr)},
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
                    {"quality", json_of(quality)},
                    {"warnings", warnings}});
        return 0;
    }
    fmt::print("green       {}\nsize        {:.1f} x {:.1f} m, {:.0f} m2, edge {}\n", green.name, box.width(), box.height(),
               t.outline.area_m2(), where_from(t.outline.source()));
    fmt::print("points      {} read, {} used; {} above the turf, {} below it, {} astray, {} of other classes, {} in a second layer, {} "
               "withheld, the rest outside the edge\n", t.points_read, t.points_used, removed[above_turf], removed[below_turf],
               removed[sparse], removed[other_class], removed[double_strip], removed[withheld]);
    fmt::print("noise       {:.1f} mm a point, cell {:.2f} m\n", 1000 * t.noise_m, t.grid.height.cell);
    fmt::print("slope       median {:.1f} % (standard error {:.2f}), 90 % of the green under {:.1f} %\n", percent(slope.median),
               percent(slope.median_se), percent(slope.p90));
    fmt::print("at one spot the slope's standard error is {:.2f} %\n", percent(slope_se));
    fmt::print("good for    {}", to_text(quality.verdict));
    if (quality.putts > 0) fmt::print("; the survey leaves the aim of a 3 m putt uncertain by {:.1f} cm", 100 * quality.aim_se_m);
    fmt::print("\n");
    if (const CheckResult& c = quality.check; c.count > 0)
        fmt::print("checked     against {} height{} beside the survey: {:+.1f} mm mean, {:.1f} mm RMS{}\n", c.count, c.count == 1 ? "" : "s", 1000 * c.mean_m,
                   1000 * c.rms_m, c.fitted ? fmt::format("; dome {:+.1f} mm (standard error {:.1f})", 1000 * c.dome_m, 1000 * c.dome_se_m) : "");
    for (const std::string& sentence : quality.advice) fmt::print("            {}\n", sentence);
    fmt::print("system      {}, origin {:.2f}, {:.2f}\n", frame.crs_name.empty() ? "none" : frame.crs_name, frame.origin_map.x,
               frame.origin_map.y);
    if (hole) fmt::print("hole        {:.2f}, {:.2f} m\n", hole->p.x, hole->p.y);
    for (const auto& m : green.marks) fmt::print("mark        {:6} {:8.2f}, {:.2f} m  {}\n", m.name, m.p.x, m.p.y, m.description);
    if (!green.record.put_back.empty()) fmt::print("put back    {}\n", words_of_put_back(green.record.put_back));
    fmt::print("written     {}{}\n", file, renewed ? fmt::format(", surface {} of this green; holes, zones, stations and readings kept", green.surface_revision) : "");
    print_warnings(warnings);
    return 0;
}

// The survey of a green file from the files that it came from.
int read_again(const SurveyArguments& a) {
    const std::string& file = a.files.front();
    std::error_code ignored;
    if (!a.out.empty() && !fs::equivalent(a.out, file, ignored))
        throw usage_error(fmt::format("--out: found '{}'; where the survey of a green file is read again, that file is renewed and --out is left out", a.out));
    if (!a.crs.empty() || !a.units.empty() || !a.height_units.empty() || !a.clip.empty() || !a.method.empty() || !a.date.empty() ||
        !a.top_dressed.empty() || a.height_of_cut_mm > 0 || a.replace)
        throw usage_error(fmt::format("{} is a green file, whose survey is read again as it was read before: only --outline, --put-back, "
                                      "--put-back-box, --remove-again, --cell and --name go with it", file));
    TerminalProgress terminal;
    Green old = read_green_file(file);
    // Nothing is asked of it but what it is worth.
    if (a.outline.empty() && a.put_back.empty() && a.put_back_boxes.empty() && a.remove_again.empty() && !(a.cell_m > 0) && a.name.empty())
        return tell(a, old, false, 0, file, terminal);
    require_unlocked(file);
    const PutBack put_back = put_back_of(a, old.record.put_back);
    if (old.record.known())
        if (const auto fault = source_fault(old.record)) throw Error(fmt::format("{}: brae survey FILE --out {}", fault->sentence, file));
    if (a.cell_m > 0) old.record.cell_m = a.cell_m;
    // Another edge from a file takes the place of the one that the green has, drawn or not.
    if (!a.outline.empty()) {
        old.record.outline = source_of(a.outline);
        auto terrain = std::make_shared<TerrainModel>(*old.terrain);
        terrain->outline = Outline(terrain->outline.ring(), OutlineSource::file);
        old.terrain = std::move(terrain);
    }
    Progress importing(terminal.progress(), 0, 0.95), writing(terminal.progress(), 0.95, 1);
    std::size_t coded = 0;
    Green green = survey_again(old, put_back, importing, &coded);
    if (!a.name.empty()) green.name = a.name;
    write_green_file(green, file, writing, old.revision);
    return tell(a, green, true, coded, file, terminal);
}

}  // namespace

int run_survey(const SurveyArguments& a) {
    std::error_code no_folder;
    if (a.files.size() == 1 && fs::is_directory(a.files.front(), no_folder)) return run_survey_folder(a);
    if (is_stored_green(a)) return read_again(a);
    if (a.out.empty()) throw usage_error("--out is required: the green file to write (.gpkg)");
    const std::optional<Green> old = green_to_renew(a);
    require_unlocked(a.out);
    SurveyOrder order;
    order.files = {a.files.begin(), a.files.end()};
    ReadOptions& read = order.read;
    if (old) read.frame = old->terrain->frame.spec();
    read.crs = a.crs;
    read.units = a.units;
    read.height_units = a.height_units;
    if (!a.outline.empty()) read.outline = a.outline;
    if (!a.clip.empty()) read.clip = parse_box(a.clip, "--clip", "WEST,SOUTH,EAST,NORTH in map coordinates");
    read.method = method_of(a.method);
    read.date = a.date;
    read.top_dressed = a.top_dressed;
    if (a.height_of_cut_mm > 0) read.height_of_cut_m = a.height_of_cut_mm / 1000;
    order.cell_m = a.cell_m;
    order.put_back = put_back_of(a, old ? old->record.put_back : PutBack{});

    // Read, clean, fit, store.
    TerminalProgress terminal;
    Progress importing(terminal.progress(), 0, 0.95), writing(terminal.progress(), 0.95, 1);
    const std::string name = a.name.empty() ? fs::path(a.out).stem().string() : a.name;
    std::size_t coded = 0;
    if (old) order.former_edge = old->terrain->outline;
    Green green = green_from_survey(order, name, importing, &coded);
    green.revision = green.surface_revision = 1;  // stored; a survey that was only opened is 0
    if (old) {
        green = renewed_green(*old, std::move(green));
        if (!a.name.empty()) green.name = a.name;
    }
    write_green_file(green, a.out, writing, old ? std::optional(old->revision) : std::nullopt);
    return tell(a, green, old.has_value(), coded, a.out, terminal);
}

}  // namespace brae::app
