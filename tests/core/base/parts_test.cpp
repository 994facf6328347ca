#include "core/base/parts.h"

#include "core/base/random.h"
#include "tests/support/support.h"

using namespace brae;

TEST_CASE("sorting into bins is stable and leaves out what belongs nowhere, for few things and for many") {
    for (const std::size_t n : {0, 1, 1000, 900'000}) {
        CAPTURE(n);
        constexpr std::size_t bins = 101;
        const auto bin_of = [](std::size_t k) { return k * 7919 % 103; };  // 101 and 102 are no bins
        std::vector<std::size_t> order(n, n);
        const auto start = sort_into_bins(n, bins, bin_of, [&](std::size_t k, std::uint32_t at) { order[at] = k; });
        REQUIRE(start.size() == bins + 1);
        std::size_t counted = 0, wrong = 0;
        for (std::size_t bin = 0; bin < bins; ++bin)
            for (std::size_t at = start[bin]; at < start[bin + 1]; ++at, ++counted) {
                wrong += bin_of(order[at]) != bin;
                wrong += at > start[bin] && order[at] <= order[at - 1];
            }
        CHECK(wrong == 0);
        std::size_t inside = 0;
        for (std::size_t k = 0; k < n; ++k) inside += bin_of(k) < bins;
        CHECK(counted == inside);
        CHECK(start.back() == inside);
    }
}
