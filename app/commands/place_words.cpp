#include "app/commands/place_words.h"

#include "app/commands/terminal.h"
#include "core/base/constants.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

nlohmann::ordered_json json_of_paces(const std::optional<PlaceByPaces>& place) {
    if (!place) return nullptr;
    const auto tenth = [](double metres) { return std::round(metres / kPace * 10) / 10; };
    nlohmann::ordered_json out{{"on_paces", tenth(place->on_m)}, {"side_paces", tenth(place->side_m())}, {"side", to_text(place->side())}, {"third", third_text(*place)},
                               {"on_m", tidy(place->on_m)}, {"side_m", tidy(place->side_m())}, {"behind_m", tidy(place->behind_m)}};
    if (place->first_edge_m > 0) out["first_edge_m"] = tidy(place->first_edge_m);
    return out;
}

nlohmann::ordered_json json_of_place(Vec2 p, const std::optional<PlaceByPaces>& place, double loose_m) {
    nlohmann::ordered_json out{{"x", tidy(p.x)}, {"y", tidy(p.y)}};
    if (place) out.update(json_of_paces(place));
    if (loose_m > 0) out["loose_m"] = tidy(loose_m);
    return out;
}

std::string words_of_place(const PlaceByPaces& place, double loose_m) {
    std::string out = fmt::format("{} ({})", paces_text(place), third_text(place));
    if (place.first_edge_m >= kPace / 2) out += fmt::format("; {:.0f} paces more from where the line first meets the green", place.first_edge_m / kPace);
    if (loose_m > 0) out += fmt::format("; whole paces fix it to {:.1f} m", loose_m);
    return out;
}

}  // namespace brae::app
