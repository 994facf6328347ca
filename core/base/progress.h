// Progress and cancel for long work. Core functions take a Progress& and call step(); it throws when cancelled.
#pragma once

#include "core/base/error.h"

#include <atomic>
#include <functional>
#include <string>

namespace brae {

// Thread safe. A default one reports nowhere and is never cancelled, so callers that do not care pass `Progress()`.
class Progress {
public:
    using Report = std::function<void(double fraction, const std::string& stage)>;

    Progress() = default;
    explicit Progress(Report report) : report_(std::move(report)) {}

    // Says where the work stands (fraction in [0, 1] of the whole); throws Error(cancelled) when asked to stop.
    // Long loops call it at least every 50 ms.
    void step(double fraction, const std::string& stage = {}) {
        if (cancelled_.load(std::memory_order_relaxed)) throw Error("cancelled", ErrorKind::cancelled);
        if (report_) report_(fraction, stage);
    }
    void cancel() noexcept { cancelled_.store(true, std::memory_order_relaxed); }
    bool cancelled() const noexcept { return cancelled_.load(std::memory_order_relaxed); }

private:
    Report report_;
    std::atomic<bool> cancelled_{false};
};

}  // namespace brae
