#include "core/teach/station_response.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "core/solve/holing_region.h"
#include "core/solve/launch_sensitivity.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr int kTurns = 45, kPushes = 25;       // nodes of the table
constexpr int kStrips = 24;                    // of the holing region
constexpr double kRegionTolerance = 1e-2;      // of its area, a panel

// Weights of Catmull and Rom's cubic (1974) at fraction t, on the nodes -1, 0, 1, 2.
void cubic(double t, double w[4]) {
    const double t2 = t * t, t3 = t2 * t;
    w[0] = 0.5 * (-t + 2 * t2 - t3);
    w[1] = 0.5 * (2 - 5 * t2 + 3 * t3);
    w[2] = 0.5 * (t + 4 * t2 - 3 * t3);
    w[3] = 0.5 * (t3 - t2);
}

// The read that the marker stands for, or the slowest that can be aimed at.
const PuttRead& chosen_read(const PuttAnswer& answer, const LessonStation& s) {
    const PuttRead* best = nullptr;
    double nearest = 0;
    for (const PuttRead& r : answer.solutions) {
        if (!r.aim_offset_m) continue;
        double gap = 0;
        if (s.marker) {
            const Vec2 to = *s.marker - s.ball;
            gap = std::abs(std::atan2(cross(r.direction, to), dot(r.direction, to)));
        }
        if (!best || gap < nearest) best = &r, nearest = gap;
    }
    if (!best)
        throw Error(fmt::format("station {}: {}", s.label, answer.why_none.empty() ? "its putt has no start line ahead of the ball, so no marker" : answer.why_none));
    return *best;
}

}  // namespace

StationResponse::StationResponse(const HeightField& surface, const Outline& outline, const LessonStation& station,
                                 double green_speed_ft, const ErrorModel* survey_error)
    : station_(station), line_(station.ball, station.hole), away_(distance(station.ball, station.hole)) {
    const PuttQuestion question{station.ball, station.hole, green_speed_ft, station.past_m};
    PuttOptions options;
    options.window = options.path = false;
    options.green_speed_sigma_ft = 0;
    const PuttAnswer answer = solve_putt(surface, outline, question, options);
    const PuttRead& read = chosen_read(answer, station);
    const Launch launch = launch_of(read);
    launch_ = launch.speed;
    // Turns count to the player's right, angles to the left.
    true_aim_ = std::atan2(dot(read.direction, line_.right), dot(read.direction, line_.along));
    if (station.marker) {
        const Vec2 to = *station.marker - station.ball;
        if (!(dot(to, line_.along) > 1e-3))
            throw usage_error(fmt::format("station {}: its marker is not ahead of the ball, one on the start line is wanted", station.label));
        marker_ = std::atan2(dot(to, line_.right), dot(to, line_.along)) - true_aim_;
    }
    turn_limit_ = radians(10) + 0.6 * std::abs(true_aim_);

    const PuttGround ground = putt_ground(surface, outline, question);
    fill_table(surface, outline, ground.level_decel, launch.angle);

    // The launches that hole, as strips of turn; angles run the other way.
    RegionOptions region_options;
    region_options.tolerance = kRegionTolerance;
    const HolingRegion region = holing_region(ground, launch, region_options);
    if (!region.panels.empty()) {
        const double from = region.lowest_angle(), dx = (region.highest_angle() - from) / kStrips;
        for (int k = 0; k < kStrips; ++k) {
            const double angle = from + (k + 0.5) * dx;
            for (const RegionNode& n : region.at(angle))
                if (n.fast > n.slow) holing_.push_back({launch.angle - angle, dx, std::log(n.slow / launch_), std::log(n.fast / launch_)});
        }
    }

    // How the true aim answers to green speed and ground.
    double length = 0;
    if (survey_error && survey_error->smooth_se_m > 0) length = survey_error->smooth_length_m;
    if (survey_error && survey_error->correlated_se_m > 0 && (length == 0 || survey_error->correlated_length_m < length))
        length = survey_error->correlated_length_m;
    const LaunchSensitivity s = launch_sensitivity(ground, launch, read.time_s, green_speed_ft, station.past_m, length);
    if (!s.defined)
        throw Error(fmt::format("station {}: its putt lies on the limit of what can be reached, where nothing can be learned from it", station.label));
    by_speed_ = -s.launch_by_speed.x;
    for (const SlopeNode& n : s.nodes) by_slope_.push_back({n.at.p, {-n.launch_by_slope.a, -n.launch_by_slope.b}});
}

