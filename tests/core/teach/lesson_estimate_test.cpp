#include "core/teach/lesson_estimate.h"

#include "core/teach/next_station.h"
#include "tests/support/greens.h"
#include "tests/support/simulated_lesson.h"
#include "tests/support/support.h"

#include <boost/math/special_functions/beta.hpp>

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// A wavy green as it was surveyed, with a tripod's errors.
const PracticeGround& ground() {
    static const TerrainModel model = green_of([](double x, double y) { return 100 + 0.012 * x - 0.016 * y + 0.04 * std::sin(0.5 * x) * std::cos(0.4 * y); },
                                               ellipse({0, 0}, 10, 9));
    static const PracticeGround g(model.surface, model.outline, {0.0005, 0.4, 0.002, 3.0}, {0.5, -0.4});
    return g;
}

struct Told { SimulatedLesson s; std::shared_ptr<std::vector<StationResponse>> stations; };
Told told(std::uint64_t seed, const SimulationOptions& options = {}, bool far = false) {
    Random random(seed);
    TruePlayer player = drawn_player(random, {});
    if (far) move_far(player, random, {});
    Told out{simulate_lesson(ground(), player, random, options), std::make_shared<std::vector<StationResponse>>()};
    REQUIRE(out.s.good);
    for (const LessonStation& place : out.s.lesson.stations)
        out.stations->emplace_back(*ground().surface, ground().outline, place, out.s.lesson.green_speed_ft, &ground().error);
    return out;
}

LessonEstimate estimate(const Told& t, const Lesson& lesson, int draws = 150) {
    const PlayerModel model(lesson, t.stations, &ground().error);
    EstimateOptions options;
    options.sampler.draws = draws;
    options.thinned = 40;
    Progress progress;
    return estimate_lesson(model, options, progress);
}

bool within(const Told90& t, double truth) { return truth >= t.low && truth <= t.high; }

}  // namespace

TEST_CASE("simulated players are found again within the stated intervals, near the prior's mean and two spreads away") {
    // A short case of tests/lessons/run, which has 500 of each. Of 32 intervals of 90 %, 23 or fewer would be a chance
    // of 1 in 300 were they right.
    int right = 0, all = 0;
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        const Told t = told(1000 + seed, {}, seed % 4 == 0);
        const LessonEstimate e = estimate(t, t.s.lesson);
        const double* f = t.s.player.figure;
        for (const bool hit : {within(e.figure[kReadConstant], f[kReadConstant]), within(e.figure[kReadShare], f[kReadShare]),
                               within(e.start_line, t.s.player.start_line()), within(e.figure[kPaceBias], f[kPaceBias])})
            right += hit, ++all;
        // Thirty putts tell the pace to a few per cent and the start line to half a degree.
        CHECK(e.figure[kPaceBias].high - e.figure[kPaceBias].low < 0.16);
        CHECK(e.start_line.high - e.start_line.low < radians(2));
        CHECK(e.read_apart);
    }
    CHECK(all == 32);
    CHECK(right > 23);
}

TEST_CASE("the errors of each putt are told at once, and what is not known is left out") {
    const Told t = told(1003);
    const LessonEstimate e = estimate(t, t.s.lesson);
    REQUIRE(e.putt.size() == 30);
    for (std::size_t k = 0; k < 30; ++k) {
        const PuttErrors& p = e.putt[k];
        const SeenPutt& seen = t.s.lesson.putts[k];
        REQUIRE(p.told);
        CHECK(p.read.has_value() == (seen.phase == PuttPhase::own_read));
        REQUIRE((p.start_line && p.aim && p.stroke && p.pace && p.direction));
        // The parts sum to the whole.
        CHECK(p.aim->mean + p.stroke->mean == doctest::Approx(p.start_line->mean).scale(0.01));
        if (p.read) CHECK(p.read->mean + p.start_line->mean == doctest::Approx(p.direction->mean).scale(0.01));
        CHECK(p.pace_counted == (seen.strike == StrikePlace::centre));
        CHECK((p.chance > 0 && p.chance < 1));
        if (seen.stop) CHECK(p.pace->sd < 0.05);
    }
    // What the model expects to drop is what drops, by and large: 30 putts know their sum to about 2.4.
    int holed = 0;
    double expected = 0;
    for (const StationTold& s : e.station) holed += s.holed, expected += s.expected;
    CHECK(std::abs(holed - expected) < 8);
}

