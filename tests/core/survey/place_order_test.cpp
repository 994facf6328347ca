#include "core/survey/place_order.h"

#include "core/base/random.h"
#include "core/survey/read_survey.h"
#include "tests/core/survey/survey_files.h"

#include <tbb/global_control.h>

using namespace brae;
using namespace brae::test;

namespace {

// Turf of 30 x 20 m with 5 mm of noise, something on it, and two strays; each point bears its number in class and strip.
Survey large_cloud(std::size_t n) {
    Survey s;
    Random random(11);
    s.points.reserve(n);
    for (std::size_t k = 0; k < n; ++k) {
        const double x = random.uniform(0, 30), y = random.uniform(0, 20), clutter = random.uniform() < 0.003 ? random.uniform(0.1, 1.5) : 0;
        s.points.push_back({x, y, 0.02 * x + 0.05 * std::sin(y / 3) + 0.005 * random.normal() + clutter});
    }
    s.points[17] = {4000, -300, 2};
    s.points[n - 3] = {-50, 9000, -1};
    return s;
}

std::uint64_t print_of(const std::vector<Vec3>& points) {
    std::uint64_t sum = 0;
    for (const Vec3& p : points) sum += std::bit_cast<std::uint64_t>(p.x) * 3 + std::bit_cast<std::uint64_t>(p.y) * 5 + std::bit_cast<std::uint64_t>(p.z) * 7;
    return sum;
}

}  // namespace

TEST_CASE("a large cloud keeps every point with its class and strip, and neighbours lie near one another") {
    Survey s = large_cloud(kOrderedFrom + 5000);
    for (std::size_t k = 0; k < s.points.size(); ++k) {
        // What a point says of itself can be checked wherever it goes.
        s.classes.push_back(static_cast<std::uint16_t>(std::bit_cast<std::uint64_t>(s.points[k].x) >> 5 & 0xff));
        s.strips.push_back(static_cast<std::uint16_t>(std::bit_cast<std::uint64_t>(s.points[k].y) >> 3));
    }
    const std::uint64_t before = print_of(s.points);
    Progress quiet;
    order_by_place(s, quiet);
    CHECK(print_of(s.points) == before);
    REQUIRE(s.classes.size() == s.points.size());
    std::size_t wrong = 0, far = 0;
    for (std::size_t k = 0; k < s.points.size(); ++k) {
        wrong += s.classes[k] != static_cast<std::uint16_t>(std::bit_cast<std::uint64_t>(s.points[k].x) >> 5 & 0xff);
        wrong += s.strips[k] != static_cast<std::uint16_t>(std::bit_cast<std::uint64_t>(s.points[k].y) >> 3);
        far += k > 0 && distance({s.points[k].x, s.points[k].y}, {s.points[k - 1].x, s.points[k - 1].y}) > 3;
    }
    CHECK(wrong == 0);
    // From the end of one row of squares to the start of the next, and round the strays.
    CHECK(far < 100);

    // Small ones stay as they are.
    Survey small = large_cloud(1000);
    const std::vector<Vec3> as_read = small.points;
    order_by_place(small, quiet);
    CHECK(small.points == as_read);
}

TEST_CASE("a large cloud is cleaned to the same bits by one thread and by several, and its clutter goes") {
    const Survey read = large_cloud(kOrderedFrom + 5000);
    const auto cleaned = [&](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        Survey s = read;
        Progress quiet;
        clean_survey(s, quiet);
        return s;
    };
    const Survey one = cleaned(1), four = cleaned(4);
    CHECK(one.points == four.points);
    CHECK(one.removed == four.removed);
    const auto gone = static_cast<double>(std::count_if(one.removed.begin(), one.removed.end(), [](auto r) { return r != kept; }));
    CHECK(gone > 0.0028 * static_cast<double>(one.points.size()));
    // Their feet, somewhat high beside what is far too high, go with them.
    CHECK(gone < 0.006 * static_cast<double>(one.points.size()));
}
