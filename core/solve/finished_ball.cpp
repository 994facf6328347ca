#include "core/solve/finished_ball.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/roll/skid.h"
#include "core/solve/hole_line.h"
#include "core/solve/launch_sensitivity.h"
#include "core/solve/reveal_covariance.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

std::string to_text(PassSide side) {
    switch (side) {
        case PassSide::high: return "high";
        case PassSide::low: return "low";
        case PassSide::left: return "left";
        case PassSide::right: return "right";
        case PassSide::short_of: break;
    }
    return "short";
}

namespace {

constexpr double kStraightM = 0.005;   // an aim offset under this has no high side, as in PuttRead
constexpr double kPulledIn = 0.02;     // m inside the edge at which a ball counts as just kept on the green

Launch launch_of(Vec2 direction, double speed) { return {std::atan2(direction.y, direction.x), speed}; }

class Reveal {
public:
    Reveal(const HeightField& surface, const Outline& outline, const FinishedBall& b, const RevealOptions& options)
        : surface_(surface), outline_(outline), b_(b), options_(options), line_(b.ball, b.hole),
          away_(distance(b.ball, b.hole)), decel_(level_deceleration(b.green_speed_ft)) {}

    FinishedBallReveal go() {
        find_read();
        if (b_.finish == BallFinish::holed) return holed();
        if (b_.finish == BallFinish::off_green) return off_green();
        if (distance(b_.ball, b_.stop) < kHoleRadius)
            return say(RevealStatus::hardly_moved, "the ball rests where it started, which tells nothing of its launch");

        for (const Launch& launch : launches_to(b_.stop)) out_.launches.push_back(describe(launch));
        if (out_.launches.empty())
            return say(RevealStatus::no_launch,
                       "no launch brings the ball to rest there on this surface at this green speed: " + why_none_);
        return judge();
    }

private:
    // Angle to the right of the ball-hole line.
    double turn_of(double angle) const { return -wrapped(angle - std::atan2(line_.along.y, line_.along.x)); }

    FinishedBallReveal say(RevealStatus status, std::string sentence) {
        out_.status = status;
        out_.sentence = std::move(sentence);
        return out_;
    }

    // The true read; of several that nearest to the chosen aim, else to the straight line.
    void find_read() {
        PuttOptions options;
        options.window = b_.finish == BallFinish::holed;
        options.green_speed_sigma_ft = 0;
        options.path = false;
        const PuttAnswer answer = solve_putt(surface_, outline_, {b_.ball, b_.hole, b_.green_speed_ft, b_.past_m}, options);
        const double wanted = b_.chosen_aim_offset_m ? std::atan2(*b_.chosen_aim_offset_m, away_) : 0;
        for (const PuttRead& read : answer.solutions) {
            const auto gap = [&](const PuttRead& r) {
                return std::abs(turn_of(std::atan2(r.direction.y, r.direction.x)) - wanted);
            };
            if (!out_.read || gap(read) < gap(*out_.read)) out_.read = read;
        }
        why_no_read_ = answer.why_none;
    }

    // Every launch that dies at a place: the putt with no pace to it, folds included.
    std::vector<Launch> launches_to(Vec2 place) {
        PuttOptions options;
        options.window = false;
        options.green_speed_sigma_ft = 0;
        options.path = false;
        const PuttAnswer answer = solve_putt(surface_, outline_, {b_.ball, place, b_.green_speed_ft, 0}, options);
        why_none_ = answer.why_none;
        std::vector<Launch> found;
        for (const PuttRead& s : answer.solutions) found.push_back(launch_of(s.direction, s.launch_mps));
        return found;
    }

    RollState start_of(Launch launch) const {
        const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
        return {b_.ball, horizontal_velocity(surface_.jet(b_.ball.x, b_.ball.y), direction, launch.speed)};
    }
    double stop_sigma() const { return b_.stop_sigma_m.value_or(0.05 + 0.02 * distance(b_.stop, b_.hole)); }

