// Compiled once for every vector target by Highway's foreach_target; no Eigen and no mathematical library in here, no fused
// multiply-add, so that every target gives the same bits.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "core/terrain/band_kernel.cpp"
#include <hwy/foreach_target.h>  // must stand before highway.h

#include "core/terrain/band_kernel.h"

#include <algorithm>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace brae::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

// One tile of kVectors vectors down and kColumns columns across; of its rows the first `rows` count.
template <int kVectors, int kColumns>
inline void tile(int rows, int k, const double* a, std::ptrdiff_t lda, const double* b, std::ptrdiff_t across,
                 std::ptrdiff_t down, double* c, std::ptrdiff_t ldc) {
    const hn::ScalableTag<double> d;
    using V = decltype(hn::Zero(d));
    constexpr std::size_t kLanes = hn::MaxLanes(d);
    V sum[kColumns][kVectors];
    for (int j = 0; j < kColumns; ++j)
        for (int v = 0; v < kVectors; ++v) sum[j][v] = hn::LoadU(d, c + j * ldc + v * static_cast<std::ptrdiff_t>(hn::Lanes(d)));
    for (int t = 0; t < k; ++t) {
        V own[kVectors];
        for (int v = 0; v < kVectors; ++v) own[v] = hn::LoadU(d, a + t * lda + v * static_cast<std::ptrdiff_t>(hn::Lanes(d)));
        for (int j = 0; j < kColumns; ++j) {
            const V factor = hn::Set(d, b[j * across + t * down]);
            for (int v = 0; v < kVectors; ++v) sum[j][v] = hn::Sub(sum[j][v], hn::Mul(own[v], factor));
        }
    }
    if (rows == kVectors * static_cast<int>(hn::Lanes(d))) {
        for (int j = 0; j < kColumns; ++j)
            for (int v = 0; v < kVectors; ++v) hn::StoreU(sum[j][v], d, c + j * ldc + v * static_cast<std::ptrdiff_t>(hn::Lanes(d)));
        return;
    }
    double whole[kVectors * kLanes];
    for (int j = 0; j < kColumns; ++j) {
        for (int v = 0; v < kVectors; ++v) hn::StoreU(sum[j][v], d, whole + v * static_cast<std::ptrdiff_t>(hn::Lanes(d)));
        for (int i = 0; i < kVectors * static_cast<int>(kLanes); ++i)
            if (i < rows) c[j * ldc + i] = whole[i];
    }
}

template <int kColumns>
void columns(int m, int k, const double* a, std::ptrdiff_t lda, const double* b, std::ptrdiff_t across, std::ptrdiff_t down, double* c,
             std::ptrdiff_t ldc) {
    const int width = static_cast<int>(hn::Lanes(hn::ScalableTag<double>()));
    int i = 0;
    for (; i + width < m; i += 2 * width) tile<2, kColumns>(std::min(2 * width, m - i), k, a + i, lda, b, across, down, c + i, ldc);
    if (i < m) tile<1, kColumns>(m - i, k, a + i, lda, b, across, down, c + i, ldc);
}

void product(int m, int n, int k, const double* a, std::ptrdiff_t lda, const double* b, std::ptrdiff_t across, std::ptrdiff_t down, double* c,
             std::ptrdiff_t ldc) {
    int j = 0;
    for (; j + 4 <= n; j += 4) columns<4>(m, k, a, lda, b + j * across, across, down, c + j * ldc, ldc);
    const double* rest = b + j * across;
    if (n - j == 3) columns<3>(m, k, a, lda, rest, across, down, c + j * ldc, ldc);
    if (n - j == 2) columns<2>(m, k, a, lda, rest, across, down, c + j * ldc, ldc);
    if (n - j == 1) columns<1>(m, k, a, lda, rest, across, down, c + j * ldc, ldc);
}

void square(int n, int k, const double* a, std::ptrdiff_t lda, double* c, std::ptrdiff_t ldc) {
    for (int j = 0; j < n; j += 4) product(n - j, std::min(4, n - j), k, a + j, lda, a + j, 1, lda, c + j + j * ldc, ldc);
}

}  // namespace brae::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace brae {

HWY_EXPORT(product);
HWY_EXPORT(square);

void minus_product(int m, int n, int k, const double* a, std::ptrdiff_t lda, const double* b, std::ptrdiff_t across, std::ptrdiff_t down,
                   double* c, std::ptrdiff_t ldc) {
    HWY_DYNAMIC_DISPATCH(product)(m, n, k, a, lda, b, across, down, c, ldc);
}

void minus_square(int n, int k, const double* a, std::ptrdiff_t lda, double* c, std::ptrdiff_t ldc) {
    HWY_DYNAMIC_DISPATCH(square)(n, k, a, lda, c, ldc);
}

}  // namespace brae
#endif
