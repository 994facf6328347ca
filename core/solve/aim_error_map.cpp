#include "core/solve/aim_error_map.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/solve/error_ray.h"
#include "core/solve/putt.h"
#include "core/solve/quad_place.h"
#include "core/solve/ray_family.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kMatch = 0.02;        // rad and part of the launch by which a place on the sheet may differ from its read
constexpr double kEvenTurn = 2;        // by how much the corners of a quad may differ in how its width grows

// What one quad of two neighbouring rays says of a spot, and how far its launch is from the one that was read.
struct Told { double mismatch = 1e9; AngleErrors errors; };

ErrorNode mixed(const ErrorNode& a, const ErrorNode& b, double f) {
    const auto mix = [f](double x, double y) { return (1 - f) * x + f * y; };
    ErrorNode out;
    out.p = (1 - f) * a.p + f * b.p;
    out.v = (1 - f) * a.v + f * b.v;
    for (int i = 0; i < 2; ++i) {
        for (int j = 0; j < 4; ++j) out.by_state[i][j] = mix(a.by_state[i][j], b.by_state[i][j]);
        out.by_green_speed[i] = mix(a.by_green_speed[i], b.by_green_speed[i]);
    }
    for (int i = 0; i < 3; ++i) out.by_survey[i] = mix(a.by_survey[i], b.by_survey[i]);
    return out;
}

class Mapper {
public:
    Mapper(const HeightField& surface, const Outline& outline, const GreenQuestion& question, const GreenReads& reads,
           const ErrorModel& error, double sigma_ft, Progress& progress)
        : surface_(surface), outline_(outline), q_(question), reads_(reads), error_(error), sigma_ft_(sigma_ft), progress_(progress) {}

    AimErrorMap map() {
        AimErrorMap out;
        out.survey_se_m = reads_.aim_offset_m;
        std::fill(out.survey_se_m.values.begin(), out.survey_se_m.values.end(), kNone);
        out.speed_se_m = out.aim_offset_se_m = out.survey_se_m;
        trace();
        search();
        fill(out);
        return out;
    }

private:
    // The rays that cover the green, with the errors carried along.
    void trace() {
        progress_.step(0, "errors along the rays");
        RayFamilyOptions coarse;
        coarse.first_rays = 96;
        coarse.spacing_m = 0.4;
        coarse.step_m = 0.4;
        coarse.tolerance = 1e-6;
        coarse.most_rays = 800;
        const RayFamily family = trace_rays(surface_, outline_, q_.hole, q_.green_speed_ft, q_.past_m, coarse);
        double longest = 1;
        for (const Ray& ray : family.rays)
            if (!ray.points.empty()) longest = std::max(longest, ray.points.back().s + 1);
        ErrorRayTask task{surface_, q_.hole, q_.green_speed_ft, q_.past_m, error_, error_ray_lengths(error_, longest), outline_.box()};
        task.box.x0 -= 0.5;
        task.box.y0 -= 0.5;
        task.box.x1 += 0.5;
        task.box.y1 += 0.5;
        rays_.resize(family.rays.size());
        std::atomic<std::size_t> done{0};
        tbb::parallel_for(std::size_t{0}, rays_.size(), [&](std::size_t i) {
            rays_[i] = trace_error_ray(task, family.rays[i].parameter);
            progress_.step(0.05 + 0.45 * double(++done) / double(rays_.size()), "errors along the rays");
        });
    }

