// Where the eye is and what it sees: orbit, pan, zoom, fit, straight from above, and from behind the ball.
// Display space: local x, y and the height over the green's lowest point times the exaggeration, all in metres.
#pragma once

#include "core/base/vec.h"

#include <array>
#include <optional>
#include <vector>

namespace brae::app {

// Part of the window that shows the green, in pixels, y down.
struct Viewport { double x = 0, y = 0, width = 1, height = 1; };

struct PixelPoint { double x = 0, y = 0, depth = 0; };  // depth: distance along the view axis, m

struct PixelRay { Vec3 origin, direction; };             // display space; direction has unit length

enum class ViewKind { orbit, above, behind_ball };

// A value; every change makes a sane camera again (pitch, distance and target limited).
class Camera {
public:
    ViewKind kind() const { return kind_; }
    // The factor in use: that of the user, except behind the ball, where the ground has its true height.
    double exaggeration() const { return kind_ == ViewKind::behind_ball ? 1.0 : exaggeration_; }
    void set_exaggeration(double factor);                 // clamped to 1-20

    // All points (x, y, height over the lowest point) in view, as large as they go and in the middle. Orbit keeps its
    // direction; above is north up. foot_px along the lower edge and head_px along the
    // upper stay free. Nothing happens without points.
    void fit(const std::vector<Vec3>& points, const Viewport& view, double foot_px = 0, double head_px = 0);
    void look_from_above(const std::vector<Vec3>& points, const Viewport& view, double foot_px = 0, double head_px = 0);
    // Standing behind the ball in line with the target (usually the hole). z: height over the lowest point.
    void look_from_behind(Vec2 ball, double ball_z, Vec2 target, double target_z);

    void orbit(double right_px, double down_px);          // turns about the target; leaves the other views
    void pan(double right_px, double down_px, const Viewport& view);
    void zoom(double factor, const PixelPoint* at, const Viewport& view);  // > 1: nearer; keeps the point under `at`

    Vec3 eye() const;
    Vec3 target() const { return target_; }
    double yaw() const { return yaw_; }                   // bearing that the eye looks to, radians
    double pitch() const { return pitch_; }               // looking down, radians
    double distance() const { return distance_; }
    bool parallel() const { return kind_ == ViewKind::above; }

    // Column-major matrix from display space to clip space, for the renderer.
    std::array<float, 16> clip_from_display(const Viewport& view) const;
    // Where a display point falls; empty behind the eye.
    std::optional<PixelPoint> project(Vec3 display, const Viewport& view) const;
    PixelRay ray(double px, double py, const Viewport& view) const;
    // Metres that one pixel covers at a display point.
    double metres_per_pixel(Vec3 display, const Viewport& view) const;

private:
    struct Axes { Vec3 right, up, forward; };
    Axes axes() const;
    double half_height(const Viewport& view) const;       // of the parallel view, m

    ViewKind kind_ = ViewKind::orbit;
    Vec3 target_;
    double yaw_ = 0.45, pitch_ = 0.7, distance_ = 30, fov_ = 0.6, exaggeration_ = 5;
};

}  // namespace brae::app
