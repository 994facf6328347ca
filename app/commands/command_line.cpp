// The only file that includes the option parser (it takes seconds to compile).
#include "app/commands/command_line.h"

#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "app/window/window.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/sheets.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <iostream>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

// Lets through numbers that are numbers.
const CLI::Validator finite(
    [](std::string& text) {
        char* end = nullptr;
        const double value = std::strtod(text.c_str(), &end);
        return end != text.c_str() && *end == 0 && std::isfinite(value) ? std::string()
                                                                        : fmt::format("found '{}', a number is wanted", text);
    },
    "NUMBER", "finite");

// Options that several verbs share, described once.
void add_green(CLI::App* verb, GreenArguments& a) {
    verb->add_option("GREEN", a.green, "green file, or a survey read with default settings")->required();
    verb->add_flag("--json", a.json, "one JSON object on standard output, nothing else");
}
void add_speed(CLI::App* verb, double& speed_ft, bool required = true) {
    auto* option = verb->add_option("--speed", speed_ft, "green speed of the day, ft (4 to 16)")->check(finite);
    if (required) option->required();
    else option->capture_default_str();
}
void add_optional_speed(CLI::App* verb, std::optional<double>& speed_ft) {
    verb->add_option("--speed", speed_ft, "green speed of the day, ft (4 to 16); default: the newest reading kept in the green")->check(finite);
}
void add_past(CLI::App* verb, double& past_m) {
    verb->add_option("--past", past_m, "pace: how far past the hole's centre on level ground, m")->check(finite)->capture_default_str();
}
const char* const kPoint = "X,Y in local metres or map:X,Y";

// Everything the command line can ask for.
struct CommandLine {
    CLI::App app{"brae: surveyed putting greens, their reads, practice stations and hole positions"};
    std::function<int()> run;
    bool json = false;

    WindowOptions window;
    SurveyArguments survey;
    SlopeArguments slope;
    ExportArguments export_to;
    LocateArguments locate;
    RollArguments roll;
    PuttArguments putt;
    ReadsArguments reads;
    HolesArguments holes;
    StationsArguments stations;
    SheetArguments sheet;
    PictureArguments picture;

    template <typename Arguments>
    CLI::App* verb(const char* name, const char* what, Arguments& a, int (*function)(const Arguments&)) {
        CLI::App* sub = app.add_subcommand(name, what);
        sub->callback([this, &a, function] {
            json = a.json;
            run = [&a, function] { return function(a); };
        });
        return sub;
    }
    CommandLine();
};

