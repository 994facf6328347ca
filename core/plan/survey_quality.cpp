#include "core/plan/survey_quality.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/solve/putt.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr double kPuttM = 3.0;         // the length at which an error of the aim is told
constexpr double kGreenSpeedFt = 10.0;
constexpr int kMostPutts = 24;
constexpr double kFromEdgeM = 0.5;

double quantile(std::vector<double> values, double q) {
    if (values.empty()) return 0;
    const auto nth = values.begin() + static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), nth, values.end());
    return *nth;
}

// Standard errors of the cells of the green.
std::vector<double> on_green(const ElevationModel& grid, const Raster& raster) {
    std::vector<double> out;
    for (std::size_t k = 0; k < grid.mask.size(); ++k)
        if (grid.mask[k] && std::isfinite(raster.values[k])) out.push_back(raster.values[k]);
    return out;
}

// Holes on a lattice of about two dozen places, each with one putt, the directions turning by the golden angle so that all
// sides of the slope are met.
std::vector<double> aim_errors(const TerrainModel& t, Progress& progress) {
    const Box& box = t.outline.box();
    const double step = std::sqrt(t.outline.area_m2() / kMostPutts);
    std::vector<double> out;
    int asked = 0;
    for (double y = box.y0 + step / 2; y < box.y1; y += step)
        for (double x = box.x0 + step / 2; x < box.x1; x += step) {
            const Vec2 hole{x, y};
            if (t.outline.signed_distance(hole) < kFromEdgeM || asked >= 2 * kMostPutts) continue;
            const double turn = 2.399963229728653 * asked++;
            const Vec2 ball = hole + kPuttM * Vec2{std::cos(turn), std::sin(turn)};
            if (t.outline.signed_distance(ball) < kFromEdgeM) continue;
            progress.step(std::min(0.99, asked / (2.0 * kMostPutts)), "putts over the green");
            PuttOptions options;
            options.window = options.path = false;
            options.green_speed_sigma_ft = 0;
            options.error = &t.error;
            const PuttAnswer answer = solve_putt(*t.surface, t.outline, {ball, hole, kGreenSpeedFt, kUsualPastM}, options);
            if (!answer.solutions.empty() && answer.solutions.front().aim_offset_m) out.push_back(answer.solutions.front().survey_se_m);
        }
    return out;
}

// What the data cannot tell, in words.
QualityFact shared_error(const ErrorModel& e, bool checked) {
    return {"Shared error", fmt::format("\u00b1 {:.1f} mm over {:.0f} m", 1000 * e.correlated_se_m, e.correlated_length_m),
            fmt::format("neighbouring points of a survey err together; this is what is usual for the method and is counted in, for no survey "
                        "shows it by itself: were it half as large again, so would be its part of the errors; {}",
                        checked ? "the check points below test it" : "levels of another instrument beside the survey would show it"), false};
}

// The surface against the check points.
void add_checks(const CheckResult& c, bool bent, std::vector<QualityFact>& facts) {
    if (c.count == 0) return;
    facts.push_back({"Check points", fmt::format("{:+.1f} mm mean, {:.1f} mm RMS", 1000 * c.mean_m, 1000 * c.rms_m),
                     fmt::format("surface less {} height{} that {} no part of it; an even offset turns no slope", c.count, c.count == 1 ? "" : "s",
                                 c.count == 1 ? "is" : "are"), false});
    if (!c.fitted) {
        facts.push_back({"Dome and tilt", "not known", "eight check points or more, spread over the green and not along one line, would show them", false});
        return;
    }
    facts.push_back({"Dome", fmt::format("{:+.1f} \u00b1 {:.1f} mm", 1000 * c.dome_m, 1000 * c.dome_se_m),
                     c.domed ? fmt::format("the surface {} in the middle against {:.0f} m from it; it turns slopes by up to {:.2f} %",
                                           c.dome_m > 0 ? "stands up" : "sinks", c.radius_m, percent(c.dome_slope()))
                             : fmt::format("middle against {:.0f} m from it; no more than chance", c.radius_m), bent});
    facts.push_back({"Tilt", fmt::format("{:.2f} \u00b1 {:.2f} %", percent(std::hypot(c.tilt_x, c.tilt_y)), percent(c.tilt_se)),
                     c.tilted ? "the whole surface leans against the check points; one of the two is not level" : "against the check points; no more than chance",
                     false});
}

std::string centimetres(double metres) { return fmt::format("{:.1f} cm", 100 * metres); }

}  // namespace

std::string to_text(SurveyVerdict verdict) {
    switch (verdict) {
        case SurveyVerdict::stations: return "stations";
        case SurveyVerdict::hole_positions: return "hole positions";
        case SurveyVerdict::overview_only: return "overview only";
    }
    return "overview only";
}

