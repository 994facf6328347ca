#include "app/scene/camera.h"

#include "core/base/constants.h"

#include <algorithm>
#include <cmath>

namespace brae::app {
namespace {

constexpr double kNearest = 0.5, kFarthest = 400;         // distance from the target, m
constexpr double kLowest = 0.02, kSteepest = 1.55;        // pitch, radians
constexpr double kOrbitPerPixel = 0.006;                  // radians
constexpr double kStandBehind = 2.6, kEyeHeight = 1.55;   // m behind the ball and over it

Vec3 cross3(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
Vec3 unit3(Vec3 a) { return (1 / norm(a)) * a; }

}  // namespace

void Camera::set_exaggeration(double factor) {
    // The target stays on the same piece of ground.
    const double wanted = std::isfinite(factor) ? std::clamp(factor, 1.0, 20.0) : 1.0;
    if (kind_ != ViewKind::behind_ball) target_.z *= wanted / exaggeration_;
    exaggeration_ = wanted;
}

void Camera::fit(const std::vector<Vec3>& points, const Viewport& view, double foot, double head) {
    if (points.empty()) return;
    // Behind the ball, fit goes back to the orbit.
    if (kind_ == ViewKind::behind_ball) { kind_ = ViewKind::orbit; pitch_ = 0.7; fov_ = 0.6; }
    std::vector<Vec3> shown = points;
    for (Vec3& p : shown) p.z *= exaggeration();
    Vec3 low = shown.front(), high = low;
    for (const Vec3& p : shown) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
    }
    target_ = 0.5 * (low + high);

