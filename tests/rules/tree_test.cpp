// The rules of the tree that a reviewer would otherwise have to remember.
#include "tests/support/support.h"

#include <algorithm>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <vector>

using namespace brae::test;

namespace {

struct SourceFile { std::string name; std::vector<std::string> lines; };

// Every text file of the given endings below the folders that are part of the project.
std::vector<SourceFile> files_with(const std::set<std::string>& endings) {
    std::vector<SourceFile> found;
    for (const char* top : {"app", "core", "plugins", "tests", "terrain-samples", "docs"})
        for (const auto& e : fs::recursive_directory_iterator(source_dir() / top)) {
            if (!e.is_regular_file() || !endings.contains(e.path().extension().string())) continue;
            SourceFile f{fs::relative(e.path(), source_dir()).string(), {}};
            std::ifstream in(e.path());
            for (std::string line; std::getline(in, line);) f.lines.push_back(line);
            found.push_back(std::move(f));
        }
    for (const char* name : {"README.md", "DEVELOPERS.md"})
        if (endings.contains(".md")) {
            SourceFile f{name, {}};
            std::ifstream in(source_dir() / name);
            for (std::string line; std::getline(in, line);) f.lines.push_back(line);
            found.push_back(std::move(f));
        }
    std::sort(found.begin(), found.end(), [](auto& a, auto& b) { return a.name < b.name; });
    return found;
}

// What each core module may include: those to its left, and itself.
const std::map<std::string, std::set<std::string>>& allowed() {
    static const std::map<std::string, std::set<std::string>> rules{
        {"base", {"base"}},
        {"survey", {"base", "survey"}},
        {"terrain", {"base", "survey", "terrain"}},
        {"roll", {"base", "survey", "terrain", "roll"}},
        {"solve", {"base", "survey", "terrain", "roll", "solve"}},
        {"plan", {"base", "survey", "terrain", "roll", "solve", "plan"}},
        {"teach", {"base", "survey", "terrain", "roll", "solve", "plan", "teach"}},
        {"record", {"base", "survey", "terrain", "roll", "solve", "plan", "teach", "record"}},
        {"export", {"base", "survey", "terrain", "roll", "solve", "plan", "teach", "record", "export"}}};
    return rules;
}

}  // namespace

TEST_CASE("core modules include only leftwards") {
    const std::regex include("#include \"(app|plugins|tests|core)/([a-z_]+)");
    int seen = 0;
    for (const auto& f : files_with({".h", ".cpp"})) {
        if (!f.name.starts_with("core/")) continue;
        const std::string module = f.name.substr(5, f.name.find('/', 5) - 5);
        REQUIRE_MESSAGE(allowed().contains(module), "no rule for the folder of " << f.name);
        for (const auto& line : f.lines) {
            std::smatch m;
            if (!std::regex_search(line, m, include)) continue;
            ++seen;
            CHECK_MESSAGE((m[1] == "core" && allowed().at(module).contains(m[2])), f.name << ": " << line);
        }
    }
    CHECK(seen > 50);
}

TEST_CASE("core names no window, no GL and no dynamic loader") {
    const std::regex forbidden("#include [<\"](GL/|GLFW|epoxy|EGL|imgui|backends/imgui|dlfcn)");
    for (const auto& f : files_with({".h", ".cpp"})) {
        if (!f.name.starts_with("core/")) continue;
        for (const auto& line : f.lines) CHECK_MESSAGE(!std::regex_search(line, forbidden), f.name << ": " << line);
    }
}

TEST_CASE("plugins see the plugin api, core, ImGui and their own files only") {
    const std::regex include("#include \"([a-z_\\-]+)/([a-z_\\-]+)");
    for (const auto& f : files_with({".h", ".cpp"})) {
        if (!f.name.starts_with("plugins/") || f.name.starts_with("plugins/api/")) continue;
        const std::string own = f.name.substr(8, f.name.find('/', 8) - 8);
        for (const auto& line : f.lines) {
            std::smatch m;
            if (!std::regex_search(line, m, include)) continue;
            const bool fine = m[1] == "core" || (m[1] == "plugins" && (m[2] == "api" || m[2] == own));
            CHECK_MESSAGE(fine, f.name << ": " << line);
        }
    }
}

