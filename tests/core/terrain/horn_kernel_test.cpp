#include "core/terrain/horn_kernel.h"

#include "core/solve/ray_kernel.h"
#include "core/terrain/slope.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <cmath>
#include <cstring>
#include <vector>

using namespace brae;
using namespace brae::test;

TEST_CASE("Horn's slope in single precision is that in double within the rounding of the heights, with the same gaps") {
    for (int columns : {3, 4, 17, 60, 131}) {
        Raster z(columns, 40, 100, 200, 0.25);
        for (int j = 0; j < z.rows; ++j)
            for (int i = 0; i < z.columns; ++i) z.at(i, j) = rolling_green(z.centre(i, j).x, z.centre(i, j).y).h;
        if (columns > 30) z.at(20, 20) = std::nan("");
        const std::vector<float> heights(z.values.begin(), z.values.end());
        std::vector<float> slope(heights.size() + 1, -7);
        horn_slope_f32(heights.data(), z.columns, z.rows, z.cell, slope.data());
        CHECK(slope.back() == -7);
        const Raster exact = horn_slope(z, {});
        double off = 0;
        bool same_gaps = true;
        for (std::size_t k = 0; k < exact.values.size(); ++k) {
            same_gaps = same_gaps && std::isnan(exact.values[k]) == std::isnan(slope[k]);
            if (!std::isnan(exact.values[k])) off = std::max(off, std::abs(exact.values[k] - static_cast<double>(slope[k])));
        }
        CHECK(same_gaps);
        CHECK(off < 1e-5);   // a thousandth of a percentage point
    }
    std::vector<float> small(4, 0);
    horn_slope_f32(small.data(), 2, 2, 1, small.data());
    CHECK(std::isnan(small[0]));
}

TEST_CASE("every vector target gives the same bits for Horn's slope") {
    const int columns = 77, rows = 9;
    std::vector<float> heights(static_cast<std::size_t>(columns * rows));
    for (std::size_t k = 0; k < heights.size(); ++k) heights[k] = 3 * std::sin(0.37f * static_cast<float>(k));
    std::vector<float> first;
    // One choice of target holds for every kernel of the program.
    for (const std::int64_t target : ray_kernel_targets()) {
        force_ray_kernel_target(target);
        std::vector<float> slope(heights.size(), 0);
        horn_rows_f32(heights.data(), columns, 1, rows - 1, 0.5f, slope.data());
        if (first.empty()) first = slope;
        CHECK(std::memcmp(first.data(), slope.data(), slope.size() * sizeof(float)) == 0);
    }
    force_ray_kernel_target(0);
    CHECK_FALSE(first.empty());
}
