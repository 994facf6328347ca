#include "core/export/green_plan.h"

#include "core/base/error.h"
#include "core/export/wording.h"
#include "core/terrain/build_terrain.h"

#include <algorithm>
#include <cairo.h>
#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr double kEdge = 16;         // points kept free round the plan, for labels
constexpr double kStrip = 52;        // scale bar, check line and legend below it
constexpr double kMarksWithin = 6;   // metres

double legend_item(Document& d, double x, double y, const LegendItem& item) {
    cairo_t* cr = d.cairo();
    const double symbol = 22, mid = y - 2.6;
    PlanView view(d, {1, {0, 0}, {0, 0}}, {});
    const Vec2 here{x + 11, -mid};
    if (item.symbol == "dot") view.dot(here, 1.9);
    else if (item.symbol == "diamond") view.diamond(here, 2.6);
    else if (item.symbol == "hole") view.ring(here, 2.2, 0.9);
    else if (item.symbol == "mark") view.mark(here);
    else if (item.symbol == "ring") view.ring(here, 4.2, 0.4, {1.6, 1.4});
    else if (item.symbol == "dashed" || item.symbol == "dotted" || item.symbol == "solid" ||
             item.symbol == "contour") {
        const double on = item.symbol == "dotted" ? 1 : 3, off = item.symbol == "dotted" ? 1 : 2;
        const double dashes[] = {on, off};
        cairo_set_dash(cr, dashes, item.symbol == "dashed" || item.symbol == "dotted" ? 2 : 0, 0);
        d.line(x + 2, mid, x + 20, mid, item.symbol == "contour" ? 0.3 : 0.6, item.symbol == "contour" ? 0.5 : 0);
        cairo_set_dash(cr, nullptr, 0, 0);
    }
    d.text(kSmall, x + symbol + 2, y, item.text);
    return symbol + 2 + d.text_width(kSmall, item.text) + 12;
}

}  // namespace

GreenPlan fit_plan(const Green& green, const std::vector<Vec2>& points, const std::vector<std::string>& needed,
                   const SheetRequest& request, double share) {
    const Paper paper = request.paper;
    const TerrainModel& terrain = *green.terrain;
    GreenPlan plan;
    plan.feet = request.feet_and_inches;
    plan.box = terrain.outline.box();
    const auto include = [&](Vec2 p) {
        plan.box = {std::min(plan.box.x0, p.x), std::min(plan.box.y0, p.y), std::max(plan.box.x1, p.x),
                    std::max(plan.box.y1, p.y)};
    };
    for (const Vec2& p : points) include(p);
    for (const ReferenceMark& m : green.marks) {
        const Vec2 p{m.p.x, m.p.y};
        const bool wanted = std::find(needed.begin(), needed.end(), m.name) != needed.end();
        if (wanted || terrain.outline.signed_distance(p) > -kMarksWithin) {
            include(p);
            plan.marks.push_back(m);
        } else {
            plan.left_out.push_back(m.name);
        }
    }

    const PageBox page = page_box(paper);
    plan.scale = largest_scale(plan.box.width(), plan.box.height(), page.right - page.left - 2 * kEdge,
                               share * (page.bottom - page.top) - 2 * kEdge - kStrip, sheet_scales());
    if (plan.scale == 0)
        throw Error(fmt::format("the green '{}' with its marks is {:.0f} m by {:.0f} m, which does not fit on {} at 1:{}",
                                green.name, plan.box.width(), plan.box.height(),
                                paper == Paper::a4 ? "A4" : "letter paper", sheet_scales().back()));

    plan.slope = slope_summary(terrain);
    plan.contour_interval_m = contour_step_m(plan.slope, plan.scale);
    Progress progress;
    plan.contour_lines = contours(terrain, plan.contour_interval_m, progress);
    return plan;
}

double contour_step_m(const SlopeSummary& slope, int scale) {
    const double gap = scale / 1000.0 * std::max(1.5 * slope.median, 0.8 * slope.p90);
    double out = 0.02;
    for (double step : {0.05, 0.10, 0.20, 0.50})
        if (out < gap) out = step;
    return out;
}

