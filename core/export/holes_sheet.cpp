// The sheet for whoever sets the holes: ranked positions to scale, why each is fair, and how to find it.
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/record/green_queries.h"
#include "core/survey/ring.h"

#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

const std::vector<std::string>& cautions() {
    static const std::vector<std::string> sentences{
        "The greenkeeper and the committee decide where holes are cut. This sheet only proposes, from a survey and the "
        "green speed named above; look at the place, the wear and the weather.",
        "Keep off frozen, frosted or waterlogged turf. After any treatment keep off until the re-entry time on its label.",
        "Players and machines stop for each other: be seen, and cut no hole while a group plays to the green.",
        "Lift and carry with straight backs; hold the hole cutter with both hands clear of its edge, and wear what the "
        "club's safety rules ask for. Lay no tool down where people walk.",
        "Stop and take shelter for lightning.",
        "A document for maintenance and practice; it is not for use during a round (Rules of Golf; the committee's "
        "local rules decide)."};
    return sentences;
}

// A plan of days is named by its days, one day's choice by rank.
std::string name_of(const HolePosition& p, int rank) { return p.day.empty() ? fmt::format("{}", rank) : p.day; }

std::string why_of(const HolePosition& p) {
    std::string why = p.why;
    if (why.empty())
        for (const Criterion& c : p.criteria) why += (why.empty() ? "" : "; ") + c.sentence;
    if (!p.fair) why = why.empty() ? "not fair by the limits used" : "not fair: " + why;
    return why;
}

}  // namespace

DrawnSheet draw_holes_sheet(const Green& green, const SheetRequest& request) {
    if (request.positions.empty()) throw usage_error("there are no hole positions to print; plan some first");
    const bool feet = request.feet_and_inches;
    const Outline& outline = green.terrain->outline;

    // Tapes from the marks.
    const std::vector<TapePoint> known = tape_points(green);
    std::vector<Vec2> points;
    std::vector<std::optional<TapePlan>> tapes;
    std::vector<std::string> needed;
    bool days = false, some_tapes = false;
    for (const HolePosition& p : request.positions) {
        points.push_back(p.p);
        days = days || !p.day.empty();
        tapes.push_back(plan_tapes(known, p.p));
        if (tapes.back()) {
            some_tapes = true;
            needed.push_back(tapes.back()->first.from.name);
            needed.push_back(tapes.back()->second.from.name);
        }
    }
    const GreenPlan plan = fit_plan(green, points, needed, request);
    const double judged = HoleLimits{}.radius_m;
    const StoredHole* today = green.todays_hole();

    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Hole positions", green.name,
                    {request.date, fmt::format("Green speed {:.1f} ft", request.green_speed_ft)},
                    sheet_foot(green), "The greenkeeper and the committee decide.", fmt::format("Plan 1:{}", plan.scale)},
                   total_pages);

        std::vector<LegendItem> legend{{"dot", days ? "position, numbered by day" : "position, numbered by rank"},
                                       {"ring", fmt::format("ground judged, {} round it", feet ? feet_inches(judged) : fmt::format("{:.2f}\u00a0m", judged))}};
        if (today != nullptr) legend.push_back({"hole", "today's hole"});
        draw_plan(d, green, plan, legend, [&](PlanView& view) {
            if (today != nullptr) {
                view.hole(today->p);
                view.label(today->p, "today", false, 2.6);
            }
            for (const HolePosition& p : request.positions)
                view.ring(p.p, judged * view.transform().points_per_metre, 0.4, {1.6, 1.4});
            for (const HolePosition& p : request.positions) view.dot(p.p, 1.6);
            for (const Zone& z : green.zones)
                view.label(ring_centroid(z.ring), z.kind, false, 0);
            int rank = 1;
            for (const HolePosition& p : request.positions) view.label(p.p, name_of(p, rank++), true, 2.2);
        });

        std::vector<std::vector<std::string>> rows;
        int rank = 1;
        for (const HolePosition& p : request.positions) {
            const std::string side = compass_point(bearing_deg(outline.nearest_edge_point(p.p) - p.p));
            std::vector<std::string> row{name_of(p, rank++)};
            row.push_back(fmt::format("{:.1f}\u00a0%", percent(p.slope)));
            // By the line of play first, as a hole is named on the course.
            std::string place;
            if (green.line_of_play)
                if (const auto at = place_by_paces(outline, *green.line_of_play, p.p)) place = paces_text(*at) + "\n" + third_text(*at) + "\n";
            row.push_back(place + fmt::format("{:.1f} paces, edge to the {}\n{}", p.edge_m / kPace, side,
                                              feet ? feet_inches(p.edge_m) : fmt::format("{:.1f}\u00a0m", p.edge_m)));
            row.push_back(why_of(p));
            rows.push_back(row);
        }
        std::vector<TableColumn> columns{{days ? "Day" : "Rank", 36, true}};
        columns.push_back({"Slope", 44});
        columns.push_back({green.line_of_play ? "Place and nearest edge" : "Nearest edge", 120});
        columns.push_back({"Why", 308});
        d.table("Positions", columns, rows);

        if (some_tapes) {
            rows.clear();
            for (std::size_t k = 0; k < tapes.size(); ++k) {
                std::vector<std::string> row{name_of(request.positions[k], static_cast<int>(k) + 1)};
                if (tapes[k])
                    for (const std::string& cell : tape_cells(*tapes[k], feet)) row.push_back(cell);
                else
                    row.push_back("no two marks cross well here");
                rows.push_back(row);
            }
            columns = {{days ? "Day" : "Rank", 36, true}};
            for (const TableColumn& c : tape_columns()) columns.push_back(c);
            d.table("Setting out by tapes held level", columns, rows);
        }
        d.paragraph(feet ? fmt::format("A pace is one yard. Slope is the mean within {} of the hole.", feet_inches(judged))
                         : fmt::format("A pace is {:.2f}\u00a0m (one yard). Slope is the mean within {:.2f}\u00a0m of the hole.", kPace, judged));
        d.numbered_box("Before a hole is cut", cautions());
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, plan.scale}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
