#include "core/terrain/build_terrain.h"

#include "core/base/error.h"
#include "core/survey/read_survey.h"
#include "core/terrain/assumed_method.h"
#include "core/terrain/band_cholesky.h"
#include "core/terrain/data_gaps.h"
#include "core/terrain/fit_raster.h"
#include "core/terrain/raster_noise.h"
#include "core/terrain/slope.h"
#include "core/terrain/smoothing_bias.h"
#include "core/terrain/smoothing_choice.h"
#include "core/terrain/spline_fit.h"
#include "core/terrain/survey_checks.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace brae {

namespace {

// Points this far outside the outline steady its edge, m. A cloud that was given an outline stops at it: longer grass
// begins there, and its step of some centimetres would tilt the edge.
constexpr double kMargin = 1.0, kCloudMargin = 0.0;
constexpr double kCoarseCell = 0.5;          // knots for the smoothing search and the standard errors, m
constexpr double kFinestCell = 0.10, kCoarsestCell = 0.50;
constexpr double kAutoCoefficients = 25000;  // the automatic cell keeps a green under a few seconds
constexpr double kMostCoefficients = 100000; // about 1 GB and half a minute
constexpr double kBreaklineStep = 0.5;       // m between points on a surveyed string
constexpr double kLeastOfPrior = 0.4;        // of the prior, below which the noise of levels is not believed
constexpr double kRoughPlace = 2.5;          // times the mean roughness: a tier, and not the scatter of the estimate
constexpr double kBiasReach = 2.5;           // smoothing lengths over which the bias is averaged
constexpr double kNoisyM = 0.030;            // one height this uncertain is poor for a green
constexpr double kSteepMedian = 0.08;        // ratio; greens have medians of 1 to 4 %

// Kept points within the margin of the outline, and surveyed strings made dense.
std::vector<FitPoint> points_to_fit(const Survey& survey, const Outline& outline, Progress& progress) {
    std::vector<FitPoint> out;
    const bool cleaned = survey.removed.size() == survey.points.size();
    const Box& box = outline.box();
    const bool cloud = !survey.grid_spacing_m && survey.outline && !survey.outline->empty();
    const double margin = cloud ? kCloudMargin : kMargin;
    const Box reach{box.x0 - margin, box.y0 - margin, box.x1 + margin, box.y1 + margin};
    const auto near = [&](Vec2 p) {
        return reach.contains(p) && (outline.contains(p) || (margin > 0 && outline.signed_distance(p) >= -margin));
    };
    for (std::size_t k = 0; k < survey.points.size(); ++k) {
        if (k % 65536 == 0) progress.step(0.02, "points");
        const Vec3& p = survey.points[k];
        if (cleaned && survey.removed[k] != kept) continue;
        if (!std::isfinite(p.x) || !std::isfinite(p.y) || !std::isfinite(p.z)) continue;
        if (near({p.x, p.y})) out.push_back({p.x, p.y, p.z, 1.0});
    }

    // A string is straight between its picks; the points in between share the weight of one pick.
    for (const Breakline& line : survey.breaklines)
        for (std::size_t k = 0; k + 1 < line.points.size(); ++k) {
            const Vec3 a = line.points[k], b = line.points[k + 1];
            const int steps = std::max(1, static_cast<int>(std::ceil(std::hypot(b.x - a.x, b.y - a.y) / kBreaklineStep)));
            for (int s = 0; s < steps; ++s) {
                const Vec3 p = a + (static_cast<double>(s) / steps) * (b - a);
                if (near({p.x, p.y})) out.push_back({p.x, p.y, p.z, 1.0 / steps});
            }
        }
    return out;
}

// Box that the surface must cover: one cell beyond the outline, and every point used.
Box domain_of(const Outline& outline, const std::vector<FitPoint>& points, double cell) {
    Box box = outline.box();
    box = {box.x0 - cell, box.y0 - cell, box.x1 + cell, box.y1 + cell};
    for (const FitPoint& p : points)
        box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
    return box;
}

double coefficients_for(const Box& box, double cell) { return (box.width() / cell + 4) * (box.height() / cell + 4); }

// Cell from the density: about 25 points a cell, in steps of 0.05 m; a raster keeps its own spacing.
double choose_cell(const Survey& survey, const BuildOptions& options, const Outline& outline,
                   const std::vector<FitPoint>& points) {
    const Box box = domain_of(outline, points, kCoarsestCell);
    double cell = options.cell_m;
    if (cell != 0 && !(cell > 0)) throw usage_error(fmt::format("the cell is {} m; a positive length is wanted", cell));
    if (cell == 0) {
        std::size_t inside = 0;
        for (const FitPoint& p : points) inside += outline.contains({p.x, p.y});
        const double density = std::max<double>(static_cast<double>(inside), 1) / outline.area_m2();
        cell = survey.grid_spacing_m ? *survey.grid_spacing_m : std::round(5 / std::sqrt(density) / 0.05) * 0.05;
        cell = std::clamp(cell, kFinestCell, kCoarsestCell);
        while (cell < kCoarsestCell && coefficients_for(box, cell) > kAutoCoefficients)
            cell = survey.grid_spacing_m ? std::min(2 * cell, kCoarsestCell) : std::min(cell + 0.05, kCoarsestCell);
    }
    if (coefficients_for(box, cell) > kMostCoefficients)
        throw Error(fmt::format("the survey spans {:.0f} x {:.0f} m, too much for cells of {:.2f} m; clip it to one green "
                                "or take a larger cell", box.width(), box.height(), cell));
    return cell;
}

double median_of(std::vector<double> values) {
    if (values.empty()) return 0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// Standard errors of the cells from the coefficients' posterior covariance and the survey's correlated part. The smoothing
// bias, which the covariance expects everywhere alike, is taken as large as it shows in each place; `sparse_roughness` is
// empty but for levels.
void fill_standard_errors(TerrainModel& model, const SplineGrid& layout, const StencilMatrix& inverse, double noise,
                          const TwicedBias& bias, const Raster& sparse_roughness, Progress& progress) {
    ElevationModel& grid = model.grid;
    const Raster& h = grid.height;
    grid.height_se = grid.slope_se = Raster(h.columns, h.rows, h.x0, h.y0, h.cell);
    const double extra_h = model.error.correlated_se_m * model.error.correlated_se_m;
    const double extra_s = extra_h / (model.error.correlated_length_m * model.error.correlated_length_m);
    std::vector<double> heights, slopes;
    for (int j = 0; j < h.rows; ++j) {
        progress.step(0.9 + 0.1 * j / h.rows, "standard errors");
        for (int i = 0; i < h.columns; ++i) {
            if (!grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet jet = model.surface->jet(c.x, c.y);
            const double slope = slope_ratio(jet);
            const bool level = slope < 1e-6;
            FitVariance v = fit_variance(layout, inverse, noise, c.x, c.y, level ? 1 : jet.hx / slope,
                                         level ? 0 : jet.hy / slope);
            const double rough = sparse_roughness.empty() ? 0 : sparse_roughness.at(i, j);
            const auto grown = [rough](double expected) { return rough > kRoughPlace ? rough * expected : 0; };
            v.height = std::max(height_variance_here(v.height, bias.height.at(i, j)), grown(v.height));
            const double slope_mean = std::max(slope_variance_here(v.slope_mean, bias.slope.at(i, j)), grown(v.slope_mean));
            if (v.slope_mean > 0) v.slope_along *= slope_mean / v.slope_mean;
            v.slope_mean = slope_mean;
            grid.height_se.at(i, j) = std::sqrt(v.height + extra_h);
            grid.slope_se.at(i, j) = std::sqrt((level ? v.slope_mean : v.slope_along) + extra_s);
            heights.push_back(v.height);
            slopes.push_back(v.slope_mean);
        }
    }
    // A stationary process with the median variances of height and slope.
    const double s = std::sqrt(median_of(heights)), g = std::sqrt(median_of(slopes));
    model.error.smooth_se_m = s;
    model.error.smooth_length_m = g > 0 ? s / g : 1;
}

}  // namespace

TerrainModel build_terrain(const Survey& survey, const BuildOptions& options, Progress& progress) {
    progress.step(0, "points");
    TerrainModel model;
    model.frame = survey.frame;
    model.warnings = survey.warnings;
    model.points_read = survey.points_read > 0 ? survey.points_read : survey.points.size();
    model.outline = survey.outline && !survey.outline->empty() ? *survey.outline : data_boundary(survey);

    // The points, less their quadratic trend, which the spline carries exactly.
    std::vector<FitPoint> points = points_to_fit(survey, model.outline, progress);
    model.points_used = points.size();
    require_one_storey(survey, model.outline);
    require_surface(points, model.outline.area_m2());
    const Quadratic trend = fit_quadratic(points);
    for (FitPoint& p : points) p.z -= trend.at(p.x, p.y);

    // Two layouts of knots: the surface's, and one for the search and the errors.
    const double cell = choose_cell(survey, options, model.outline, points);
    const double node = survey.grid_spacing_m.value_or(0);
    const Vec2 align = node > 0 ? Vec2{points[0].x - node / 2, points[0].y - node / 2} : Vec2{0, 0};
    const Box domain = domain_of(model.outline, points, cell);
    const double coarse_cell = std::max(cell, kCoarseCell);
    const SplineGrid coarse = knot_layout(domain, coarse_cell, align);
    SplineGrid fine = knot_layout(domain, cell, align);

    double at = 0.05;
    const auto tick_to = [&](double end, const char* stage) {
        return std::function<void()>([&at, &progress, end, stage] {
            at += 0.003 * (end - at);
            progress.step(at, stage);
        });
    };

    // What is known of the noise: the method's prior, or for a raster the growth of its increments.
    const bool method_known = survey.method != SurveyMethod::unknown && survey.method != SurveyMethod::grid;
    std::size_t inside = 0;
    for (const FitPoint& p : points) inside += model.outline.contains({p.x, p.y});
    const double density = std::max<double>(static_cast<double>(inside), 1) / model.outline.area_m2();
    NoisePrior prior = noise_prior(survey.method);
    if (!method_known && node == 0 && density < kDensestLevels) prior = noise_prior(SurveyMethod::total_station);
    NoiseKnowledge noise;
    double raster_total = 0;
    bool exact_raster = false;
    if (node > 0) {
        std::vector<Vec3> nodes;
        for (const FitPoint& p : points)
            if (p.weight == 1) nodes.push_back({p.x, p.y, p.z});
        const RasterNoise raster = raster_noise(nodes, node);
        if (raster.measured) {
            raster_total = raster.total_m();
            exact_raster = raster_total == 0;
            if (!exact_raster) noise.fixed_m = raster.effective_m();
        }
    }
    if (!noise.fixed_m && !exact_raster && prior.independent_m > 0) noise.prior_m = prior.independent_m;

    // Smoothing and noise by restricted maximum likelihood on the coarse knots.
    const auto searching = tick_to(0.5, "smoothing");
    const NormalEquations coarse_eq = normal_equations(coarse, points, searching);
    const StencilMatrix coarse_penalty = third_derivative_penalty(coarse);
    const auto fitting = tick_to(0.8, "surface");
    const NormalEquations fine_eq = normal_equations(fine, points, fitting);
    const StencilMatrix fine_penalty = third_derivative_penalty(fine);
    SmoothingChoice choice;
    if (options.smoothing) {
        if (!(*options.smoothing >= 0)) throw usage_error("the smoothing is negative; zero or more is wanted");
        choice = at_smoothing(coarse_eq, coarse_penalty, std::max(*options.smoothing, least_smoothing(fine_eq, fine_penalty)),
                              noise, searching);
    } else if (exact_raster) {
        choice = at_smoothing(fine_eq, fine_penalty, least_smoothing(fine_eq, fine_penalty), noise, searching);
    } else {
        choice = choose_smoothing(coarse_eq, coarse_penalty, noise, searching);
        // A tier among a few hundred levels can pass all their noise off as ground; turf does not let them be that exact.
        if (node == 0 && density < kDensestLevels && noise.prior_m && choice.noise_m < kLeastOfPrior * *noise.prior_m) {
            noise.fixed_m = kLeastOfPrior * *noise.prior_m;
            choice = choose_smoothing(coarse_eq, coarse_penalty, noise, searching);
        }
    }

    // The surface itself. Where finer knots leave much smaller residuals, the coarse ones were the noise: search again.
    const auto fit = [&](double lambda) {
        return BandCholesky(fine_eq.matrix, lambda, &fine_penalty, fitting).solve(fine_eq.rhs);
    };
    std::vector<double> coefficients = fit(choice.lambda);
    if (!options.smoothing && !exact_raster && cell < coarse_cell) {
        const SmoothingChoice here = at_smoothing(fine_eq, fine_penalty, choice.lambda, noise, fitting);
        if (here.noise_m < 0.7 * choice.noise_m) {
            choice = less_smoothing(fine_eq, fine_penalty, choice.lambda, noise, fitting);
            coefficients = fit(choice.lambda);
        }
    }
    fine.coefficients = std::move(coefficients);
    add_quadratic(fine, trend);
    model.surface = std::make_shared<const SplineSurface>(fine);
    model.smoothing = choice.lambda;
    model.noise_m = noise.fixed_m && node > 0 ? raster_total : choice.noise_m;

    // Rasters, and how much of the green has data.
    double covered = 0;
    if (!(options.largest_gap_m > 0)) throw usage_error("the largest gap is not positive; a length in metres is wanted");
    model.grid = raster_of(*model.surface, model.outline, cell, align, points, options.largest_gap_m, covered);
    if (covered < 0.5)
        throw Error(fmt::format("only {:.0f} % of the outline lies within {:.1f} m of a survey point; at least half is wanted",
                                100 * covered, options.largest_gap_m));

    // Places without data are outside the green, so that no ball rolls over them.
    if (covered < 1) model.outline = model.outline.with_gaps(gap_rings(model.grid, model.outline));

    // Standard errors from the coarse knots' covariance at the same smoothing.
    const auto errors = tick_to(0.9, "standard errors");
    const AssumedMethod assumed = assumed_method(density, model.noise_m, node > 0);
    if (!method_known) prior = assumed.prior;
    const BandCholesky factor(coarse_eq.matrix, choice.lambda, &coarse_penalty, errors);
    const double resolved = std::pow(choice.lambda / density, 1.0 / 6), spacing = 1 / std::sqrt(density);
    if (prior.correlated_m > 0) {
        const PassedShares passed = passed_shares(prior.correlation_length_m, resolved);
        model.error.correlated_se_m = prior.correlated_m * std::sqrt(passed.height);
        model.error.correlated_length_m = prior.correlation_length_m * std::sqrt(passed.height / passed.slope);
    }
    SplineGrid difference = coarse;
    difference.coefficients = factor.solve(coarse_eq.rhs);
    const std::vector<double> again = factor.solve(coarse_eq.matrix.times(difference.coefficients));
    for (std::size_t k = 0; k < again.size(); ++k) difference.coefficients[k] -= again[k];
    const double reach = std::max(kBiasReach * resolved, spacing);
    const TwicedBias bias = twiced_bias(SplineSurface(difference), model.grid, reach);
    const Raster roughness = node == 0 && density < kDensestLevels ? relative_roughness(*model.surface, model.grid, reach) : Raster();
    fill_standard_errors(model, coarse, factor.selected_inverse(errors), choice.noise_m, bias, roughness, progress);

    // What the user should know.
    std::vector<double> slopes;
    for (int j = 0; j < model.grid.height.rows; ++j)
        for (int i = 0; i < model.grid.height.columns; ++i)
            if (model.grid.has(i, j)) {
                const Vec2 c = model.grid.height.centre(i, j);
                slopes.push_back(slope_ratio(model.surface->jet(c.x, c.y)));
            }
    const double median = median_of(std::move(slopes));
    require_turf(model.noise_m, median);
    if (model.noise_m > kNoisyM)
        model.warnings.push_back(fmt::format("one height of this survey is uncertain by {:.0f} mm; that is much for a green, "
                                             "see the standard errors of slope", 1000 * model.noise_m));
    if (median > kSteepMedian)
        model.warnings.push_back(fmt::format("the median slope is {:.1f} %, steeper than greens are; check the unit of the "
                                             "heights", 100 * median));
    if (!method_known) model.warnings.push_back(assumed.sentence);
    if (model.outline.source() == OutlineSource::data_boundary)
        model.warnings.push_back("no outline was given, so the edge is the boundary of the data and may hold longer grass");
    if (covered < 0.98)
        model.warnings.push_back(fmt::format("{:.0f} % of the green has no survey point within {:.1f} m and is left out",
                                             100 * (1 - covered), options.largest_gap_m));
    progress.step(1, "done");
    return model;
}

}  // namespace brae
