// A folder of greens as a course: each green's places, and with --days one plan over all of them.
#pragma once

#include "app/commands/hole_request.h"

#include <nlohmann/json_fwd.hpp>

namespace brae::app {

int run_holes_course(const HolesArguments& a, const HoleLimits& limits);

// A place in paces, where the green has a line of play.
std::optional<PlaceByPaces> paces_of(const Green& green, Vec2 p);

// Rows of the JSON, of one green and of a course alike.
nlohmann::ordered_json json_of_hole(const HolePosition& p);
nlohmann::ordered_json json_of_ramp(const RampSite& r);
nlohmann::ordered_json json_of_green_holes(const Green& green, const HolesOfGreen& h, double speed_ft, const std::string& first_day);

}  // namespace brae::app
