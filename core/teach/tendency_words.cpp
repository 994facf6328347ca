#include "core/teach/tendency_words.h"

#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

Told90 times(const Told90& t, double by) {
    const double a = by * t.low, b = by * t.high;
    return {by * t.mean, std::abs(by) * t.sd, std::min(a, b), std::max(a, b)};
}

// "0.4" or "-0" without its sign.
std::string figure(double value, int places) { return fmt::format("{:.{}f}", std::abs(value), places); }

// "by 0.3 to 0.9 degrees", or over zero "from 0.4 degrees left to 0.9 right".
std::string from_to(const Tendency& t, const Told90& v) {
    if (v.low < 0 && v.high > 0)
        return fmt::format("from {} {} {} to {}{} {}", figure(v.low, t.places), t.unit, t.less, figure(v.high, t.places), t.unit.starts_with('%') ? " %" : "", t.more);
    const double near = std::min(std::abs(v.low), std::abs(v.high)), far = std::max(std::abs(v.low), std::abs(v.high));
    return fmt::format("by {} to {} {}", figure(near, t.places), figure(far, t.places), t.unit);
}

}  // namespace

Verdict verdict_on(const Told90& told, int putts, double small) {
    if (putts <= 0) return Verdict::nothing;
    if (std::max(std::abs(told.low), std::abs(told.high)) <= small) return putts < kFewPutts ? Verdict::open : Verdict::small;
    if (told.low <= 0 && told.high >= 0) return Verdict::open;
    return putts < kFewPutts ? Verdict::leans : Verdict::tells;
}

std::string sentence_on(const Tendency& t, const Told90& told, int putts) {
    const std::string count = fmt::format("{} putt{}", putts, putts == 1 ? "" : "s");
    switch (verdict_on(told, putts, t.small)) {
        case Verdict::nothing: return fmt::format("{}: nothing told yet", t.what);
        case Verdict::open:
            return fmt::format("{}: {} {} not show it yet, it may be anything {}", t.what, count, putts == 1 ? "does" : "do", from_to(t, told));
        case Verdict::small:
            return fmt::format("{}: no bias that matters, within {} {} ({})", t.what, figure(std::max(std::abs(told.low), std::abs(told.high)), t.places), t.unit, count);
        case Verdict::leans:
            return fmt::format("{}: leans {}, {}; {} {} too few for a verdict", t.what, told.mean < 0 ? t.less : t.more, from_to(t, told), count, putts == 1 ? "is" : "are");
        case Verdict::tells: break;
    }
    return fmt::format("{}: {}, {} (90 %, {})", t.what, told.mean < 0 ? t.less : t.more, from_to(t, told), count);
}

std::vector<std::string> tendency_sentences(const LessonEstimate& e, bool with_doubts) {
    std::vector<std::string> out;
    const double deg = degrees(1);
    if (e.read_apart) {
        out.push_back(sentence_on({"own read", "degrees", "high", "low", 0.25, 1}, times(e.read_low, deg), e.own_reads_told));
        out.push_back(sentence_on({"own read by the break", "% of the break", "too little", "too much", 5, 0}, times(e.figure[kReadShare], 100), e.own_reads_told));
    }
    const int known = e.putts - (e.own_reads - e.own_reads_told);
    if (known > 0) {
        if (e.aims_seen > 0) {
            out.push_back(sentence_on({"aim at address", "degrees", "left", "right", 0.25, 1}, times(e.figure[kAimBias], deg), e.aims_seen));
            out.push_back(sentence_on({"stroke", "degrees", "left", "right", 0.25, 1}, times(e.figure[kStrokeBias], deg), e.aims_seen));
        }
        out.push_back(sentence_on({"start line", "degrees", "left", "right", 0.25, 1}, times(e.start_line, deg), known));
    }
    // Launch in per cent; the length goes with its square.
    out.push_back(sentence_on({"pace, by launch speed", "%", "soft", "hard", 1.5, 0}, times(e.figure[kPaceBias], 100), e.putts - e.mis_strikes));
    const int sided = e.sides.high + e.sides.low;
    if (sided > 0)
        out.push_back(fmt::format("sides: {} of {} that passed went by on the low side{}", e.sides.low, sided,
                                  sided < kFewPutts                                   ? ", too few for a verdict"
                                  : e.sides.low_from > 0.5 || e.sides.low_to < 0.5    ? fmt::format(", a share of {:.0f} to {:.0f} % (90 %)", 100 * e.sides.low_from, 100 * e.sides.low_to)
                                                                                      : ", which may be chance"));
    out.insert(out.end(), e.notes.begin(), e.notes.end());
    if (with_doubts) out.insert(out.end(), e.doubts.begin(), e.doubts.end());
    return out;
}

double half_width(const Told90& t) { return std::max(t.high - t.mean, t.mean - t.low); }

std::string putt_sentence(const PuttErrors& p) {
    if (!p.told) return p.why;
    std::string out;
    const auto add = [&](const char* what, const std::optional<Told90>& t, double by, const char* unit, int places, const char* less, const char* more) {
        if (!t) return;
        const double v = by * t->mean;
        out += fmt::format("{}{} {} {} {} +/- {:.{}f}", out.empty() ? "" : ", ", what, figure(v, places), unit, v < 0 ? less : more, std::abs(by) * half_width(*t), places);
    };
    add("read", p.read, degrees(1), "degrees", 1, "left", "right");
    if (p.aim) {
        add("aim", p.aim, degrees(1), "degrees", 1, "left", "right");
        add("stroke", p.stroke, degrees(1), "degrees", 1, "left", "right");
    } else {
        add("start line", p.start_line, degrees(1), "degrees", 1, "left", "right");
    }
    if (!p.start_line) add("start against the true aim", p.direction, degrees(1), "degrees", 1, "left", "right");
    if (p.pace_counted) add("pace", p.pace, 100, "%", 0, "soft", "hard");
    else out += ", pace not counted: struck off the centre";
    return out + " (90 %)";
}

}  // namespace brae
