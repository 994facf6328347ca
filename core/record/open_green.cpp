#include "core/base/error.h"
#include "core/record/geopackage.h"
#include "core/record/green_file.h"
#include "core/record/survey_again.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <system_error>

namespace brae {
namespace fs = std::filesystem;
namespace {

// A database with brae's own table, damaged or not; anything else is for the survey readers to judge.
bool is_green_file(const fs::path& file) {
    std::error_code code;
    if (!fs::is_regular_file(file, code)) return false;
    char magic[16] = {};
    std::ifstream(file, std::ios::binary).read(magic, sizeof magic);
    if (std::string(magic, 15) != "SQLite format 3") return false;
    try {
        Database db(file, Database::Access::read);
        return db.has_table("brae_meta");
    } catch (const Error&) {
        return true;   // too damaged to tell; the reader says so
    }
}

}  // namespace

Green make_green(Survey survey, const std::string& name, const BuildOptions& options, Progress& progress) {
    // What the ground says against being a green is said of the file.
    TerrainModel terrain;
    try {
        terrain = build_terrain(survey, options, progress);
    } catch (const Error& e) {
        if (e.kind() != ErrorKind::failed || survey.files.empty()) throw;
        throw Error(fmt::format("{}: {}", survey.files.front(), e.what()));
    }
    // What the reader had to say stays with the green, each sentence once.
    for (const std::string& w : survey.warnings)
        if (std::find(terrain.warnings.begin(), terrain.warnings.end(), w) == terrain.warnings.end())
            terrain.warnings.push_back(w);

    Green green;
    green.id = new_uuid();
    green.name = name;
    green.survey = survey.facts;
    green.removed = std::make_shared<const RemovedPoints>(removed_points(survey, terrain.outline));
    green.marks = std::move(survey.marks);
    if (survey.todays_hole) {
        const Vec2 hole{survey.todays_hole->x, survey.todays_hole->y};
        if (!terrain.outline.contains(hole))
            terrain.warnings.push_back(fmt::format("the surveyed hole at {:.2f}, {:.2f} lies {:.1f} m outside the green's edge or in what is cut out of it", hole.x, hole.y,
                                                   -terrain.outline.signed_distance(hole)));
        green.holes.push_back({"surveyed", hole, "", "", true});
    }
    green.terrain = std::make_shared<const TerrainModel>(std::move(terrain));
    return green;
}

Green open_green(const fs::path& file, Progress& progress) {
    if (is_green_file(file)) return read_green_file(file);
    SurveyOrder order;
    order.files = {file};
    return green_from_survey(order, file.stem().string(), progress);
}

}  // namespace brae