CommandLine::CommandLine() {
    app.footer("Points are X,Y in metres in the green's local frame, or map:X,Y in its coordinate system.\n"
               "Exit codes: 0 done, 1 no answer or failed, 2 wrong use.");
    app.set_version_flag("--version", std::string("brae " BRAE_VERSION));
    app.require_subcommand(0, 1);
    app.add_option("GREEN", window.file, "opens the window with this green, survey or elevation file");
    app.add_option("--screenshot", window.screenshot, "saves the window as a PNG after --frames frames and ends");
    app.add_option("--frames", window.frames, "ends after so many drawn frames");
    app.add_option("--size", window.size, "window size in pixels, such as 1440x900")->capture_default_str();
    app.add_option("--input", window.input_script, "plays recorded input from a file");
    app.add_flag("--timing", window.timing, "says how long the first frame took");

    CLI::App* s = verb("survey", "imports, cleans, fits and stores a survey", survey, run_survey);
    s->add_option("FILES", survey.files, "PLY, XYZ, PCD, PTS, CSV, GeoTIFF or ESRI ASCII; several become one survey")->required();
    s->add_option("--out", survey.out, "green file to write (.gpkg)")->required();
    s->add_option("--crs", survey.crs, "coordinate system, such as EPSG:27700; default: from the file");
    s->add_option("--units", survey.units, "m, ft or us-ft; default: from the file, else m")->check(CLI::IsMember({"m", "ft", "us-ft"}));
    s->add_option("--height-units", survey.height_units, "the same for heights where they differ")->check(CLI::IsMember({"m", "ft", "us-ft"}));
    s->add_option("--cell", survey.cell_m, "cell size, m; default: from the density")->check(CLI::Range(0.05, 2.0));
    s->add_option("--outline", survey.outline, "edge of the green: GeoJSON, GeoPackage or Shapefile");
    s->add_option("--clip", survey.clip, "WEST,SOUTH,EAST,NORTH in map coordinates");
    s->add_option("--method", survey.method, "how it was surveyed: total-station, tripod, rtk, drone or lidar")
        ->check(CLI::IsMember({"total-station", "tripod", "rtk", "drone", "lidar"}));
    s->add_option("--name", survey.name, "name of the green; default: from --out");
    s->add_flag("--replace", survey.replace, "replaces a green file although it holds stations, zones, readings or holes");
    s->add_flag("--json", survey.json, "one JSON object on standard output, nothing else");

    s = verb("slope", "slope of the green; maps and lines as files", slope, run_slope);
    add_green(s, slope);
    s->add_option("--out", slope.out, "folder for slope.tif, aspect.tif, curvature.tif, contours.geojson, fall-lines.geojson");
    s->add_option("--interval", slope.contour_interval_m, "between contours, m")->check(CLI::Range(0.005, 10.0))->capture_default_str();
    s->add_option("--spacing", slope.line_spacing_m, "between fall lines, m")->check(CLI::Range(0.2, 20.0))->capture_default_str();

    s = verb("export", "the green for other programs: grid, mesh, drawing or contours, by the ending of the name", export_to, run_export);
    add_green(s, export_to);
    s->add_option("--out", export_to.out, "FILE.tif or .asc (heights), .ply, .obj or .glb (mesh), .dxf (drawing), .geojson (contours)")->required();
    s->add_option("--interval", export_to.contour_interval_m, "between contours, m")->check(CLI::Range(0.005, 10.0))->capture_default_str();
    s->add_option("--spacing", export_to.spacing_m, "of the mesh, m; default: the model's own cell")->check(CLI::Range(0.05, 5.0));

    s = verb("locate", "brings a hole or ball that is really there into the model, from reference marks", locate, run_locate);
    add_green(s, locate);
    s->add_option("--tape", locate.tapes, "MARK=METRES, at least twice")->required();
    s->add_option("--check", locate.checks, "MARK=METRES, a further tape that proves the others");
    s->add_option("--side", locate.side, "left or right, as one stands on the first mark and looks at the second")
        ->check(CLI::IsMember({"left", "right"}));
    s->add_flag("--store", locate.store, "keeps the place in the green file as today's hole");

    s = verb("roll", "rolls one ball", roll, run_roll);
    add_green(s, roll);
    s->add_option("--ball", roll.ball, kPoint)->required();
    s->add_option("--toward", roll.toward_deg, "bearing of the start, degrees clockwise from north")->check(finite)->required();
    s->add_option("--launch", roll.launch_mps, "launch speed, m/s, as if the ball rolled at once")->check(finite)->required();
    add_speed(s, roll.speed_ft);
    s->add_option("--hole", roll.hole, "X,Y, map:X,Y or today: this hole may take the ball");
    s->add_flag("--covered", roll.covered, "the hole is covered: only say how the ball passes it");

    s = verb("putt", "aim and pace for one putt", putt, run_putt);
    add_green(s, putt);
    s->add_option("--ball", putt.ball, kPoint)->required();
    s->add_option("--hole", putt.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, putt.speed_ft);
    add_past(s, putt.past_m);

    s = verb("reads", "the read of every ball spot of the green for one hole and pace, as a GeoTIFF", reads, run_reads);
    add_green(s, reads);
    s->add_option("--hole", reads.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_speed(s, reads.speed_ft);
    add_past(s, reads.past_m);
    s->add_option("--out", reads.out, "GeoTIFF to write")->required();
    s->add_option("--spacing", reads.spacing_m, "between ball spots, m")->check(CLI::Range(0.05, 5.0))->capture_default_str();
    s->footer("Bands of the file, each for the slowest solution of the spot, no-data where there is none:\n"
              "  1 aim offset, m (positive to the right as one faces the hole)\n"
              "  2 break, m\n"
              "  3 launch speed, m/s (as if the ball rolled at once)\n"
              "  4 start bearing, degrees clockwise from grid north\n"
              "  5 entry bearing, degrees: direction of travel at the hole\n"
              "  6 time to the hole, s\n"
              "  7 number of solutions (0: no putt from there at this pace; no-data off the green)");

    s = verb("holes", "fair hole positions, ranked; with --days one a day", holes, run_holes);
    add_green(s, holes);
    add_optional_speed(s, holes.speed_ft);
    s->add_option("--days", holes.days, "plan for so many days")->check(CLI::Range(1, 14));

    s = verb("stations", "practice stations with known break and the spot of the aim marker", stations, run_stations);
    CLI::App* listed = s;
    listed->add_option("GREEN", stations.green, "green file, or a survey read with default settings");
    listed->add_flag("--json", stations.json, "one JSON object on standard output, nothing else");
    s->add_option("--hole", stations.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, stations.speed_ft);
    add_past(s, stations.past_m);
    s->add_option("--lesson", stations.lesson, "name of a ready lesson; 'list' names them")->capture_default_str();
    s->add_flag("--store", stations.store, "keeps the stations in the green file");

    std::string kinds;
    for (const auto& k : sheet_kinds()) kinds += fmt::format("{}{}: {}", kinds.empty() ? "" : "; ", k.name, k.what);
    s = verb("sheet", "printed sheets (PDF)", sheet, run_sheet);
    add_green(s, sheet);
    s->add_option("--kind", sheet.kind, kinds)->required();
    s->add_option("--out", sheet.out, "PDF file to write")->required();
    s->add_option("--hole", sheet.hole, "X,Y, map:X,Y or today; default: the stations kept in the green, else today's hole");
    s->add_option("--lesson", sheet.lesson, "name of a ready lesson; default: the stations kept in the green, else ladder");
    add_optional_speed(s, sheet.speed_ft);
    s->add_option("--past", sheet.past_m, "pace: how far past the hole's centre on level ground, m (0.30)")->check(finite);
    s->add_option("--days", sheet.days, "for --kind holes: plan for so many days")->check(CLI::Range(1, 14));
    s->add_option("--date", sheet.date, "printed on the sheet as given");
    s->add_option("--paper", sheet.paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}))->capture_default_str();
    s->add_flag("--feet", sheet.feet, "lengths in feet and inches");

    s = verb("picture", "renders the scene as a PNG, with no display", picture, run_picture);
    add_green(s, picture);
    s->add_option("--out", picture.out, "PNG file to write")->required();
    s->add_option("--size", picture.size, "pixels")->capture_default_str();
    s->add_option("--view", picture.view, "fit, above or behind (from behind the ball, at true height)")
        ->check(CLI::IsMember({"fit", "above", "behind"}))->capture_default_str();
    s->add_option("--ball", picture.ball, kPoint);
    s->add_option("--hole", picture.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_speed(s, picture.speed_ft, false);
    add_past(s, picture.past_m);
    s->add_option("--exaggeration", picture.exaggeration, "of heights")->check(CLI::Range(1.0, 20.0))->capture_default_str();
}

