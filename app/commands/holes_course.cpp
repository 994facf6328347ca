#include "app/commands/holes_course.h"

#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>
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
};

// Names in the order in which people count: 2 before 10.
bool counted_before(const std::string& a, const std::string& b) {
    const auto digits = [](const std::string& s) { return std::find_if(s.begin(), s.end(), [](unsigned char c) { return std::isdigit(c) != 0; }); };
    const auto i = digits(a), j = digits(b);
    if (i != a.end() && j != b.end() && std::string(a.begin(), i) == std::string(b.begin(), j)) {
        const long x = std::strtol(&*i, nullptr, 10), y = std::strtol(&*j, nullptr, 10);
        if (x != y) return x < y;
    }
    return a < b;
}

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
            rows.push_back({entry.path().stem().string(), entry.path().string(), "", {}, 0, {}, {}});
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
                row.holes.judged = HoleJudge(*row.green.terrain, row.request.whole_plan, row.speed_ft, limits).judge_green(HoleScope::only_possible, part);
                row.holes.why_none = row.holes.judged.why_none;
                row.holes.ramp = flattest_site(*row.green.terrain, row.request.around.closed, row.speed_ft);
            }
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
            over.counts = rows[k].name.find("practice") == std::string::npos;
            course.push_back(course_green(rows[k].holes.judged, *rows[k].green.terrain, rows[k].request.around.play, over, a.recovery_days));
            which.push_back(k);
        }
        CourseRules rules;
        rules.apart_m = limits.apart_m;
        rules.healing_days = a.recovery_days;
        Progress part(terminal.progress(), 0.8, 1);
        if (!course.empty()) plan = plan_course(course, a.days, rules, part);
    }
    terminal.finish();

    const auto failed = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return !r.error.empty(); });
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
    if (a.json) {
        ordered_json out{{"greens", ordered_json::array()}, {"failed", failed}};
        for (const Row& r : rows) {
            ordered_json row{{"name", r.name}, {"file", r.file}};
            if (!r.error.empty()) row["error"] = r.error;
            else row.update(json_of_green_holes(r.holes, r.speed_ft, first_day)), row["warnings"] = r.holes.warnings;
            out["greens"].push_back(row);
        }
        if (a.days > 0) {
            ordered_json all = ordered_json::array();
            for (const Pick& p : picks) {
                const CourseCandidate& c = course[p.green].candidates[p.candidate];
                all.push_back({{"green", rows[p.row].name}, {"day", p.day + 1}, {"date", date_after(first_day, p.day)}, {"x", tidy(c.p.x)}, {"y", tidy(c.p.y)},
                               {"third", kThird[c.along]}, {"side", kSide[c.across]}, {"difficulty", kHard[hard[p.green][p.candidate]]},
                               {"score", tidy(c.score)}, {"wear", tidy(c.wear)}, {"by_hand", p.by_hand}});
            }
            out["plan"] = {{"from", first_day}, {"days", a.days}, {"gap_pct", tidy(percent(plan.gap))}, {"nodes", plan.nodes}, {"remarks", plan.remarks}, {"rows", all}};
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
        for (const HolePosition& p : r.holes.positions) fmt::print("  {} ({:.1f}, {:.1f})  {}\n", ++rank, p.p.x, p.p.y, p.why);
        if (!r.holes.why_none.empty()) fmt::print("  no fair position: {}\n", r.holes.why_none);
        if (r.holes.ramp && a.days == 0) fmt::print("  ramp: {}\n", r.holes.ramp->sentence);
    }
    int day = -1;
    for (const Pick& p : picks) {
        const CourseCandidate& c = course[p.green].candidates[p.candidate];
        if (p.day != day) fmt::print("\n{}\n", date_after(first_day, day = p.day));
        fmt::print("  {:<14} ({:5.1f}, {:5.1f})  {:<6} {:<6} {:<6}{}\n", rows[p.row].name, c.p.x, c.p.y, kThird[c.along], kSide[c.across],
                   kHard[hard[p.green][p.candidate]], p.by_hand ? " set by hand" : "");
    }
    if (a.days > 0) fmt::print("\nthe plan costs at most {:.1f} % more than the best\n", percent(plan.gap));
    for (const std::string& r : plan.remarks) fmt::print("{}\n", r);
    fmt::print("\nThe greenkeeper decides; the committee and local rules come first.\n");
    return failed == 0 ? 0 : 1;
}

}  // namespace brae::app
