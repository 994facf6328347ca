// A hole's place in paces, for people and for scripts.
#pragma once

#include "core/plan/line_of_play.h"

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

namespace brae::app {

// Keys x y, and where there is a line of play on_paces side_paces side third on_m side_m behind_m; loose_m where paces led there.
nlohmann::ordered_json json_of_place(Vec2 p, const std::optional<PlaceByPaces>& place, double loose_m);

// The same without x and y: null where there is no line of play.
nlohmann::ordered_json json_of_paces(const std::optional<PlaceByPaces>& place);

// "12 on, 4 left (middle left)", with what is to be known beside it.
std::string words_of_place(const PlaceByPaces& place, double loose_m);

}  // namespace brae::app
