#include "core/terrain/band_cholesky.h"

#include "core/base/error.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

using Dense = Eigen::MatrixXd;
using View = Eigen::Map<Dense>;
using ConstView = Eigen::Map<const Dense>;

// Eigen splits long sums by the sizes of the machine's caches; fixed sizes keep the bits the same everywhere.
void fix_block_sizes() {
    static const bool done = [] { Eigen::setCpuCacheSizes(32 * 1024, 256 * 1024, 2 * 1024 * 1024); return true; }();
    (void)done;
}

}  // namespace

BandCholesky::BandCholesky(const StencilMatrix& a, double weight, const StencilMatrix* b,
                           const std::function<void()>& tick)
    : columns_(a.columns()), rows_(a.rows()), swapped_(a.columns() > a.rows()),
      block_(std::min(a.columns(), a.rows())), blocks_(std::max(a.columns(), a.rows())) {
    fix_block_sizes();
    const int c = block_;

    // Spread the stencil into the lower half of the band.
    panels_.resize(blocks_);
    for (int k = 0; k < blocks_; ++k) {
        const int high = std::min(4, blocks_ - k);
        panels_[k].assign(static_cast<std::size_t>(high) * c * c, 0.0);
        View panel(panels_[k].data(), high * c, c);
        for (int p = 0; p < c; ++p)
            for (int d = 0; d < high; ++d)
                for (int q = std::max(0, p - 3); q <= std::min(c - 1, p + 3); ++q) {
                    const int i = swapped_ ? k : p, j = swapped_ ? p : k;
                    const int di = swapped_ ? d : q - p, dj = swapped_ ? q - p : d;
                    panel(d * c + q, p) = a.entry(i, j, di, dj) + (b ? weight * b->entry(i, j, di, dj) : 0.0);
                }
    }

    // Right-looking block elimination.
    for (int k = 0; k < blocks_; ++k) {
        tick();
        const int high = std::min(4, blocks_ - k);
        View panel(panels_[k].data(), high * c, c);
        Eigen::Ref<Dense> top = panel.topRows(c);
        Eigen::LLT<Eigen::Ref<Dense>, Eigen::Lower> llt(top);
        if (llt.info() != Eigen::Success)
            throw Error("the surface cannot be solved for: the survey leaves part of it open");
        for (int p = 0; p < c; ++p) log_determinant_ += 2 * std::log(top(p, p));
        if (high == 1) continue;
        auto below = panel.bottomRows((high - 1) * c);
        top.transpose().triangularView<Eigen::Upper>().solveInPlace<Eigen::OnTheRight>(below);
        // The three panels behind are apart from one another, and with two threads 3 + (2 + 1) blocks are halves.
        tbb::parallel_for(1, high, [&](int d) {
            View next(panels_[k + d].data(), static_cast<Eigen::Index>(panels_[k + d].size()) / c, c);
            const int reach = (high - d) * c;
            next.topRows(reach).noalias() -= panel.middleRows(d * c, reach) * panel.middleRows(d * c, c).transpose();
        });
    }
}

std::vector<double> BandCholesky::solve(const std::vector<double>& rhs) const {
    const int c = block_;
    Eigen::VectorXd x(static_cast<Eigen::Index>(c) * blocks_);
    for (int k = 0; k < blocks_; ++k)
        for (int p = 0; p < c; ++p) x[k * c + p] = rhs[node(p, k)];

    // Down the factor, then up its transpose.
    for (int k = 0; k < blocks_; ++k) {
        const int high = std::min(4, blocks_ - k);
        ConstView panel(panels_[k].data(), high * c, c);
        auto here = x.segment(k * c, c);
        panel.topRows(c).triangularView<Eigen::Lower>().solveInPlace(here);
        if (high > 1) x.segment((k + 1) * c, (high - 1) * c).noalias() -= panel.bottomRows((high - 1) * c) * here;
    }
    for (int k = blocks_ - 1; k >= 0; --k) {
        const int high = std::min(4, blocks_ - k);
        ConstView panel(panels_[k].data(), high * c, c);
        auto here = x.segment(k * c, c);
        if (high > 1)
            here.noalias() -= panel.bottomRows((high - 1) * c).transpose() * x.segment((k + 1) * c, (high - 1) * c);
        panel.topRows(c).transpose().triangularView<Eigen::Upper>().solveInPlace(here);
    }

    std::vector<double> out(rhs.size());
    for (int k = 0; k < blocks_; ++k)
        for (int p = 0; p < c; ++p) out[node(p, k)] = x[k * c + p];
    return out;
}