TEST_CASE("the option parser, json, Open3D, GDAL and Eigen stay out of headers") {
    const std::regex heavy("#include <(CLI/|nlohmann/json\\.hpp|open3d|gdal|ogr|Eigen)");
    for (const auto& f : files_with({".h"}))
        for (const auto& line : f.lines) {
            if (f.name.starts_with("tests/")) continue;
            // A header that is private to the fit of the spline may speak Eigen; it says so at its head.
            const bool excused = !f.lines.empty() && f.lines.front().find("private header") != std::string::npos;
            CHECK_MESSAGE((excused || !std::regex_search(line, heavy)), f.name << ": " << line);
        }
}

TEST_CASE("the whole of Open3D is never included") {
    for (const auto& f : files_with({".h", ".cpp"})) {
        if (f.name.starts_with("tests/rules/")) continue;
        for (const auto& line : f.lines) CHECK_MESSAGE(line.find("<open3d/Open3D.h>") == std::string::npos, f.name);
    }
}

TEST_CASE("a source file over 500 lines says why at its head") {
    for (const auto& f : files_with({".h", ".cpp"})) {
        if (f.lines.size() <= 500) continue;
        std::string head;
        for (std::size_t k = 0; k < 12; ++k) head += f.lines[k];
        CHECK_MESSAGE(head.find("long because") != std::string::npos, f.name << " has " << f.lines.size() << " lines");
    }
}

TEST_CASE("every relative link of the documents leads somewhere") {
    const std::regex link("\\]\\(([^)#: ]+)(#[^)]*)?\\)");
    for (const auto& f : files_with({".md"}))
        for (const auto& line : f.lines)
            for (std::sregex_iterator m(line.begin(), line.end(), link), end; m != end; ++m) {
                const fs::path target = (source_dir() / f.name).parent_path() / (*m)[1].str();
                CHECK_MESSAGE(fs::exists(target), f.name << " links to " << (*m)[1].str());
            }
}

TEST_CASE("docs/architecture.md lists every source folder") {
    std::ifstream in(source_dir() / "docs/architecture.md");
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    REQUIRE(text.size() > 500);
    std::set<std::string> folders;
    for (const auto& f : files_with({".h", ".cpp"})) folders.insert(fs::path(f.name).parent_path().string());
    for (const auto& folder : folders)
        CHECK_MESSAGE(text.find("`" + folder + "`") != std::string::npos, folder << " is not listed");
}

