#include "core/terrain/band_kernel.h"

#include "core/base/random.h"
#include "tests/support/support.h"

#include "core/solve/ray_kernel.h"
#include <vector>

using namespace brae;

namespace {

std::vector<double> numbers(std::size_t count, std::uint64_t seed) {
    Random random(seed);
    std::vector<double> out(count + kBandPadding);
    for (double& v : out) v = random.normal();
    return out;
}

}  // namespace

TEST_CASE("products of every shape are those of plain loops, to the bit, on every vector target") {
    const std::vector<double> a = numbers(40 * 40, 1), b = numbers(40 * 40, 2), before = numbers(40 * 40, 3);
    for (const std::int64_t target : ray_kernel_targets()) {
        CAPTURE(target);  // one choice of target holds for every kernel of the program
        force_ray_kernel_target(target);
        for (const int m : {1, 2, 3, 7, 8, 16, 23, 37})
            for (const int n : {1, 2, 3, 4, 6, 9})
                for (const int k : {0, 1, 5, 32})
                    for (const bool turned : {false, true}) {
                        const std::ptrdiff_t across = turned ? 40 : 1, down = turned ? 1 : 40;
                        std::vector<double> c = before, want = before;
                        minus_product(m, n, k, a.data(), 40, b.data(), across, down, c.data(), 39);
                        for (int j = 0; j < n; ++j)
                            for (int i = 0; i < m; ++i)
                                for (int t = 0; t < k; ++t)
                                    want[static_cast<std::size_t>(i + 39 * j)] -= a[static_cast<std::size_t>(i + 40 * t)] * b[static_cast<std::size_t>(j * across + t * down)];
                        CHECK(c == want);
                    }
        // The lower half of a square; what stands above it may be anything.
        std::vector<double> c = before, want = before;
        minus_square(37, 32, a.data(), 40, c.data(), 40);
        bool same = true;
        for (int j = 0; j < 37; ++j)
            for (int i = j; i < 37; ++i) {
                double& w = want[static_cast<std::size_t>(i + 40 * j)];
                for (int t = 0; t < 32; ++t) w -= a[static_cast<std::size_t>(i + 40 * t)] * a[static_cast<std::size_t>(j + 40 * t)];
                same = same && w == c[static_cast<std::size_t>(i + 40 * j)];
            }
        CHECK(same);
    }
    force_ray_kernel_target(0);
}
