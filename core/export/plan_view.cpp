#include "core/export/plan_view.h"

#include "core/base/constants.h"
#include "core/base/units.h"

#include <algorithm>
#include <cairo.h>
#include <cmath>
#include <fmt/format.h>

namespace brae {

const std::vector<int>& sheet_scales() {
    static const std::vector<int> scales{50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000};
    return scales;
}

int largest_scale(double width_m, double height_m, double room_width, double room_height,
                  const std::vector<int>& scales) {
    for (int scale : scales) {
        const double k = points_per_metre(scale);
        if (width_m * k <= room_width && height_m * k <= room_height) return scale;
    }
    return 0;
}

void LabelPlacer::keep_clear(Vec2 c, double r) { taken_.push_back({c.x - r, c.y - r, c.x + r, c.y + r}); }

void LabelPlacer::avoid_line(const std::vector<Vec2>& points) {
    for (std::size_t k = 1; k < points.size(); ++k) lines_.push_back({points[k - 1], points[k]});
}

namespace {

double overlap(const Rect& a, const Rect& b) {
    const double w = std::min(a.x1, b.x1) - std::max(a.x0, b.x0), h = std::min(a.y1, b.y1) - std::max(a.y0, b.y0);
    return w > 0 && h > 0 ? w * h : 0;
}

// Does the segment meet the rectangle? Clipping in parameters (Liang and Barsky 1984).
bool meets(const Rect& r, Vec2 a, Vec2 b) {
    double t0 = 0, t1 = 1;
    const auto clip = [&](double p, double q) {
        if (p == 0) return q >= 0;
        const double t = q / p;
        if (p < 0) t0 = std::max(t0, t);
        else t1 = std::min(t1, t);
        return t0 <= t1;
    };
    const Vec2 d = b - a;
    return clip(-d.x, a.x - r.x0) && clip(d.x, r.x1 - a.x) && clip(-d.y, a.y - r.y0) && clip(d.y, r.y1 - a.y);
}

}  // namespace

double LabelPlacer::cost(const Rect& r) const {
    double sum = 0;
    for (const Rect& t : taken_)
        if (const double o = overlap(r, t); o > 0) sum += 20 + 4 * o;
    for (const auto& [a, b] : lines_) sum += meets(r, a, b) ? 6 : 0;
    // Outside the plan is worst.
    const double inside = overlap(r, area_), whole = (r.x1 - r.x0) * (r.y1 - r.y0);
    return sum + 100 * (whole - inside);
}

Rect LabelPlacer::place(Vec2 anchor, double width, double height, double radius) {
    Rect best;
    double least = 1e300;
    for (double away : {1.0, 4.0, 8.0, 13.0, 19.0, 26.0, 34.0, 43.0}) {
        for (int k = 0; k < 16; ++k) {
            // Upper right first, as readers expect.
            const double a = kPi / 4 - 2 * kPi * k / 16;
            const Vec2 d{std::cos(a), -std::sin(a)};
            const double half = std::abs(d.x) * width / 2 + std::abs(d.y) * height / 2;
            const Vec2 c = anchor + (radius + away + half) * d;
            const Rect r{c.x - width / 2, c.y - height / 2, c.x + width / 2, c.y + height / 2};
            const double worth = cost(r) + 0.5 * away + 0.1 * k;
            if (worth < least) least = worth, best = r;
        }
    }
    keep_clear(best);
    return best;
}

PlanView::PlanView(Document& document, PlanTransform transform, Rect area)
    : document_(document), transform_(transform), area_(area), placer_(area) {}

void PlanView::polyline(const std::vector<Vec2>& points, double thickness, const std::vector<double>& dashes,
                        double grey, bool closed) {
    if (points.size() < 2) return;
    cairo_t* cr = document_.cairo();
    cairo_new_path(cr);
    std::vector<Vec2> drawn;
    for (const Vec2& p : points) drawn.push_back(transform_(p));
    for (const Vec2& p : drawn) cairo_line_to(cr, p.x, p.y);
    if (closed) {
        cairo_close_path(cr);
        drawn.push_back(drawn.front());
    }
    placer_.avoid_line(drawn);
    cairo_set_source_rgb(cr, grey, grey, grey);
    cairo_set_line_width(cr, thickness);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_dash(cr, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0);
}

void PlanView::contour(const std::vector<Vec2>& points, bool closed) {
    cairo_t* cr = document_.cairo();
    cairo_new_path(cr);
    for (const Vec2& p : points) {
        const Vec2 q = transform_(p);
        cairo_line_to(cr, q.x, q.y);
    }
    if (closed) cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0.5, 0.5, 0.5);
    cairo_set_line_width(cr, 0.3);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cr);
}

void PlanView::hatch(const std::vector<Vec2>& corners) {
    cairo_t* cr = document_.cairo();
    cairo_save(cr);
    cairo_new_path(cr);
    Rect box{1e300, 1e300, -1e300, -1e300};
    for (const Vec2& c : corners) {
        const Vec2 p = transform_(c);
        cairo_line_to(cr, p.x, p.y);
        box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
    }
    cairo_close_path(cr);
    cairo_clip(cr);
    const double height = box.y1 - box.y0;
    for (double x = box.x0 - height; x < box.x1; x += 3.5) {
        cairo_move_to(cr, x, box.y1);
        cairo_line_to(cr, x + height, box.y0);
    }
    cairo_set_source_rgb(cr, 0.45, 0.45, 0.45);
    cairo_set_line_width(cr, 0.25);
    cairo_stroke(cr);
    cairo_restore(cr);
    polyline(corners, 0.5, {3, 1.5, 0.7, 1.5}, 0.2, true);
}

