#include "core/export/charts.h"

#include "core/base/constants.h"
#include "tests/support/printed.h"

using namespace brae;
using namespace brae::test;

namespace {

std::vector<PlotPoint> on(const std::vector<std::string>& dates) {
    std::vector<PlotPoint> out;
    for (const std::string& d : dates) out.push_back({d, 0, -1, 1});
    return out;
}

}  // namespace

TEST_CASE("lessons stand on the calendar, over month's ends and leap days") {
    // 26 February to 1 March 2028 is four days, to 5 March eight (2028 is a leap year).
    const auto leap = places_in_time(on({"2028-02-26", "2028-03-01", "2028-03-05"}), 0.05);
    CHECK(leap == std::vector<double>{0, 0.5, 1});
    const auto year = places_in_time(on({"2026-12-31", "2027-01-01", "2027-01-10"}), 0.05);
    CHECK(year[1] == doctest::Approx(0.1));
    // No ISO days, two on one day, or too near: evenly.
    CHECK(places_in_time(on({"2 May", "2026-05-03", ""}), 0.05) == std::vector<double>{0, 0.5, 1});
    CHECK(places_in_time(on({"2026-05-02", "2026-05-02"}), 0.05) == std::vector<double>{0, 1});
    CHECK(places_in_time(on({"2026-05-02", "2026-05-03", "2027-05-02"}), 0.05) == std::vector<double>{0, 0.5, 1});
    CHECK(places_in_time(on({"2026-05-02"}), 0.05) == std::vector<double>{0.5});
}

TEST_CASE("steps of an axis are round and few enough") {
    for (double range = 0.013; range < 3e4; range *= 1.37) {
        CAPTURE(range);
        const double step = round_step(range, 5), power = std::pow(10.0, std::floor(std::log10(step) + 1e-9)), digit = step / power;
        CHECK(range / step <= 5);
        CHECK((std::abs(digit - 1) < 1e-9 || std::abs(digit - 2) < 1e-9 || std::abs(digit - 5) < 1e-9));
        CHECK(range / step > 1.9);   // and not far too coarse
    }
}

TEST_CASE("reads stand on the cross line where they were told, to the scale of its figures") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Document d(Paper::a4, {"t", "s", {}, "", ""}, 1);
    const CrossLine line{100, 500, 0.5};
    // The retest's reads are dots: 0.4 m left and 0.3 m right; the true line between them.
    cross_row(d, line, 300, 0.1, 0.0, {}, {-0.4, 0.3});
    std::ofstream(scratch / "x.pdf", std::ios::binary) << d.finish();
    const int dpi = 300;
    const Picture page = first_page(scratch / "x.pdf", dpi);
    const auto spots = solid_spots(page, 5, static_cast<int>(290.0 / 72 * dpi), static_cast<int>(310.0 / 72 * dpi));
    REQUIRE(spots.size() == 2);   // the bar of the hole is thinner
    double left = 1e9, right = 0;
    for (Vec2 s : spots) left = std::min(left, s.x), right = std::max(right, s.x);
    // 0.7 m of 1 m on 400 points.
    CHECK((right - left) * 72 / dpi == doctest::Approx(280).epsilon(5e-3));
}