SurveyQuality survey_quality(const TerrainModel& t, Progress& progress, const QualityLimits& limits) {
    if (!t.surface || t.outline.empty()) throw Error("a green without a surface or an outline has no quality to tell");
    SurveyQuality q;
    const double area = t.outline.area_m2();
    double gaps = 0;
    for (const auto& gap : t.outline.data_gaps()) gaps += std::abs(signed_area(gap));
    q.density_per_m2 = static_cast<double>(t.points_used) / std::max(area, 1.0);
    q.noise_m = t.noise_m;
    q.height_se_m = quantile(on_green(t.grid, t.grid.height_se), 0.5);
    const std::vector<double> slope = on_green(t.grid, t.grid.slope_se);
    q.slope_se = quantile(slope, 0.5);
    q.slope_se_p90 = quantile(slope, 0.9);
    q.missing = gaps / (area + gaps);
    const std::vector<double> aims = aim_errors(t, progress);
    q.putts = static_cast<int>(aims.size());
    q.aim_se_m = quantile(aims, 0.5);
    q.aim_se_p90_m = quantile(aims, 0.9);
    const auto slope_variance = [](double s, double length) { return length > 0 ? s * s / (length * length) : 0; };
    const double correlated = slope_variance(t.error.correlated_se_m, t.error.correlated_length_m);
    const double smooth = slope_variance(t.error.smooth_se_m, t.error.smooth_length_m);
    q.correlated_share = correlated + smooth > 0 ? correlated / (correlated + smooth) : 0;

    // A dome against the check points counts where it shows and matters.
    q.check = compare_with_checks(t);
    q.bent = q.check.domed && q.check.dome_slope() > 0.5 * limits.hole_slope_se;
    const bool folded = q.bent && q.check.dome_slope() > limits.hole_slope_se;

    // The verdict: what fails holds it down.
    const bool turf = !t.put_back.no_turf();
    const bool covered = q.missing <= limits.most_missing;
    const bool slopes = q.slope_se <= limits.hole_slope_se;
    const bool aimed = q.putts > 0 && q.aim_se_m <= limits.station_aim_se_m;
    q.verdict = !covered || !slopes || folded || !turf ? SurveyVerdict::overview_only
                : aimed && !q.bent          ? SurveyVerdict::stations
                                            : SurveyVerdict::hole_positions;

    // The figures in words.
    q.facts = {
        {"Density", fmt::format("{:.3g} points a m\u00b2", q.density_per_m2), fmt::format("{} points over {:.0f} m\u00b2", t.points_used, area), false},
        {"Noise", fmt::format("{:.1f} mm a point", 1000 * q.noise_m), "scatter of single points about the surface", false},
        {"Height", fmt::format("\u00b1 {:.1f} mm", 1000 * q.height_se_m), "one standard error at one spot, median", false},
        {"Slope", fmt::format("\u00b1 {:.2f} %", percent(q.slope_se)),
         fmt::format("one standard error at one spot; a tenth of the green is worse than {:.2f} %", percent(q.slope_se_p90)), !slopes},
        {"Without data", fmt::format("{:.1f} %", percent(q.missing)), "share of the green inside its edge", !covered}};
    if (t.error.correlated_se_m > 0) q.facts.push_back(shared_error(t.error, q.check.fitted));
    add_checks(q.check, q.bent, q.facts);
    if (t.put_back.points > 0)
        q.facts.push_back({"Put back", fmt::format("{} points", t.put_back.points),
                           turf ? fmt::format("they scatter by {:.1f} mm about the surface and lie on it as turf does", 1000 * t.put_back.scatter_m)
                                : fmt::format("they scatter by {:.0f} mm about the surface and are probably no turf; every figure here is worse for it",
                                              1000 * t.put_back.scatter_m), !turf});
    const std::string aim_means = q.putts == 0 ? "no putt of 3 m could be solved on this green"
                                                : fmt::format("one standard error from the survey alone, {} putts at green speed {:.0f} ft; one in ten is worse than {}",
                                                              q.putts, kGreenSpeedFt, centimetres(q.aim_se_p90_m));
    q.facts.push_back({"Aim of a 3 m putt", q.putts > 0 ? fmt::format("\u00b1 {}", centimetres(q.aim_se_m)) : "not known", aim_means, !aimed});

    // What would help.
    if (!covered) q.advice.push_back(fmt::format("Survey the places without data: {:.1f} % of the green has none.", percent(q.missing)));
    if (!slopes || !aimed) {
        if (q.correlated_share > 0.5)
            q.advice.push_back("Most of the error hangs together over metres, so more points of the same kind do not help: use another "
                               "method, such as a total station or a tripod scanner, or more setups and control points.");
        else if (q.noise_m > 0.010)
            q.advice.push_back(fmt::format("Points scatter by {:.0f} mm: a tripod scanner or a total station scatters by 3 to 5 mm; four times "
                                           "as many points halve the error.", 1000 * q.noise_m));
        else
            q.advice.push_back(fmt::format("Points are {:.1f} m apart on average: closer points, where the slope changes most, would help.",
                                           std::sqrt(1 / std::max(q.density_per_m2, 1e-6))));
    }
    if (!turf)
        q.advice.push_back("Take the points that were put back away again: they are probably no turf, and reads near them are spoilt.");
    if (q.bent)
        q.advice.push_back(fmt::format("The surface {} in the middle by {:.0f} mm against the check points, as photo surveys do whose lens is not well "
                                       "known: have it worked out again with control points in the middle and at the edge, or with slanted pictures too, "
                                       "or take the heights from the levels.", q.check.dome_m > 0 ? "stands up" : "sinks", 1000 * std::abs(q.check.dome_m)));
    if (q.check.tilted)
        q.advice.push_back(fmt::format("The surface leans by {:.2f} % against the check points: find out which of the two surveys was not level.",
                                       percent(std::hypot(q.check.tilt_x, q.check.tilt_y))));
    if (t.outline.source() == OutlineSource::data_boundary)
        q.advice.push_back("The edge is only the boundary of the data: bring an outline, or pick the edge with point codes.");
    progress.step(1, "done");
    return q;
}

}  // namespace brae
