// Keeps the read of the present ball, hole, speed and pace: quick numbers at once, the window and the errors after.
#pragma once

#include "app/document/document.h"
#include "app/read/background.h"
#include "core/solve/putt.h"

#include <functional>
#include <memory>
#include <string>

namespace brae::app {

class ReadKeeper {
public:
    explicit ReadKeeper(Background& background) : background_(background) {}
    // Milliseconds that only go up, by which a solve on this thread is judged; tests give their own.
    void set_clock(std::function<double()> now_ms) { now_ms_ = std::move(now_ms); }

    // Call once a frame after the document may have changed. Solves path and aim on this thread, so that they are
    // drawn in the same frame; where solves here take longer than a frame can bear, in the background instead, the
    // latest question winning. Holing window and standard errors always follow from the background.
    void update(const DocumentValue& now);

    // Null while there is no question. Its `why_none` says why there is no solution.
    const std::shared_ptr<const PuttAnswer>& answer() const { return answer_; }
    // The question itself was refused (ball off the green, ball in the hole): one sentence, else empty.
    const std::string& refusal() const { return refusal_; }
    bool complete() const { return complete_; }   // window and errors are in
    bool current() const { return current_; }     // the answer belongs to the present question
    std::uint64_t solved() const { return solved_; }  // answers taken in so far

private:
    struct Question {
        std::shared_ptr<const Green> green;
        PuttQuestion putt;
        bool same(const Question& other) const;
    };
    void solve_here(const Question& question);
    void solve_beside(const Question& question, bool interactive);

    Background& background_;
    std::function<double()> now_ms_;   // empty: the machine's
    std::optional<Question> asked_;
    std::shared_ptr<const PuttAnswer> answer_;
    std::string refusal_;
    bool complete_ = false, current_ = false;
    double slow_ms_ = 0;   // running judgement of what a solve on this thread costs
    int skipped_ = 0;
    std::uint64_t solved_ = 0;
};

}  // namespace brae::app
