#include "app/read/read_keeper.h"

#include "core/base/error.h"
#include "core/record/green_queries.h"

#include <chrono>

namespace brae::app {
namespace {

// A solve that costs more than this on the UI thread goes beside it; it is tried here again now and then.
constexpr double kBearableMs = 12;
constexpr int kTryAgainAfter = 30;

double machine_ms() { return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

PuttAnswer solve(const Green& green, const PuttQuestion& question, bool full) {
    PuttOptions options;
    options.window = full;
    options.error = full ? &green.terrain->error : nullptr;
    options.green_speed_sigma_ft = 0;
    if (full) options.green_speed_sigma_ft = speed_of_day(green, question.green_speed_ft).sigma_ft;
    return solve_putt(*green.terrain->surface, green.terrain->outline, question, options);
}

}  // namespace

bool ReadKeeper::Question::same(const Question& other) const {
    return green == other.green && putt.ball == other.putt.ball && putt.hole == other.putt.hole &&
           putt.green_speed_ft == other.putt.green_speed_ft && putt.past_m == other.putt.past_m;
}

void ReadKeeper::update(const DocumentValue& now) {
    // No question, no answer.
    if (!now.green || !now.ball || !now.hole) {
        asked_.reset();
        answer_.reset();
        refusal_.clear();
        background_.cancel("read");
        return;
    }
    const Question question{now.green, {*now.ball, *now.hole, now.green_speed_ft, now.past_m}};
    if (asked_ && asked_->same(question)) return;
    asked_ = question;
    complete_ = current_ = false;

    if (slow_ms_ < kBearableMs || ++skipped_ >= kTryAgainAfter) {
        skipped_ = 0;
        solve_here(question);
        if (current_ && refusal_.empty()) solve_beside(question, false);
    } else {
        solve_beside(question, true);
    }
}

void ReadKeeper::solve_here(const Question& question) {
    const double start = now_ms_ ? now_ms_() : machine_ms();
    try {
        answer_ = std::make_shared<const PuttAnswer>(solve(*question.green, question.putt, false));
        refusal_.clear();
    } catch (const std::exception& e) {
        answer_.reset();
        refusal_ = e.what();
        background_.cancel("read");
    }
    current_ = true;
    ++solved_;
    const double ms = (now_ms_ ? now_ms_() : machine_ms()) - start;
    slow_ms_ = ms < kBearableMs ? ms : slow_ms_ < kBearableMs ? (slow_ms_ + ms) / 2 : ms;
}

void ReadKeeper::solve_beside(const Question& question, bool interactive) {
    background_.start(
        "read", "", interactive,
        [this, question](Progress&) -> Background::TakeIn {
            auto full = std::make_shared<const PuttAnswer>(solve(*question.green, question.putt, true));
            return [this, question, full] {
                answer_ = full;
                refusal_.clear();
                complete_ = current_ = true;
                ++solved_;
            };
        },
        [this](const std::string& sentence) {
            if (!current_) answer_.reset();
            refusal_ = sentence;
            current_ = true;
        },
        [this, question] { return asked_ && asked_->same(question); });
}

}  // namespace brae::app
