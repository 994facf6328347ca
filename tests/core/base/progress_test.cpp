#include "core/base/progress.h"

#include "tests/support/support.h"

#include <vector>

using namespace brae;

TEST_CASE("progress reports what it is told and stops the work once cancelled") {
    std::vector<double> seen;
    Progress p([&](double fraction, const std::string&) { seen.push_back(fraction); });
    p.step(0.25, "reading");
    p.cancel();
    CHECK(p.cancelled());
    try {
        p.step(0.5);
        FAIL("a cancelled step went on");
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::cancelled);
    }
    CHECK(seen == std::vector<double>{0.25});
}

TEST_CASE("a default progress is silent and never cancelled") {
    Progress p;
    p.step(1);
    CHECK_FALSE(p.cancelled());
}

TEST_CASE("a part of the work reports within its share of the whole and stops with it") {
    std::vector<std::pair<double, std::string>> told;
    brae::Progress whole([&](double f, const std::string& stage) { told.emplace_back(f, stage); });
    brae::Progress first(whole, 0, 0.4), second(whole, 0.4, 1.0);
    first.step(0.5, "reading");
    second.step(0.5, "fitting");
    second.step(7, "over");
    REQUIRE(told.size() == 3);
    CHECK(told[0].first == doctest::Approx(0.2));
    CHECK(told[0].second == "reading");
    CHECK(told[1].first == doctest::Approx(0.7));
    CHECK(told[2].first == doctest::Approx(1.0));
    CHECK_FALSE(second.cancelled());
    // A part may be stopped alone; the whole stops every part.
    first.cancel();
    CHECK_THROWS_AS(first.check(), brae::Error);
    CHECK_FALSE(whole.cancelled());
    whole.cancel();
    CHECK(second.cancelled());
    CHECK_THROWS_AS(second.step(0.9), brae::Error);
    CHECK(told.size() == 3);
}

TEST_CASE("every look at the progress is counted, a part's for the whole too") {
    brae::Progress whole;
    brae::Progress part(whole, 0, 1);
    whole.step(0.1);
    whole.check();
    static_cast<void>(whole.cancelled());
    CHECK(whole.asked() == 3);
    part.check();
    CHECK(part.asked() == 1);
    CHECK(whole.asked() == 4);
}