    // Every spot of every quad; the one that is nearest to the read tells.
    void search() {
        const Raster& layout = reads_.aim_offset_m;
        told_.assign(reads_.mask.size(), {});
        const std::size_t n = rays_.size();
        for (std::size_t i = 0; i < n; ++i) {
            if (i % 16 == 0) progress_.step(0.5 + 0.2 * double(i) / double(n), "spots between the rays");
            const auto &a = rays_[i].nodes, &b = rays_[(i + 1) % n].nodes;
            const std::size_t last = std::min(a.size(), b.size());
            for (std::size_t k = 0; k + 1 < last; ++k) {
                const Vec2 p[4] = {a[k].p, b[k].p, a[k + 1].p, b[k + 1].p};
                double x0 = p[0].x, x1 = x0, y0 = p[0].y, y1 = y0;
                for (const Vec2& c : p) {
                    x0 = std::min(x0, c.x);
                    x1 = std::max(x1, c.x);
                    y0 = std::min(y0, c.y);
                    y1 = std::max(y1, c.y);
                }
                if (!(x1 - x0 < 3 && y1 - y0 < 3)) continue;   // torn apart: such spots are asked one by one
                const int i0 = std::max(0, static_cast<int>(std::ceil((x0 - layout.x0) / layout.cell - 0.5)));
                const int j0 = std::max(0, static_cast<int>(std::ceil((y0 - layout.y0) / layout.cell - 0.5)));
                const int i1 = std::min(layout.columns - 1, static_cast<int>(std::floor((x1 - layout.x0) / layout.cell - 0.5)));
                const int j1 = std::min(layout.rows - 1, static_cast<int>(std::floor((y1 - layout.y0) / layout.cell - 0.5)));
                if (i0 > i1 || j0 > j1 || !even(a[k], b[k], a[k + 1], b[k + 1])) continue;
                for (int y = j0; y <= j1; ++y)
                    for (int x = i0; x <= i1; ++x) {
                        const std::size_t spot = layout.index(x, y);
                        if (reads_.mask[spot]) tell(spot, layout.centre(x, y), a[k], b[k], a[k + 1], b[k + 1]);
                    }
            }
        }
    }

    // Does the side condition answer to a turn of the start alike at all four corners? Where it changes sign rays fold.
    static bool even(const ErrorNode& a, const ErrorNode& b, const ErrorNode& c, const ErrorNode& d) {
        double low = 1e300, high = -1e300;
        for (const ErrorNode* n : {&a, &b, &c, &d}) {
            // Determinant by turning and pushing the start, per square of its speed.
            const double t0 = n->by_state[0][3] * n->v.x - n->by_state[0][2] * n->v.y, t1 = n->by_state[1][3] * n->v.x - n->by_state[1][2] * n->v.y;
            const double p0 = n->by_state[0][2] * n->v.x + n->by_state[0][3] * n->v.y, p1 = n->by_state[1][2] * n->v.x + n->by_state[1][3] * n->v.y;
            const double det = (t0 * p1 - t1 * p0) / dot(n->v, n->v);
            low = std::min(low, det);
            high = std::max(high, det);
        }
        return low * high > 0 && std::max(std::abs(low), std::abs(high)) < kEvenTurn * std::min(std::abs(low), std::abs(high));
    }

    void tell(std::size_t spot, Vec2 ball, const ErrorNode& a, const ErrorNode& b, const ErrorNode& c, const ErrorNode& d) {
        QuadPlace at;
        if (!place_in_quad(ball, a.p, b.p, c.p, d.p, 1e-9, 1e-9, at)) return;
        ErrorNode node = mixed(mixed(a, b, at.u), mixed(c, d, at.u), at.w);
        const SurfaceJet jet = surface_.jet(ball.x, ball.y);
        const double launch = surface_speed(jet, node.v), read = reads_.launch_mps.values[spot];
        const Vec2 direction = direction_of_bearing(reads_.start_bearing_deg.values[spot]);
        const double mismatch = std::hypot(std::atan2(cross(direction, node.v), dot(direction, node.v)), launch / read - 1);
        if (!(mismatch < std::min(kMatch, told_[spot].mismatch))) return;
        AngleErrors errors;
        if (angle_errors(node, jet, errors)) told_[spot] = {mismatch, errors};
    }

