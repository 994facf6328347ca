#include "core/export/charts.h"

#include "core/base/calendar.h"
#include "core/base/constants.h"
#include "core/base/interval.h"
#include "core/base/units.h"

#include <algorithm>
#include <cairo.h>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// Entry 91 of the 256 of CET-CBD1, a light blue (Kovesi 2015, arXiv:1509.03700, table of colorcet 2.0.2, licence CC BY 4.0):
// tells a band from paper in colour and in grey.
constexpr double kTint[3] = {0xc9 / 255.0, 0xd3 / 255.0, 0xf6 / 255.0};

void tint(cairo_t* cr) {
    cairo_set_source_rgb(cr, kTint[0], kTint[1], kTint[2]);
    cairo_fill(cr);
}

void disc(cairo_t* cr, double x, double y, double r) {
    cairo_new_path(cr);
    cairo_arc(cr, x, y, r, 0, 2 * kPi);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_fill(cr);
}

}  // namespace

double round_step(double range, int most) {
    double step = std::pow(10.0, std::floor(std::log10(std::max(range, 1e-9))) - 1);
    for (int k = 0; range / step > most && k < 12; ++k) step *= k % 3 == 1 ? 2.5 : 2;
    return step;
}

std::vector<double> places_in_time(const std::vector<PlotPoint>& points, double closest) {
    const std::size_t n = points.size();
    std::vector<double> out;
    if (n == 1) return {0.5};
    for (const PlotPoint& p : points)
        if (const auto day = day_of(p.date)) out.push_back(static_cast<double>(day->time_since_epoch().count()));
    bool rising = out.size() == n;
    const double first = rising ? out.front() : 0, span = rising ? out.back() - out.front() : 0;
    for (std::size_t k = 1; k < n && rising; ++k) rising = span > 0 && (out[k] - out[k - 1]) / span >= closest;
    if (rising)
        for (double& x : out) x = (x - first) / span;
    else {
        out.clear();
        for (std::size_t k = 0; k < n; ++k) out.push_back(static_cast<double>(k) / static_cast<double>(n - 1));
    }
    return out;
}

void time_plot(Document& d, const Rect& area, const TimePlot& plot) {
    cairo_t* cr = d.cairo();
    const double left = area.x0 + 26, right = area.x1 - 6, top = area.y0 + 16, bottom = area.y1 - 14;
    d.text({8.5, true, 0}, area.x0, area.y0 + 9, plot.title);

    // The axis holds every interval, zero, and what does not matter.
    double high = 1.5 * plot.small, low = plot.from_zero ? 0 : -high;
    for (const PlotPoint& p : plot.points)
        if (p.told) low = std::min(low, p.low), high = std::max(high, p.high);
    if (high - low < 1e-9) high = low + 1;
    const double step = round_step(high - low, 5);
    low = step * std::floor(low / step + 1e-9), high = step * std::ceil(high / step - 1e-9);
    const auto y = [&](double v) { return bottom - (v - low) / (high - low) * (bottom - top); };
    for (int k = 0; low + k * step <= high + 1e-9; ++k) {
        const double v = low + k * step;
        const bool zero = std::abs(v) < 1e-9;
        d.line(left, y(v), right, y(v), zero ? 0.6 : 0.25, zero ? 0.2 : 0.75);
        const int places = std::max(0, -static_cast<int>(std::floor(std::log10(step) + 1e-9)));
        d.text(kSmall, left - 4, y(v) + 2.6, fmt::format("{:.{}f}", zero ? 0.0 : v, places), Align::right);
    }

    // Where each lesson stands.
    std::vector<double> x;
    for (const double t : places_in_time(plot.points, 0.06)) x.push_back(left + 12 + t * (right - left - 24));

    // The band, parted where a lesson does not tell the figure.
    for (std::size_t begin = 0; begin < plot.points.size();) {
        if (!plot.points[begin].told) {
            ++begin;
            continue;
        }
        std::size_t end = begin;
        while (end < plot.points.size() && plot.points[end].told) ++end;
        cairo_new_path(cr);
        const double wide = end - begin == 1 ? 5 : 0;   // one lesson alone has a band too
        for (std::size_t k = begin; k < end; ++k) {
            if (wide > 0) cairo_line_to(cr, x[k] - wide, y(plot.points[k].high));
            cairo_line_to(cr, x[k] + wide, y(plot.points[k].high));
        }
        for (std::size_t k = end; k-- > begin;) {
            cairo_line_to(cr, x[k] + wide, y(plot.points[k].low));
            if (wide > 0) cairo_line_to(cr, x[k] - wide, y(plot.points[k].low));
        }
        cairo_close_path(cr);
        tint(cr);
        for (std::size_t k = begin; k + 1 < end; ++k) d.line(x[k], y(plot.points[k].mean), x[k + 1], y(plot.points[k + 1].mean), 0.7);
        for (std::size_t k = begin; k < end; ++k) {
            d.line(x[k], y(plot.points[k].low), x[k], y(plot.points[k].high), 0.5);
            disc(cr, x[k], y(plot.points[k].mean), 1.9);
        }
        begin = end;
    }
    if (std::none_of(plot.points.begin(), plot.points.end(), [](const PlotPoint& p) { return p.told; }))
        d.text_on_white(kSmall, 0.5 * (left + right), 0.5 * (top + bottom) - 6, "not told yet", Align::centre);

    // What does not matter lies between the dots; zero stays seen on the band.
    const double dots[] = {1, 2};
    for (const double v : {-plot.small, plot.small}) {
        if (plot.small <= 0 || v < low) continue;
        cairo_set_dash(cr, dots, 2, 0);
        d.line(left, y(v), right, y(v), 0.5, 0.3);
        cairo_set_dash(cr, nullptr, 0, 0);
    }
    if (low < 0) d.line(left, y(0), right, y(0), 0.6, 0.2);
    // What is up and down stands over the plot, where no line crosses it.
    if (!plot.above.empty() && !plot.below.empty()) d.text(kSmall, area.x1, area.y0 + 9, fmt::format("up {}, down {}", plot.above, plot.below), Align::right);

    // Dates: all where they have room, else the first and the last.
    double before = -1e9;
    for (std::size_t k = 0; k < plot.points.size(); ++k) {
        const std::string name = plot.points[k].date.empty() ? fmt::format("lesson {}", k + 1) : plot.points[k].date;
        const double width = d.text_width(kSmall, name), centre = std::clamp(x[k], area.x0 + width / 2, area.x1 - width / 2);
        const bool last = k + 1 == plot.points.size();
        const double last_width = d.text_width(kSmall, plot.points.back().date);
        if (centre - width / 2 < before + 6 || (!last && centre + width / 2 > std::min(x.back(), area.x1 - last_width / 2) - last_width / 2 - 6)) continue;
        d.text(kSmall, centre, bottom + 11, name, Align::centre);
        before = centre + width / 2;
    }
}

