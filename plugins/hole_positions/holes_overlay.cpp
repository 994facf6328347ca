#include "plugins/hole_positions/holes_overlay.h"

#include "core/base/calendar.h"
#include "core/plan/course_plan.h"
#include "core/record/green_zones.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <string>

namespace brae::hole_positions {

namespace {

namespace ink = plugin::ink;
using plugin::Dash;
using plugin::MarkerShape;

// Ends of a map that do not depend on the green where a limit says what matters; else those of its values.
plugin::ColourScale scale_of(const HolesModel& model, const Raster& raster) {
    if (model.map() == "margin") return {plugin::ScaleName::cividis, 0, 1, "Fair area: room to the nearest limit", "", false};
    // The criterion's own limit and unit, from any place that was judged.
    for (const HolePosition& h : model.found()->judged.places)
        for (const Criterion& c : h.criteria)
            if (c.name == model.map() && std::isfinite(c.limit) && c.limit > 0) return {plugin::ScaleName::cividis, 0, 2 * c.limit, c.name, c.unit, false, true};
    double high = 0;
    for (const double v : raster.values)
        if (std::isfinite(v)) high = std::max(high, v);
    return {plugin::ScaleName::cividis, 0, high > 0 ? high : 1, model.map(), "", false};
}

void draw_map(HolesModel& model, plugin::OverlayCanvas& canvas) {
    if (const auto raster = model.map_raster()) canvas.raster({raster, scale_of(model, *raster), 0.85f, model.map() != "margin"});
}

// Closed ground with its kind and day, and bunkers, water and banks beside the edge: thin lines told apart by dash and label.
void draw_zones(const HolesModel& model, const std::string& date, plugin::OverlayCanvas& canvas) {
    const auto day = day_number(date);
    for (const Zone& z : model.now().green->zones) {
        const bool guards = role_of(z) == ZoneRole::guards;
        if (!guards && !closed_on(z, day.value_or(0))) continue;
        std::string label = z.name.empty() || z.name == z.kind ? z.kind : z.name + ", " + z.kind;
        if (!guards && !z.until.empty()) label += " until " + z.until;
        canvas.polygon(z.ring, {0, 0, 0, 0}, {guards ? ink::quiet : ink::violet, 1.2f, guards ? Dash::dotted : Dash::dashed}, label);
    }
}

void draw_today(Parts& parts, plugin::OverlayCanvas& canvas) {
    const HolesModel& model = parts.holes;
    if (!model.found()) return;
    const auto& best = model.found()->best;
    if (model.found()->judged.closest) canvas.marker(*model.found()->judged.closest, MarkerShape::plus, ink::quiet, 13, "closest to fair");
    for (int k = 0; k < static_cast<int>(best.size()); ++k) {
        const HolePosition& h = best[static_cast<std::size_t>(k)];
        const bool selected = k == model.selected();
        canvas.marker(h.p, MarkerShape::ring, selected ? ink::blue : ink::dark, selected ? 13.0f : 9.0f, std::to_string(k + 1));
        if (selected) canvas.circle(h.p, model.limits().radius_m, {ink::blue, 1.6f, Dash::solid});
    }
    if (model.found()->ramp) {
        const RampSite& ramp = *model.found()->ramp;
        canvas.polygon({ramp.corners[0], ramp.corners[1], ramp.corners[2], ramp.corners[3]}, {0, 0, 0, 0}, {ink::quiet, 1.2f, Dash::dash_dot}, "ramp");
    }
}

void draw_plan(Parts& parts, plugin::OverlayCanvas& canvas) {
    // The week before as crosses with how many days ago; plugs that have not healed as dotted circles.
    const auto first = day_number(parts.holes.date);
    for (const HoleUse& use : parts.plan.history())
        canvas.marker(use.p, MarkerShape::cross, ink::quiet, 9, first ? fmt::format("{} d ago", *first - use.last_day) : "");
    for (const OpenPlug& plug : parts.plan.plugs()) canvas.circle(plug.p, CourseRules{}.plug_m, {ink::quiet, 1, Dash::dotted});
    const auto& list = parts.plan.list();
    for (int k = 0; k < static_cast<int>(list.size()); ++k) {
        const PlanDay& d = list[static_cast<std::size_t>(k)];
        if (!d.p) continue;
        const bool selected = k == parts.plan.selected();
        canvas.marker(*d.p, d.locked ? MarkerShape::square : MarkerShape::ring, selected ? ink::blue : ink::dark, selected ? 13.0f : 9.0f, d.date.substr(5));
        if (selected) canvas.circle(*d.p, parts.holes.limits().radius_m, {ink::blue, 1.6f, Dash::solid});
    }
}

void draw_line(Parts& parts, plugin::OverlayCanvas& canvas) {
    const auto line = parts.line.line();
    const Outline& outline = parts.holes.now().green->terrain->outline;
    const plugin::Stroke stroke{parts.line.in_hand() ? ink::blue : ink::quiet, 1.4f, Dash::dash_dot};
    if (line) {
        const Vec2 middle = outline.centroid();
        const double half = 0.5 * std::hypot(outline.box().width(), outline.box().height());
        canvas.polyline({middle - half * line->direction, middle + half * line->direction}, stroke, "line of play");
        // An arrow head of two short lines, the way players look.
        const Vec2 tip = middle + half * line->direction, back = tip - line->direction, side = 0.4 * right_of(line->direction);
        canvas.polyline({back + side, tip, back - side}, {stroke.colour, stroke.width_px, Dash::solid});
        if (line->approach.size() >= 2) canvas.polyline(line->approach, stroke);
    }
    if (!parts.line.points().empty()) {
        canvas.polyline(parts.line.points(), {ink::blue, 1.4f, Dash::dashed});
        for (const Vec2& p : parts.line.points()) canvas.marker(p, MarkerShape::dot, ink::blue, 6);
    }
    for (const Gate& g : parts.holes.now().green->gates) canvas.marker(g.p, MarkerShape::triangle, ink::quiet, 9, g.name);

    // The place that was typed, with the two lengths that were counted to it.
    const CutModel::Preview& seen = parts.cut.preview();
    for (const Vec2& p : seen.places) {
        canvas.marker(p, MarkerShape::diamond, ink::violet, 11, "as cut");
        if (!line) continue;
        if (const auto at = place_by_paces(outline, *line, p)) {
            const Vec2 right = right_of(line->direction);
            canvas.polyline({p - at->on_m * line->direction, p}, {ink::violet, 1.2f, Dash::dotted});
            canvas.polyline({p, p + (at->side() == GreenSide::left ? -at->left_m : at->right_m) * right}, {ink::violet, 1.2f, Dash::dotted});
        }
    }
}

void draw_practice(Parts& parts, plugin::OverlayCanvas& canvas) {
    for (const StoredHole& h : parts.holes.now().green->holes)
        if (h.today) canvas.marker(h.p, MarkerShape::cross, ink::dark, 8, "today");
    for (const StationGround& s : parts.practice.stations()) {
        canvas.polyline(s.path.size() >= 2 ? s.path : std::vector<Vec2>{s.ball, s.hole}, {ink::violet, 1.2f, Dash::dashed}, s.label);
        canvas.marker(s.ball, MarkerShape::dot, ink::violet, 6);
    }
    for (std::size_t k = 0; k < parts.practice.chosen().holes.size(); ++k) {
        const PracticeHole& h = parts.practice.chosen().holes[k];
        canvas.marker(h.p, h.of_station ? MarkerShape::square : MarkerShape::ring, ink::blue, 11, std::to_string(k + 1));
        canvas.circle(h.p, parts.practice.rules().apart_m / 2, {ink::quiet, 1, Dash::dotted});
    }
}

}  // namespace

void draw_holes(Parts& parts, plugin::OverlayCanvas& canvas) {
    HolesModel& model = parts.holes;
    if (!model.now().green) return;
    const bool front = model.take_front();
    if (front) draw_map(model, canvas);
    const bool a_day = parts.shown == Part::plan && parts.plan.selected() >= 0;
    draw_zones(model, a_day ? parts.plan.list()[static_cast<std::size_t>(parts.plan.selected())].date : model.date, canvas);
    switch (parts.shown) {
        case Part::today: draw_today(parts, canvas); break;
        case Part::plan: draw_plan(parts, canvas); break;
        case Part::cut: draw_line(parts, canvas); break;
        case Part::practice: draw_practice(parts, canvas); break;
    }

    // The place whose criteria the panel shows, its distance to the edge, and the hole that is moved.
    const auto place = front && parts.shown == Part::today ? model.place() : std::nullopt;
    if (!place) return;
    canvas.circle(*place, model.limits().radius_m, {ink::dark, 1.2f, Dash::dashed});
    const Outline& outline = model.now().green->terrain->outline;
    if (outline.contains(*place)) canvas.polyline({*place, outline.nearest_edge_point(*place)}, {ink::quiet, 1.2f, Dash::dotted});
    if (model.trial()) canvas.marker(*place, MarkerShape::diamond, ink::blue, 11, "trial");
}

}  // namespace brae::hole_positions