    // From angles to aim offsets; what no quad told is asked one by one.
    void fill(AimErrorMap& out) {
        const Raster& layout = reads_.aim_offset_m;
        std::vector<std::size_t> open;
        for (std::size_t spot = 0; spot < told_.size(); ++spot) {
            if (!reads_.mask[spot] || !std::isfinite(reads_.aim_offset_m.values[spot])) continue;
            ++out.spots;
            if (!(told_[spot].mismatch < kMatch)) {
                open.push_back(spot);
                continue;
            }
            const Vec2 ball = centre(layout, spot), line = unit(q_.hole - ball);
            const double ahead = dot(direction_of_bearing(reads_.start_bearing_deg.values[spot]), line);
            const double by_angle = distance(ball, q_.hole) / (ahead * ahead);
            set(out, spot, by_angle * told_[spot].errors.survey_se, by_angle * sigma_ft_ * std::abs(told_[spot].errors.by_green_speed));
        }
        std::atomic<std::size_t> done{0}, asked{0};
        tbb::parallel_for(std::size_t{0}, open.size(), [&](std::size_t k) {
            if (ask(open[k], out)) ++asked;
            progress_.step(0.7 + 0.3 * double(++done) / double(open.size()), "spots one by one");
        });
        out.one_by_one = asked;
        out.spots -= open.size() - asked;
        progress_.step(1, "errors of the aim");
    }

    // The solution of this spot that was read, from the solver of single putts.
    bool ask(std::size_t spot, AimErrorMap& out) const {
        PuttOptions options;
        options.window = options.path = false;
        options.error = &error_;
        options.green_speed_sigma_ft = sigma_ft_;
        const PuttAnswer answer = solve_putt(surface_, outline_, {centre(reads_.aim_offset_m, spot), q_.hole, q_.green_speed_ft, q_.past_m}, options);
        const Vec2 direction = direction_of_bearing(reads_.start_bearing_deg.values[spot]);
        const PuttRead* best = nullptr;
        double least = 5 * kMatch;
        for (const PuttRead& r : answer.solutions) {
            const double mismatch = std::hypot(std::atan2(cross(direction, r.direction), dot(direction, r.direction)),
                                               r.launch_mps / reads_.launch_mps.values[spot] - 1);
            if (r.aim_offset_m && mismatch < least) {
                least = mismatch;
                best = &r;
            }
        }
        if (best) set(out, spot, best->survey_se_m, best->speed_se_m);
        return best != nullptr;
    }

    static Vec2 centre(const Raster& layout, std::size_t spot) {
        return layout.centre(static_cast<int>(spot) % layout.columns, static_cast<int>(spot) / layout.columns);
    }
    static void set(AimErrorMap& out, std::size_t spot, double survey, double speed) {
        out.survey_se_m.values[spot] = survey;
        out.speed_se_m.values[spot] = speed;
        out.aim_offset_se_m.values[spot] = std::hypot(survey, speed);
    }

    const HeightField& surface_;
    const Outline& outline_;
    const GreenQuestion& q_;
    const GreenReads& reads_;
    const ErrorModel& error_;
    double sigma_ft_;
    Progress& progress_;
    std::vector<ErrorRay> rays_;
    std::vector<Told> told_;
};

}  // namespace

AimErrorMap map_aim_errors(const HeightField& surface, const Outline& outline, const GreenQuestion& question,
                           const GreenReads& reads, const ErrorModel& error, double green_speed_sigma_ft, Progress& progress) {
    const auto sigma = [](double value, const char* what, const char* unit) {
        if (!(value >= 0 && std::isfinite(value)))
            throw usage_error(fmt::format("the standard error of {} is {} {}; a number that is not negative is wanted", what, value, unit));
    };
    sigma(error.smooth_se_m, "the heights", "m");
    sigma(error.correlated_se_m, "the heights", "m");
    sigma(green_speed_sigma_ft, "green speed", "ft");
    level_deceleration(question.green_speed_ft);
    if (reads.aim_offset_m.values.size() != reads.mask.size()) throw usage_error("the reads are not those of a green; a whole-green read is wanted");
    return Mapper(surface, outline, question, reads, error, green_speed_sigma_ft, progress).map();
}

}  // namespace brae