std::vector<double> BandCholesky::times_factor(const std::vector<double>& x) const {
    const int c = block_;
    const Eigen::Map<const Eigen::VectorXd> in(x.data(), static_cast<Eigen::Index>(x.size()));
    Eigen::VectorXd y = Eigen::VectorXd::Zero(in.size());
    for (int k = 0; k < blocks_; ++k) {
        const int high = std::min(4, blocks_ - k);
        ConstView panel(panels_[k].data(), high * c, c);
        y.segment(k * c, c) += panel.topRows(c).triangularView<Eigen::Lower>() * in.segment(k * c, c);
        if (high > 1) y.segment((k + 1) * c, (high - 1) * c).noalias() += panel.bottomRows((high - 1) * c) * in.segment(k * c, c);
    }
    std::vector<double> out(x.size());
    for (int k = 0; k < blocks_; ++k)
        for (int p = 0; p < c; ++p) out[node(p, k)] = y[k * c + p];
    return out;
}

StencilMatrix BandCholesky::selected_inverse(const std::function<void()>& tick) const {
    const int c = block_;
    StencilMatrix out(columns_, rows_);
    Dense window;  // the inverse over blocks k+1 .. k+3
    for (int k = blocks_ - 1; k >= 0; --k) {
        tick();
        const int high = std::min(4, blocks_ - k), below = (high - 1) * c;
        ConstView panel(panels_[k].data(), high * c, c);
        const auto factor = panel.topRows(c).triangularView<Eigen::Lower>();

        // Column k of the inverse within the band: S_bk = -S_bb W and S_kk = (L L')^-1 - W' S_bk, W = L_bk L_kk^-1.
        const Dense inverse = factor.solve(Dense::Identity(c, c));
        Dense next(below + c, below + c);
        next.topLeftCorner(c, c).noalias() = inverse.transpose() * inverse;
        if (below > 0) {
            const Dense w = panel.bottomRows(below) * inverse;
            const Dense cross = -(window.topLeftCorner(below, below) * w);
            next.topLeftCorner(c, c).noalias() -= w.transpose() * cross;
            next.bottomLeftCorner(below, c) = cross;
            next.topRightCorner(c, below) = cross.transpose();
            next.bottomRightCorner(below, below) = window.topLeftCorner(below, below);
        }
        // Exactly symmetric, or rounding grows from block to block: the recursion damps symmetric errors only.
        for (int q = 0; q < c; ++q)
            for (int p = q + 1; p < c; ++p) next(q, p) = next(p, q);

        // Keep what a stencil matrix holds.
        for (int d = 0; d < high; ++d)
            for (int p = 0; p < c; ++p)
                for (int q = std::max(0, p - 3); q <= std::min(c - 1, p + 3); ++q) {
                    const double value = next(d * c + q, p);
                    if (!swapped_) {
                        if (d > 0 || q >= p) out.upper(p, k, q - p, d) = value;
                    } else if (q > p || (q == p && d >= 0)) {
                        out.upper(k, p, d, q - p) = value;
                    } else {
                        out.upper(k + d, q, -d, p - q) = value;
                    }
                }
        window = next.topLeftCorner(std::min(3 * c, below + c), std::min(3 * c, below + c));
    }
    return out;
}

}  // namespace brae
