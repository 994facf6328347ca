// Points to be set out by a rover or looked up on a phone: CSV, GeoJSON and GPX.
#pragma once

#include "core/plan/practice_stations.h"
#include "core/terrain/terrain_model.h"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace brae {

struct NamedPoint {
    std::string name;         // "A ball"
    std::string code;         // "BALL", "AIM", "HOLE", "GATE"
    std::string description;  // for people
    Vec2 p;                   // local metres
};

// A point with the ground that it lies on, for files of several greens.
struct PointOfGreen { NamedPoint point; std::shared_ptr<const TerrainModel> terrain; };

// Ball, aim marker (where there is one), both tees of the gate and, once, each hole.
std::vector<NamedPoint> station_points(const std::vector<PracticeStation>& stations);

// By the ending of FILE:
// .csv      name,code,easting,northing,height,description in the survey's own system and unit (millimetres kept), heights
//           over its datum in metres; where there is no system, local metres, and the head says so ("x_m,y_m");
// .geojson  RFC 7946, longitude, latitude and height; local metres with a member "note" where there is no system;
// .gpx      GPX 1.1 waypoints, which need a coordinate system.
// Heights are those of the surface. Writes a part beside FILE and renames. Throws Error(usage) for another ending and for a
// GPX of a survey without a system, Error where the disk says no.
void write_points(const std::vector<NamedPoint>& points, const TerrainModel& terrain, const std::filesystem::path& file);
// The same for several greens. A CSV and a GeoJSON of local metres then hold each green's own. Throws Error where some of the
// greens have a coordinate system and some have none, and for a CSV where their systems differ; for no points at all.
void write_points(const std::vector<PointOfGreen>& points, const std::filesystem::path& file);

}  // namespace brae
