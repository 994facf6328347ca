// Small plots of the printed reports: one figure over the lessons, and a line across the hole with reads on it.
#pragma once

#include "core/export/plan_view.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// What one lesson tells of a figure: the mean and the ends of its 90 % interval. told false leaves a gap.
struct PlotPoint {
    std::string date;              // as given; ISO 8601 dates are placed by the calendar
    double mean = 0, low = 0, high = 0;
    bool told = true;
};

struct TimePlot {
    std::string title;             // "Start line, degrees"
    std::string above, below;      // what is up and down: "right", "left"; empty: neither
    double small = 0;              // within this it does not matter: lines of dots at both
    bool from_zero = false;        // a figure that is never negative
    int places = 1;                // of the figures on the axis
    std::vector<PlotPoint> points;
};

// Where lessons stand between 0 and 1: by the calendar where all dates are ISO days in rising order and none falls within
// `closest` of the next, else evenly.
std::vector<double> places_in_time(const std::vector<PlotPoint>& points, double closest);

// Draws the plot into the area: the intervals as one band, the means as dots on a line. All numbers must be finite.
void time_plot(Document& document, const Rect& area, const TimePlot& plot);

// The line through the hole square to the putt, seen from the ball: centimetres or inches to the left and right.
struct CrossLine {
    double x0 = 0, x1 = 0;         // on the page
    double reach_m = 0.5;          // from the hole's centre to either end
    double x(double offset_m) const { return 0.5 * (x0 + x1) + 0.5 * (x1 - x0) * offset_m / reach_m; }
};
// Its figures, above `y`.
void cross_axis(Document& document, const CrossLine& line, double y, bool feet);
// Where the ball has to be started with the 90 % of its error, and reads: rings, dots those of the retest. The hole is drawn to scale.
void cross_row(Document& document, const CrossLine& line, double y, double true_m, double true_se_m, const std::vector<double>& reads,
               const std::vector<double>& retest);

// The least of 1, 2, 5, 10, ... times a power of ten that parts a range into at most `most` steps.
double round_step(double range, int most);

}  // namespace brae
