// Compiled once for every vector target by Highway's foreach_target; no Eigen and no mathematical library in here, no fused
// multiply-add, so that every target gives the same bits.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "core/terrain/horn_kernel.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h

#include "core/terrain/horn_kernel.h"

#include <cmath>
#include <cstdint>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

// One cell, in the same order of operations as the vector loop.
inline float cell_slope(const float* b, const float* h, const float* a, float scale) {
    const float gx = (a[1] + b[1] + (h[1] + h[1])) - (a[-1] + b[-1] + (h[-1] + h[-1]));
    const float gy = (a[-1] + a[1] + (a[0] + a[0])) - (b[-1] + b[1] + (b[0] + b[0]));
    return std::sqrt(gx * gx + gy * gy) * scale;
}

// B. K. P. Horn, "Hill shading and the reflectance map", Proc. IEEE 69(1):14-47, 1981.
void rows(const float* heights, int columns, int first, int last, float scale, float* slope) {
    const hn::ScalableTag<float> d;
    const auto factor = hn::Set(d, scale);
    const int width = static_cast<int>(hn::Lanes(d));
    const auto twice = [](auto v) { return hn::Add(v, v); };
    for (int j = first; j < last; ++j) {
        const float* h = heights + static_cast<std::size_t>(j) * static_cast<std::size_t>(columns);
        const float *b = h - columns, *a = h + columns;
        float* out = slope + static_cast<std::size_t>(j) * static_cast<std::size_t>(columns);
        out[0] = out[columns - 1] = NAN;
        int i = 1;
        // Up to a boundary of the vector, so that results can be streamed past the cache.
        for (; i + 1 < columns && reinterpret_cast<std::uintptr_t>(out + i) % (sizeof(float) * static_cast<std::size_t>(width)) != 0; ++i)
            out[i] = cell_slope(b + i, h + i, a + i, scale);
        for (; i + width < columns; i += width) {
            const auto a0 = hn::LoadU(d, a + i - 1), a2 = hn::LoadU(d, a + i + 1);
            const auto b0 = hn::LoadU(d, b + i - 1), b2 = hn::LoadU(d, b + i + 1);
            const auto gx = hn::Sub(hn::Add(hn::Add(a2, b2), twice(hn::LoadU(d, h + i + 1))),
                                    hn::Add(hn::Add(a0, b0), twice(hn::LoadU(d, h + i - 1))));
            const auto gy = hn::Sub(hn::Add(hn::Add(a0, a2), twice(hn::LoadU(d, a + i))),
                                    hn::Add(hn::Add(b0, b2), twice(hn::LoadU(d, b + i))));
            hn::Stream(hn::Mul(hn::Sqrt(hn::Add(hn::Mul(gx, gx), hn::Mul(gy, gy))), factor), d, out + i);
        }
        for (; i + 1 < columns; ++i) out[i] = cell_slope(b + i, h + i, a + i, scale);
    }
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
#include <algorithm>
#include <hwy/cache_control.h>
#include <tbb/parallel_for.h>

namespace brae {

HWY_EXPORT(rows);

void horn_rows_f32(const float* heights, int columns, int first, int last, float scale, float* slope) {
    HWY_DYNAMIC_DISPATCH(rows)(heights, columns, first, last, scale, slope);
    hwy::FlushStream();
}

void horn_slope_f32(const float* heights, int columns, int rows, double cell, float* slope) {
    const auto count = static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows);
    if (columns < 3 || rows < 3) {
        std::fill_n(slope, count, NAN);
        return;
    }
    std::fill_n(slope, columns, NAN);
    std::fill_n(slope + count - static_cast<std::size_t>(columns), columns, NAN);
    tbb::parallel_for(tbb::blocked_range<int>(1, rows - 1, 64), [&](const tbb::blocked_range<int>& part) {
        horn_rows_f32(heights, columns, part.begin(), part.end(), static_cast<float>(1 / (8 * cell)), slope);
    });
}

}  // namespace brae
#endif