PlanView begin_plan(Document& d, const Green& green, const GreenPlan& plan) {
    const double k = points_per_metre(plan.scale);
    const double height = plan.box.height() * k + 2 * kEdge;
    d.reserve(height + kStrip);
    // Centred across the page.
    const double x = d.left() + (d.width() - plan.box.width() * k) / 2;
    const PlanTransform transform{k, {plan.box.x0, plan.box.y1}, {x, d.y + kEdge}};
    PlanView view(d, transform, {d.left(), d.y, d.right(), d.y + height});

    // Contours with ticks on their low side, so that up and down can be told.
    for (const ContourLine& c : plan.contour_lines) {
        view.contour(c.points, c.closed);
        double since = 30;
        for (std::size_t n = 1; n < c.points.size(); ++n) {
            since += distance(c.points[n - 1], c.points[n]) * k;
            if (since < 60) continue;
            since = 0;
            const SurfaceJet j = green.terrain->surface->jet(c.points[n].x, c.points[n].y);
            const Vec2 up{j.hx, j.hy};
            if (norm(up) > 1e-6) view.contour({c.points[n], c.points[n] - (2.6 / k) * unit(up)}, false);
        }
    }
    for (const Zone& z : green.zones) view.hatch(z.ring);
    view.polyline(green.terrain->outline.ring(), 1.0, {}, 0, true);
    for (const auto& ring : green.terrain->outline.cut_outs()) view.polyline(ring, 1.0, {}, 0, true);
    for (const auto& gap : green.terrain->outline.data_gaps()) view.polyline(gap, 0.5, {1, 1}, 0.2, true);
    for (const ReferenceMark& m : plan.marks) view.mark({m.p.x, m.p.y});
    for (const ReferenceMark& m : plan.marks) view.label({m.p.x, m.p.y}, m.name, true, 4.5);
    return view;
}

void end_plan(Document& d, const Green& green, const GreenPlan& plan, PlanView& view,
              const std::vector<LegendItem>& legend) {
    view.write_labels();
    const double k = points_per_metre(plan.scale);
    d.y += plan.box.height() * k + 2 * kEdge + 4;

    // Scale bar at the left, north beside it, check line at the right.
    scale_bar(d, d.left() + 3, d.y, plan.scale, plan.feet);
    const double check = check_line_length(plan.feet);
    north_arrow(d, d.right() - check - 12, d.y - 8, green.terrain->frame.has_crs());
    check_line(d, d.right() - check, d.y + 1.6, plan.feet);
    d.y += 26;

    // Legend in as many rows as it needs.
    double x = d.left();
    std::vector<LegendItem> items = legend;
    if (!plan.marks.empty()) items.push_back({"mark", "reference mark"});
    if (!plan.contour_lines.empty())
        items.push_back({"contour", fmt::format("contours every {}, ticks downhill", plan.feet ? small_length(plan.contour_interval_m, true)
                                                                      : fmt::format("{:.0f}\u00a0cm", plan.contour_interval_m * 100))});
    if (!green.terrain->outline.data_gaps().empty()) items.push_back({"dotted", "no data inside"});
    if (!plan.left_out.empty()) {
        std::string names;
        for (const std::string& n : plan.left_out) names += (names.empty() ? "" : ", ") + n;
        items.push_back({"", d.fitted(kSmall, "too far for this plan: " + names, 200)});
    }
    for (const LegendItem& item : items) {
        const double width = 36 + d.text_width(kSmall, item.text);
        if (x + width - 12 > d.right()) x = d.left(), d.y += 12;
        x += legend_item(d, x, d.y + 7, item);
    }
    d.y += 16;
}

std::vector<TableColumn> tape_columns() {
    return {{"From", 82}, {"And from", 82}, {"Side", 118}, {"Check from", 82}, {"Good to", 50}};
}

std::string sheet_foot(const Green& green) {
    return fmt::format("{}, surface revision {}, file revision {}, brae " BRAE_VERSION, green.name,
                       green.surface_revision, green.revision);
}

}  // namespace brae
