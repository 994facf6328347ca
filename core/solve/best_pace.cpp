#include "core/solve/best_pace.h"

#include "core/base/error.h"
#include "core/roll/skid.h"
#include "core/solve/golden_section.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

PaceRow row_of(const PuttRead& read, double past, double green_speed_ft) {
    PaceRow row;
    const HolingWindow& w = read.window;
    row.past_m = past;
    row.has_window = true;
    row.launch_mps = read.launch_mps;
    row.ball_speed_mps = read.ball_speed_mps;
    row.aim_offset_m = read.aim_offset_m;
    row.left_deg = -w.left_deg;
    row.right_deg = w.right_deg;
    // The high side is the one the player aims to.
    if (read.aim_side != AimSide::straight) {
        const bool right = read.aim_side == AimSide::right;
        row.high_deg = right ? row.right_deg : row.left_deg;
        row.low_deg = right ? row.left_deg : row.right_deg;
    }
    row.slow_mps = w.slow_mps;
    row.fast_mps = w.fast_mps;
    row.ball_slow_mps = ball_speed_for_launch(w.slow_mps, green_speed_ft);
    row.ball_fast_mps = ball_speed_for_launch(w.fast_mps, green_speed_ft);
    const double turn = std::min(row.left_deg, row.right_deg);
    const double push = 100 * std::min(read.launch_mps - w.slow_mps, w.fast_mps - read.launch_mps) / read.launch_mps;
    row.forgiveness = kPi * std::max(0.0, turn) * std::max(0.0, push);
    return row;
}

}  // namespace

BestPace find_best_pace(const HeightField& surface, const Outline& outline, PuttQuestion question,
                        const BestPaceOptions& options) {
    if (!(options.least_past_m >= 0 && options.most_past_m <= 5 && options.least_past_m < options.most_past_m))
        throw usage_error(fmt::format("the range of paces is {} to {} m; a range within 0 to 5 m is wanted",
                                      options.least_past_m, options.most_past_m));
    if (options.rows < 3) throw usage_error(fmt::format("{} rows of paces were asked for; at least 3 are wanted", options.rows));
    if (!(options.tolerance_m > 0))
        throw usage_error(fmt::format("the tolerance of the pace is {} m; more than 0 is wanted", options.tolerance_m));

    BestPace out;
    PuttOptions putt;
    putt.green_speed_sigma_ft = 0;
    putt.path = false;
    putt.capture = out.capture = options.capture;
    bool too_fast = false;
    std::string unsolved;
    const auto at = [&](double past) {
        question.past_m = past;
        const PuttAnswer answer = solve_putt(surface, outline, question, putt);
        PaceRow best;
        best.past_m = past;
        for (const PuttRead& read : answer.solutions) {
            if (!read.has_window) {
                too_fast = true;
                continue;
            }
            const PaceRow row = row_of(read, past, question.green_speed_ft);
            if (!best.has_window || row.forgiveness > best.forgiveness) best = row;
        }
        if (answer.solutions.empty()) unsolved = answer.why_none;
        return best;
    };

    // A table over the range.
    const double span = options.most_past_m - options.least_past_m, step = span / (options.rows - 1);
    for (int i = 0; i < options.rows; ++i)
        out.rows.push_back(at(i + 1 == options.rows ? options.most_past_m : options.least_past_m + i * step));
    const PaceRow *top = nullptr, *wide = nullptr;
    for (const PaceRow& row : out.rows) {
        if (!row.has_window) continue;
        if (!top || row.forgiveness > top->forgiveness) top = &row;
        if (!wide || row.width_deg() > wide->width_deg()) wide = &row;
    }
    if (!top) {
        out.why_none = !too_fast ? unsolved
                                 : fmt::format("at every pace from {:g} to {:g} m past, the ball comes too fast for the hole",
                                               options.least_past_m, options.most_past_m);
        return out;
    }
    out.widest = *wide;

    // Golden section between the neighbours of the best row; the best of all that was seen is kept.
    PaceRow best = *top;
    const auto seen = [&](double past) {
        const PaceRow row = at(past);
        if (row.has_window && row.forgiveness > best.forgiveness) best = row;
        return row.forgiveness;
    };
    golden_section([&](double past) { return -seen(past); }, std::max(options.least_past_m, top->past_m - step),
                   std::min(options.most_past_m, top->past_m + step), options.tolerance_m);
    out.at_end = best.past_m - options.least_past_m < options.tolerance_m || options.most_past_m - best.past_m < options.tolerance_m;
    out.best = best;
    return out;
}

}  // namespace brae
