// Vectors of many megabytes. The first touch of a page of memory costs more than what is written to it, so it is done on large pages
// where the system gives them, on all cores, and with looks at Cancel.
#pragma once

#include "core/base/progress.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <sys/mman.h>
#include <tbb/parallel_for.h>
#include <vector>

namespace brae {

// A vector of n values as std::vector<T>(n) gives it, T a plain type. Throws Error(cancelled).
template <class T>
std::vector<T> large_vector(std::size_t n, const Progress& progress = {}) {
    std::vector<T> out;
    out.reserve(n);
    constexpr std::uintptr_t page = 4096, large = std::uintptr_t{2} << 20;
    const auto begin = (reinterpret_cast<std::uintptr_t>(out.data()) + page - 1) / page * page, end = reinterpret_cast<std::uintptr_t>(out.data() + n) / page * page;
    if (end > begin && end - begin >= 4 * large) {
        // Only advice: where it is not taken, nothing changes.
        ::madvise(reinterpret_cast<void*>(begin), end - begin, MADV_HUGEPAGE);
        tbb::parallel_for(std::uintptr_t{0}, (end - begin) / large + 1, [&](std::uintptr_t part) {
            progress.check();
            for (std::uintptr_t at = begin + part * large; at < std::min(end, begin + (part + 1) * large); at += page) *reinterpret_cast<volatile char*>(at) = 0;
        });
    }
    // Values, some megabytes at a time.
    constexpr std::size_t step = std::size_t{1} << 20;
    for (std::size_t done = 0; done < n; done += step) {
        progress.check();
        out.resize(std::min(n, done + step));
    }
    return out;
}

}  // namespace brae