    // Four rounds of: the least distance at which all points are inside, then the target under the picture's middle.
    foot = std::clamp(foot, 0.0, 0.3 * view.height);
    head = std::clamp(head, 0.0, 0.3 * view.height);
    const double mx = 0.035 * view.width, my = 0.045 * (view.height - foot - head),
                 tall = view.height - foot - head;
    for (int round = 0; round < 4; ++round) {
        const auto bounds = [&](double d, double out[4]) {
            Camera c = *this;
            c.distance_ = d;
            out[0] = out[1] = 1e18;
            out[2] = out[3] = -1e18;
            for (const Vec3& p : shown) {
                const auto at = c.project(p, view);
                if (!at) return false;
                out[0] = std::min(out[0], at->x - view.x);
                out[1] = std::min(out[1], at->y - view.y);
                out[2] = std::max(out[2], at->x - view.x);
                out[3] = std::max(out[3], at->y - view.y);
            }
            return true;
        };
        double near = kNearest, far = kFarthest, b[4];
        for (int k = 0; k < 40; ++k) {
            const double d = (near + far) / 2;
            const bool inside = bounds(d, b) && b[2] - b[0] < view.width - 2 * mx && b[3] - b[1] < tall - 2 * my;
            (inside ? far : near) = d;
        }
        distance_ = far;
        if (!bounds(distance_, b)) return;
        pan(view.width / 2 - (b[0] + b[2]) / 2, head + tall / 2 - (b[1] + b[3]) / 2, view);
    }
}

void Camera::look_from_above(const std::vector<Vec3>& points, const Viewport& view, double foot, double head) {
    kind_ = ViewKind::above;
    yaw_ = 0;
    pitch_ = kPi / 2;
    fov_ = 0.6;
    fit(points, view, foot, head);
}

void Camera::look_from_behind(Vec2 ball, double ball_z, Vec2 target, double target_z) {
    // The eye stands behind the ball and takes both in: the ball in the lower third of the picture, clear of its foot, the
    // target in the upper third, and the middle of the view on the ground between them.
    constexpr double kBallAt = 0.70, kTargetAt = 0.33;   // of the height, from the top
    kind_ = ViewKind::behind_ball;
    const Vec2 line = target - ball;
    const double length = std::max(norm(line), 0.1);
    const Vec2 forward = norm(line) > 1e-9 ? unit(line) : Vec2{0, 1};
    const Vec2 from = ball - kStandBehind * forward;
    const double to_ball = std::atan2(kEyeHeight, kStandBehind);
    const double to_target = std::atan2(ball_z + kEyeHeight - target_z, kStandBehind + length);
    fov_ = std::clamp((to_ball - to_target) / (kBallAt - kTargetAt), 0.5, 1.15);
    const double middle = std::clamp(to_ball - (kBallAt - 0.5) * fov_, 0.05, 1.4);
    // Where that line meets the straight line from ball to target.
    const double fall = (target_z - ball_z) / length;
    const double ahead = std::clamp((kEyeHeight - std::tan(middle) * kStandBehind) / (std::tan(middle) + fall), 0.0, 3 * length);
    const Vec2 at = ball + ahead * forward;
    target_ = {at.x, at.y, ball_z + fall * ahead};
    const double flat = norm(at - from), drop = ball_z + kEyeHeight - target_.z;
    yaw_ = std::atan2(forward.x, forward.y);
    pitch_ = std::atan2(drop, flat);
    distance_ = std::hypot(flat, drop);
}

void Camera::orbit(double right_px, double down_px) {
    // Turning the map keeps it a map; turning any other view is an orbit.
    if (kind_ == ViewKind::above && std::abs(down_px) < std::abs(right_px)) down_px = 0;
    yaw_ = std::remainder(yaw_ + kOrbitPerPixel * right_px, 2 * kPi);
    if (down_px == 0 && kind_ == ViewKind::above) return;
    if (kind_ == ViewKind::behind_ball) target_.z *= exaggeration_;
    if (kind_ != ViewKind::orbit) fov_ = 0.6;
    kind_ = ViewKind::orbit;
    pitch_ = std::clamp(pitch_ + kOrbitPerPixel * down_px, kLowest, kSteepest);
}

void Camera::pan(double right_px, double down_px, const Viewport& view) {
    // Along the ground: right is right on the screen, down is toward the reader.
    const double m = metres_per_pixel(target_, view);
    const Vec2 ahead{std::sin(yaw_), std::cos(yaw_)}, right = right_of(ahead);
    const double stretch = 1 / std::max(std::sin(pitch_), 0.2);
    target_.x += -m * right_px * right.x + m * down_px * stretch * ahead.x;
    target_.y += -m * right_px * right.y + m * down_px * stretch * ahead.y;
}

void Camera::zoom(double factor, const PixelPoint* at, const Viewport& view) {
    if (!(factor > 0) || !std::isfinite(factor)) return;
    const double before = distance_;
    distance_ = std::clamp(distance_ / factor, kNearest, kFarthest);
    // The target moves toward the point under the mouse by what the zoom took away.
    if (at) {
        const double part = 1 - distance_ / before, m = metres_per_pixel(target_, view) * before / distance_;
        const double dx = at->x - (view.x + view.width / 2), dy = at->y - (view.y + view.height / 2);
        const Vec2 ahead{std::sin(yaw_), std::cos(yaw_)}, right = right_of(ahead);
        const double stretch = std::min(1 / std::max(std::sin(pitch_), 0.2), 3.0);
        target_.x += part * m * (dx * right.x - dy * stretch * ahead.x);
        target_.y += part * m * (dx * right.y - dy * stretch * ahead.y);
    }
}

Camera::Axes Camera::axes() const {
    const double cp = std::cos(pitch_), sp = std::sin(pitch_), sy = std::sin(yaw_), cy = std::cos(yaw_);
    const Vec3 forward{cp * sy, cp * cy, -sp}, right{cy, -sy, 0};
    return {right, unit3(cross3(right, forward)), forward};
}

Vec3 Camera::eye() const { return target_ - distance_ * axes().forward; }

double Camera::half_height(const Viewport&) const { return distance_ * std::tan(fov_ / 2); }

std::array<float, 16> Camera::clip_from_display(const Viewport& view) const {
    const Axes a = axes();
    const Vec3 e = eye();
    const double aspect = view.width / view.height;
    const double near = parallel() ? -200 + distance_ : std::max(0.05, 0.02 * distance_), far = distance_ + 250;

    // Rows of the view, then the projection, multiplied out.
    const double rows[3][4] = {{a.right.x, a.right.y, a.right.z, -dot(a.right, e)},
                               {a.up.x, a.up.y, a.up.z, -dot(a.up, e)},
                               {-a.forward.x, -a.forward.y, -a.forward.z, dot(a.forward, e)}};
    std::array<float, 16> m{};
    for (int c = 0; c < 4; ++c) {
        double x, y, z, w;
        if (parallel()) {
            const double h = half_height(view);
            x = rows[0][c] / (h * aspect);
            y = rows[1][c] / h;
            z = -2 / (far - near) * rows[2][c] - (c == 3 ? (far + near) / (far - near) : 0);
            w = c == 3 ? 1 : 0;
        } else {
            const double f = 1 / std::tan(fov_ / 2);
            x = f / aspect * rows[0][c];
            y = f * rows[1][c];
            z = (far + near) / (near - far) * rows[2][c] + (c == 3 ? 2 * far * near / (near - far) : 0);
            w = -rows[2][c];
        }
        m[4 * c] = static_cast<float>(x);
        m[4 * c + 1] = static_cast<float>(y);
        m[4 * c + 2] = static_cast<float>(z);
        m[4 * c + 3] = static_cast<float>(w);
    }
    return m;
}

std::optional<PixelPoint> Camera::project(Vec3 p, const Viewport& view) const {
    const Axes a = axes();
    const Vec3 d = p - eye();
    const double depth = dot(a.forward, d);
    double half = half_height(view);
    if (!parallel()) {
        if (depth < 0.05) return std::nullopt;
        half = depth * std::tan(fov_ / 2);
    }
    const double scale = view.height / 2 / half;
    return PixelPoint{view.x + view.width / 2 + dot(a.right, d) * scale,
                      view.y + view.height / 2 - dot(a.up, d) * scale, depth};
}

PixelRay Camera::ray(double px, double py, const Viewport& view) const {
    const Axes a = axes();
    const double h = half_height(view) / (view.height / 2);
    const double dx = (px - view.x - view.width / 2) * h, dy = -(py - view.y - view.height / 2) * h;
    // Parallel rays start far back, so that no ground lies behind them.
    if (parallel()) return {eye() - 200.0 * a.forward + dx * a.right + dy * a.up, a.forward};
    return {eye(), unit3(distance_ * a.forward + dx * a.right + dy * a.up)};
}

double Camera::metres_per_pixel(Vec3 p, const Viewport& view) const {
    const double depth = parallel() ? distance_ : std::max(dot(axes().forward, p - eye()), 0.05);
    return depth * std::tan(fov_ / 2) / (view.height / 2);
}

}  // namespace brae::app