void PlanView::dot(Vec2 p, double radius) {
    cairo_t* cr = document_.cairo();
    const Vec2 c = transform_(p);
    cairo_new_path(cr);
    cairo_arc(cr, c.x, c.y, radius, 0, 2 * kPi);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_fill(cr);
    placer_.keep_clear(c, radius + 0.5);
}

void PlanView::diamond(Vec2 p, double r) { diamond(p, r, 1); }
void PlanView::peg(Vec2 p, double r) { diamond(p, r, 0); }

void PlanView::diamond(Vec2 p, double r, double grey) {
    cairo_t* cr = document_.cairo();
    const Vec2 c = transform_(p);
    cairo_new_path(cr);
    cairo_move_to(cr, c.x - r, c.y);
    cairo_line_to(cr, c.x, c.y - r);
    cairo_line_to(cr, c.x + r, c.y);
    cairo_line_to(cr, c.x, c.y + r);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, grey, grey, grey);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.7);
    cairo_stroke(cr);
    placer_.keep_clear(c, r + 0.5);
}

void PlanView::ring(Vec2 p, double radius, double thickness, const std::vector<double>& dashes) {
    cairo_t* cr = document_.cairo();
    const Vec2 c = transform_(p);
    cairo_new_path(cr);
    cairo_arc(cr, c.x, c.y, radius, 0, 2 * kPi);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, thickness);
    cairo_set_dash(cr, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0);
}

void PlanView::hole(Vec2 p) {
    const double radius = std::max(kHoleRadius * transform_.points_per_metre, 1.6);
    ring(p, radius, 0.9);
    placer_.keep_clear(transform_(p), radius + 0.5);
}

void PlanView::mark(Vec2 p) {
    const Vec2 c = transform_(p);
    ring(p, 2.6, 0.7);
    document_.line(c.x - 4.2, c.y, c.x + 4.2, c.y, 0.5);
    document_.line(c.x, c.y - 4.2, c.x, c.y + 4.2, 0.5);
    placer_.keep_clear(c, 4.2);
}

void PlanView::label(Vec2 p, const std::string& text, bool bold, double radius) {
    labels_.push_back({transform_(p), text, bold, radius});
}

void PlanView::write_labels() {
    for (const Label& l : labels_) {
        const TextStyle style{l.bold ? 9.0 : 7.5, l.bold, 0};
        const std::string text = document_.fitted(style, l.text, 90);
        const double width = document_.text_width(style, text), height = style.size * 0.76;
        const Rect r = placer_.place(l.anchor, width + 2, height + 2, l.radius);
        // A hair leads to a label that had to move away.
        const Vec2 c{(r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2};
        const Vec2 near{std::clamp(l.anchor.x, r.x0, r.x1), std::clamp(l.anchor.y, r.y0, r.y1)};
        if (distance(near, l.anchor) > l.radius + 5)
            document_.line(l.anchor.x, l.anchor.y, near.x, near.y, 0.25, 0.3);
        document_.text_on_white(style, c.x, r.y1 - 1, text, Align::centre);
    }
    labels_.clear();
}

double scale_bar_part_m(int scale, bool feet) {
    const double unit = feet ? kFoot : 1;
    double part = 0.1 * unit;
    for (double round : {0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0})
        if (5 * round * unit * 1000 / scale <= 60) part = round * unit;
    return part;
}

double scale_bar(Document& d, double x, double y, int scale, bool feet) {
    const double part = scale_bar_part_m(scale, feet), figure = part / (feet ? kFoot : 1);
    const double step = part * points_per_metre(scale);
    cairo_t* cr = d.cairo();
    for (int k = 0; k < 5; ++k) {
        cairo_new_path(cr);
        cairo_rectangle(cr, x + k * step, y, step, 3.2);
        const double grey = k % 2 == 0 ? 0 : 1;
        cairo_set_source_rgb(cr, grey, grey, grey);
        cairo_fill_preserve(cr);
        cairo_set_source_rgb(cr, 0, 0, 0);
        cairo_set_line_width(cr, 0.5);
        cairo_stroke(cr);
    }
    for (int k = 0; k <= 5; ++k)
        d.text(kSmall, x + k * step, y + 11.5, fmt::format("{:.3g}{}", k * figure, k < 5 ? "" : feet ? "\u00a0ft" : "\u00a0m"), Align::centre);
    return 5 * step;
}

double check_line_length(bool feet) { return feet ? 4 * 72 : 100 * kPointsPerMm; }

void check_line(Document& d, double x, double y, bool feet) {
    const double length = check_line_length(feet);
    d.line(x, y, x + length, y, 0.5);
    d.line(x, y - 3, x, y + 3, 0.5);
    d.line(x + length, y - 3, x + length, y + 3, 0.5);
    d.text(kSmall, x, y + 11.5, fmt::format("Check: this line is {}. If it is not, print again at 100 %.", feet ? "4\u00a0in" : "100\u00a0mm"));
}

void north_arrow(Document& d, double x, double y, bool is_north) {
    cairo_t* cr = d.cairo();
    cairo_new_path(cr);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x + 4, y + 12);
    cairo_line_to(cr, x, y + 9.5);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_fill(cr);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x - 4, y + 12);
    cairo_line_to(cr, x, y + 9.5);
    cairo_close_path(cr);
    cairo_set_line_width(cr, 0.5);
    cairo_stroke(cr);
    d.line(x, y + 9.5, x, y + 20, 0.5);
    d.text(kSmall, x - 9, y + 9, is_north ? "grid" : "survey's", Align::right);
    d.text(kSmall, x - 9, y + 18, is_north ? "north" : "y axis", Align::right);
}

}  // namespace brae
