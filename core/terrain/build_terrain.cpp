#include "core/terrain/build_terrain.h"

#include "core/base/error.h"
#include "core/base/large_vector.h"
#include "core/base/parts.h"
#include "core/survey/place_order.h"
#include "core/survey/read_survey.h"
#include "core/terrain/assumed_method.h"
#include "core/terrain/band_cholesky.h"
#include "core/terrain/check_points.h"
#include "core/terrain/data_gaps.h"
#include "core/terrain/fit_raster.h"
#include "core/terrain/local_roughness.h"
#include "core/terrain/raster_noise.h"
#include "core/terrain/slope.h"
#include "core/terrain/smoothing_bias.h"
#include "core/terrain/smoothing_choice.h"
#include "core/terrain/spline_fit.h"
#include "core/terrain/survey_checks.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <map>
#include <set>
#include <tbb/parallel_for.h>
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
constexpr double kWindowM = 4.0;             // of one weight of the penalty: the width of a tier, several levels
constexpr double kWindowKnotsM = 1.0;        // knots on which the weights are sought, in doublings of the coarse ones,
constexpr double kWidestKnotsM = 2.0;        // and wider ones for large greens
constexpr double kWindowCoefficients = 2500; // keeps the search to a second or two
constexpr double kNoNoiseM = 1e-5;           // under a hundredth of a millimetre nothing is smoothed
constexpr int kMostPasses = 3;               // of weights and noise in turn
constexpr double kManyPoints = 4;            // a knot, from which on the smoothing is sought from the last one
constexpr std::size_t kListed = 200'000;     // of a large cloud; so many say the rest's shape, height and reach
constexpr double kBiasReach = 2.5;           // smoothing lengths over which the bias is averaged
constexpr double kNoisyM = 0.030;            // one height this uncertain is poor for a green
constexpr double kSteepMedian = 0.08;        // ratio; greens have medians of 1 to 4 %

// What is fitted: places in the survey's cloud; a list of them all, or of some where they are very many; what is known of them.
struct Chosen {
    std::vector<std::uint32_t> cloud;   // empty where the list holds all
    std::vector<FitPoint> list;
    std::size_t count = 0, inside = 0;  // inside the outline
    std::size_t between = 0;            // of them, on strings between their picks: no observations
    Box box{INFINITY, INFINITY, -INFINITY, -INFINITY};
};

Box with(const Box& a, double x, double y) { return {std::min(a.x0, x), std::min(a.y0, y), std::max(a.x1, x), std::max(a.y1, y)}; }

