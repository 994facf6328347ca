#include "core/survey/survey_facts.h"

#include "core/base/error.h"
#include "tests/core/survey/survey_files.h"
#include "tests/support/las_writer.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("a survey more than 12 months old or from before the last top-dressing warns, and one day less does not") {
    SurveyFacts facts;
    facts.date = "2025-05-02";
    CHECK(age_warnings(facts, "2026-05-02").empty());
    REQUIRE(age_warnings(facts, "2026-05-03").size() == 1);
    CHECK(says(age_warnings(facts, "2026-05-03")[0], "made on 2025-05-02, more than 12 months before 2026-05-03"));
    // Leap days.
    facts.date = "2024-02-29";
    CHECK(age_warnings(facts, "2025-03-01").empty());
    CHECK(age_warnings(facts, "2025-03-02").size() == 1);

    facts.date = "2025-05-02";
    facts.top_dressed = "2025-05-02";
    CHECK(age_warnings(facts, "2025-06-01").empty());
    facts.top_dressed = "2025-05-03";
    REQUIRE(age_warnings(facts, "2025-06-01").size() == 1);
    CHECK(says(age_warnings(facts, "")[0], "before the top-dressing of 2025-05-03"));
    // Nothing known, nothing said.
    facts.date.clear();
    CHECK(age_warnings(facts, "2030-01-01").empty());
}

TEST_CASE("days that are none are refused, and methods go to words and back") {
    for (const char* bad : {"", "2026", "2026-13-01", "2026-02-30", "02-05-2026", "2026/05/02", "2026-5-2", "20a6-05-02"}) {
        CAPTURE(bad);
        CHECK_THROWS_AS(checked_day(bad, "--date"), Error);
    }
    CHECK(checked_day("2024-02-29", "--date") == "2024-02-29");
    for (int k = 0; k < 7; ++k) CHECK(method_of(to_text(static_cast<SurveyMethod>(k))) == static_cast<SurveyMethod>(k));
    CHECK(method_of("guess") == SurveyMethod::unknown);
}

TEST_CASE("a survey takes its day from the option, else from the oldest file, and tells when it is older than the work") {
    const Scratch scratch;
    LasFile las;
    for (const Vec3& p : patch({}, 10)) las.points.push_back({p.x, p.y, p.z, 2, false, false, 1, 401235218.0});
    write_file(scratch / "a.las", las.bytes());
    CHECK(read(scratch / "a.las").facts.date == "2024-06-01");
    CHECK_FALSE(read(scratch / "a.las").facts.date_of_file);
    las.encoding = 0;
    write_file(scratch / "b.las", las.bytes());
    CHECK(read(scratch / "b.las").facts.date == "2026-05-02");
    CHECK(read(scratch / "b.las").facts.date_of_file);

    ReadOptions options;
    options.date = "2025-04-01";
    options.top_dressed = "2025-09-10";
    options.height_of_cut_m = 0.0035;
    options.method = SurveyMethod::drone;
    const Survey survey = read(scratch / "a.las", options);
    CHECK(survey.facts.date == "2025-04-01");
    CHECK(survey.facts.method == SurveyMethod::drone);
    CHECK(*survey.facts.height_of_cut_m == 0.0035);
    CHECK(warns(survey, "before the top-dressing of 2025-09-10"));
    options.date = "yesterday";
    CHECK(says(failure(scratch / "a.las", options), "--date is 'yesterday'"));
    options.date.clear();
    options.height_of_cut_m = 3.5;
    CHECK(says(failure(scratch / "a.las", options), "--height-of-cut is 3500 mm"));
}
