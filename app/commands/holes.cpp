// brae holes: fair hole positions at today's speed, ranked, or one a day.
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_holes(const HolesArguments& a) {
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const double speed_ft = speed_of_day(green, a.speed_ft).speed_ft;
    const HolePlan plan = plan_holes_of(green, speed_ft, a.days, terminal.progress());
    terminal.finish();

    if (a.json) {
        nlohmann::ordered_json out{{"positions", nlohmann::ordered_json::array()},
                                   {"candidates", plan.candidates},
                                   {"fair", plan.fair},
                                   {"fair_area_m2", tidy(plan.fair_area_m2)},
                                   {"speed_ft", tidy(speed_ft)}};
        for (const HolePosition& p : plan.positions) {
            nlohmann::ordered_json row{{"x", tidy(p.p.x)},
                                       {"y", tidy(p.p.y)},
                                       {"score", tidy(p.score)},
                                       {"slope_pct", tidy(percent(p.slope))},
                                       {"edge_m", tidy(p.edge_m)},
                                       {"why", p.why}};
            if (!p.day.empty()) row["day"] = p.day;
            row["criteria"] = nlohmann::ordered_json::array();
            for (const Criterion& c : p.criteria)
                row["criteria"].push_back({{"name", c.name}, {"pass", c.pass}, {"value", tidy(c.value)},
                                           {"limit", tidy(c.limit)}, {"unit", c.unit}, {"sentence", c.sentence}});
            out["positions"].push_back(row);
        }
        if (!plan.why_none.empty()) out["why_none"] = plan.why_none;
        out["outline"] = to_text(green.terrain->outline.source());
        out["warnings"] = green.terrain->warnings;
        print_json(out);
        return 0;
    }
    if (green.terrain->outline.source() == OutlineSource::data_boundary)
        print_warnings({"the edge is the boundary of the data, which may hold longer grass: distances to the edge count from there; "
                        "give --outline to brae survey"});
    if (plan.positions.empty()) {
        fmt::print("no fair position: {}\n", plan.why_none);
        return 0;
    }
    fmt::print("{} of {} spots are fair at {:.1f} ft, {:.0f} m2 of {:.0f} m2\n\n", plan.fair, plan.candidates, speed_ft,
               plan.fair_area_m2, green.terrain->outline.area_m2());
    fmt::print("{:>4} {:>8} {:>8} {:>7} {:>7}  why\n", a.days > 0 ? "day" : "rank", "x m", "y m", "slope", "edge");
    int rank = 0;
    for (const HolePosition& p : plan.positions)
        fmt::print("{:>4} {:8.2f} {:8.2f} {:5.1f} % {:5.1f} m  {}\n", p.day.empty() ? std::to_string(++rank) : p.day, p.p.x,
                   p.p.y, percent(p.slope), p.edge_m, p.why);
    if (!plan.why_none.empty()) fmt::print("\n{}\n", plan.why_none);
    fmt::print("\nThe greenkeeper decides; the committee and local rules come first.\n");
    return 0;
}

}  // namespace brae::app