void cross_axis(Document& d, const CrossLine& line, double y, bool feet) {
    const double unit = feet ? kInch : 0.01, step = round_step(2 * line.reach_m / unit, 6) * unit;
    d.line(line.x0, y, line.x1, y, 0.5);
    const int most = static_cast<int>(std::floor(line.reach_m / step + 1e-9));
    for (int k = -most; k <= most; ++k) {
        const double at = line.x(k * step);
        d.line(at, y - 2.5, at, y, 0.5);
        d.text(kSmall, at, y - 4.5, fmt::format("{:.0f}", std::abs(k * step / unit)), Align::centre);
    }
}

void cross_row(Document& d, const CrossLine& line, double y, double true_m, double true_se_m, const std::vector<double>& reads,
               const std::vector<double>& retest) {
    cairo_t* cr = d.cairo();
    cairo_save(cr);
    cairo_rectangle(cr, line.x0 - 4, y - 12, line.x1 - line.x0 + 8, 24);
    cairo_clip(cr);
    const auto mark = [&](double from, double to, double half) {
        cairo_new_path(cr);
        cairo_rectangle(cr, line.x(from), y - half, line.x(to) - line.x(from), 2 * half);
    };
    // The true line's error as a band, the hole as a bar, the true line itself.
    mark(true_m - kZ90 * true_se_m, true_m + kZ90 * true_se_m, 6.5);
    tint(cr);
    d.line(line.x0, y, line.x1, y, 0.3, 0.5);
    mark(-kHoleRadius, kHoleRadius, 1.3);
    cairo_set_source_rgb(cr, 0.45, 0.45, 0.45);
    cairo_fill(cr);
    d.line(line.x(true_m), y - 7.5, line.x(true_m), y + 7.5, 1.3);
    // Equal reads stand above one another.
    std::vector<std::pair<double, bool>> all;
    for (const double r : reads) all.push_back({r, false});
    for (const double r : retest) all.push_back({r, true});
    std::vector<Vec2> taken;
    for (const auto& [r, again] : all) {
        Vec2 p{line.x(r), y};
        for (const double lift : {0.0, -4.4, 4.4, -8.0, 8.0}) {
            p.y = y + lift;
            if (std::none_of(taken.begin(), taken.end(), [&](Vec2 t) { return distance(t, p) < 3.6; })) break;
        }
        taken.push_back(p);
        if (again) {
            disc(cr, p.x, p.y, 2.2);
            continue;
        }
        cairo_new_path(cr);
        cairo_arc(cr, p.x, p.y, 2.0, 0, 2 * kPi);
        cairo_set_source_rgb(cr, 1, 1, 1);
        cairo_fill_preserve(cr);
        cairo_set_source_rgb(cr, 0, 0, 0);
        cairo_set_line_width(cr, 0.8);
        cairo_stroke(cr);
    }
    cairo_restore(cr);
}

}  // namespace brae