// Kept points within the margin of the outline, and surveyed strings made dense.
Chosen points_to_fit(const Survey& survey, const Outline& outline, Progress& progress) {
    Chosen out;
    const bool cleaned = survey.removed.size() == survey.points.size();
    const Box& box = outline.box();
    const bool cloud = !survey.grid_spacing_m && survey.outline && !survey.outline->empty();
    const double margin = cloud ? kCloudMargin : kMargin;
    const Box reach{box.x0 - margin, box.y0 - margin, box.x1 + margin, box.y1 + margin};
    const auto near = [&](Vec2 p, bool inside) { return inside || (margin > 0 && reach.contains(p) && outline.signed_distance(p) >= -margin); };
    // Chosen and counted on all cores, then put together in their order.
    struct Part {
        std::vector<std::uint32_t> chosen;
        std::size_t inside = 0;
        Box box{INFINITY, INFINITY, -INFINITY, -INFINITY};
    };
    const std::size_t n = survey.points.size(), parts = n / 65536 + 1;
    std::vector<Part> found(parts);
    for_parts(n, parts, progress, [&](std::size_t part, std::size_t begin, std::size_t end) {
        Part own;
        own.chosen.reserve(end - begin);
        for (std::size_t k = begin; k < end; ++k) {
            const Vec3& p = survey.points[k];
            if (cleaned && survey.removed[k] != kept) continue;
            if (!std::isfinite(p.x) || !std::isfinite(p.y) || !std::isfinite(p.z)) continue;
            const bool inside = outline.contains({p.x, p.y});
            if (!near({p.x, p.y}, inside)) continue;
            own.chosen.push_back(static_cast<std::uint32_t>(k));
            own.inside += inside;
            own.box = with(own.box, p.x, p.y);
        }
        found[part] = std::move(own);
    });
    progress.step(0.02, "points");
    std::vector<std::size_t> start(parts + 1, 0);
    for (std::size_t part = 0; part < parts; ++part) {
        start[part + 1] = start[part] + found[part].chosen.size();
        out.inside += found[part].inside;
        if (!found[part].chosen.empty()) out.box = with(with(out.box, found[part].box.x0, found[part].box.y0), found[part].box.x1, found[part].box.y1);
    }
    out.count = start.back();
    std::vector<std::uint32_t> chosen = large_vector<std::uint32_t>(out.count, progress);
    for_parts(parts, parts, progress, [&](std::size_t part, std::size_t, std::size_t) {
        std::copy(found[part].chosen.begin(), found[part].chosen.end(), chosen.begin() + static_cast<std::ptrdiff_t>(start[part]));
        found[part] = Part{};
    });

    // Of a large cloud some are listed, spread over it as its points are.
    const bool large = out.count >= kOrderedFrom && !survey.grid_spacing_m && survey.breaklines.empty();
    const std::size_t every = large ? out.count / kListed + 1 : 1;
    out.list.reserve(out.count / every + 1);
    for (std::size_t k = 0; k < out.count; k += every) {
        const Vec3& p = survey.points[chosen[k]];
        out.list.push_back({p.x, p.y, p.z, 1.0});
    }
    if (large) {
        out.cloud = std::move(chosen);
        return out;
    }

    // A string is straight between its picks; the points in between share the weight of one pick and are no observations. Picks
    // that are points of the survey already count once: the same height twice would look like a survey without noise.
    std::set<std::pair<double, double>> picks;
    for (const Breakline& line : survey.breaklines)
        for (const Vec3& p : line.points) picks.insert({p.x, p.y});
    std::set<std::pair<double, double>> counted;
    if (!picks.empty())
        for (const FitPoint& p : out.list)
            if (picks.contains({p.x, p.y})) counted.insert({p.x, p.y});
    for (const Breakline& line : survey.breaklines)
        for (std::size_t k = 0; k < line.points.size(); ++k) {
            const Vec3 a = line.points[k], b = line.points[std::min(k + 1, line.points.size() - 1)];
            const int steps = std::max(1, static_cast<int>(std::ceil(std::hypot(b.x - a.x, b.y - a.y) / kBreaklineStep)));
            for (int s = counted.contains({a.x, a.y}) ? 1 : 0; s < steps; ++s) {
                const Vec3 p = a + (static_cast<double>(s) / steps) * (b - a);
                const bool inside = outline.contains({p.x, p.y});
                if (!near({p.x, p.y}, inside)) continue;
                out.list.push_back({p.x, p.y, p.z, s == 0 ? 1.0 : 1.0 / steps});
                out.between += s > 0;
                out.inside += inside;
                out.box = with(out.box, p.x, p.y);
            }
        }
    out.count = out.list.size();
    return out;
}

// What was measured: all but the points between the picks of strings, which would pass for heights without noise.
std::vector<FitPoint> observed(const std::vector<FitPoint>& points) {
    std::vector<FitPoint> out;
    for (const FitPoint& p : points)
        if (p.weight == 1) out.push_back(p);
    return out;
}

// The quadratic trend; the spline carries any quadratic exactly, so that some of very many points say enough of it.
Quadratic trend_of(const std::vector<FitPoint>& points) {
    const std::size_t every = points.size() / 100'000 + 1;
    if (every == 1) return fit_quadratic(points);
    std::vector<FitPoint> some;
    for (std::size_t k = 0; k < points.size(); k += every) some.push_back(points[k]);
    return fit_quadratic(some);
}

// Box that the surface must cover: one cell beyond the outline, and every point used.
Box domain_of(const Outline& outline, const Box& points, double cell) {
    const Box& box = outline.box();
    const Box domain{box.x0 - cell, box.y0 - cell, box.x1 + cell, box.y1 + cell};
    return with(with(domain, points.x0, points.y0), points.x1, points.y1);
}

double coefficients_for(const Box& box, double cell) { return (box.width() / cell + 4) * (box.height() / cell + 4); }

