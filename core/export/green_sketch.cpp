#include "core/export/green_sketch.h"

#include "core/survey/ring.h"

#include <algorithm>
#include <cairo.h>

namespace brae {

namespace {

// Seen along the line of play: x to the player's right, y away.
class Seen {
public:
    explicit Seen(const DayGreen& green) : along_(green.green->line_of_play ? green.green->line_of_play->direction : Vec2{0, 1}) {
        for (const Vec2& p : green.green->terrain->outline.ring()) ring_.push_back((*this)(p));
        box_ = box_of(ring_);
    }
    Vec2 operator()(Vec2 p) const { return {dot(p, right_of(along_)), dot(p, along_)}; }
    const std::vector<Vec2>& ring() const { return ring_; }
    const Box& box() const { return box_; }

private:
    Vec2 along_;
    std::vector<Vec2> ring_;
    Box box_;
};

}  // namespace

SketchSize sketch_size(const DayGreen& green) {
    const Seen seen(green);
    return {seen.box().width(), seen.box().height()};
}

void draw_sketch(Document& document, const DayGreen& green, double x, double y, int scale) {
    const Seen seen(green);
    const double k = points_per_metre(scale);
    const Vec2 middle{(seen.box().x0 + seen.box().x1) / 2, (seen.box().y0 + seen.box().y1) / 2};
    const auto on_page = [&](Vec2 s) { return Vec2{x + (s.x - middle.x) * k, y - (s.y - middle.y) * k}; };
    cairo_t* cr = document.cairo();
    cairo_save(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.6);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    for (const Vec2& s : seen.ring()) {
        const Vec2 p = on_page(s);
        cairo_line_to(cr, p.x, p.y);
    }
    cairo_close_path(cr);
    cairo_stroke(cr);
    std::vector<Vec2> holes = green.others;
    if (green.hole) holes.push_back(*green.hole);
    for (const Vec2& hole : holes) {
        const Vec2 p = on_page(seen(hole));
        cairo_new_path(cr);
        cairo_arc(cr, p.x, p.y, 1.7, 0, 2 * kPi);
        cairo_fill(cr);
    }
    cairo_restore(cr);
}

int sketch_scale(const std::vector<DayGreen>& greens, double room_width, double room_height, const std::vector<int>& scales) {
    SketchSize most;
    for (const DayGreen& g : greens) {
        const SketchSize s = sketch_size(g);
        most = {std::max(most.width_m, s.width_m), std::max(most.depth_m, s.depth_m)};
    }
    return largest_scale(most.width_m, most.depth_m, room_width, room_height, scales);
}

}  // namespace brae
