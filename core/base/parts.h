// Work on very many things in parts on all cores, with the same result for any thread count.
#pragma once

#include "core/base/progress.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <tbb/parallel_for.h>
#include <vector>

namespace brae {

// Calls f(part, begin, end) for `parts` equal parts of 0..n, on all cores. The parts are the same for any thread count.
template <class F>
void for_parts(std::size_t n, std::size_t parts, F f) {
    tbb::parallel_for(std::size_t{0}, parts, [&](std::size_t part) { f(part, n * part / parts, n * (part + 1) / parts); });
}

// The same, with a look at Cancel before each part; throws Error(cancelled).
template <class F>
void for_parts(std::size_t n, std::size_t parts, const Progress& progress, F f) {
    for_parts(n, parts, [&](std::size_t part, std::size_t begin, std::size_t end) {
        progress.check();
        f(part, begin, end);
    });
}

// Stable counting sort of n things into bins, on all cores: place(k, at) is called once for each k with bin_of(k) < bins, `at`
// its rank. Returns where each bin starts, and at its end how many there are. The same for any thread count.
template <class BinOf, class Place>
std::vector<std::uint32_t> sort_into_bins(std::size_t n, std::size_t bins, BinOf bin_of, Place place, const Progress& progress = {}) {
    // As many parts as their tables of counts are worth.
    const std::size_t parts = std::clamp<std::size_t>(n / std::max<std::size_t>(8 * bins, 50'000), 1, 32);
    std::vector<std::uint32_t> next(parts * bins, 0), start(bins + 1, 0);
    for_parts(n, parts, [&](std::size_t part, std::size_t begin, std::size_t end) {
        std::uint32_t* own = next.data() + part * bins;
        for (std::size_t k = begin; k < end; ++k) {
            if (k % 65536 == 0) progress.check();
            if (const std::size_t bin = bin_of(k); bin < bins) ++own[bin];
        }
    });
    // Within a bin the parts follow one another.
    progress.check();
    std::uint32_t at = 0;
    for (std::size_t bin = 0; bin < bins; ++bin) {
        start[bin] = at;
        for (std::size_t part = 0; part < parts; ++part) {
            const std::uint32_t own = next[part * bins + bin];
            next[part * bins + bin] = at;
            at += own;
        }
    }
    start[bins] = at;
    for_parts(n, parts, [&](std::size_t part, std::size_t begin, std::size_t end) {
        std::uint32_t* own = next.data() + part * bins;
        for (std::size_t k = begin; k < end; ++k) {
            if (k % 65536 == 0) progress.check();
            if (const std::size_t bin = bin_of(k); bin < bins) place(k, own[bin]++);
        }
    });
    return start;
}

}  // namespace brae
