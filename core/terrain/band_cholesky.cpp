#include "core/terrain/band_cholesky.h"

#include "core/base/error.h"
#include "core/terrain/band_kernel.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <tbb/parallel_invoke.h>

namespace brae {

namespace {

constexpr int kBlock = 32;   // unknowns taken down at a time; fewer where the band is narrower
constexpr int kGroup = 4;    // columns of a block that wait for one another

std::size_t area(int a, int b) { return static_cast<std::size_t>(a) * static_cast<std::size_t>(b); }

// Both ends at the same time. Only the first calls tick; where it stops, the other does at its next block.
template <class First, class Second>
void both_ends(const std::function<void()>& tick, First first, Second second) {
    std::atomic<bool> stopped = false;
    const std::function<void()> look = [&stopped] {
        if (stopped) throw Error("cancelled", ErrorKind::cancelled);
    };
    tbb::parallel_invoke(
        [&] {
            try {
                first(tick);
            } catch (...) {
                stopped = true;
                throw;
            }
        },
        [&] {
            try {
                second(look);
            } catch (const Error& e) {
                // The first one's reason counts.
                if (e.kind() != ErrorKind::cancelled) throw;
            }
        });
}

}  // namespace

// The inverse over the unknowns that follow a block, all of it, both halves.
struct BandCholesky::Window {
    int size = 0, lead = 0;
    std::vector<double> data;
    double* at(int i, int j) { return data.data() + i + static_cast<std::ptrdiff_t>(j) * lead; }
};

BandCholesky::BandCholesky(const StencilMatrix& a, double weight, const StencilMatrix* b, const std::function<void()>& tick)
    : columns_(a.columns()), rows_(a.rows()), swapped_(a.columns() > a.rows()), line_(std::min(a.columns(), a.rows())), band_(3 * line_ + 3),
      block_(std::min(kBlock, band_)), unknowns_(a.columns() * a.rows()) {
    tick();
    // A small matrix goes from the front alone.
    const bool split = unknowns_ >= 4 * band_;
    head_ = split ? (unknowns_ - band_) / 2 : unknowns_;
    tail_ = split ? unknowns_ - band_ - head_ : 0;
    // Columns hold the band, the rows of the block beside it, and the places that tiles write above the diagonal.
    const int lead = std::min(band_, unknowns_) + kBlock + kGroup - 1;
    const auto prepare = [&](Chain& chain, int size) {
        chain.size = size, chain.lead = lead;
        chain.data.assign(area(lead + 1, size) + kBandPadding + static_cast<std::size_t>(lead), 0.0);
    };
    prepare(front_, split ? head_ + band_ : unknowns_);
    if (split) prepare(back_, tail_ + band_);

    // Spread the stencil: each pair goes to the end that takes one of the two down first.
    const int lines = unknowns_ / line_;
    const auto spread = [&](int first, int last) {
        for (int k = first; k < last; ++k)
            for (int p = 0; p < line_; ++p)
                for (int d = 0; d < std::min(4, lines - k); ++d)
                    for (int q = d == 0 ? p : std::max(0, p - 3); q <= std::min(line_ - 1, p + 3); ++q) {
                        const int i = swapped_ ? k : p, j = swapped_ ? p : k, di = swapped_ ? d : q - p, dj = swapped_ ? q - p : d;
                        const double value = a.entry(i, j, di, dj) + (b ? weight * b->entry(i, j, di, dj) : 0.0);
                        const int g = k * line_ + p, h = (k + d) * line_ + q;
                        if (h < front_.size) *front_.at(h, g) = value;
                        else *back_.at(unknowns_ - 1 - g, unknowns_ - 1 - h) = value;
                    }
    };
    tbb::parallel_invoke([&] { spread(0, lines / 2); }, [&] { spread(lines / 2, lines); });

    // Both ends, then the middle with what both took off it.
    double ends[2] = {0, 0};
    both_ends(
        tick, [&](const auto& look) { ends[0] = eliminate(front_, 0, head_, look); },
        [&](const auto& look) { if (tail_ > 0) ends[1] = eliminate(back_, 0, tail_, look); });
    log_determinant_ = ends[0] + ends[1];
    if (!split) return;
    for (int j = 0; j < band_; ++j)
        for (int i = j; i < band_; ++i) *front_.at(head_ + i, head_ + j) += *back_.at(tail_ + band_ - 1 - j, tail_ + band_ - 1 - i);
    log_determinant_ += eliminate(front_, head_, front_.size, tick);
}

int BandCholesky::rows_below(const Chain& chain, int end) const { return std::min(band_, chain.size - end); }

// Takes the unknowns from..to down; returns the logarithm of their part of the determinant.
double BandCholesky::eliminate(Chain& chain, int from, int to, const std::function<void()>& tick) const {
    double log_det = 0;
    for (int j = from; j < to; j += block_) {
        tick();
        const int width = std::min(block_, to - j), below = rows_below(chain, j + width), end = j + width + below;
        // The block's own columns, a few at a time.
        for (int g = j; g < j + width; g += kGroup) {
            const int group = std::min(kGroup, j + width - g);
            minus_product(end - g, group, g - j, chain.at(g, j), chain.lead, chain.at(g, j), 1, chain.lead, chain.at(g, g), chain.lead);
            for (int c = g; c < g + group; ++c) {
                double* column = chain.at(0, c);
                for (int t = g; t < c; ++t) {
                    const double* before = chain.at(0, t);
                    const double factor = before[c];
                    for (int i = c; i < end; ++i) column[i] -= before[i] * factor;
                }
                if (!(column[c] > 0)) throw Error("the surface cannot be solved for: the survey leaves part of it open");
                log_det += std::log(column[c]);
                const double root = std::sqrt(column[c]), inverse = 1 / root;
                column[c] = root;
                for (int i = c + 1; i < end; ++i) column[i] *= inverse;
            }
        }
        // What it takes off those behind.
        minus_square(below, width, chain.at(j + width, j), chain.lead, chain.at(j + width, j + width), chain.lead);
    }
    return log_det;
}

// One vector a row, so that all of an unknown's numbers stand together; the order is the chain's.
std::vector<double> BandCholesky::gather(bool turned, const std::vector<std::vector<double>>& x) const {
    const std::size_t count = x.size();
    const int size = turned ? back_.size : front_.size, own = turned ? tail_ : front_.size;
    std::vector<double> out(count * static_cast<std::size_t>(size) + kBandPadding, 0.0);
    for (int i = 0; i < own; ++i) {
        const std::size_t at = node(turned ? unknowns_ - 1 - i : i);
        for (std::size_t r = 0; r < count; ++r) out[static_cast<std::size_t>(i) * count + r] = x[r][at];
    }
    return out;
}

void BandCholesky::scatter(bool turned, const std::vector<double>& x, std::vector<std::vector<double>>& out) const {
    const std::size_t count = out.size();
    const int own = turned ? tail_ : front_.size;
    for (int i = 0; i < own; ++i) {
        const std::size_t at = node(turned ? unknowns_ - 1 - i : i);
        for (std::size_t r = 0; r < count; ++r) out[r][at] = x[static_cast<std::size_t>(i) * count + r];
    }
}

void BandCholesky::forward(const Chain& chain, int from, int to, int count, std::vector<double>& x) const {
    for (int j = from; j < to; j += block_) {
        const int width = std::min(block_, to - j), below = rows_below(chain, j + width);
        for (int t = j; t < j + width; ++t) {
            double* own = x.data() + area(t, count);
            for (int s = j; s < t; ++s)
                for (int r = 0; r < count; ++r) own[r] -= x[area(s, count) + static_cast<std::size_t>(r)] * *chain.at(t, s);
            for (int r = 0; r < count; ++r) own[r] /= *chain.at(t, t);
        }
        minus_product(count, below, width, x.data() + area(j, count), count, chain.at(j + width, j), 1, chain.lead, x.data() + area(j + width, count), count);
    }
}

void BandCholesky::backward(const Chain& chain, int from, int to, int count, std::vector<double>& x) const {
    for (int j = from + (to - from - 1) / block_ * block_; j >= from; j -= block_) {
        const int width = std::min(block_, to - j), below = rows_below(chain, j + width);
        minus_product(count, width, below, x.data() + area(j + width, count), count, chain.at(j + width, j), chain.lead, 1, x.data() + area(j, count), count);
        for (int t = j + width - 1; t >= j; --t) {
            double* own = x.data() + area(t, count);
            for (int s = t + 1; s < j + width; ++s)
                for (int r = 0; r < count; ++r) own[r] -= x[area(s, count) + static_cast<std::size_t>(r)] * *chain.at(s, t);
            for (int r = 0; r < count; ++r) own[r] /= *chain.at(t, t);
        }
    }
}

// y -= L x over the unknowns from..to and those behind them.
void BandCholesky::multiply(const Chain& chain, int from, int to, int count, const std::vector<double>& x, std::vector<double>& y) const {
    for (int j = from; j < to; j += block_) {
        const int width = std::min(block_, to - j), below = rows_below(chain, j + width);
        for (int t = j; t < j + width; ++t)
            for (int s = j; s <= t; ++s)
                for (int r = 0; r < count; ++r) y[area(t, count) + static_cast<std::size_t>(r)] -= x[area(s, count) + static_cast<std::size_t>(r)] * *chain.at(t, s);
        minus_product(count, below, width, x.data() + area(j, count), count, chain.at(j + width, j), 1, chain.lead, y.data() + area(j + width, count), count);
    }
}

std::vector<std::vector<double>> BandCholesky::solve(const std::vector<std::vector<double>>& rhs) const {
    const int count = static_cast<int>(rhs.size());
    std::vector<double> x, y;
    // Down both ends and the middle, then back.
    tbb::parallel_invoke([&] { x = gather(false, rhs), forward(front_, 0, head_, count, x); },
                         [&] { if (tail_ > 0) y = gather(true, rhs), forward(back_, 0, tail_, count, y); });
    const auto pair = [&](int i, auto f) {
        for (int r = 0; r < count; ++r) f(x[area(head_ + i, count) + static_cast<std::size_t>(r)], y[area(tail_ + band_ - 1 - i, count) + static_cast<std::size_t>(r)]);
    };
    if (tail_ > 0) {
        for (int i = 0; i < band_; ++i) pair(i, [](double& a, double& b) { a += b; });
        forward(front_, head_, front_.size, count, x);
        backward(front_, head_, front_.size, count, x);
        for (int i = 0; i < band_; ++i) pair(i, [](double& a, double& b) { b = a; });
    }
    std::vector<std::vector<double>> out(rhs.size(), std::vector<double>(static_cast<std::size_t>(unknowns_)));
    tbb::parallel_invoke([&] { backward(front_, 0, head_, count, x), scatter(false, x, out); },
                         [&] { if (tail_ > 0) backward(back_, 0, tail_, count, y), scatter(true, y, out); });
    return out;
}

std::vector<double> BandCholesky::solve(const std::vector<double>& rhs) const { return solve(std::vector<std::vector<double>>{rhs}).front(); }

std::vector<std::vector<double>> BandCholesky::times_factor(const std::vector<std::vector<double>>& x) const {
    const int count = static_cast<int>(x.size());
    std::vector<double> in = gather(false, x), out(in.size(), 0.0);
    for (double& v : in) v = -v;
    multiply(front_, 0, front_.size, count, in, out);
    std::vector<double> turned;
    if (tail_ > 0) {
        in = gather(true, x);
        for (double& v : in) v = -v;
        turned.assign(in.size(), 0.0);
        multiply(back_, 0, tail_, count, in, turned);
        for (int i = 0; i < band_; ++i)
            for (int r = 0; r < count; ++r) out[area(head_ + i, count) + static_cast<std::size_t>(r)] += turned[area(tail_ + band_ - 1 - i, count) + static_cast<std::size_t>(r)];
    }
    std::vector<std::vector<double>> all(x.size(), std::vector<double>(static_cast<std::size_t>(unknowns_)));
    scatter(false, out, all);
    scatter(true, turned, all);
    return all;
}

// Columns from..to of the inverse, upward from the window of those behind: S_21 = -S_22 W and S_11 = (L_11 L_11')^-1 - W' S_21 with
// W = L_21 L_11^-1. Leaves the window of from.
void BandCholesky::invert(const Chain& chain, bool turned, int from, int to, Window& window, StencilMatrix& out, const std::function<void()>& tick) const {
    constexpr std::size_t padding = kBandPadding;
    std::vector<double> flipped(area(kBlock, kBlock) + padding), w(area(kBlock, band_) + padding), s21(area(band_, kBlock) + padding), s11(area(kBlock, kBlock) + padding);
    Window next;
    next.lead = window.lead, next.data.assign(window.data.size(), 0.0);
    for (int j = from + (to - from - 1) / block_ * block_; j >= from; j -= block_) {
        tick();
        const int width = std::min(block_, to - j), below = rows_below(chain, j + width);
        // -L_11^-T: its columns are the rows of the inverse of the triangle.
        std::fill(flipped.begin(), flipped.end(), 0.0);
        const auto flip = [&](int i, int k) -> double& { return flipped[area(k, kBlock) + static_cast<std::size_t>(i)]; };
        for (int c = 0; c < width; ++c) {
            // Column c of L^-1, kept as row c.
            flip(c, c) = -1 / *chain.at(j + c, j + c);
            for (int i = c + 1; i < width; ++i) {
                double sum = 0;
                for (int t = c; t < i; ++t) sum -= *chain.at(j + i, j + t) * flip(c, t);
                flip(c, i) = sum / *chain.at(j + i, j + i);
            }
        }
        // W' = L_11^-T L_21', S_21, S_11.
        std::fill(w.begin(), w.end(), 0.0), std::fill(s21.begin(), s21.end(), 0.0), std::fill(s11.begin(), s11.end(), 0.0);
        minus_product(width, below, width, flipped.data(), kBlock, chain.at(j + width, j), 1, chain.lead, w.data(), kBlock);
        minus_product(below, width, below, window.at(0, 0), window.lead, w.data(), 1, kBlock, s21.data(), band_);
        minus_product(width, width, below, w.data(), kBlock, s21.data(), band_, 1, s11.data(), kBlock);
        std::vector<double> plain = flipped;
        for (double& v : plain) v = -v;
        minus_product(width, width, width, plain.data(), kBlock, flipped.data(), 1, kBlock, s11.data(), kBlock);

        // The next window; exactly symmetric, or rounding grows from block to block: the recursion damps symmetric errors only.
        next.size = std::min(band_, width + below);
        const int kept = next.size - width;
        for (int c = 0; c < width; ++c) {
            for (int i = c; i < width; ++i) *next.at(i, c) = *next.at(c, i) = s11[area(c, kBlock) + static_cast<std::size_t>(i)];
            for (int i = 0; i < kept; ++i) *next.at(width + i, c) = *next.at(c, width + i) = s21[area(c, band_) + static_cast<std::size_t>(i)];
        }
        for (int c = 0; c < kept; ++c) std::copy_n(window.at(0, c), kept, next.at(width, width + c));
        std::swap(window, next);

        // Keep what a stencil matrix holds.
        const int lines = unknowns_ / line_;
        for (int c = 0; c < width; ++c) {
            const int g = turned ? unknowns_ - 1 - (j + c) : j + c, k = g / line_, p = g % line_;
            for (int d = 0; d <= 3; ++d)
                for (int e = d == 0 ? 0 : -3; e <= 3; ++e) {
                    const int line = turned ? k - d : k + d, q = turned ? p - e : p + e;
                    if (line < 0 || line >= lines || q < 0 || q >= line_) continue;
                    const int off = d * line_ + e + c;  // row in the block and behind it
                    if (j + off >= chain.size) continue;  // the other end's
                    const double value = off < width ? s11[area(c, kBlock) + static_cast<std::size_t>(off)] : s21[area(c, band_) + static_cast<std::size_t>(off - width)];
                    // From the lower of the two.
                    const int first = turned ? line : k, at = turned ? q : p, dp = e;
                    if (!swapped_) out.upper(at, first, dp, d) = value;
                    else if (dp > 0 || (dp == 0 && d >= 0)) out.upper(first, at, d, dp) = value;
                    else out.upper(first + d, at + dp, -d, -dp) = value;
                }
        }
    }
}

StencilMatrix BandCholesky::selected_inverse(const std::function<void()>& tick) const {
    StencilMatrix out(columns_, rows_);
    Window window;
    window.lead = band_;
    window.data.assign(area(band_, band_) + kBandPadding, 0.0);
    if (tail_ == 0) {
        invert(front_, false, 0, front_.size, window, out, tick);
        return out;
    }
    // The middle, and from its inverse both ends.
    invert(front_, false, head_, front_.size, window, out, tick);
    Window turned = window;
    for (int j = 0; j < band_; ++j)
        for (int i = 0; i < band_; ++i) *turned.at(band_ - 1 - i, band_ - 1 - j) = *window.at(i, j);
    both_ends(
        tick, [&](const auto& look) { invert(front_, false, 0, head_, window, out, look); },
        [&](const auto& look) { invert(back_, true, 0, tail_, turned, out, look); });
    return out;
}

}  // namespace brae
