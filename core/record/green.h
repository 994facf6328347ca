// A green as the program keeps it: the terrain and what people have put on it. An immutable value for whoever holds it.
#pragma once

#include "core/plan/line_of_play.h"
#include "core/plan/practice_stations.h"
#include "core/record/survey_record.h"
#include "core/terrain/terrain_model.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae {

struct StoredHole {
    std::string name;       // "today", "plan 2026-05-02 a"
    Vec2 p;
    std::string date;       // ISO 8601, may be empty
    std::string set_by;
    bool today = false;
    bool as_cut = false;                 // told afterwards where it really was; else as planned
    std::optional<double> speed_ft = {};   // of the green on that day
    std::string remark = {};
    bool by_plan = false;                // a plan chose it and the next one may choose anew; else people set it
};

// A day on which no hole was cut: the one before stayed.
struct SkippedDay { std::string date, reason, set_by; friend bool operator==(const SkippedDay&, const SkippedDay&) = default; };

// Where players walk on and off the green.
struct Gate { std::string name; Vec2 p; friend bool operator==(const Gate&, const Gate&) = default; };

// A ring that limits what may be put there. Kinds: "no hole", "worn", "closed"; "bunker", "water" and "bank" beside the edge (green_zones.h).
struct Zone { std::string name, kind; std::vector<Vec2> ring; std::string until; };

struct SpeedReading { double speed_ft = 0, sigma_ft = 0.5; std::string taken_at, method; };

struct StoredStation {
    PracticeStation station;
    int surface_revision = 0;
    std::string model;      // model version that the numbers came from
};

// What was told when the stations were kept: the green speed that the player is used to, and what of their lesson this green
// could not give. It goes with them.
struct StationsTold { std::optional<double> usual_speed_ft; std::string missing; friend bool operator==(const StationsTold&, const StationsTold&) = default; };

struct Green {
    std::string id;          // UUID, made at first import
    int revision = 0;        // goes up with each confirmed change of the file
    int surface_revision = 0;
    std::string name;
    std::shared_ptr<const TerrainModel> terrain;
    std::vector<ReferenceMark> marks;
    std::vector<StoredHole> holes;
    std::vector<SkippedDay> skipped;
    std::optional<LineOfPlay> line_of_play;
    std::vector<Gate> gates;
    std::vector<Zone> zones;
    std::vector<StoredStation> stations;
    StationsTold stations_told;
    std::vector<SpeedReading> speeds;
    SurveyFacts survey;      // when and how it was surveyed, in what state of the turf
    SurveyRecord record;     // which files it was made from, how they were read, and what was put back
    std::shared_ptr<const RemovedPoints> removed;   // what cleaning took away; null where the file is too old to say

    // The first of today's: a practice green may have several.
    const StoredHole* todays_hole() const {
        for (const auto& h : holes) if (h.today) return &h;
        return nullptr;
    }
};

}  // namespace brae