    // One launch with its standard errors and what it says of read, start line and pace.
    RevealedLaunch describe(Launch launch) {
        RevealedLaunch out;
        out.direction = {std::cos(launch.angle), std::sin(launch.angle)};
        out.launch_mps = launch.speed;
        out.ball_speed_mps = ball_speed_for_launch(launch.speed, b_.green_speed_ft);

        RevealCase what{surface_, b_.ball, b_.stop, b_.green_speed_ft, b_.past_m, stop_sigma(), launch, {}, line_, {}};
        if (out_.read) what.read = ReadLaunch{launch_of(out_.read->direction, out_.read->launch_mps), out_.read->time_s};
        what.crossing = first_crossing(surface_, outline_, start_of(launch), decel_, line_);
        const RevealCovariance c = reveal_covariance(what, options_);
        out.has_error = c.defined;

        const auto direction_se = c.se({{kAngle, degrees(1)}});
        out.direction_se_deg = direction_se;
        out.launch_se_mps = c.se({{kSpeed, 1}});
        out.covariance = {c.at(kAngle, kAngle), c.at(kAngle, kSpeed), c.at(kSpeed, kSpeed)};
        const double product = std::sqrt(out.covariance[0] * out.covariance[2]);
        out.correlation = product > 0 ? out.covariance[1] / product : 0;

        pass(out, what, c);
        errors(out, launch, what, c);

        RollRun run;
        run.hole = b_.hole;
        run.covered = true;
        const RollOutcome roll = run_roll(surface_, outline_, start_of(launch), decel_, run, nullptr);
        out.touched_hole = roll.pass && std::abs(roll.pass->offset_m) < kHoleRadius;
        return out;
    }

    void pass(RevealedLaunch& out, const RevealCase& what, const RevealCovariance& c) const {
        PassReport& p = out.pass;
        const double sigma = stop_sigma(), beyond = line_.beyond(b_.stop);
        p.rest_offset_m = {line_.offset(b_.stop), sigma};
        if (!what.crossing) {
            p.past_m = {beyond, sigma};
            p.certain = std::abs(beyond) > 2 * sigma;
            return;
        }
        p.crossing_m = {what.crossing->offset_m, c.se({{kCrossing, 1}})};
        p.past_m = {past_of_speed(what.crossing->speed_mps, b_.green_speed_ft), c.se({{kPast, 1}})};
        const bool right = p.crossing_m.value > 0;
        p.side = p.hand = right ? PassSide::right : PassSide::left;
        // Certain: on its side of the hole, and not a ball that may have stopped before the line.
        p.certain = c.defined && std::abs(p.crossing_m.value) > 2 * p.crossing_m.se && std::abs(beyond) > 2 * sigma;
        if (const std::optional<bool> high_right = high_is_right())
            p.side = right == *high_right ? PassSide::high : PassSide::low;
    }

    // The high side is that of the true aim; none where the putt is straight.
    std::optional<bool> high_is_right() const {
        if (!out_.read) return std::nullopt;
        const double turn = turn_of(std::atan2(out_.read->direction.y, out_.read->direction.x));
        if (std::abs(turn) < kPi / 2 && std::abs(away_ * std::tan(turn)) < kStraightM) return std::nullopt;
        return turn > 0;
    }

