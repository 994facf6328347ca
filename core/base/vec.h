// Plain two- and three-vectors in metres or m/s. No Eigen here, so that kernels and plugins stay light.
#pragma once

#include <cmath>

namespace brae {

struct Vec2 {
    double x = 0, y = 0;
    friend constexpr Vec2 operator+(Vec2 a, Vec2 b) { return {a.x + b.x, a.y + b.y}; }
    friend constexpr Vec2 operator-(Vec2 a, Vec2 b) { return {a.x - b.x, a.y - b.y}; }
    friend constexpr Vec2 operator-(Vec2 a) { return {-a.x, -a.y}; }
    friend constexpr Vec2 operator*(double s, Vec2 a) { return {s * a.x, s * a.y}; }
    friend constexpr Vec2 operator*(Vec2 a, double s) { return s * a; }
    friend constexpr Vec2 operator/(Vec2 a, double s) { return {a.x / s, a.y / s}; }
    friend constexpr bool operator==(Vec2, Vec2) = default;
};

struct Vec3 {
    double x = 0, y = 0, z = 0;
    friend constexpr Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
    friend constexpr Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    friend constexpr Vec3 operator*(double s, Vec3 a) { return {s * a.x, s * a.y, s * a.z}; }
    friend constexpr bool operator==(Vec3, Vec3) = default;
};

constexpr double dot(Vec2 a, Vec2 b) { return a.x * b.x + a.y * b.y; }
// Positive when b lies to the left of a.
constexpr double cross(Vec2 a, Vec2 b) { return a.x * b.y - a.y * b.x; }
inline double norm(Vec2 a) { return std::sqrt(dot(a, a)); }
inline double distance(Vec2 a, Vec2 b) { return norm(b - a); }
// Quarter turn clockwise: the player's right when a points along the putt.
constexpr Vec2 right_of(Vec2 a) { return {a.y, -a.x}; }
inline Vec2 unit(Vec2 a) { return a / norm(a); }

constexpr double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }

}  // namespace brae