// Cell from the density: about 25 points a cell, in steps of 0.05 m; a raster keeps its own spacing.
double choose_cell(const Survey& survey, const BuildOptions& options, double density, const Outline& outline, const Box& points) {
    const Box box = domain_of(outline, points, kCoarsestCell);
    double cell = options.cell_m;
    if (cell != 0 && !(cell > 0)) throw usage_error(fmt::format("the cell is {} m; a positive length is wanted", cell));
    if (cell == 0) {
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

// Standard errors of the cells from the coefficients' posterior covariance and the survey's correlated part. The covariance
// holds noise and expected smoothing bias: the noise is taken as it passes the fit, the bias as large as it shows.
void fill_standard_errors(TerrainModel& model, const SplineGrid& layout, const NormalEquations& eq, const StencilMatrix& penalty,
                          const SmoothingChoice& choice, const PenaltyWeight& weight, double density, const NoisePrior& prior,
                          const std::function<void()>& tick, Progress& progress) {
    ElevationModel& grid = model.grid;
    const Raster& h = grid.height;
    const Raster none(h.columns, h.rows, h.x0, h.y0, h.cell);
    grid.height_se = grid.slope_se = none;
    const BandCholesky factor(eq.matrix, choice.lambda, &penalty, tick);
    const StencilMatrix inverse = factor.selected_inverse(tick);
    FitAtCells fit{none, none, none, none};
    Raster along = none, extra_h = none, extra_s = none, unseen = none, smooth = none;
    const double c2 = prior.correlated_m > 0 ? prior.correlated_m * prior.correlated_m : 0, g2 = c2 / (prior.correlation_length_m * prior.correlation_length_m);

    tbb::parallel_for(0, h.rows, [&](int j) {
        progress.check();
        for (int i = 0; i < h.columns; ++i) {
            if (!grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet jet = model.surface->jet(c.x, c.y);
            const double slope = slope_ratio(jet);
            const bool level = slope < 1e-6;
            const FitVariance v = fit_variance(layout, inverse, choice.noise_m, c.x, c.y, level ? 1 : jet.hx / slope,
                                               level ? 0 : jet.hy / slope);
            fit.height.at(i, j) = v.height, fit.slope.at(i, j) = v.slope_mean;
            along.at(i, j) = level || !(v.slope_mean > 0) ? 1 : v.slope_along / v.slope_mean;
            smooth.at(i, j) = std::pow(choice.lambda * weight.at(c.x, c.y) / density, 1.0 / 6);
            unseen.at(i, j) = unseen_share(smooth.at(i, j), 1 / std::sqrt(density));
        }
    });
    progress.step(0.93, "standard errors");

    // How much of the correlated part passes, for smoothing lengths a tenth apart.
    std::map<int, PassedShares> passed;
    std::vector<double> lengths;
    for (std::size_t k = 0; k < none.values.size(); ++k) {
        if (grid.mask[k] == 0) continue;
        lengths.push_back(smooth.values[k]);
        if (c2 == 0) continue;
        const int tenth = static_cast<int>(std::lround(10 * std::log(smooth.values[k])));
        if (!passed.contains(tenth)) passed[tenth] = passed_shares(prior.correlation_length_m, std::exp(0.1 * tenth));
        const PassedShares& p = passed[tenth];
        extra_h.values[k] = c2 * p.height, extra_s.values[k] = g2 * p.slope;
        fit.correlated_height.values[k] = c2 * p.height_shown, fit.correlated_slope.values[k] = g2 * p.slope_shown;
    }
    const double reach = std::max(kBiasReach * median_of(lengths), 1 / std::sqrt(density));
    const auto drawing = [&progress] { progress.step(0.95, "standard errors"); };
    const ErrorShares shares = error_shares(layout, eq, choice.lambda, penalty, choice.noise_m, factor, grid, fit, reach, drawing);

    std::vector<double> heights, slopes, shared_h, shared_s;
    for (std::size_t k = 0; k < none.values.size(); ++k) {
        if (grid.mask[k] == 0) continue;
        const auto total = [k](const Raster& posterior, const Raster& noise, const Raster& bias, double unseen_bias) {
            return posterior.values[k] * (noise.values[k] + (1 - noise.values[k]) * std::max(bias.values[k], unseen_bias));
        };
        heights.push_back(total(fit.height, shares.noise_height, shares.bias_height, unseen.values[k]));
        slopes.push_back(total(fit.slope, shares.noise_slope, shares.bias_slope, kUnseenOfSlope * unseen.values[k]));
        shared_h.push_back(extra_h.values[k]), shared_s.push_back(extra_s.values[k]);
        grid.height_se.values[k] = std::sqrt(heights.back() + extra_h.values[k]);
        grid.slope_se.values[k] = std::sqrt(slopes.back() * along.values[k] + extra_s.values[k]);
    }
    // Stationary processes with the median variances of height and slope.
    const auto process = [](double variance, double slope_variance, double& s, double& length) {
        s = std::sqrt(variance);
        if (slope_variance > 0) length = s / std::sqrt(slope_variance);
    };
    model.error.smooth_length_m = 1, model.error.correlated_length_m = prior.correlation_length_m;
    process(median_of(heights), median_of(slopes), model.error.smooth_se_m, model.error.smooth_length_m);
    process(median_of(shared_h), median_of(shared_s), model.error.correlated_se_m, model.error.correlated_length_m);
}

}  // namespace

TerrainModel build_terrain(const Survey& survey, const BuildOptions& options, Progress& progress) {
    progress.step(0, "points");
    TerrainModel model;
    model.frame = survey.frame;
    model.warnings = survey.warnings;
    model.points_read = survey.points_read > 0 ? survey.points_read : survey.points.size();
    model.outline = survey.outline && !survey.outline->empty() ? *survey.outline : data_boundary(survey, progress);

    // The points, less their quadratic trend, which the spline carries exactly.
    Chosen chosen = points_to_fit(survey, model.outline, progress);
    std::vector<FitPoint>& listed = chosen.list;
    model.points_used = chosen.count - chosen.between;
    require_one_storey(survey, model.outline, progress);
    require_surface(listed, model.outline.area_m2(), progress);
    progress.check();
    const Quadratic trend = trend_of(listed);
    progress.check();
    for (FitPoint& p : listed) p.z -= trend.at(p.x, p.y);
    const FitPoints points = chosen.cloud.empty() ? FitPoints(listed) : FitPoints(survey.points, chosen.cloud, trend);

    // Two layouts of knots: the surface's, and one for the search and the errors.
    const double density = std::max<double>(static_cast<double>(chosen.inside), 1) / model.outline.area_m2();
    progress.check();
    const double cell = choose_cell(survey, options, density, model.outline, chosen.box);
    const double node = survey.grid_spacing_m.value_or(0);
    const Vec2 align = node > 0 ? Vec2{listed[0].x - node / 2, listed[0].y - node / 2} : Vec2{0, 0};
    progress.check();
    const Box domain = domain_of(model.outline, chosen.box, cell);
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
    NoisePrior prior = noise_prior(survey.method);
    if (!method_known && node == 0 && density < kDensestLevels) prior = noise_prior(SurveyMethod::total_station);
    NoiseKnowledge noise;
    double raster_total = 0;
    bool exact_raster = false;
    if (node > 0) {
        std::vector<Vec3> nodes;
        for (const FitPoint& p : listed)
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
    const std::vector<FitPoint> strung = survey.breaklines.empty() ? std::vector<FitPoint>{} : observed(listed);
    const auto fitting = tick_to(0.8, "surface");
    const NormalEquations fine_eq = normal_equations(fine, points, fitting, progress);
    progress.check();
    // The coarse ones follow from the fine ones where their knots are every one or every second of these.
    NormalEquations coarse_eq;
    if (!survey.breaklines.empty()) coarse_eq = normal_equations(coarse, FitPoints(strung), searching, progress);
    else if (coarse_cell == cell) coarse_eq = fine_eq;
    else if (std::abs(coarse_cell - 2 * cell) < 1e-12) coarse_eq = on_wider_knots(fine_eq, fine, coarse);
    else coarse_eq = normal_equations(coarse, points, searching, progress);
    searching();
    StencilMatrix coarse_penalty = third_derivative_penalty(coarse);
    progress.check();
    StencilMatrix fine_penalty = third_derivative_penalty(fine);
    progress.check();
    SmoothingChoice choice;
    PenaltyWeight weight;
    if (options.smoothing) {
        if (!(*options.smoothing >= 0)) throw usage_error("the smoothing is negative; zero or more is wanted");
        choice = at_smoothing(coarse_eq, coarse_penalty, std::max(*options.smoothing, least_smoothing(fine_eq, fine_penalty)),
                              noise, searching);
    } else if (exact_raster) {
        choice = at_smoothing(fine_eq, fine_penalty, least_smoothing(fine_eq, fine_penalty), noise, searching);
    } else {
        choice = choose_smoothing(coarse_eq, coarse_penalty, noise, searching);
        // A tier among a few hundred levels can pass all their noise off as ground of one roughness; the weights start from a
        // noise that turf has.
        if (node == 0 && density < kDensestLevels && noise.prior_m && choice.noise_m < kLeastOfPrior * *noise.prior_m) {
            NoiseKnowledge held = noise;
            held.fixed_m = kLeastOfPrior * *noise.prior_m;
            choice = choose_smoothing(coarse_eq, coarse_penalty, held, searching);
        }

        // The penalty's weight in each place, and with it smoothing and noise anew.
        SplineGrid windows = coarse;
        NormalEquations window_eq = coarse_eq;
        const auto coefficients = [](const SplineGrid& g) { return static_cast<double>(g.columns) * g.rows; };
        while (windows.cell < kWindowKnotsM || (windows.cell < kWidestKnotsM && coefficients(windows) > kWindowCoefficients)) {
            const SplineGrid wide = knot_layout(domain, 2 * windows.cell, align);
            window_eq = on_wider_knots(window_eq, windows, wide);
            windows = wide;
        }
        for (int pass = 0; pass < kMostPasses && choice.noise_m > kNoNoiseM; ++pass) {
            weight = local_weight(windows, window_eq, choice, weight, kWindowM, searching);
            coarse_penalty = weighted_penalty(coarse, weight);
            const double before = choice.noise_m;
            // Where many points tell, there is one minimum, and it has not moved far.
            const bool many = static_cast<double>(coarse_eq.count) > kManyPoints * coefficients(coarse);
            choice = choose_smoothing(coarse_eq, coarse_penalty, noise, searching, many ? std::optional(choice.lambda) : std::nullopt);
            if (std::abs(choice.noise_m / before - 1) < 0.05) break;
        }
        progress.check();
        fine_penalty = weighted_penalty(fine, weight);
        progress.check();
    }

    // The surface itself. Where finer knots leave much smaller residuals, the coarse ones were the noise: search again.
    SmoothingChoice here = at_smoothing(fine_eq, fine_penalty, choice.lambda, noise, fitting);
    if (!options.smoothing && !exact_raster && cell < coarse_cell && here.noise_m < 0.7 * choice.noise_m)
        here = choice = less_smoothing(fine_eq, fine_penalty, choice.lambda, noise, fitting);
    fine.coefficients = std::move(here.coefficients);
    add_quadratic(fine, trend);
    model.surface = std::make_shared<const SplineSurface>(fine);
    model.smoothing = choice.lambda;
    model.noise_m = noise.fixed_m && node > 0 ? raster_total : choice.noise_m;

    // Rasters, and how much of the green has data.
    double covered = 0;
    if (!(options.largest_gap_m > 0)) throw usage_error("the largest gap is not positive; a length in metres is wanted");
    model.grid = raster_of(*model.surface, model.outline, cell, align, FitPoints(listed), points, options.largest_gap_m, covered);
    if (covered < 0.5)
        throw Error(fmt::format("only {:.0f} % of the outline lies within {:.1f} m of a survey point; at least half is wanted",
                                100 * covered, options.largest_gap_m));

    // Places without data are outside the green, so that no ball rolls over them.
    if (covered < 1) model.outline = model.outline.with_gaps(gap_rings(model.grid, model.outline));

    // Standard errors from the coarse knots' covariance at the same smoothing.
    const auto errors = tick_to(0.9, "standard errors");
    const AssumedMethod assumed = assumed_method(density, model.noise_m, node > 0);
    if (!method_known) prior = assumed.prior;
    fill_standard_errors(model, coarse, coarse_eq, coarse_penalty, choice, weight, density, prior, errors, progress);

    // Heights that are no part of the fit, beside a cloud or raster.
    if (node > 0 || density >= kDensestLevels) model.checks = check_points(survey, model.outline);
    const std::string bent = dome_sentence(compare_with_checks(model));
    if (!bent.empty()) model.warnings.push_back(bent);

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
        model.warnings.push_back(kNoOutlineWarning);
    if (covered < 0.98)
        model.warnings.push_back(fmt::format("{:.0f} % of the green has no survey point within {:.1f} m and is left out",
                                             100 * (1 - covered), options.largest_gap_m));
    progress.step(1, "done");
    return model;
}

}  // namespace brae