void StationResponse::fill_table(const HeightField& surface, const Outline& outline, double level_decel, double base_angle) {
    table_.resize(static_cast<std::size_t>(kTurns) * kPushes);
    RollRun run;
    run.tolerance = 1e-7;
    run.sample_step_m = 0.05;
    std::vector<RollSample> samples;
    const SurfaceJet jet = surface.jet(station_.ball.x, station_.ball.y);
    for (int j = 0; j < kPushes; ++j)
        for (int i = 0; i < kTurns; ++i) {
            const double angle = base_angle - turn_limit_ * (2.0 * i / (kTurns - 1) - 1);
            const double speed = std::min(20.0, launch_ * std::exp(kSoftest + (kHardest - kSoftest) * j / (kPushes - 1)));
            samples.clear();
            const RollOutcome end = run_roll(surface, outline, {station_.ball, horizontal_velocity(jet, {std::cos(angle), std::sin(angle)}, speed)},
                                             level_decel, run, &samples);
            ResponseAt& cell = table_[static_cast<std::size_t>(j) * kTurns + static_cast<std::size_t>(i)];
            cell.stop = {line_.beyond(end.at.p), line_.offset(end.at.p)};
            cell.on_green = end.end == RollEnd::left_green || end.end == RollEnd::airborne ? 0 : 1;
            cell.crossing_m = cell.stop.y;
            // The first crossing, straight between samples 5 cm apart: a tenth of a millimetre on any putt.
            for (std::size_t k = 1; k < samples.size(); ++k) {
                const Vec2 a{samples[k - 1].p.x, samples[k - 1].p.y}, b{samples[k].p.x, samples[k].p.y};
                const double before = line_.beyond(a), after = line_.beyond(b);
                if (!(before < 0 && after >= 0)) continue;
                const double f = before / (before - after);
                cell.crossing_m = (1 - f) * line_.offset(a) + f * line_.offset(b);
                break;
            }
        }
}

ResponseAt StationResponse::at(double turn, double push) const {
    const double fx = std::clamp((turn / turn_limit_ + 1) * 0.5 * (kTurns - 1), 0.0, kTurns - 1.0);
    const double fy = std::clamp((push - kSoftest) / (kHardest - kSoftest) * (kPushes - 1), 0.0, kPushes - 1.0);
    const int i = std::min(static_cast<int>(fx), kTurns - 2), j = std::min(static_cast<int>(fy), kPushes - 2);
    double wx[4], wy[4];
    cubic(fx - i, wx);
    cubic(fy - j, wy);
    ResponseAt out;
    out.on_green = 0;
    for (int b = 0; b < 4; ++b) {
        const std::size_t row = static_cast<std::size_t>(std::clamp(j + b - 1, 0, kPushes - 1)) * kTurns;
        for (int a = 0; a < 4; ++a) {
            const ResponseAt& n = table_[row + static_cast<std::size_t>(std::clamp(i + a - 1, 0, kTurns - 1))];
            const double w = wx[a] * wy[b];
            out.stop = out.stop + w * n.stop;
            out.crossing_m += w * n.crossing_m;
        }
    }
    // Whether it stays on the green: straight between the nodes.
    const double tx = fx - i, ty = fy - j;
    const auto node = [&](int a, int b) { return table_[static_cast<std::size_t>(j + b) * kTurns + static_cast<std::size_t>(i + a)].on_green; };
    out.on_green = (1 - ty) * ((1 - tx) * node(0, 0) + tx * node(1, 0)) + ty * ((1 - tx) * node(0, 1) + tx * node(1, 1));
    return out;
}

bool StationResponse::straight() const { return std::abs(away_ * std::tan(true_aim_)) < 0.005; }

double StationResponse::turn_of_offset(double offset_m) const { return std::atan2(offset_m, away_) - true_aim_; }

std::vector<double> aim_error_covariance(const std::vector<StationResponse>& stations, double green_speed_sigma_ft,
                                         const ErrorModel* survey_error) {
    const std::size_t n = stations.size();
    std::vector<double> c(n * n, 0);
    // w_i . K(p_i - p_j) w_j with K minus the Hessian of s^2 exp(-d^2 / 2 L^2); docs/solver.md, "Standard error of the aim".
    const auto survey = [&](std::size_t a, std::size_t b, double s, double length) {
        if (!(s > 0)) return 0.0;
        double sum = 0;
        const double l2 = length * length;
        for (const auto& i : stations[a].aim_by_slope())
            for (const auto& j : stations[b].aim_by_slope()) {
                const Vec2 d = i.p - j.p;
                sum += (s * s / l2) * (dot(i.w, j.w) - dot(i.w, d) * dot(d, j.w) / l2) * std::exp(-dot(d, d) / (2 * l2));
            }
        return sum;
    };
    for (std::size_t a = 0; a < n; ++a)
        for (std::size_t b = 0; b <= a; ++b) {
            double v = green_speed_sigma_ft * green_speed_sigma_ft * stations[a].aim_by_speed() * stations[b].aim_by_speed();
            if (survey_error)
                v += survey(a, b, survey_error->smooth_se_m, survey_error->smooth_length_m) +
                     survey(a, b, survey_error->correlated_se_m, survey_error->correlated_length_m);
            c[a * n + b] = c[b * n + a] = v;
        }
    return c;
}

}  // namespace brae
