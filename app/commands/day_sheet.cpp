#include "app/commands/day_sheet.h"

#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "core/base/error.h"
#include "core/export/day_sheet.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace fs = std::filesystem;

bool is_day_kind(const std::string& kind) { return kind == "day" || kind == "card"; }

int run_day_sheet(const SheetArguments& a) {
    if (!a.hole.empty() || a.lesson || !a.lesson_file.empty() || a.usual_speed_ft || a.past_m || a.days > 0 || a.speed_ft || !a.from.empty())
        throw usage_error(fmt::format("--hole, --lesson, --lesson-file, --usual-speed, --past, --days, --from and --speed do not belong to --kind {}, which prints the holes that the greens keep", a.kind));
    if (a.card_scale != 0 && a.kind != "card") throw usage_error("--card-scale belongs to --kind card");
    const std::string ending = fs::path(a.out).extension().string();
    const bool points = a.kind == "day" && (ending == ".csv" || ending == ".geojson" || ending == ".gpx");
    if (!points && ending != ".pdf")
        throw usage_error(fmt::format("--out: found '{}', a name that ends in .pdf{} is wanted", a.out, a.kind == "day" ? ", .csv, .geojson or .gpx" : ""));

    // The greens.
    std::vector<fs::path> files;
    std::error_code code;
    const bool folder = fs::is_directory(a.green, code);
    if (folder) {
        for (const auto& entry : fs::directory_iterator(a.green))
            if (entry.path().extension() == ".gpkg" && !entry.path().filename().string().starts_with('.')) files.push_back(entry.path());
        std::sort(files.begin(), files.end());
        if (files.empty()) throw Error(fmt::format("{} holds no green file (.gpkg)", a.green));
    } else {
        check_output(a.out, {a.green}, ending);
        files.push_back(a.green);
    }
    TerminalProgress terminal;
    std::vector<DayGreen> greens;
    for (std::size_t k = 0; k < files.size(); ++k) {
        terminal.progress().step(static_cast<double>(k) / static_cast<double>(files.size()), "opening the greens");
        Progress own;
        greens.push_back(day_green(std::make_shared<const Green>(open_for_verb(files[k].string(), a.json, own)), a.date));
    }
    sort_day_greens(greens);
    std::vector<std::string> warnings;
    for (const DayGreen& g : greens) {
        if (g.green->terrain->outline.source() == OutlineSource::data_boundary)
            warnings.push_back(fmt::format("'{}' has no outline of its own: its paces count from the boundary of the survey's data, which may hold longer grass", g.green->name));
        if (!g.hole) warnings.push_back(fmt::format("'{}' has no hole{}", g.green->name, a.date.empty() ? "" : " for " + a.date));
        else if (!g.green->line_of_play) warnings.push_back(fmt::format("'{}' has no line of play, so its paces cannot be told; set it with brae line", g.green->name));
    }

    if (std::none_of(greens.begin(), greens.end(), [](const DayGreen& g) { return g.hole.has_value(); }))
        throw Error(fmt::format("no green has a hole{}; keep a plan with brae holes --days N --keep, or tell where the holes were cut with brae cut",
                                a.date.empty() ? "" : " for " + a.date));
    SheetResult result;
    if (points) {
        write_points(day_points(greens, a.date), a.out);
    } else {
        DaySheetRequest request;
        request.paper = a.paper == "letter" ? Paper::letter : Paper::a4;
        request.course = folder ? fs::absolute(a.green).lexically_normal().filename().string() : greens.front().green->name;
        if (request.course.empty()) request.course = fs::absolute(a.green).lexically_normal().parent_path().filename().string();
        request.date = a.date;
        request.feet_and_inches = a.feet;
        request.card_scale = a.card_scale;
        result = a.kind == "day" ? write_day_sheet(greens, request, a.out) : write_hole_card(greens, request, a.out);
    }
    terminal.finish();
    if (a.json) {
        nlohmann::ordered_json rows = nlohmann::ordered_json::array();
        for (const DayGreen& g : greens) rows.push_back({{"green", g.green->name}, {"place", place_words(g)}, {"state", g.state}});
        print_json({{"pages", result.pages}, {"scale", result.scale}, {"file", a.out}, {"greens", rows}, {"warnings", warnings}});
        return 0;
    }
    print_warnings(warnings);
    if (points) fmt::print("written {}\n", a.out);
    else fmt::print("written {}, {} page{}, greens at 1:{}\n", a.out, result.pages, result.pages == 1 ? "" : "s", result.scale);
    return 0;
}

}  // namespace brae::app
