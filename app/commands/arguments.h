// What the verbs were asked to do, as plain values. The only file that knows the option parser is command_line.cpp.
#pragma once

#include "core/base/constants.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::app {

// Every verb that reads a green: a green file, or any survey or elevation file read with default settings.
struct GreenArguments {
    std::string green;
    bool json = false;
};

struct SurveyArguments {
    std::vector<std::string> files;
    std::string out, crs, units, height_units, outline, clip, name, method;
    double cell_m = 0;
    bool replace = false;             // over a green file that holds people's work
    bool json = false;
};

struct SlopeArguments : GreenArguments {
    std::string out;               // folder for rasters and lines; empty: numbers only
    double contour_interval_m = 0.05, line_spacing_m = 1.0;
};

struct ExportArguments : GreenArguments {
    std::string out;               // its ending says the format
    double contour_interval_m = 0.05, spacing_m = 0;   // spacing 0: the model's own cell
};

struct LocateArguments : GreenArguments {
    std::vector<std::string> tapes, checks;  // "MARK=METRES"
    std::string side;
    bool store = false;            // keep the place as today's hole
};

struct RollArguments : GreenArguments {
    std::string ball, hole;
    double toward_deg = 0, launch_mps = 0, speed_ft = 0;
    bool covered = false;
};

struct PuttArguments : GreenArguments {
    std::string ball, hole;
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM;
};

struct ReadsArguments : GreenArguments {
    std::string hole, out;
    double speed_ft = 0, past_m = kUsualPastM, spacing_m = 0.25;
};

struct HolesArguments : GreenArguments {
    std::optional<double> speed_ft;
    int days = 0;
};

struct StationsArguments : GreenArguments {
    std::string hole, lesson = "ladder";
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM;
    bool store = false;
};

struct SheetArguments : GreenArguments {
    std::string kind, out, hole, paper = "a4", date;
    std::optional<std::string> lesson;      // empty: the stations kept in the green, else a ladder
    std::optional<double> speed_ft, past_m;
    int days = 0;
    bool feet = false;
};

struct PictureArguments : GreenArguments {
    std::string out, size = "1280x800", view = "fit", ball, hole;
    double speed_ft = 10, past_m = kUsualPastM, exaggeration = 5;
};

}  // namespace brae::app
