// Real surveys that nobody here made: every file either opens or says in one sentence why not. The folder is no part of the
// project; where it is missing the test says so.
#include "core/survey/read_las.h"
#include "core/survey/read_survey.h"
#include "tests/core/survey/survey_files.h"

#include <algorithm>
#include <cstdio>
#include <map>

using namespace brae;
using namespace brae::test;

TEST_CASE("every file of the open survey data opens or says in one sentence why not") {
    const fs::path folder = open_data();
    if (!fs::exists(folder)) BRAE_SKIP("no ../shared/data");
    // What must open, and how many points the notes beside the data give it.
    const std::map<std::string, std::size_t> known{{"field_40m.las", 14073}, {"dike_60m.las", 27718}, {"field_40m_ground.xyz", 13993},
                                                   {"field_40m_ground.ply", 13993}, {"field_40m_ground_local.pcd", 13993},
                                                   {"field_40m_ground_levels.csv", 1555}, {"field_40m_dtm50cm.tif", 6400},
                                                   {"field_40m_dtm50cm.asc", 6400}, {"meadow_60m.tif", 3600}, {"meadow_60m.asc", 3600},
                                                   {"meadow_60m.xyz", 3600}, {"TM1_564_146.tif", 1000000}, {"gartner.corn.txt", 4949},
                                                   {"terrain_levels.csv", 76}};
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    REQUIRE(files.size() > 20);
    std::size_t found = 0;
    for (const fs::path& file : files) {
        const std::string name = file.filename().string();
        CAPTURE(name);
        try {
            const Survey survey = read(file);
            std::printf("    %s: %zu points, %s, %zu warnings\n", name.c_str(), survey.points.size(),
                        survey.frame.has_crs() ? survey.frame.spec().crs_name.c_str() : "no system", survey.warnings.size());
            CHECK(survey.points.size() >= 10);
            if (const auto at = known.find(name); at != known.end()) {
                ++found;
                CHECK(survey.points_read == at->second);
            } else {
                // Compressed files where the library is there; nothing else is a survey.
                CHECK(file.extension() == ".laz");
            }
        } catch (const Error& error) {
            const std::string text = error.what();
            std::printf("    %s: %s\n", name.c_str(), text.substr(text.find(name) == std::string::npos ? 0 : text.find(name)).c_str());
            CHECK(known.count(name) == 0);
            CHECK(text.find(name) != std::string::npos);
            CHECK(text.find('\n') == std::string::npos);
            CHECK(text.size() < 500);
            if (file.extension() == ".laz") CHECK_FALSE(reads_laz());
        }
    }
    CHECK(found == known.size());
}

TEST_CASE("the field in LAS is the field in PLY once its ground class is used") {
    const fs::path folder = open_data() / "ign-lidarhd-field";
    if (!fs::exists(folder)) BRAE_SKIP("no ../shared/data");
    Survey las = read(folder / "field_40m.las");
    CHECK(las.frame.spec().crs_name == "EPSG:2154");
    Progress quiet;
    const auto counts = clean_survey(las, quiet);
    CHECK(las.points.size() == 14073);
    // 13,993 points of class 2 in the window, by the note beside the data.
    CHECK(counts[other_class] == 14073 - 13993);
    const Survey ply = read(folder / "field_40m_ground.ply");
    // The same ground in the same order, wherever each has its origin.
    std::size_t k = 0;
    double worst = 0;
    for (std::size_t i = 0; i < las.points.size(); ++i) {
        if (las.removed[i] == other_class) continue;
        REQUIRE(k < ply.points.size());
        const double z = las.points[i].z + las.frame.spec().origin_height_m - ply.points[k].z - ply.frame.spec().origin_height_m;
        worst = std::max(worst, std::abs(z));
        ++k;
    }
    CHECK(k == ply.points.size());
    CHECK(worst < 1e-6);
}
