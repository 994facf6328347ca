// The plan block that every sheet begins with: the green to scale with outline, contours, zones and reference marks.
#pragma once

#include "core/export/plan_view.h"
#include "core/terrain/slope.h"

#include <string>
#include <vector>

namespace brae {

// Symbols: dot, diamond, dashed, dotted, solid, contour, hole, mark, ring; empty: words only.
struct LegendItem { std::string symbol, text; };

// What the plan shows and how large: worked out once, drawn on every run.
struct GreenPlan {
    Box box;                               // local metres on the plan
    int scale = 0;
    std::vector<ReferenceMark> marks;      // those that are on it
    std::vector<std::string> left_out;     // names of marks too far away
    std::vector<ContourLine> contour_lines;
    double contour_interval_m = 0;
    SlopeSummary slope;                    // of the green, which the step of the contours follows
    bool feet = false;                     // how lengths are written
};

// `points` must be on the plan, and the marks named in `needed`; other marks are where they lie within 6 m of the green.
// The plan takes at most `share` of the page's height. Throws Error where even 1:500 is too large for that.
GreenPlan fit_plan(const Green& green, const std::vector<Vec2>& points, const std::vector<std::string>& needed,
                   const SheetRequest& request, double share = 1);

// The finest round step that leaves contours at least 1.5 mm apart on ground of the median slope, 0.8 mm on tiers.
double contour_step_m(const SlopeSummary& slope, int scale);

// Draws outline, contours, zones and marks, lets `draw` add the sheet's own things, then labels, scale bar, check
// line, north arrow and legend; moves the document's y below it all.
template <class Draw>
void draw_plan(Document& document, const Green& green, const GreenPlan& plan, const std::vector<LegendItem>& legend,
               Draw&& draw);

// The two halves of draw_plan.
PlanView begin_plan(Document& document, const Green& green, const GreenPlan& plan);
void end_plan(Document& document, const Green& green, const GreenPlan& plan, PlanView& view,
              const std::vector<LegendItem>& legend);

template <class Draw>
void draw_plan(Document& document, const Green& green, const GreenPlan& plan, const std::vector<LegendItem>& legend,
               Draw&& draw) {
    PlanView view = begin_plan(document, green, plan);
    draw(view);
    end_plan(document, green, plan, view, legend);
}

// Columns for tape_cells().
std::vector<TableColumn> tape_columns();

// The foot of every sheet of this green.
std::string sheet_foot(const Green& green);

}  // namespace brae
