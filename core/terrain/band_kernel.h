// The inner loops of the band factor: products of small dense matrices, in vectors.
#pragma once

#include <cstddef>

namespace brae {

// Doubles that must be readable behind the last element of `a` and `c`: whole vectors are loaded.
inline constexpr std::size_t kBandPadding = 16;

// c -= a b', with a of m x k, b of n x k and c of m x n elements. a and c stand by columns, `lda` and `ldc` doubles apart; element
// (j, t) of b is b[j * across + t * down]. Each element of c is taken down term by term, t rising, without fused
// multiply-add: the same bits for every vector target.
void minus_product(int m, int n, int k, const double* a, std::ptrdiff_t lda, const double* b, std::ptrdiff_t across, std::ptrdiff_t down,
                   double* c, std::ptrdiff_t ldc);

// The same for the lower half of c -= a a', n x n. The places up to three above the diagonal are written too and mean nothing.
void minus_square(int n, int k, const double* a, std::ptrdiff_t lda, double* c, std::ptrdiff_t ldc);

}  // namespace brae
