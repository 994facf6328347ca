// Surveys and greens from formulas, for the tests of this folder.
#pragma once

#include "core/base/random.h"
#include "core/terrain/build_terrain.h"
#include "core/terrain/slope.h"

#include <array>
#include <functional>
#include <vector>

namespace brae::test {

using Surface = std::function<SurfaceJet(double, double)>;

// A ring of n corners round (cx, cy) with half axes a and b.
inline Outline ellipse(double cx, double cy, double a, double b, int n = 48) {
    std::vector<Vec2> ring;
    for (int k = 0; k < n; ++k)
        ring.push_back({cx + a * std::cos(2 * kPi * k / n), cy + b * std::sin(2 * kPi * k / n)});
    return Outline(ring, OutlineSource::drawn);
}

// A green of undulations with slopes of 1 to 4 %: invented.
inline SurfaceJet rolling_green(double x, double y) {
    SurfaceJet s;
    s.h = 0.02 * x - 0.008 * y, s.hx = 0.02, s.hy = -0.008;
    const auto wave = [&](double amplitude, double kx, double ky, double phase) {
        const double c = std::cos(kx * x + ky * y + phase), d = std::sin(kx * x + ky * y + phase);
        s.h += amplitude * d;
        s.hx += amplitude * kx * c, s.hy += amplitude * ky * c;
        s.hxx -= amplitude * kx * kx * d, s.hxy -= amplitude * kx * ky * d, s.hyy -= amplitude * ky * ky * d;
    };
    wave(0.04, 0.30, 0.12, 0.3);
    wave(0.025, -0.15, 0.45, 1.1);
    return s;
}

// Two tiers with a rise of about 0.4 m along a bent line, up to 14 % steep: invented.
inline SurfaceJet two_tiers(double x, double y) {
    const double b = y - 14 - 0.2 * (x - 14) - 0.012 * (x - 14) * (x - 14), t = std::tanh(0.62 * b);
    const double rise = 0.21 * 0.62 * (1 - t * t);
    SurfaceJet s;
    s.h = 0.21 * t + 0.010 * y + 0.008 * x;
    s.hx = rise * (-0.2 - 0.024 * (x - 14)) + 0.008;
    s.hy = rise + 0.010;
    return s;
}

// A surface as rough as the penalty expects: random waves of 0.8 to 60 m whose power falls with the sixth power of the
// wave number, on a gentle tilt.
// `amplitude` sets the size at wave number 1 per metre, m.
class PowerLawGround {
public:
    PowerLawGround(double amplitude, std::uint64_t seed) {
        Random random(seed);
        for (Wave& w : waves_) {
            const double k = std::exp(random.uniform(std::log(0.1), std::log(8.0))), turn = random.uniform(0, 2 * kPi);
            w = {k * std::cos(turn), k * std::sin(turn), random.uniform(0, 2 * kPi), amplitude * std::pow(k, -2.0) * std::sqrt(2.0 / kWaves)};
        }
    }
    SurfaceJet operator()(double x, double y) const {
        SurfaceJet s;
        s.h = 0.02 * x, s.hx = 0.02;
        for (const Wave& w : waves_) {
            const double c = std::cos(w.kx * x + w.ky * y + w.phase), d = std::sin(w.kx * x + w.ky * y + w.phase);
            s.h += w.a * d, s.hx += w.a * w.kx * c, s.hy += w.a * w.ky * c;
        }
        return s;
    }

private:
    static constexpr int kWaves = 600;
    struct Wave { double kx = 0, ky = 0, phase = 0, a = 0; };
    std::array<Wave, kWaves> waves_;
};

// A tier of drawn height (0.12 to 0.45 m), width, direction, bend and profile (tanh, error function, half a sine) on ground of
// long waves, about the origin: invented.
class DrawnTier {
public:
    explicit DrawnTier(std::uint64_t seed) : shape_(seed % 3) {
        Random r(seed);
        rise_ = r.uniform(0.12, 0.45), width_ = r.uniform(0.8, 2.4), turn_ = r.uniform(0, 2 * kPi), bend_ = r.uniform(-0.02, 0.02);
        at_ = {r.uniform(-2, 2), r.uniform(-2, 2)};
        for (Wave& w : waves_) {
            const double length = r.uniform(9, 30), turn = r.uniform(0, 2 * kPi);
            w = {2 * kPi / length * std::cos(turn), 2 * kPi / length * std::sin(turn), r.uniform(0, 2 * kPi), r.uniform(0.002, 0.010) * length / (2 * kPi)};
        }
    }
    // Signed distance from the tier's middle line, near enough.
    double across(double x, double y) const {
        const double u = (x - at_.x) * std::cos(turn_) + (y - at_.y) * std::sin(turn_), v = (y - at_.y) * std::cos(turn_) - (x - at_.x) * std::sin(turn_);
        return v - bend_ * u * u;
    }
    double height(double x, double y) const {
        double h = rise_ / 2 * profile(across(x, y)) + 0.012 * x - 0.007 * y;
        for (const Wave& w : waves_) h += w.a * std::sin(w.kx * x + w.ky * y + w.phase);
        return h;
    }
    // Slopes by central differences of 0.01 mm.
    SurfaceJet operator()(double x, double y) const {
        constexpr double e = 1e-5;
        SurfaceJet s;
        s.h = height(x, y);
        s.hx = (height(x + e, y) - height(x - e, y)) / (2 * e), s.hy = (height(x, y + e) - height(x, y - e)) / (2 * e);
        return s;
    }

private:
    double profile(double b) const {
        if (shape_ == 0) return std::tanh(b / width_);
        if (shape_ == 1) return std::erf(0.886 * b / width_);
        return std::abs(b) > 1.5 * width_ ? std::copysign(1.0, b) : std::sin(b / width_ * kPi / 3);
    }
    struct Wave { double kx = 0, ky = 0, phase = 0, a = 0; };
    std::uint64_t shape_;
    double rise_ = 0, width_ = 1, turn_ = 0, bend_ = 0;
    Vec2 at_;
    std::array<Wave, 4> waves_;
};

// A stationary Gaussian process of unit variance, covariance exp(-d^2 / (2 L^2)), by 200 random Fourier features.
class Field {
public:
    Field(double length, std::uint64_t seed) {
        Random random(seed);
        for (auto& w : waves_)
            w = {random.normal() / length, random.normal() / length, random.uniform(0, 2 * kPi)};
    }
    double at(double x, double y) const {
        double sum = 0;
        for (const auto& w : waves_) sum += std::cos(w[0] * x + w[1] * y + w[2]);
        return sum * std::sqrt(2.0 / static_cast<double>(waves_.size()));
    }

private:
    std::array<std::array<double, 3>, 200> waves_;
};

// Points strewn over the outline and `margin` round its box, with independent and correlated noise.
inline Survey cloud(const Outline& outline, const Surface& f, double density, double independent, double correlated,
                    double length, std::uint64_t seed, double margin = 0.5) {
    Survey survey;
    survey.outline = outline;
    Random random(seed);
    const Field field(length, seed + 1000);
    const Box& b = outline.box();
    const double area = (b.width() + 2 * margin) * (b.height() + 2 * margin);
    for (int k = 0, n = static_cast<int>(density * area); k < n; ++k) {
        const double x = random.uniform(b.x0 - margin, b.x1 + margin), y = random.uniform(b.y0 - margin, b.y1 + margin);
        double z = f(x, y).h;
        if (independent > 0) z += independent * random.normal();
        if (correlated > 0) z += correlated * field.at(x, y);
        survey.points.push_back({x, y, z});
    }
    survey.points_read = survey.points.size();
    return survey;
}

// Nodes of a raster at cell centres over the outline's box, exact unless noise is asked for.
inline Survey raster(const Outline& outline, const Surface& f, double spacing,
                     const std::function<double(double, double)>& noise = {}) {
    Survey survey;
    survey.outline = outline;
    survey.method = SurveyMethod::grid;
    survey.grid_spacing_m = spacing;
    const Box& b = outline.box();
    for (double y = std::floor(b.y0) + spacing / 2; y < b.y1 + spacing; y += spacing)
        for (double x = std::floor(b.x0) + spacing / 2; x < b.x1 + spacing; x += spacing)
            survey.points.push_back({x, y, f(x, y).h + (noise ? noise(x, y) : 0.0)});
    survey.points_read = survey.points.size();
    return survey;
}

struct Misfit { double height_rms = 0, slope_rms = 0, height_max = 0, slope_max = 0; };

// Errors of heights and of slope sizes over the cells of the mask.
inline Misfit misfit(const TerrainModel& model, const Surface& f) {
    Misfit out;
    std::size_t n = 0;
    const Raster& h = model.grid.height;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!model.grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet got = model.surface->jet(c.x, c.y), want = f(c.x, c.y);
            const double dh = std::abs(got.h - want.h), ds = std::abs(slope_ratio(got) - slope_ratio(want));
            out.height_rms += dh * dh, out.slope_rms += ds * ds, ++n;
            out.height_max = std::max(out.height_max, dh), out.slope_max = std::max(out.slope_max, ds);
        }
    out.height_rms = std::sqrt(out.height_rms / static_cast<double>(n));
    out.slope_rms = std::sqrt(out.slope_rms / static_cast<double>(n));
    return out;
}

inline TerrainModel build(const Survey& survey, double cell = 0) {
    BuildOptions options;
    options.cell_m = cell;
    Progress progress;
    return build_terrain(survey, options, progress);
}

}  // namespace brae::test
