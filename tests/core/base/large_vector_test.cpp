#include "core/base/large_vector.h"

#include "tests/support/support.h"

#include <cstdint>

using namespace brae;

TEST_CASE("a large vector is one of zeros, of any length, and is not made where the work is to stop") {
    for (const std::size_t n : {std::size_t{0}, std::size_t{7}, std::size_t{3'000'001}, std::size_t{9'000'000}}) {
        const std::vector<std::uint32_t> v = large_vector<std::uint32_t>(n);
        CHECK(v.size() == n);
        std::size_t other = 0;
        for (const std::uint32_t value : v) other += value != 0;
        CHECK(other == 0);
    }
    Progress stopped;
    stopped.cancel();
    CHECK_THROWS_AS(large_vector<std::uint32_t>(9'000'000, stopped), Error);
}
