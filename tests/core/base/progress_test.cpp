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
