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
        {"record", {"base", "survey", "terrain", "roll", "solve", "plan", "record"}},
        {"export", {"base", "survey", "terrain", "roll", "solve", "plan", "record", "export"}}};
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
    // A source without a test of its own name is covered through these.
    const std::set<std::string> folders{"core/base", "core/survey", "core/terrain", "core/roll", "core/solve", "core/plan", "core/record", "core/export"};
    for (const auto& folder : folders) {
        int tests = 0;
        for (const auto& e : fs::directory_iterator(source_dir() / "tests" / folder)) tests += e.path().extension() == ".cpp";
        CHECK_MESSAGE(tests > 0, folder << " has no tests");
    }
}
