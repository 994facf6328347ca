// Progress and cancel for long work. Core functions take a Progress& and call step(); it throws when cancelled.
#pragma once

#include "core/base/error.h"

#include <algorithm>
#include <atomic>
#include <cstdint>
#include <functional>
#include <string>

namespace brae {

// Thread safe. A default one reports nowhere and is never cancelled, so callers that do not care pass `Progress()`.
class Progress {
public:
    using Report = std::function<void(double fraction, const std::string& stage)>;

    Progress() = default;
    explicit Progress(Report report) : report_(std::move(report)) {}
    // A part of a longer work: its fractions become those between `from` and `to` of `whole`, and asking the whole to stop
    // stops the part. `whole` outlives it.
    Progress(Progress& whole, double from, double to) : whole_(&whole), from_(from), to_(to) {}

    // Says where the work stands (fraction in [0, 1] of the whole); throws Error(cancelled) when asked to stop.
    // Long loops call it at least every 50 ms.
    void step(double fraction, const std::string& stage = {}) {
        check();
        if (whole_ != nullptr) whole_->step(from_ + (to_ - from_) * std::clamp(fraction, 0.0, 1.0), stage);
        else if (report_) report_(fraction, stage);
    }
    // Only the second half: throws when asked to stop, says nothing.
    void check() const {
        if (cancelled()) throw Error("cancelled", ErrorKind::cancelled);
    }
    void cancel() noexcept { cancelled_.store(true, std::memory_order_relaxed); }
    bool cancelled() const noexcept {
        asked_.fetch_add(1, std::memory_order_relaxed);
        return cancelled_.load(std::memory_order_relaxed) || (whole_ != nullptr && whole_->cancelled());
    }
    // How often the work has looked whether it should stop, by step() or cancelled(); tests count work between looks.
    std::uint64_t asked() const noexcept { return asked_.load(std::memory_order_relaxed); }

private:
    Report report_;
    Progress* whole_ = nullptr;
    double from_ = 0, to_ = 1;
    std::atomic<bool> cancelled_{false};
    mutable std::atomic<std::uint64_t> asked_{0};
};

}  // namespace brae
