// The plan of a green to scale on a page: where metres lie on paper, symbols, and labels that keep out of each other's
// way.
#pragma once

#include "core/export/page.h"
#include "core/survey/outline.h"

#include <string>
#include <vector>

namespace brae {

// Local metres to points on the page (y down). North, local +y, is up.
struct PlanTransform {
    double points_per_metre = 1;
    Vec2 local;   // this local point ...
    Vec2 page;    // ... lies here
    Vec2 operator()(Vec2 p) const {
        return {page.x + (p.x - local.x) * points_per_metre, page.y - (p.y - local.y) * points_per_metre};
    }
};

// Points on paper of one metre at 1:scale.
constexpr double points_per_metre(int scale) { return 1000.0 / scale * kPointsPerMm; }

// The scales that sheets are drawn at, largest drawing first.
const std::vector<int>& sheet_scales();
// The first of `scales` at which `width_m` x `height_m` fits into the room (points); 0 where none does.
int largest_scale(double width_m, double height_m, double room_width, double room_height,
                  const std::vector<int>& scales);

struct Rect {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    bool meets(const Rect& o) const { return x0 < o.x1 && o.x0 < x1 && y0 < o.y1 && o.y0 < y1; }
};

// Finds places for labels: tries positions round the thing and takes the one that covers least.
class LabelPlacer {
public:
    explicit LabelPlacer(Rect area) : area_(area) {}
    void keep_clear(const Rect& r) { taken_.push_back(r); }
    void keep_clear(Vec2 centre, double radius);
    // Lines cost a label something, but less than other labels do.
    void avoid_line(const std::vector<Vec2>& points);
    // Where a label of this size goes, `radius` or more from `anchor`; the place is then taken.
    Rect place(Vec2 anchor, double width, double height, double radius);

private:
    double cost(const Rect& r) const;
    Rect area_;
    std::vector<Rect> taken_;
    std::vector<std::pair<Vec2, Vec2>> lines_;
};

// Draws the parts of a plan; each part tells the placer what to keep clear of. Labels come last, in write_labels().
class PlanView {
public:
    PlanView(Document& document, PlanTransform transform, Rect area);

    const PlanTransform& transform() const { return transform_; }

    void polyline(const std::vector<Vec2>& points, double thickness, const std::vector<double>& dashes = {},
                  double grey = 0, bool closed = false);
    void contour(const std::vector<Vec2>& points, bool closed);   // thin and grey; labels may lie on it
    void hatch(const std::vector<Vec2>& ring);                 // thin 45 degree lines inside a ring
    void dot(Vec2 p, double radius_pt);                        // ball spot
    void diamond(Vec2 p, double radius_pt);                    // aim marker
    void peg(Vec2 p, double radius_pt);                        // a marker that several stations share: a black diamond
    void ring(Vec2 p, double radius_pt, double thickness = 0.7, const std::vector<double>& dashes = {});
    void hole(Vec2 p);                                         // true size, or what can be seen
    void mark(Vec2 p);                                         // reference mark: a cross in a circle
    void label(Vec2 p, const std::string& text, bool bold, double radius_pt = 3);
    void write_labels();

private:
    void diamond(Vec2 p, double radius_pt, double grey);
    Document& document_;
    PlanTransform transform_;
    Rect area_;
    LabelPlacer placer_;
    struct Label { Vec2 anchor; std::string text; bool bold; double radius; };
    std::vector<Label> labels_;
};

// A bar of five equal parts of round metres or feet with its figures, at (x, y); returns its width.
double scale_bar(Document& document, double x, double y, int scale, bool feet);
// The length of one of its parts, m: five of the largest round ones take at most 60 mm of paper.
double scale_bar_part_m(int scale, bool feet);
// A line of exactly 100 mm, or 4 in, between two ticks, with the word that says what it is for.
void check_line(Document& document, double x, double y, bool feet = false);
double check_line_length(bool feet);   // points
// An arrow that points up the page, with its meaning.
void north_arrow(Document& document, double x, double y, bool is_north);

}  // namespace brae
