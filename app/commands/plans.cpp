#include "app/commands/plans.h"

#include "app/commands/hole_request.h"
#include "app/commands/terminal.h"
#include "core/record/green_file.h"

#include <nlohmann/json.hpp>

namespace brae::app {

Green open_for_verb(const std::string& file, bool quiet, Progress& progress) {
    Green green = open_green(file, progress);
    if (green.revision == 0 && !quiet) print_warnings(green.terrain->warnings);
    return green;
}

HolePlan plan_holes_of(const Green& green, double speed_ft, int days, Progress& progress) {
    HolesArguments a;
    a.days = days;
    HolesOfGreen made = holes_of_green(green, a, HoleLimits{}, speed_ft, HoleScope::only_possible, progress);
    HolePlan out;
    out.positions = std::move(made.positions);
    out.why_none = std::move(made.why_none);
    out.candidates = made.judged.places.size();
    out.fair = made.judged.fair;
    out.fair_area_m2 = made.judged.fair_area_m2;
    return out;
}

nlohmann::ordered_json json_of_path(const RollPath& path) {
    auto rows = nlohmann::ordered_json::array();
    for (const RollSample& s : path.samples)
        rows.push_back({tidy(s.p.x), tidy(s.p.y), tidy(s.p.z), tidy(s.t), tidy(s.v)});
    return rows;
}

CaptureModel capture_model(const std::string& text) {
    if (text.empty()) return kDefaultCapture;
    return text == "rim" ? CaptureModel::rim : CaptureModel::free_fall;
}

}  // namespace brae::app
