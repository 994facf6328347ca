#include "core/terrain/check_points.h"

#include <Eigen/Dense>
#include <algorithm>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr std::size_t kFewest = 8;      // four are needed for the trend; as many again say how good it is
constexpr std::size_t kMost = 200;      // evenly thinned beyond: the dense matrix stays small
constexpr double kLeastNoise = 0.0005, kMostNoise = 0.1;   // of one check point, m
constexpr int kNoiseSteps = 40;

// Student's t for 95 % two-sided, by its expansion about the normal quantile (Abramowitz and Stegun 1964, 26.7.5); never
// under two standard errors.
double two_errors(double dof) {
    const double z = 1.959963985, z3 = z * z * z, z5 = z3 * z * z;
    return std::max(2.0, z + (z3 + z) / (4 * dof) + (5 * z5 + 16 * z3 + 3 * z) / (96 * dof * dof) +
                             (3 * z5 * z * z + 19 * z5 + 17 * z3 - 15 * z) / (384 * dof * dof * dof));
}

struct Fit { double criterion = INFINITY; Eigen::Vector4d trend; Eigen::Matrix4d covariance; };

// Generalised least squares with the surface's covariance and noise; the criterion is minus twice the restricted likelihood.
Fit fit_trend(const Eigen::MatrixXd& surface, double noise, const Eigen::MatrixXd& x, const Eigen::VectorXd& r) {
    Eigen::MatrixXd v = surface;
    v.diagonal().array() += noise * noise;
    const Eigen::LLT<Eigen::MatrixXd> llt(v);
    Fit out;
    if (llt.info() != Eigen::Success) return out;
    const Eigen::MatrixXd wx = llt.matrixL().solve(x);
    const Eigen::VectorXd wr = llt.matrixL().solve(r);
    const Eigen::Matrix4d normal = wx.transpose() * wx;
    const Eigen::LLT<Eigen::Matrix4d> inner(normal);
    if (inner.info() != Eigen::Success) return out;
    out.trend = inner.solve(wx.transpose() * wr);
    out.covariance = inner.solve(Eigen::Matrix4d::Identity());
    out.criterion = (wr - wx * out.trend).squaredNorm();
    for (Eigen::Index k = 0; k < v.rows(); ++k) out.criterion += 2 * std::log(llt.matrixLLT()(k, k));
    for (int k = 0; k < 4; ++k) out.criterion += 2 * std::log(inner.matrixLLT()(k, k));
    return out;
}

}  // namespace

std::vector<Vec3> checks_on_green(const std::vector<Vec3>& checks, const Outline& outline) {
    std::vector<Vec3> out;
    for (const Vec3& p : checks)
        if (std::isfinite(p.z) && (outline.empty() || (outline.contains({p.x, p.y}) && outline.signed_distance({p.x, p.y}) >= kCheckInsideM))) out.push_back(p);
    return out;
}

std::vector<Vec3> check_points(const Survey& survey, const Outline& outline) {
    std::vector<Vec3> all = survey.checks;
    for (const ReferenceMark& mark : survey.marks) all.push_back(mark.p);
    return checks_on_green(all, outline);
}

CheckResult compare_with_checks(const TerrainModel& t) {
    CheckResult out;
    const std::vector<Vec3> checks = checks_on_green(t.checks, t.outline);
    out.count = checks.size();
    if (out.count == 0 || !t.surface) return out;
    const auto difference = [&](const Vec3& p) { return t.surface->height(p.x, p.y) - p.z; };
    double squares = 0;
    for (const Vec3& p : checks) {
        const double d = difference(p);
        out.mean_m += d / static_cast<double>(out.count), squares += d * d;
    }
    out.rms_m = std::sqrt(squares / static_cast<double>(out.count));
    if (out.count < kFewest) return out;

    // Middle and half width of what the points cover.
    std::vector<Vec3> points;
    const std::size_t step = (out.count + kMost - 1) / kMost;
    for (std::size_t k = 0; k < out.count; k += step) points.push_back(checks[k]);
    const auto n = static_cast<Eigen::Index>(points.size());
    Box box{points[0].x, points[0].y, points[0].x, points[0].y};
    for (const Vec3& p : points)
        box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
    const Vec2 middle{(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2};
    const double radius = 0.5 * std::max(box.width(), box.height());
    if (!(radius > 0)) return out;

    // Columns of the trend, and the covariance of the surface's own short errors.
    Eigen::MatrixXd x(n, 4), v(n, n);
    Eigen::VectorXd r(n);
    for (Eigen::Index k = 0; k < n; ++k) {
        const Vec3& p = points[static_cast<std::size_t>(k)];
        const double a = (p.x - middle.x) / radius, b = (p.y - middle.y) / radius;
        x.row(k) << 1, a, b, -(a * a + b * b);
        r[k] = difference(p) - out.mean_m;
    }
    const auto covariance = [&](double d2) {
        double sum = 0;
        const ErrorModel& e = t.error;
        if (e.smooth_length_m < radius / 2) sum += e.smooth_se_m * e.smooth_se_m * std::exp(-d2 / (2 * e.smooth_length_m * e.smooth_length_m));
        if (e.correlated_length_m < radius / 2)
            sum += e.correlated_se_m * e.correlated_se_m * std::exp(-d2 / (2 * e.correlated_length_m * e.correlated_length_m));
        return sum;
    };
    for (Eigen::Index k = 0; k < n; ++k)
        for (Eigen::Index l = 0; l < n; ++l) {
            const Vec3 &p = points[static_cast<std::size_t>(k)], &q = points[static_cast<std::size_t>(l)];
            v(k, l) = covariance((p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y));
        }
    // Points along a line or on one circle leave the trend open.
    if (Eigen::JacobiSVD<Eigen::MatrixXd> svd(x); svd.singularValues()[3] < 0.02 * svd.singularValues()[0]) return out;

    // The noise of the check points by restricted likelihood, on a scale of equal ratios.
    Fit best;
    for (int k = 0; k <= kNoiseSteps; ++k) {
        const double noise = kLeastNoise * std::pow(kMostNoise / kLeastNoise, static_cast<double>(k) / kNoiseSteps);
        const Fit fit = fit_trend(v, noise, x, r);
        if (fit.criterion < best.criterion) best = fit, out.point_noise_m = noise;
    }
    if (!std::isfinite(best.criterion)) return out;
    out.fitted = true;
    out.radius_m = radius;
    out.tilt_x = best.trend[1] / radius, out.tilt_y = best.trend[2] / radius;
    out.tilt_se = std::sqrt(std::max(best.covariance(1, 1), best.covariance(2, 2))) / radius;
    out.dome_m = best.trend[3], out.dome_se_m = std::sqrt(best.covariance(3, 3));
    const double wide = two_errors(static_cast<double>(n) - 4);
    out.domed = std::abs(out.dome_m) > wide * out.dome_se_m;
    // Of two directions together the limit is that of both: chi-square with two degrees, 5.99, against 3.84 for one.
    out.tilted = std::hypot(out.tilt_x, out.tilt_y) > wide * std::sqrt(5.99 / 3.84) * out.tilt_se;
    return out;
}

std::string dome_sentence(const CheckResult& c) {
    if (!c.domed) return {};
    return fmt::format("against {} check points the surface {} in the middle by {:.0f} mm (\u00b1 {:.0f}) over {:.0f} m, which turns slopes by "
                       "up to {:.2f} %", c.count, c.dome_m > 0 ? "stands up" : "sinks", 1000 * std::abs(c.dome_m), 1000 * c.dome_se_m, c.radius_m,
                       100 * c.dome_slope());
}

}  // namespace brae
