#include "core/teach/outcome_strips.h"

#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "core/teach/putt_likelihood.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

StationResponse station_on(const HeightField& ground, const Outline& green, Vec2 ball = {2.4, -1.7}) {
    return StationResponse(ground, green, {"A", ball, {0, 0}, std::nullopt, 0.3}, 10, nullptr);
}

struct Moments { double turn = 0, turn_sd = 0, push = 0; };
Moments moments(const OutcomeStrips& o) {
    double top = -1e300, sum = 0, square = 0;
    Moments m;
    for (const auto& k : o.strips) top = std::max(top, k.log_weight);
    for (const auto& k : o.strips) {
        const double w = std::exp(k.log_weight - top);
        sum += w, m.turn += w * k.turn, square += w * k.turn * k.turn, m.push += w * k.low;
    }
    m.turn /= sum, m.push /= sum;
    m.turn_sd = std::sqrt(square / sum - m.turn * m.turn);
    return m;
}

}  // namespace

TEST_CASE("a place of rest gives back the launch that made it, as sure as the place is") {
    const Formula ground = wavy(4);
    const Outline green = wide_green();
    const StationResponse s = station_on(ground, green);
    const double base = std::atan2(s.line().along.y, s.line().along.x) - s.true_aim();
    for (const auto& [turn, push] : {std::pair{0.03, 0.08}, {-0.05, -0.1}, {0.0, 0.15}}) {
        const RollPath path = roll(ground, green, s.station().ball, {std::cos(base - turn), std::sin(base - turn)}, s.launch_mps() * std::exp(push), 10);
        SeenPutt putt;
        const double beyond = s.line().beyond(path.stop());
        putt.outcome = beyond < 0 ? PuttOutcome::short_of : PuttOutcome::missed;
        putt.stop = StopPlace{path.stop(), StopSource::click, 0.05};
        const OutcomeStrips o = outcome_strips(s, putt);
        REQUIRE(!o.no_launch);
        const Moments m = moments(o);
        CHECK(m.turn == doctest::Approx(turn).epsilon(0.1).scale(0.02));
        CHECK(m.push == doctest::Approx(push).epsilon(0.05).scale(0.05));
        // 5 cm across at the end of the roll: between 0.6 and 1.4 times that over the straight distance.
        CHECK(m.turn_sd > 0.6 * 0.05 / distance(path.stop(), s.station().ball));
        CHECK(m.turn_sd < 1.4 * 0.05 / distance(path.stop(), s.station().ball));
    }
}

TEST_CASE("the ways to end share out every launch: their chances sum to one") {
    const Formula ground = wavy(4);
    const Outline green = wide_green(3.6);
    const StationResponse s = station_on(ground, green);
    for (const LaunchLaw& law : {LaunchLaw{0, 0.0004, 0, 0.005}, LaunchLaw{0.03, 0.0012, 0.1, 0.02}, LaunchLaw{-0.04, 0.0004, -0.2, 0.01}}) {
        double sum = 0;
        for (const PuttOutcome o : {PuttOutcome::holed, PuttOutcome::lip_out, PuttOutcome::off_green, PuttOutcome::short_of, PuttOutcome::passed_left, PuttOutcome::passed_right}) {
            const double p = chance_of(outcome_strips(s, o), law);
            CHECK(p >= 0);
            sum += p;
        }
        // A lip-out is among those that pass: it is counted once more there.
        sum -= chance_of(outcome_strips(s, PuttOutcome::lip_out), law);
        CHECK(sum == doctest::Approx(1).epsilon(0.02));
        const double high = chance_of(outcome_strips(s, PuttOutcome::passed_high), law), low = chance_of(outcome_strips(s, PuttOutcome::passed_low), law);
        const double left = chance_of(outcome_strips(s, PuttOutcome::passed_left), law), right = chance_of(outcome_strips(s, PuttOutcome::passed_right), law);
        CHECK(high + low == doctest::Approx(left + right).epsilon(1e-9));
        CHECK(high == doctest::Approx(s.high_is_right() ? right : left).epsilon(1e-9));
    }
}

TEST_CASE("a side that was seen rules launches on the other side out, and a lip-out's place of rest is not looked at") {
    const Formula ground = wavy(4);
    const Outline green = wide_green();
    const StationResponse s = station_on(ground, green);
    SeenPutt putt;
    putt.outcome = PuttOutcome::passed_right;
    // A place straight behind the hole, known to a foot: it passed on one side or the other.
    putt.stop = StopPlace{s.station().hole + 0.6 * s.line().along, StopSource::tape, 0.30};
    double right = 0, left = 0;
    for (const auto& k : outcome_strips(s, putt).strips) right += std::exp(k.log_weight) * s.at(k.turn, k.low).crossing_m;
    putt.outcome = PuttOutcome::passed_left;
    for (const auto& k : outcome_strips(s, putt).strips) left += std::exp(k.log_weight) * s.at(k.turn, k.low).crossing_m;
    CHECK(right > 0);
    CHECK(left < 0);
    putt.outcome = PuttOutcome::lip_out;
    const OutcomeStrips lip = outcome_strips(s, putt);
    CHECK_FALSE(lip.from_stop);
    REQUIRE(!lip.strips.empty());
    for (const auto& k : lip.strips) CHECK(std::abs(s.at(k.turn, std::min(k.low, 0.4)).crossing_m) < 2 * kHoleRadius);
}

TEST_CASE("a place that no launch reaches says so") {
    const Formula ground = wavy(4);
    const Outline green = wide_green();
    const StationResponse s = station_on(ground, green);
    SeenPutt putt;
    putt.stop = StopPlace{s.station().ball - 4.0 * s.line().along, StopSource::tape, 0.05};
    CHECK(outcome_strips(s, putt).no_launch);
}
