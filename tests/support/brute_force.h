// Every way to hole a putt by trying launches on a grid, forwards: slow, and blind to nothing but what is finer than
// the grid.
#pragma once

#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/rolling.h"
#include "core/solve/polish.h"

#include <array>
#include <cmath>
#include <vector>

namespace brae::test {

inline std::vector<Launch> brute_force(const HeightField& surface, const Outline& green, Vec2 ball, Vec2 hole, double ft,
                                       double past, int angles = 480, int speeds = 60, double slowest = 0.2,
                                       double fastest = 6.0) {
    const double wanted = speed_at_hole(past, ft);
    const PuttGround ground{surface, green, ball, hole, level_deceleration(ft), wanted};
    std::vector<Miss> grid(static_cast<std::size_t>(angles) * speeds);
    const auto launch = [&](int i, int j) {
        // Finer where balls are slow.
        const double f = double(j) / (speeds - 1);
        return Launch{2 * kPi * i / angles, slowest + (fastest - slowest) * f * f};
    };
    for (int i = 0; i < angles; ++i)
        for (int j = 0; j < speeds; ++j) grid[static_cast<std::size_t>(i) * speeds + j] = miss_of(ground, launch(i, j), 1e-6);

    // A solution lies where both parts of the miss change sign within a cell; Newton from its corners settles it.
    std::vector<Launch> found;
    for (int i = 0; i < angles; ++i)
        for (int j = 0; j + 1 < speeds; ++j) {
            std::array<Vec2, 4> m;
            bool all = true;
            for (int k = 0; k < 4; ++k) {
                const Miss& miss = grid[static_cast<std::size_t>((i + k / 2) % angles) * speeds + j + k % 2];
                all = all && miss.defined && std::abs(miss.value.x) < 1.5;
                m[static_cast<std::size_t>(k)] = miss.value;
            }
            if (!all) continue;
            const auto changes = [&](auto part) {
                bool up = false, down = false;
                for (const Vec2& v : m) (part(v) > 0 ? up : down) = true;
                return up && down;
            };
            if (!changes([](Vec2 v) { return v.x; }) || !changes([](Vec2 v) { return v.y; })) continue;
            for (int k = 0; k < 4; ++k) {
                const auto exact = polish_forward(ground, launch(i + k / 2, j + k % 2), 1e-10);
                if (!exact || exact->speed > fastest) continue;
                const RollPath path = roll(surface, green, ball, {std::cos(exact->angle), std::sin(exact->angle)},
                                           exact->speed, ft, {hole, true});
                if (!path.pass || std::abs(path.pass->offset_m) > 1e-5 ||
                    std::abs(path.pass->speed_mps - wanted) > 1e-4)
                    continue;
                bool known = false;
                for (const Launch& f : found)
                    known = known || (std::abs(wrapped(f.angle - exact->angle)) < 1e-5 && std::abs(f.speed - exact->speed) < 1e-5);
                if (!known) found.push_back(*exact);
            }
        }
    return found;
}

}  // namespace brae::test
