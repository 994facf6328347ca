// Reading and cleaning answer Cancel: the number of looks at the progress grows with the points, so that no stretch between
// two of them does. Counted, not timed; tests/bench/cancel_bench.cpp times it.
#include "core/base/random.h"
#include "core/survey/point_grid.h"
#include "core/survey/read_survey.h"
#include "tests/support/las_writer.h"
#include "tests/support/support.h"

#include <cmath>
#include <fstream>
#include <map>

using namespace brae;
using namespace brae::test;

namespace {

fs::path cloud(const Scratch& scratch, std::size_t count) {
    LasFile las;
    las.format = 0;
    Random random(1);
    for (std::size_t k = 0; k < count; ++k) {
        const double x = random.uniform(0, 12), y = random.uniform(0, 12);
        las.points.push_back({x, y, 0.02 * x + 0.003 * random.normal() + (k % 499 == 0 ? 0.5 : 0), 1});
    }
    const fs::path file = scratch / (std::to_string(count) + ".las");
    std::ofstream(file, std::ios::binary) << las.bytes();
    return file;
}

// Looks by part of the work.
struct Looks { std::uint64_t reading = 0, cleaning = 0, boundary = 0; };
Looks looks_of(const fs::path& file, bool with_outline) {
    Looks out;
    Progress reading, cleaning, boundary;
    Survey survey = read_survey({file}, {}, reading);
    out.reading = reading.asked();
    if (with_outline) survey.outline = Outline({{0.5, 0.5}, {11.5, 0.5}, {11.5, 11}, {6, 11.5}, {0.5, 11}}, OutlineSource::file);
    clean_survey(survey, cleaning);
    out.cleaning = cleaning.asked();
    data_boundary(survey, boundary);
    out.boundary = boundary.asked();
    return out;
}

}  // namespace

TEST_CASE("looks at Cancel grow with the points in every part of reading and cleaning") {
    const Scratch scratch;
    constexpr std::size_t few = 200'000, many = 800'000;
    const fs::path small = cloud(scratch, few), large = cloud(scratch, many);
    const double more = static_cast<double>(many - few) / kPointsBetweenLooks;
    for (const bool outline : {false, true}) {
        CAPTURE(outline);
        const Looks a = looks_of(small, outline), b = looks_of(large, outline);
        // The file, the frame, the check of the surface; spacing, five grids, four heights over a surface, the judgement.
        CHECK(static_cast<double>(b.reading - a.reading) >= 3 * more - 3);
        CHECK(static_cast<double>(b.cleaning - a.cleaning) >= 12 * more - 12);
        CHECK(b.boundary > 100);
    }
}

TEST_CASE("a survey that is to stop stops at the next look, wherever it is") {
    const Scratch scratch;
    const fs::path file = cloud(scratch, 100'000);
    int steps = 0;
    {
        Progress counting([&](double, const std::string&) { ++steps; });
        Survey survey = read_survey({file}, {}, counting);
        clean_survey(survey, counting);
    }
    CHECK(steps >= 8);
    for (int stop = 0; stop < steps; ++stop) {
        int at = 0;
        Progress* whole = nullptr;
        Progress stopping([&](double, const std::string&) {
            if (at++ == stop) whole->cancel();
        });
        whole = &stopping;
        CHECK_THROWS_AS([&] {
            Survey survey = read_survey({file}, {}, stopping);
            clean_survey(survey, stopping);
            stopping.check();
        }(), Error);
        // Asked once more at most than it was told.
        CHECK(at <= stop + 1);
    }
}