// The words before the sentence of a failure: "brae putt".
std::string speaker(const CLI::App& app) {
    const auto subs = app.get_subcommands();
    return subs.empty() ? "brae" : "brae " + subs.front()->get_name();
}

int fail(const std::string& who, const std::string& sentence, int code, bool json) {
    if (json) print_json({{"error", sentence}});
    std::cerr << who << ": " << sentence << '\n';
    return code;
}

}  // namespace

int run_command_line(int argc, char** argv) {
    CommandLine line;
    try {
        line.app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        if (e.get_exit_code() == 0) return line.app.exit(e);  // --help, --version
        std::string sentence = e.what();
        std::replace(sentence.begin(), sentence.end(), '\n', ' ');
        const bool json = std::any_of(argv, argv + argc, [](const char* word) { return std::string(word) == "--json"; });
        return fail(speaker(line.app), sentence + fmt::format("; see {} --help", speaker(line.app)), 2, json);
    }
    const std::string who = speaker(line.app);
    try {
        return line.run ? line.run() : run_window(line.window);
    } catch (const Error& e) {
        return fail(who, e.what(), e.kind() == ErrorKind::usage ? 2 : 1, line.json);
    } catch (const std::bad_alloc&) {
        return fail(who, "the machine has not enough memory for this", 1, line.json);
    } catch (const std::exception& e) {
        return fail(who, fmt::format("something unforeseen went wrong: {}", e.what()), 1, line.json);
    }
}

}  // namespace brae::app
