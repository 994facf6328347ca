#include "app/commands/holes_course.h"

#include "app/commands/holes_keep.h"
#include "app/commands/place_words.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/day_greens.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

struct Row {
    std::string name, file, error;
    Green green;
    double speed_ft = 0;
    HolesOfGreen holes;
    HoleRequest request;
    std::optional<KeptPlan> kept;
    std::string not_kept;
};

const char* const kThird[3] = {"front", "middle", "back"};
const char* const kSide[3] = {"left", "centre", "right"};
const char* const kHard[3] = {"easy", "medium", "hard"};

}  // namespace

int run_holes_course(const HolesArguments& a, const HoleLimits& limits) {
    if (!a.place.empty() || !a.maps.empty() || a.by_speed || a.forecast_ft)
        throw usage_error("--place, --maps, --by-speed and --forecast belong to one green; a green file is wanted, found a folder");
    if (a.play_deg) throw usage_error("--play belongs to one green; a green file is wanted, found a folder");
    std::vector<Row> rows;
    for (const auto& entry : fs::directory_iterator(a.green))
        if (entry.is_regular_file() && entry.path().extension() == ".gpkg" && !entry.path().filename().string().starts_with('.'))
            rows.push_back({entry.path().stem().string(), entry.path().string(), "", {}, 0, {}, {}, {}, ""});
    if (rows.empty()) throw Error(fmt::format("{} holds no green file (.gpkg)", a.green));
    std::sort(rows.begin(), rows.end(), [](const Row& x, const Row& y) { return counted_before(x.name, y.name); });

    // Green by green, each on all cores; what is wrong with one stays with that one.
    TerminalProgress terminal;
    const std::string first_day = first_day_of(a);
    const double share = 0.8 / static_cast<double>(rows.size());
    for (std::size_t k = 0; k < rows.size(); ++k) {
        Row& row = rows[k];
        const double from = share * static_cast<double>(k);
        Progress part(terminal.progress(), from, from + share);
        terminal.progress().step(from, fmt::format("green {} of {}: {}", k + 1, rows.size(), row.name));
        try {
            row.green = read_green_file(row.file);
            row.speed_ft = speed_of_day(row.green, a.speed_ft).speed_ft;
            if (a.days == 0) {
                row.holes = holes_of_green(row.green, a, limits, row.speed_ft, HoleScope::only_possible, part);
            } else {
                row.request = hole_request_of(row.green, first_day, a.days, std::nullopt);
                row.holes.warnings = row.request.warnings;
                row.holes.skipped = row.request.skipped;
                row.holes.judged = HoleJudge(*row.green.terrain, row.request.whole_plan, row.speed_ft, limits).judge_green(HoleScope::only_possible, part);
                row.holes.why_none = with_closed_zones(row.holes.judged.why_none, row.green, first_day, a.days);
                row.holes.ramp = flattest_site(*row.green.terrain, row.request.around.closed, row.speed_ft);
            }
            if (std::string edge = edge_warning(row.green); !edge.empty()) row.holes.warnings.push_back(std::move(edge));
        } catch (const Error& e) {
            if (e.kind() == ErrorKind::cancelled) throw;
            row.error = e.what();
        }
    }

    // One plan over the course.
    std::vector<CourseGreen> course;
    std::vector<std::size_t> which;
    CoursePlan plan;
    if (a.days > 0) {
        for (std::size_t k = 0; k < rows.size(); ++k) {
            if (!rows[k].error.empty()) continue;
            GreenOverDays over = rows[k].request.over;
            over.name = rows[k].name;
            over.counts = lower_case(rows[k].name + " " + rows[k].green.name).find("practice") == std::string::npos;
            course.push_back(course_green(rows[k].holes.judged, *rows[k].green.terrain, rows[k].request.around.play, over, a.recovery_days));
            which.push_back(k);
        }
        CourseRules rules;
        rules.apart_m = limits.apart_m;
        rules.healing_days = a.recovery_days;
        Progress part(terminal.progress(), 0.8, 1);
        if (!course.empty()) plan = plan_course(course, a.days, rules, part);
        // Days that have no hole, and what closed ground has to do with them.
        for (std::size_t g = 0; g < course.size(); ++g) {
            if (plan.without[g].empty()) continue;
            plan.remarks.push_back(fmt::format("green {}: {}", course[g].name, plan.without[g]));
            if (const std::string closed = closed_zones_words(rows[which[g]].green, first_day, 1); !closed.empty())
                plan.remarks.push_back(fmt::format("green {}: {}", course[g].name, closed));
        }
    }

    const auto hard = difficulty_thirds(course);
    struct Pick { std::size_t row, green; int day, candidate; bool by_hand; };
    std::vector<Pick> picks;
    for (int d = 0; d < a.days; ++d)
        for (std::size_t g = 0; g < course.size(); ++g) {
            const int c = plan.picks[g][d];
            if (c < 0) continue;
            const auto& hands = course[g].by_hand;
            picks.push_back({which[g], g, d, c, std::any_of(hands.begin(), hands.end(), [&](const PickByHand& h) { return h.day == d; })});
        }
    // Into the files, green by green: what is wrong with one stays with that one.
    int kept = 0;
    if (a.keep)
        for (std::size_t g = 0; g < course.size(); ++g) {
            Row& row = rows[which[g]];
            terminal.progress().step(1, fmt::format("keeping the plan of {}", row.name));
            std::vector<PlannedHole> holes;
            for (const Pick& p : picks)
                if (p.green == g && !p.by_hand) holes.push_back({date_after(first_day, p.day), course[g].candidates[static_cast<std::size_t>(p.candidate)].p, row.speed_ft});
            try {
                row.kept = keep_plan(row.green, row.file, first_day, a.days, holes, a.by);
                ++kept;
            } catch (const Error& e) {
                if (e.kind() == ErrorKind::cancelled) throw;
                row.not_kept = e.what();
            }
        }
    terminal.finish();
    const auto failed = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return !r.error.empty() || !r.not_kept.empty(); });

    if (a.json) {
        ordered_json out{{"greens", ordered_json::array()}, {"failed", failed}};
        for (const Row& r : rows) {
            ordered_json row{{"name", r.name}, {"file", r.file}};
            if (!r.error.empty()) row["error"] = r.error;
            else row.update(json_of_green_holes(r.green, r.holes, r.speed_ft, first_day)), row["warnings"] = r.holes.warnings;
            if (r.kept) row["kept"] = r.kept->holes, row["kept_remarks"] = r.kept->remarks;
            if (!r.not_kept.empty()) row["not_kept"] = r.not_kept;
            out["greens"].push_back(row);
        }
        if (a.days > 0) {
            ordered_json all = ordered_json::array(), skipped = ordered_json::array();
            for (const Row& r : rows)
                for (const SkippedDay& d : r.holes.skipped) skipped.push_back({{"green", r.name}, {"date", d.date}, {"reason", d.reason}});
            for (const Pick& p : picks) {
                const CourseCandidate& c = course[p.green].candidates[p.candidate];
                all.push_back({{"green", rows[p.row].name}, {"day", p.day + 1}, {"date", date_after(first_day, p.day)}, {"x", tidy(c.p.x)}, {"y", tidy(c.p.y)},
                               {"place", json_of_paces(paces_of(rows[p.row].green, c.p))}, {"third", kThird[c.along]}, {"side", kSide[c.across]}, {"difficulty", kHard[hard[p.green][p.candidate]]},
                               {"score", tidy(c.score)}, {"wear", tidy(c.wear)}, {"by_hand", p.by_hand}});
            }
            out["plan"] = {{"from", first_day}, {"days", a.days}, {"gap_pct", tidy(percent(plan.gap))}, {"nodes", plan.nodes}, {"remarks", plan.remarks}, {"rows", all},
                           {"skipped", skipped}};
        }
        print_json(out);
        return failed == 0 ? 0 : 1;
    }
    for (const Row& r : rows) {
        if (!r.error.empty()) {
            fmt::print("{}: failed: {}\n", r.name, r.error);
            continue;
        }
        for (const std::string& w : r.holes.warnings) print_warnings({r.name + ": " + w});
        fmt::print("{}: {:.0f} m2 of {:.0f} m2 are fair at {:.1f} ft\n", r.name, r.holes.judged.fair_area_m2, r.green.terrain->outline.area_m2(), r.speed_ft);
        int rank = 0;
        for (const HolePosition& p : r.holes.positions) {
            const auto at = paces_of(r.green, p.p);
            fmt::print("  {} {}({:.1f}, {:.1f})  {}; fair up to {}\n", rank + 1, at ? paces_text(*at) + "  " : "", p.p.x, p.p.y, p.why, fair_to_text(r.holes.until[static_cast<std::size_t>(rank)]));
            ++rank;
        }
        if (!r.holes.why_none.empty()) fmt::print("  no fair position: {}\n", r.holes.why_none);
        if (r.holes.ramp && a.days == 0) fmt::print("  ramp: {}\n", r.holes.ramp->sentence);
    }
    int day = -1;
    for (const Pick& p : picks) {
        const CourseCandidate& c = course[p.green].candidates[p.candidate];
        if (p.day != day) fmt::print("\n{}\n", date_after(first_day, day = p.day));
        const auto at = paces_of(rows[p.row].green, c.p);
        fmt::print("  {:<14} {:<16} ({:5.1f}, {:5.1f})  {:<6} {:<6} {:<6}{}\n", rows[p.row].name, at ? paces_text(*at) : "no line of play", c.p.x, c.p.y, kThird[c.along],
                   kSide[c.across], kHard[hard[p.green][p.candidate]], p.by_hand ? " set by hand" : "");
    }
    for (const Row& r : rows)
        for (const SkippedDay& d : r.holes.skipped)
            if (a.days > 0) fmt::print("\n{}: no hole is cut on {} ({}), the one before stays\n", r.name, d.date, d.reason);
    if (a.days > 0 && course.empty()) fmt::print("\nno green could be planned\n");
    else if (a.days > 0) fmt::print("\nthe plan costs at most {:.1f} % more than the best\n", percent(plan.gap));
    for (const std::string& r : plan.remarks) fmt::print("{}\n", r);
    if (a.keep) {
        fmt::print("\nkept with {} green{}; brae sheet {} --kind day --date {} --out DAY.pdf prints a day\n", kept, kept == 1 ? "" : "s", a.green, first_day);
        for (const Row& r : rows) {
            if (!r.not_kept.empty()) fmt::print("{}: not kept: {}\n", r.name, r.not_kept);
            if (r.kept)
                for (const std::string& w : r.kept->remarks) fmt::print("{}: {}\n", r.name, w);
        }
    }
    fmt::print("\nThe greenkeeper decides; the committee and local rules come first. Keep off frosted turf, and off treated turf until its re-entry time.\n");
    return failed == 0 ? 0 : 1;
}

}  // namespace brae::app
