// What several verbs work out of a stored green, and say in JSON.
#pragma once

#include "app/commands/arguments.h"
#include "core/plan/hole_positions.h"
#include "core/record/green.h"
#include "core/solve/player_spread.h"

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace brae::app {

// Opens a green for a verb. The notes of a survey that was read just now go to standard error unless `quiet`; those of a
// green file were said when it was made. Every verb's JSON repeats them under "warnings".
Green open_for_verb(const std::string& file, bool quiet, Progress& progress);

// The spread of the player that chances are for, and who that is in words. Typed figures, what is not typed being a fair
// amateur's; or what the newest lesson of the player on this green has learned, with the lessons before it. Throws Error(usage)
// for figures out of range, both ways at once, a player without a lesson on this green.
struct PlayerMeant { PlayerSpread spread; std::string words; };
PlayerMeant player_meant(const PlayerArguments& who, const Green& green, Progress& progress);

// By the whole judgement with everyday limits (hole_request.h): three for today, or one a day from `first_day` on (empty: today).
// What the green keeps for these days stands, by a plan or by hand; only days without a hole are planned. Past holes are kept clear
// of, zones are closed until their day.
// `remarks`: what could not be kept, such as holes that stand too near.
HolePlan plan_holes_of(const Green& green, double speed_ft, int days, const std::string& first_day, Progress& progress, std::vector<std::string>& remarks);

// Of "rim" or "free-fall"; the default where empty.
CaptureModel capture_model(const std::string& text);

// [[x, y, z, t, v], ...]
nlohmann::ordered_json json_of_path(const RollPath& path);

}  // namespace brae::app