TEST_CASE("where no read was told, read and start line are not told apart, and the lesson says so") {
    SimulationOptions options;
    options.read_told = false;
    options.own_each = 6;
    const Told t = told(1005, options);
    const LessonEstimate e = estimate(t, t.s.lesson);
    CHECK_FALSE(e.read_apart);
    REQUIRE(!e.notes.empty());
    CHECK(e.notes.front().find("cannot be told apart") != std::string::npos);
    for (const PuttErrors& p : e.putt) {
        CHECK((!p.read && !p.start_line && p.direction));
        CHECK(p.why.find("cannot be told apart") != std::string::npos);
    }
    // Their sum is told far better than either part.
    std::vector<double> sum;
    const PlayerModel model(t.s.lesson, t.stations, &ground().error);
    for (std::size_t d = 0; d < e.draws.count; ++d) {
        const auto p = model.player_of(&e.draws.values[d * e.draws.dimensions]);
        sum.push_back(p.figure[kReadConstant] + p.figure[kAimBias] + p.figure[kStrokeBias]);
    }
    const Told90 both = told_by(sum);
    CHECK(both.sd < 0.7 * std::hypot(e.figure[kReadConstant].sd, e.start_line.sd));
    CHECK(e.figure[kReadConstant].sd > radians(0.45));
}

TEST_CASE("a lesson without putts tells the prior and no more") {
    const Told t = told(1006);
    Lesson empty = t.s.lesson;
    empty.putts.clear();
    const LessonEstimate e = estimate(t, empty, 500);
    const PlayerPrior prior;
    CHECK(e.figure[kReadShare].sd == doctest::Approx(prior.figure[kReadShare].sd).epsilon(0.08));
    CHECK(std::abs(e.figure[kPaceBias].mean) < 0.012);
    CHECK(e.figure[kPaceSpread].mean == doctest::Approx(std::exp(prior.figure[kPaceSpread].mean + 0.08)).epsilon(0.06));
    CHECK(e.putt.empty());
}

TEST_CASE("the same lesson gives the same bits, and more putts narrow the intervals") {
    const Told t = told(1007);
    const LessonEstimate a = estimate(t, t.s.lesson, 60), b = estimate(t, t.s.lesson, 60);
    CHECK(a.draws.values == b.draws.values);
    CHECK(a.putt[4].direction->mean == b.putt[4].direction->mean);
    Lesson few = t.s.lesson;
    few.putts.resize(5);
    const LessonEstimate c = estimate(t, few);
    CHECK(c.start_line.sd > 1.3 * a.start_line.sd);
    CHECK(c.figure[kPaceBias].sd > 1.3 * a.figure[kPaceBias].sd);
}

TEST_CASE("sides are counted on putts that break, whatever words were used") {
    const Told t = told(1008);
    Lesson l = t.s.lesson;
    l.putts.clear();
    const StationResponse& s = (*t.stations)[0];
    REQUIRE(!s.straight());
    for (const PuttOutcome o : {PuttOutcome::passed_low, PuttOutcome::passed_low, PuttOutcome::passed_high, PuttOutcome::holed, PuttOutcome::short_of, PuttOutcome::off_green,
                                s.high_is_right() ? PuttOutcome::passed_left : PuttOutcome::passed_right}) {
        SeenPutt p;
        p.outcome = o;
        l.putts.push_back(p);
    }
    const LessonEstimate e = estimate(t, l, 20);
    CHECK((e.sides.low == 3 && e.sides.high == 1 && e.sides.holed == 1 && e.sides.short_of == 1 && e.sides.others == 1));
    CHECK(e.sides.low_share == 0.75);
}

TEST_CASE("Jeffreys' interval of a share is that of the beta distribution") {
    // Boost.Math's inverse of the incomplete beta function.
    for (const auto& [hits, others] : {std::pair{3, 1}, {6, 6}, {0, 9}, {20, 2}}) {
        double from = 0, to = 0;
        jeffreys(hits, others, from, to);
        CHECK(from == doctest::Approx(hits == 0 ? 0 : boost::math::ibeta_inv(hits + 0.5, others + 0.5, 0.05)).epsilon(1e-3).scale(0.1));
        CHECK(to == doctest::Approx(others == 0 ? 1 : boost::math::ibeta_inv(hits + 0.5, others + 0.5, 0.95)).epsilon(1e-3).scale(0.1));
    }
}