    void errors(RevealedLaunch& out, Launch launch, const RevealCase& what, const RevealCovariance& c) const {
        const double started = turn_of(launch.angle), one = degrees(1);
        const std::optional<double> chosen = b_.chosen_aim_offset_m
                                                 ? std::optional(std::atan2(*b_.chosen_aim_offset_m, away_))
                                                 : std::nullopt;
        // A small change of offset is away / cos^2 of a change of angle.
        const auto stretch = [&](double turn) { return away_ / (std::cos(turn) * std::cos(turn)); };
        const bool ahead = std::abs(started) < kPi / 2;
        if (chosen) {
            const double aim_sigma_deg = degrees(b_.chosen_aim_sigma_m / stretch(*chosen));
            out.start_line_error_deg =
                Told{degrees(started - *chosen), std::hypot(c.se({{kAngle, one}}), aim_sigma_deg)};
            if (ahead)
                out.start_line_error_m = Told{away_ * std::tan(started) - *b_.chosen_aim_offset_m,
                                              std::hypot(c.se({{kAngle, stretch(started)}}), b_.chosen_aim_sigma_m)};
        }
        out.pace_error_past_m = Told{out.pass.past_m.value - b_.past_m, out.pass.past_m.se};
        if (!what.read) return;

        const double read = turn_of(what.read->launch.angle);
        out.direction_error_deg = Told{degrees(started - read), c.se({{kAngle, one}, {kReadAngle, -one}})};
        out.pace_error_mps = Told{launch.speed - what.read->launch.speed, c.se({{kSpeed, 1}, {kReadSpeed, -1}})};
        if (!chosen) return;
        const double aim_sigma_deg = degrees(b_.chosen_aim_sigma_m / stretch(*chosen));
        out.read_error_deg = Told{degrees(*chosen - read), std::hypot(c.se({{kReadAngle, one}}), aim_sigma_deg)};
        if (std::abs(read) < kPi / 2)
            out.read_error_m = Told{*b_.chosen_aim_offset_m - away_ * std::tan(read),
                                    std::hypot(c.se({{kReadAngle, stretch(read)}}), b_.chosen_aim_sigma_m)};
    }

    // Does a launch agree with the side that was seen, given its standard errors?
    bool agrees(const RevealedLaunch& l, PassSide seen) const {
        const PassReport& p = l.pass;
        const double sigma = 2 * stop_sigma();
        const bool near_line = std::abs(line_.beyond(b_.stop)) < sigma;
        if (seen == PassSide::short_of) return p.hand == PassSide::short_of || near_line;
        const std::optional<bool> high_right = high_is_right();
        if ((seen == PassSide::high || seen == PassSide::low) && !high_right) return true;   // nothing to judge by
        const bool right = seen == PassSide::right || (seen == PassSide::high && *high_right) ||
                           (seen == PassSide::low && !*high_right);
        if (p.hand == PassSide::short_of)
            return near_line && (right ? p.rest_offset_m.value > -sigma : p.rest_offset_m.value < sigma);
        const double slack = 2 * p.crossing_m.se;
        return right ? p.crossing_m.value > -slack : p.crossing_m.value < slack;
    }