TEST_CASE("each core source has its mirror test or is named as covered by another") {
    // Sources without a test of their own name, and the test that runs them through what they serve.
    const std::map<std::string, std::string> covered{
        {"core/export/green_sketch.cpp", "core/export/day_sheet_test.cpp"},
        {"core/export/green_plan.cpp", "core/export/sheets_test.cpp"},      {"core/export/holes_sheet.cpp", "core/export/sheets_test.cpp"},
        {"core/record/renewed_green.cpp", "core/record/green_file_test.cpp"},
        {"core/record/green_survey.cpp", "core/record/green_file_test.cpp"}, {"core/record/green_play.cpp", "core/record/green_file_test.cpp"}, {"core/record/survey_record.cpp", "core/record/survey_again_test.cpp"},
        {"core/record/lesson_export.cpp", "core/record/lesson_file_test.cpp"}, {"core/record/lesson_tables.cpp", "core/record/lesson_file_test.cpp"},
        {"core/export/survey_sheet.cpp", "core/export/sheets_test.cpp"},
        {"core/export/page.cpp", "core/export/sheets_test.cpp"},            {"core/export/stations_sheet.cpp", "core/export/sheets_test.cpp"},
        {"core/export/pocket_sheet.cpp", "core/export/sheets_test.cpp"},
        {"core/plan/lesson_search.cpp", "core/plan/station_search_test.cpp"}, {"core/plan/lessons.cpp", "core/plan/station_search_test.cpp"},
        {"core/plan/spot_reads.cpp", "core/plan/station_search_test.cpp"},  {"core/record/geopackage.cpp", "core/record/green_file_damage_test.cpp"},
        {"core/record/green_coverages.cpp", "core/record/green_file_test.cpp"}, {"core/record/green_file_read.cpp", "core/record/green_file_test.cpp"},
        {"core/record/green_file_write.cpp", "core/record/green_file_test.cpp"}, {"core/record/green_json.cpp", "core/record/green_file_test.cpp"},
        {"core/record/green_tables.cpp", "core/record/green_file_test.cpp"}, {"core/record/uuid.cpp", "core/record/green_file_test.cpp"},
        {"core/solve/hole_line.cpp", "core/solve/finished_ball_test.cpp"},
        {"core/solve/holing_region.cpp", "core/solve/hole_chance_test.cpp"},
        {"core/solve/launch_sensitivity.cpp", "core/solve/finished_ball_test.cpp"},
        {"core/solve/level_chance.cpp", "core/solve/hole_chance_test.cpp"},
        {"core/solve/player_spread.cpp", "core/solve/player_fit_test.cpp"},
        {"core/solve/ray_sheet.cpp", "core/solve/green_reads_test.cpp"},
        {"core/roll/run_roll.cpp", "core/roll/rolling_test.cpp"},           {"core/solve/back_trace.cpp", "core/solve/ray_family_test.cpp"},
        {"core/solve/polish.cpp", "core/solve/putt_test.cpp"},              {"core/solve/ray_hits.cpp", "core/solve/ray_family_test.cpp"},
        {"core/survey/choose_frame.cpp", "core/survey/frame_test.cpp"},     {"core/survey/coordinate_system.cpp", "core/survey/frame_test.cpp"},
        {"core/survey/las_header.cpp", "core/survey/read_las_test.cpp"},    {"core/survey/geo_keys.cpp", "core/survey/read_las_test.cpp"},
        {"core/survey/read_laz.cpp", "core/survey/read_las_test.cpp"},
        {"core/survey/file_kind.cpp", "core/survey/read_survey_test.cpp"},  {"core/survey/point_grid.cpp", "core/survey/clean_survey_test.cpp"},
        {"core/survey/raw_survey.cpp", "core/survey/read_survey_test.cpp"}, {"core/survey/survey.cpp", "core/terrain/build_terrain_test.cpp"},
        {"core/survey/text_file.cpp", "core/survey/read_text_test.cpp"},    {"core/survey/text_layout.cpp", "core/survey/read_text_test.cpp"},
        {"core/terrain/fit_raster.cpp", "core/terrain/build_terrain_test.cpp"}, {"core/terrain/survey_checks.cpp", "core/terrain/build_terrain_test.cpp"}};
    int seen = 0;
    for (const auto& f : files_with({".cpp"})) {
        if (!f.name.starts_with("core/") || f.name.starts_with("core/roll/table_maker/")) continue;
        ++seen;
        const std::string own = f.name.substr(0, f.name.size() - 4) + "_test.cpp";
        const auto other = covered.find(f.name);
        const bool mirrored = fs::exists(source_dir() / "tests" / own);
        CHECK_MESSAGE(mirrored != (other != covered.end()), f.name << (mirrored ? " has a test of its own; strike it from the list" : " has no test"));
        if (other != covered.end()) CHECK_MESSAGE(fs::exists(source_dir() / "tests" / other->second), other->second << " is not there");
    }
    CHECK(seen > 60);
    for (const auto& [source, test] : covered) CHECK_MESSAGE(fs::exists(source_dir() / source), source << " is listed and is not there");
}
