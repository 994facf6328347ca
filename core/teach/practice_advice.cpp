#include "core/teach/practice_advice.h"

#include "core/base/units.h"
#include "core/teach/tendency_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

struct Candidate {
    PracticeAdvice advice;
    double worth = 0;
};

// "0.4 to 1.1"
std::string span_of(const Told90& t, double by, int places) {
    const double near = by * std::min(std::abs(t.low), std::abs(t.high)), far = by * std::max(std::abs(t.low), std::abs(t.high));
    return fmt::format("{:.{}f} to {:.{}f}", near, places, far, places);
}

// One figure that lies on one side; less and more say what it does and what to do, with the span between.
struct Words { const char *name, *less, *more, *do_less, *do_more, *lesson_less, *lesson_more; };

void consider(std::vector<Candidate>& out, const Told90& told, int putts, double small, double by, int places, const char* unit, const Words& w) {
    const Verdict verdict = verdict_on(told, putts, small);
    if (verdict != Verdict::tells && verdict != Verdict::leans) return;
    // A bias that is told and still does not matter is nothing to practise.
    if (std::abs(told.mean) <= small) return;
    const bool less = told.mean < 0;
    Candidate c;
    c.advice.sure = verdict == Verdict::tells;
    c.advice.lesson = less ? w.lesson_less : w.lesson_more;
    c.advice.sentence = c.advice.sure
        ? fmt::format("{}: {} {} {}. {}", w.name, span_of(told, by, places), unit, less ? w.less : w.more, less ? w.do_less : w.do_more)
        : fmt::format("{}: it leans {}, but {} putt{} too few to say. Count more before you change anything.", w.name, less ? w.less : w.more, putts,
                      putts == 1 ? " is" : "s are");
    c.worth = std::abs(told.mean) / small + (c.advice.sure ? 1000 : 0);
    out.push_back(std::move(c));
}

}  // namespace

std::vector<PracticeAdvice> practice_advice(const LessonEstimate& e) {
    std::vector<Candidate> all;
    const double deg = degrees(1), quarter = radians(0.25);
    if (e.read_apart)
        consider(all, e.read_low, e.own_reads_told, quarter, deg, 1, "degrees",
                 {"Read", "too high", "too low", "Give breaking putts less.", "Give breaking putts more.", "own-read", "own-read"});
    const int known = e.putts - (e.own_reads - e.own_reads_told);
    if (e.aims_seen > 0) {
        consider(all, e.figure[kAimBias], e.aims_seen, quarter, deg, 1, "degrees",
                 {"Aim at address", "to the left of your line", "to the right of your line", "Set the putter with somebody behind you.",
                  "Set the putter with somebody behind you.", "start-gate", "start-gate"});
        consider(all, e.figure[kStrokeBias], e.aims_seen, quarter, deg, 1, "degrees",
                 {"Stroke", "to the left of where the putter points", "to the right of where the putter points", "Straight putts through the gate show it.",
                  "Straight putts through the gate show it.", "start-gate", "start-gate"});
    } else {
        consider(all, e.start_line, known, quarter, deg, 1, "degrees",
                 {"Start line", "to the left of where you mean it", "to the right of where you mean it", "Straight putts through the gate show it.",
                  "Straight putts through the gate show it.", "start-gate", "start-gate"});
    }
    consider(all, e.figure[kPaceBias], e.putts - e.mis_strikes, 0.015, 100, 0, "% of launch speed",
             {"Pace", "too soft", "too hard", "Three paces to one hole, the firm one first.", "Downhill, where the slope does the work.", "three-paces", "downhill-pace"});
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) { return a.worth > b.worth; });

    std::vector<PracticeAdvice> out;
    for (const Candidate& c : all)
        if (out.size() < 3) out.push_back(c.advice);
    if (out.empty() && e.read_apart)
        out.push_back({"Nothing stands out from these putts. More of the same, on new breaks, tells more than any change.", "ladder", false});
    else if (out.empty())
        out.push_back({"Nothing stands out from these putts. Say your read before each putt, so that read and start line can be told apart.", "own-read", false});
    return out;
}

}  // namespace brae