    // Orders the launches, drops those that the side seen rules out, and finds the word.
    FinishedBallReveal judge() {
        const double wanted = b_.chosen_aim_offset_m ? std::atan2(*b_.chosen_aim_offset_m, away_)
                              : out_.read ? turn_of(std::atan2(out_.read->direction.y, out_.read->direction.x))
                                          : 0;
        const auto gap = [&](const RevealedLaunch& l) {
            return std::abs(turn_of(std::atan2(l.direction.y, l.direction.x)) - wanted);
        };
        std::stable_sort(out_.launches.begin(), out_.launches.end(),
                         [&](const auto& a, const auto& b) { return gap(a) < gap(b); });
        bool disagrees = false;
        if (b_.seen) {
            std::vector<RevealedLaunch> agreeing;
            for (const RevealedLaunch& l : out_.launches)
                if (agrees(l, *b_.seen)) agreeing.push_back(l);
            disagrees = agreeing.empty();
            if (!disagrees) out_.launches = std::move(agreeing);
        }

        const RevealedLaunch& best = out_.launches.front();
        if (disagrees)
            return say(RevealStatus::side_disagrees,
                       best.pass.hand == PassSide::short_of
                           ? fmt::format("the ball was seen to pass {}, but by its place of rest it came up short of the hole",
                                         to_text(*b_.seen))
                           : fmt::format("the ball was seen to pass {}, but by this surface and green speed it passed {}",
                                         to_text(*b_.seen), to_text(*b_.seen == PassSide::left || *b_.seen == PassSide::right ? best.pass.hand : best.pass.side)));
        if (out_.launches.size() > 1)
            return say(RevealStatus::several,
                       fmt::format("{} different launches end there, from {:.2f} to {:.2f} m/s; the place of rest does "
                                   "not tell them apart{}",
                                   out_.launches.size(), slowest(), fastest(),
                                   b_.seen ? "" : ", the side on which the ball passed might"));
        if (!best.has_error || best.direction_se_deg > options_.most_direction_se_deg ||
            best.launch_se_mps > options_.most_launch_se * best.launch_mps)
            return say(RevealStatus::sensitive,
                       best.has_error
                           ? fmt::format("the place of rest hardly tells how the ball started: {:.1f} degrees and {:.2f} "
                                         "m/s of uncertainty",
                                         best.direction_se_deg, best.launch_se_mps)
                           : "the place of rest lies on the limit of what can be reached, where it does not tell how the "
                             "ball started");
        if (best.touched_hole)
            return say(RevealStatus::touched_hole,
                       "the path to the place of rest runs over the hole, so the ball met the rim, which turned and "
                       "slowed it; it tells only roughly how the ball started");
        return say(RevealStatus::told, summary(best));
    }
    double slowest() const {
        double v = out_.launches.front().launch_mps;
        for (const auto& l : out_.launches) v = std::min(v, l.launch_mps);
        return v;
    }
    double fastest() const {
        double v = 0;
        for (const auto& l : out_.launches) v = std::max(v, l.launch_mps);
        return v;
    }

    static std::string sideways(const Told& t, const char* unit_name) {
        return fmt::format("{:.1f} +/- {:.1f} {} {}", std::abs(t.value), t.se, unit_name, t.value > 0 ? "right" : "left");
    }
    std::string summary(const RevealedLaunch& l) const {
        if (!out_.read)
            return "this putt has no read at this pace (" + why_no_read_ + "), so only the launch and the side are told";
        const std::string pace = fmt::format("pace {:.2f} +/- {:.2f} m/s too {}", std::abs(l.pace_error_mps->value),
                                             l.pace_error_mps->se, l.pace_error_mps->value > 0 ? "hard" : "soft");
        if (!b_.chosen_aim_offset_m)
            return fmt::format("started {} of the true aim, {}; without the aim that the player chose, read and start line "
                               "cannot be told apart",
                               sideways(*l.direction_error_deg, "degrees"), pace);
        return fmt::format("read {} of the true aim, start {} of the chosen aim, {}",
                           sideways(*l.read_error_deg, "degrees"), sideways(*l.start_line_error_deg, "degrees"), pace);
    }

    FinishedBallReveal holed() {
        if (!out_.read)
            return say(RevealStatus::holed, "a holed ball tells only that it was inside the holing window, and this pace has "
                                            "none: " + why_no_read_);
        if (out_.read->has_window) {
            const HolingWindow& w = out_.read->window;
            out_.range = LaunchRange{w.left_deg, w.right_deg, w.slow_mps, w.fast_mps};
        }
        return say(RevealStatus::holed,
                   out_.range ? fmt::format("a holed ball tells only an interval: at the read's speed it started {:.1f} degrees "
                                            "left to {:.1f} right of the true aim, and on the true aim at {:.2f} to {:.2f} m/s",
                                            -out_.range->left_deg, out_.range->right_deg, out_.range->slow_mps,
                                            *out_.range->fast_mps)
                              : "a holed ball tells only that it was inside the holing window, which this pace has none of");
    }

