#include "core/plan/integer_program.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "tests/support/support.h"

#include <cmath>
#include <vector>

using namespace brae;

TEST_CASE("a knapsack of 14 things is packed as well as by trying all") {
    Random random(3);
    for (int round = 0; round < 5; ++round) {
        std::vector<double> worth, weight;
        IntegerProgram program;
        std::vector<std::pair<int, double>> row;
        for (int k = 0; k < 14; ++k) {
            worth.push_back(random.uniform(1, 9)), weight.push_back(random.uniform(1, 9));
            row.emplace_back(program.add_choice(-worth.back()), weight.back());
        }
        program.add_row(row, -1e30, 25);
        double best = 0;
        for (int set = 0; set < 1 << 14; ++set) {
            double w = 0, v = 0;
            for (int k = 0; k < 14; ++k)
                if (set >> k & 1) w += weight[k], v += worth[k];
            if (w <= 25) best = std::max(best, v);
        }
        IntegerOptions options;
        options.gap = 0;
        Progress progress;
        const IntegerAnswer answer = solve(program, options, progress);
        REQUIRE(answer.x.size() == 14);
        CHECK(-answer.cost == doctest::Approx(best).epsilon(1e-9));
        CHECK(answer.gap() < 1e-6);
    }
}

TEST_CASE("slacks carry what a row cannot keep, a fixed choice stays, and what is impossible is told") {
    IntegerProgram program;
    const int a = program.add_choice(1), b = program.add_choice(1), s = program.add_slack(10);
    program.add_row({{a, 1}, {b, 1}, {s, 1}}, 3, 3);
    Progress progress;
    IntegerAnswer answer = solve(program, {}, progress);
    REQUIRE(answer.x.size() == 3);
    CHECK(answer.x[s] == doctest::Approx(1));
    CHECK(answer.cost == doctest::Approx(12));
    program.fix(a, 0);
    answer = solve(program, {}, progress);
    REQUIRE(answer.x.size() == 3);
    CHECK(answer.cost == doctest::Approx(21));
    program.add_row({{b, 1}}, 2, 2);
    answer = solve(program, {}, progress);
    CHECK(answer.x.empty());
    CHECK(answer.impossible);
    CHECK(std::isinf(answer.gap()));
}

TEST_CASE("a cancelled search throws") {
    IntegerProgram program;
    program.add_choice(1);
    Progress progress;
    progress.cancel();
    CHECK_THROWS_AS(solve(program, {}, progress), Error);
}