    FinishedBallReveal off_green() {
        // The slowest ball that leaves there only just does not; a faster one starts nearer to the straight line.
        if (outline_.empty()) throw usage_error("a ball off the green needs an outline to have left");
        const Vec2 edge = outline_.nearest_edge_point(b_.stop);
        Vec2 place = edge;
        for (int k = 0; k < 16 && outline_.signed_distance(place) < 0.5 * kPulledIn; ++k) {
            const double turn = 2 * kPi * k / 16;
            const Vec2 trial = edge + kPulledIn * Vec2{std::cos(turn), std::sin(turn)};
            if (outline_.signed_distance(trial) > outline_.signed_distance(place)) place = trial;
        }
        std::vector<Launch> dying;
        if (outline_.contains(place) && distance(place, b_.ball) > kHoleRadius) dying = launches_to(place);
        if (dying.empty())
            return say(RevealStatus::off_green, "the ball left the green, and no limit of its launch can be given there" +
                                                    (why_none_.empty() ? std::string() : ": " + why_none_));
        LaunchRange range;
        range.slow_mps = dying.front().speed;   // slowest first
        if (out_.read) {
            const double read = turn_of(std::atan2(out_.read->direction.y, out_.read->direction.x));
            const Vec2 straight = unit(edge - b_.ball);
            std::vector<double> turns{turn_of(std::atan2(straight.y, straight.x))};
            for (const Launch& l : dying) turns.push_back(turn_of(l.angle));
            const auto [left, right] = std::minmax_element(turns.begin(), turns.end());
            range.left_deg = degrees(*left - read);
            range.right_deg = degrees(*right - read);
        }
        out_.range = range;
        return say(RevealStatus::off_green,
                   fmt::format("a ball off the green tells only a limit: it started at {:.2f} m/s or more{}", range.slow_mps,
                               out_.read ? fmt::format(", at least {:.2f} m/s harder than the read",
                                                       range.slow_mps - out_.read->launch_mps)
                                         : std::string()));
    }

    const HeightField& surface_;
    const Outline& outline_;
    const FinishedBall& b_;
    const RevealOptions& options_;
    HoleLine line_;
    double away_, decel_;
    FinishedBallReveal out_;
    std::string why_no_read_, why_none_;
};

void check(const Outline& outline, const FinishedBall& b, const RevealOptions& options) {
    if (b.finish != BallFinish::holed && !(std::isfinite(b.stop.x) && std::isfinite(b.stop.y)))
        throw usage_error("the place of rest is not a number; x and y in metres are wanted");
    if (b.finish == BallFinish::on_green && !outline.empty() && !outline.contains(b.stop))
        throw usage_error(fmt::format("the ball rests at {:.3f},{:.3f}, which is off the green; a place on it is wanted, or "
                                      "that it left the green", b.stop.x, b.stop.y));
    if (b.stop_sigma_m && !(*b.stop_sigma_m >= 0 && *b.stop_sigma_m <= 10))
        throw usage_error(fmt::format("the place of rest is known to {} m; 0 to 10 m are wanted", *b.stop_sigma_m));
    if (b.chosen_aim_offset_m && !(std::abs(*b.chosen_aim_offset_m) <= 100))
        throw usage_error(fmt::format("the chosen aim is {} m beside the hole; -100 to 100 m are wanted", *b.chosen_aim_offset_m));
    if (!(b.chosen_aim_sigma_m >= 0 && b.chosen_aim_sigma_m <= 10))
        throw usage_error(fmt::format("the chosen aim is known to {} m; 0 to 10 m are wanted", b.chosen_aim_sigma_m));
    if (!(options.green_speed_sigma_ft >= 0 && options.green_speed_sigma_ft <= 5))
        throw usage_error(fmt::format("the green speed is known to {} ft; 0 to 5 ft are wanted", options.green_speed_sigma_ft));
}

}  // namespace

FinishedBallReveal reveal_finished_ball(const HeightField& surface, const Outline& outline, const FinishedBall& ball,
                                        const RevealOptions& options) {
    check(outline, ball, options);
    return Reveal(surface, outline, ball, options).go();
}

}  // namespace brae
