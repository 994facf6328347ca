// The only file that includes the option parser (it takes seconds to compile); long because every verb has its options here.
#include "app/commands/command_line.h"

#include "app/commands/output.h"
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
void add_optional_speed(CLI::App* verb, std::optional<double>& speed_ft) {
    verb->add_option("--speed", speed_ft, "green speed of the day, ft (4 to 16); default: the newest reading kept in the green")->check(finite);
}
void add_past(CLI::App* verb, double& past_m) {
    verb->add_option("--past", past_m, "pace: how far past the hole's centre on level ground, m")->check(finite)->capture_default_str();
}
void add_capture(CLI::App* verb, std::string& capture) {
    verb->add_option("--capture", capture, "what the hole takes: rim (mechanics of the edge, the default) or free-fall")
        ->check(CLI::IsMember({"rim", "free-fall"}));
}
// A number that may be left out.
CLI::Option* add_number(CLI::App* verb, const char* name, std::optional<double>& value, const char* what) {
    return verb->add_option(name, value, what)->check(finite);
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
    FinishedArguments finished;
    SpeedArguments speed;
    ReadsArguments reads;
    HolesArguments holes;
    LineArguments line;
    ZoneArguments zone;
    CutArguments cut;
    StationsArguments stations;
    SheetArguments sheet;
    LessonArguments lesson;
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

private:
    void lesson_verbs();
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
    s->add_option("FILES", survey.files, "LAS, PLY, OBJ, XYZ, PCD, PTS, CSV, GeoTIFF, grids, GeoPackage, Shapefile, GeoJSON or DXF; several become one survey. Or one folder of surveys, a green each")->required();
    s->add_option("--out", survey.out, "green file to write (.gpkg); for a folder of surveys, a folder; not needed where FILES is a green file, whose survey is read again");
    s->add_option("--crs", survey.crs, "coordinate system, such as EPSG:27700; default: from the file");
    s->add_option("--units", survey.units, "m, ft or us-ft; default: from the file, else m")->check(CLI::IsMember({"m", "ft", "us-ft"}));
    s->add_option("--height-units", survey.height_units, "the same for heights where they differ")->check(CLI::IsMember({"m", "ft", "us-ft"}));
    s->add_option("--cell", survey.cell_m, "cell size, m; default: from the density")->check(finite)->check(CLI::Range(0.05, 2.0));
    s->add_option("--outline", survey.outline, "edge of the green: GeoJSON, GeoPackage or Shapefile; where FILES is a green file, another edge, for which its survey is read again; default: codes in the survey, else the edge that the green has");
    s->add_option("--clip", survey.clip, "WEST,SOUTH,EAST,NORTH in map coordinates");
    s->add_option("--method", survey.method, "how it was surveyed: total-station, tripod, rtk, drone or lidar")
        ->check(CLI::IsMember({"total-station", "tripod", "rtk", "drone", "lidar"}));
    s->add_option("--date", survey.date, "day of the survey, such as 2026-05-02; default: from the file where it says");
    s->add_option("--height-of-cut", survey.height_of_cut_mm, "height of cut on that day, mm")->check(finite)->check(CLI::Range(0.5, 50.0));
    s->add_option("--top-dressed", survey.top_dressed, "day of the last top-dressing or other work on the surface");
    s->add_option("--name", survey.name, "name of the green; default: from --out");
    s->add_option("--put-back", survey.put_back, "keeps what cleaning took away: above-turf, below-turf, astray, other-class, second-layer, withheld; remembered in the green")
        ->delimiter(',');
    s->add_option("--put-back-box", survey.put_back_boxes, "X0,Y0,X1,Y1 in local metres: keeps every point in it; may be given more than once")->take_all();
    s->add_option("--remove-again", survey.remove_again, "takes away again what was put back: the words of --put-back, boxes, or all")->delimiter(',');
    s->add_flag("--replace", survey.replace, "starts the green at --out anew; without it a green that stands there is renewed: new ground, everything else kept");
    s->add_flag("--json", survey.json, "one JSON object on standard output, nothing else");

    s = verb("slope", "slope of the green; maps and lines as files", slope, run_slope);
    add_green(s, slope);
    s->add_option("--out", slope.out, "folder for slope.tif, aspect.tif, curvature.tif, contours.geojson, fall-lines.geojson");
    s->add_option("--interval", slope.contour_interval_m, "between contours, m")->check(finite)->check(CLI::Range(0.005, 10.0))->capture_default_str();
    s->add_option("--spacing", slope.line_spacing_m, "between fall lines, m")->check(finite)->check(CLI::Range(0.2, 20.0))->capture_default_str();

    s = verb("export", "the green for other programs: grid, mesh, drawing or contours, by the ending of the name", export_to, run_export);
    add_green(s, export_to);
    s->add_option("--out", export_to.out, "FILE.tif or .asc (heights), .ply, .obj or .glb (mesh), .dxf (drawing), .geojson (contours)")->required();
    s->add_option("--interval", export_to.contour_interval_m, "between contours, m")->check(finite)->check(CLI::Range(0.005, 10.0))->capture_default_str();
    s->add_option("--spacing", export_to.spacing_m, "of the mesh, m; default: the model's own cell")->check(finite)->check(CLI::Range(0.05, 5.0));

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
    CLI::Option* launch = add_number(s, "--launch", roll.launch_mps, "launch speed, m/s, as if the ball rolled at once");
    add_number(s, "--ball-speed", roll.ball_speed_mps, "instead of --launch: speed off the face, m/s; the ball jumps and skids before it rolls")
        ->excludes(launch);
    add_optional_speed(s, roll.speed_ft);
    s->add_option("--hole", roll.hole, "X,Y, map:X,Y or today: this hole may take the ball");
    s->add_flag("--covered", roll.covered, "the hole is covered: only say how the ball passes it");
    add_capture(s, roll.capture);
    const char* const assumed = "Assumptions (off unless given)";
    add_number(s, "--loft", roll.loft_deg, "with --ball-speed: the putter's loft at impact, degrees (3)")->group(assumed);
    add_number(s, "--skid-friction", roll.skid_friction, "with --ball-speed: sliding friction of ball on turf (0.30)")->group(assumed);
    add_number(s, "--grain-bearing", roll.grain_bearing_deg, "the way the grass lies, degrees clockwise from north")->group(assumed);
    add_number(s, "--grain-strength", roll.grain_strength, "resistance is less by this part with the grain and more against it (0 to 0.5)")
        ->group(assumed);
    add_number(s, "--speed-exponent", roll.speed_exponent, "resistance follows speed to this power (-0.5 to 0.5)")->group(assumed);
    add_number(s, "--outside-factor", roll.outside_factor, "outside --cut resistance is so many times as large (0.5 to 10)")->group(assumed);
    s->add_option("--cut", roll.cut, "ring of the cut: GeoJSON, GeoPackage or Shapefile")->group(assumed);
    s->footer("The speed is one of --launch and --ball-speed. Reads never take these assumptions: they say what a ball would do if.\n"
              "JSON: stop, length_m, time_s, end, path, assumptions (sentences, empty without any); with --ball-speed\n"
              "skid {length_m, time_s, rolling_mps, jump_length_m, jump_height_m, launch_mps}; with --hole pass, capture (the criterion), uncertain\n"
              "(whether its fate hangs on the bounce) and drops_by_restitution.");

    s = verb("putt", "aim and pace for one putt", putt, run_putt);
    add_green(s, putt);
    s->add_option("--ball", putt.ball, kPoint)->required();
    s->add_option("--hole", putt.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, putt.speed_ft);
    add_past(s, putt.past_m);
    s->add_option("--pace-error", putt.pace_error_m, "one standard error of that pace, m; its part of the aim is told apart")
        ->check(finite)->check(CLI::Range(0.0, 2.0))->capture_default_str();
    add_capture(s, putt.capture);
    s->add_flag("--best-pace", putt.best_pace, "finds the pace at which this putt forgives most, from 0 to 1.5 m past");
    const char* const player = "Player: chance to hole and expected strokes";
    add_number(s, "--start-line-sigma", putt.start_line_sigma_deg, "1 sigma of the start line, degrees")->group(player);
    add_number(s, "--pace-sigma", putt.pace_sigma_pct, "1 sigma of the launch speed, percent of it")->group(player);
    add_number(s, "--read-sigma", putt.read_sigma_deg, "1 sigma of the player's own read, degrees (0)")->group(player);
    const char* const putter = "Putter at impact";
    add_number(s, "--loft", putt.loft_deg, "loft, degrees; the ball speeds are then those of this loft, else of no loft")->group(putter);
    add_number(s, "--lie-error", putt.lie_error_deg, "lie off the level, degrees, positive toe up (with --loft)")->group(putter);
    s->footer(
        "JSON beside the aim and the pace, for each of solutions (the first also at the top):\n"
        "  holing_window  left_deg right_deg, low_side_deg high_side_deg (null on a straight putt), slow_mps fast_mps,\n"
        "                 slow_ball_mps fast_ball_mps (off the face); null where the ball comes too fast\n"
        "  player         chance chance_error expected_strokes one_putt two_putts three_putts four_putts mean_leave_m\n"
        "                 left_green, and the sigmas; a ball that the hole's mechanics takes counts as holed\n"
        "  putter         loft_deg launch_angle_deg spin_ratio skid_length_m skid_time_s jump_height_m;\n"
        "                 with --lie-error face_turn_deg face_turn_m (at the hole), positive towards the heel side\n"
        "and once: best_pace {past_m, forgiveness, width_deg, aim_offset_m, launch_mps, ball_speed_mps, the window's keys,\n"
        "  at_end, widest_past_m, rows: [...], why_none}. Forgiveness: degrees times percent of speed that still hole.");

    s = verb("finished", "what a ball that came to rest tells: errors of read, start line and pace apart", finished, run_finished);
    add_green(s, finished);
    s->add_option("--ball", finished.ball, "where it started, X,Y in local metres or map:X,Y")->required();
    s->add_option("--hole", finished.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, finished.speed_ft);
    add_past(s, finished.past_m);
    s->add_option("--rest", finished.rest, "where it came to rest");
    s->add_option("--left-at", finished.left_at, "instead of --rest: where it left the green");
    s->add_flag("--holed", finished.holed, "instead of --rest: it was holed");
    add_number(s, "--rest-sigma", finished.rest_sigma_m, "1 sigma of the place, m (5 cm and 2 % of its distance to the hole)");
    auto* aim = add_number(s, "--aim", finished.aim_m, "the aim that the player chose: m beside the hole, positive right");
    s->add_option("--marker", finished.marker, "instead of --aim: a point on the line that the player chose")->excludes(aim);
    s->add_option("--aim-sigma", finished.aim_sigma_m, "1 sigma of that aim at the hole, m")->check(finite)->capture_default_str();
    s->add_option("--passed", finished.passed, "where it was seen to pass the hole: high, low, left, right or short")
        ->check(CLI::IsMember({"high", "low", "left", "right", "short"}));
    s->footer("A ball passes on the side on which it crosses the line through the hole square to the putt, wherever it rests.\n"
              "JSON: status (told, or why not: several, side-disagrees, sensitive, touched-hole, holed, off-green), told,\n"
              "sentence, read, range, launches: each launch_mps ball_speed_mps start_bearing_deg passed {side hand certain\n"
              "offset_m past_m}, direction_error_deg read_error_deg read_error_m start_line_error_deg start_line_error_m\n"
              "pace_error_mps pace_error_past_m, each {value, se} or null; positive is right, or too hard.");

    s = verb("speed", "speed of the day: from a ramp's readings, or from rolled balls on the surveyed ground", speed, run_speed);
    add_green(s, speed);
    auto* ramp = s->add_option("--ramp", speed.ramp, "readings one way, ft, commas between: 9.8,10.0,9.9");
    s->add_option("--back", speed.back, "readings back along the same line, ft")->needs(ramp);
    add_number(s, "--sigma", speed.sigma_ft, "1 sigma of the ramp's answer, ft, where you know it (0.5)")->needs(ramp);
    s->add_option("--rolls", speed.rolls, "CSV of rolled balls, a line each")->excludes(ramp);
    s->add_flag("--map", speed.map, "the places of the CSV are in map coordinates");
    s->add_option("--date", speed.date, "day of the reading, such as 2026-05-02, with an hour behind it where wanted (today)");
    s->add_flag("--store", speed.store, "keeps the answer in the green file: it is the speed of the day from then on");
    s->footer("Columns of the CSV, named in its first line: start_x start_y finish_x finish_y, and toward_x toward_y (a point on\n"
              "the start line) or bearing_deg. More where known: launch_mps (m/s of rolling, or the word ramp for its\n"
              "1.829 m/s; empty: unknown), group (rolls of the same number share one unknown launch speed), finish_sigma_m\n"
              "(0.03), direction_sigma_deg (0.5), launch_sigma_mps (0.018, 1 %, of a ramp and of a group,\n"
              "else 0).\n"
              "JSON: speed_ft sigma_ft method stored warnings; from a ramp one_way_ft back_ft slope_corrected repeat; from\n"
              "rolls told agrees sentence chi_square degrees_of_freedom p_value fit_sigma_ft tilt rolls.");

    s = verb("reads", "the read of every ball spot of the green for one hole and pace, as a GeoTIFF", reads, run_reads);
    add_green(s, reads);
    s->add_option("--hole", reads.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, reads.speed_ft);
    add_past(s, reads.past_m);
    s->add_option("--out", reads.out, "GeoTIFF to write")->required();
    s->add_option("--spacing", reads.spacing_m, "between ball spots, m")->check(finite)->check(CLI::Range(0.05, 5.0))->capture_default_str();
    s->add_flag("--errors", reads.errors, "write the standard errors of the aim as well, bands 8 to 10");
    s->footer("Bands of the file, each for the slowest solution of the spot, no-data where there is none:\n"
              "  1 aim offset, m (positive to the right as one faces the hole)\n"
              "  2 break, m\n"
              "  3 launch speed, m/s (as if the ball rolled at once)\n"
              "  4 start bearing, degrees clockwise from grid north\n"
              "  5 entry bearing, degrees: direction of travel at the hole\n"
              "  6 time to the hole, s\n"
              "  7 number of solutions (0: no putt from there at this pace; no-data off the green)\n"
              "With --errors, one standard error of the aim offset:\n"
              "  8 by the survey's error of height, m\n"
              "  9 by green speed (that of the reading, else 0.5 ft), m\n"
              "  10 both together, m");

    s = verb("holes", "fair hole positions: three for today, or one a day; of one green or a folder of them", holes, run_holes);
    s->add_option("GREEN", holes.green, "green file, a survey read with default settings, or a folder of green files (a course)")->required();
    s->add_flag("--json", holes.json, "one JSON object on standard output, nothing else");
    add_optional_speed(s, holes.speed_ft);
    s->add_option("--days", holes.days, "plan for so many days, one hole a day; for a folder, over the whole course")->check(finite)->check(CLI::Range(1, 14));
    s->add_option("--from", holes.from, "first day, such as 2026-05-02; default: today. Holes set by hand or cut in the plan are kept, zones open on their day");
    s->add_flag("--keep", holes.keep, "keeps the plan of --days in the green files: brae sheet --kind day --date DAY prints it, the next plan may choose anew");
    s->add_option("--by", holes.by, "who planned it, kept with it; initials will do");
    s->add_option("--most", holes.most, "ranked places for today")->check(finite)->check(CLI::Range(1, 10))->capture_default_str();
    s->add_option("--place", holes.place, "judges this place alone: today, X,Y, map:X,Y, '12 on, 4 left' or tapes, as brae cut takes it");
    add_number(s, "--forecast", holes.forecast_ft, "green speed that is forecast, ft: warns of holes that stop being fair");
    s->add_flag("--by-speed", holes.by_speed, "the fair area at green speeds of 8 to 13 ft too");
    s->add_option("--maps", holes.maps, "folder for a GeoTIFF of each criterion; judges every place by every criterion");
    const char* const limits = "Limits";
    s->add_option("--profile", holes.profile, "everyday (the default) or competition")->group(limits);
    s->add_option("--limits", holes.limits, "a club's own limits, JSON (docs/hole_positions.md)")->group(limits);
    add_number(s, "--play", holes.play_deg, "the way the hole is played, degrees clockwise from north: front and back, and a free approach")->group(limits);
    add_number(s, "--spacing", holes.spacing_m, "between candidates, m (0.5)")->group(limits);
    s->add_option("--recovery", holes.recovery_days, "days until a plug has healed")->check(finite)->check(CLI::Range(1, 90))->capture_default_str()->group(limits);
    s->footer("JSON: positions [{x y score fair slope_pct edge_m why putts place fair_to_ft ends_by day date by_hand criteria [{name pass value limit unit\n"
              "measured sentence}]}], candidates fair fair_area_m2 speed_ft outline why_none ramp {x y bearing_deg slope_pct worst_slope_pct corners\n"
              "sentence} by_speed [{speed_ft area_m2}] forecast [sentences] maps [files] warnings; with --days gap_pct remarks skipped [{date reason}];\n"
              "with --keep kept. Of a folder: greens [the same, with name and file, kept or not_kept, or error], failed and plan {from days gap_pct\n"
              "nodes remarks rows [{green day date x y place third side difficulty score wear by_hand}] skipped [{green date reason}]}.\n"
              "place {on_paces side_paces side third ...} where the green has a line of play. ends_by empty: fair at least to fair_to_ft.\n"
              "Every key: docs/hole_positions.md. No fair position is an answer: positions is empty, why_none says why, and the exit code is 0.");

    s = verb("line", "the line of play of a green: from it paces on and from the side are counted", line, run_line);
    add_green(s, line);
    auto* bearing = add_number(s, "--bearing", line.bearing_deg, "sets it: the way players look over the green, degrees clockwise from north");
    s->add_option("--point", line.points, "sets it: X,Y or map:X,Y of the approach, from the players on; twice or more, the last leg is its direction")
        ->excludes(bearing)->take_all();
    s->add_option("--gate", line.gates, "sets where players walk on and off, X,Y or map:X,Y; may be given more than once")->take_all();
    s->add_option("--place", line.place, "tells a place in paces and metres: 'X,Y', '12 on, 4 left', tapes");
    s->add_flag("--clear", line.clear, "takes line of play and gates away");
    s->footer("Paces on: yards along the line of play through the hole, from where it crosses the front edge; from the side: square to it,\n"
              "to the nearer side, left and right as the player sees them. Common practice; some clubs count from the front of the whole green.\n"
              "JSON: bearing_deg approach gates depth_m width_m, and of today's hole or --place: place {x y on_paces side_paces side third ...}.");

    s = verb("zone", "ground that holes or stations keep off, and bunkers, water and banks beside the green", zone, run_zone);
    add_green(s, zone);
    s->add_option("--name", zone.name, "adds this zone, or changes the one of that name");
    s->add_option("--kind", zone.kind, "what it is: 'no hole', worn, closed, bunker, water or bank");
    s->add_option("--until", zone.until, "first day on which its ground is open again, such as 2026-05-02; 'none' takes the day away, as without it ground stays closed");
    auto* corner = s->add_option("--point", zone.points, "a corner of its ring, X,Y or map:X,Y; three times or more, in order")->take_all();
    s->add_option("--file", zone.file, "its ring from a GeoJSON, GeoPackage or Shapefile: the largest polygon")->excludes(corner);
    s->add_option("--take-away", zone.take_away, "takes the zone of this name away");
    s->footer("Without options the zones are told. 'no hole', worn and closed keep holes off; worn and closed keep practice stations off too; bunker, water\n"
              "and bank guard the edge: holes keep farther from the edge beside them.\n"
              "JSON: zones [{name kind until ring area_m2 means}].\n"
              "Example: brae zone green.gpkg --name scar --kind worn --until 2026-05-20 --point 12,8 --point 15,8 --point 14,11");

    s = verb("cut", "where the hole was cut, told afterwards in one line a green; the history of its holes", cut, run_cut);
    s->add_option("GREEN", cut.green, "green file, or a folder of them with --file")->required();
    s->add_flag("--json", cut.json, "one JSON object on standard output, nothing else");
    auto* cut_at = s->add_option("--at", cut.at, "'12 on, 4 left' (paces), 'S1=6.42, S2=8.13, left' (tapes), 'X,Y', 'map:X,Y' or 'skipped REASON'; several with + between on a practice green");
    auto* cut_file = s->add_option("--file", cut.file, "text file of the course, a line a green: NAME: what --at takes")->excludes(cut_at);
    s->add_option("--date", cut.date, "day, such as 2026-05-02; default: today");
    s->add_option("--by", cut.by, "who set it; initials will do, the file may be shared");
    s->add_option("--remark", cut.remark, "kept with it");
    s->add_option("--speed", cut.speed_ft, "green speed of that day, ft (4 to 16): becomes the newest reading")->check(finite);
    s->add_flag("--earlier", cut.earlier, "told late: goes into the history before its newest entry and leaves today's hole");
    s->add_flag("--planned", cut.planned, "for a day ahead: a hole set by hand, which a plan keeps, or a day that will be skipped");
    s->add_flag("--dry", cut.dry, "says what would be kept and keeps nothing");
    s->add_option("--history", cut.history, "takes the history from a CSV that --out wrote")->excludes(cut_at)->excludes(cut_file);
    s->add_flag("--force", cut.force, "takes a history that does not say whose it is");
    s->add_option("--out", cut.out, "writes the history as CSV");
    s->add_option("--profile", cut.profile, "limits that the place is told against: everyday (the default) or competition");
    s->add_option("--limits", cut.limits, "a club's own limits for that, JSON (docs/hole_positions.md)");
    s->footer("Without --at, --file and --history the history is shown. In a line, after semicolons: speed 9.8; by JM; date 2026-05-02; any remark.\n"
              "In a file 'date: 2026-05-02', 'by: JM' and 'speed: 10' hold for the lines below; # begins a comment. A file is checked as a\n"
              "whole first: one wrong line, and nothing is kept. The hole as cut is today's: reads, stations and plans use it.\n"
              "A place that breaks a limit is kept all the same, and told which and by how much.\n"
              "JSON: entries [{green file date state (cut, by hand, skipped, history) x y on_paces side_paces side third loose_m understood fair fails\n"
              "[{name sentence}] beside reason remarks}] kept; where shown greens [{green file history ahead plugs}].");

    s = verb("stations", "practice stations with known break and the spot of the aim marker", stations, run_stations);
    CLI::App* listed = s;
    listed->add_option("GREEN", stations.green, "green file, or a survey read with default settings");
    listed->add_flag("--json", stations.json, "one JSON object on standard output, nothing else");
    s->add_option("--hole", stations.hole, "X,Y, map:X,Y; default: today's hole of the green");
    add_optional_speed(s, stations.speed_ft);
    add_past(s, stations.past_m);
    s->add_option("--lesson", stations.lesson, "name of a ready lesson; 'list' names them")->capture_default_str();
    s->add_option("--lesson-file", stations.lesson_file, "a lesson of your own (JSON), in place of --lesson");
    s->add_option("--usual-speed", stations.usual_speed_ft, "green speed that the player is used to, ft: the break there is told too, and kept with --store for the sheets")->check(finite);
    s->add_option("--out", stations.out, "points for a rover or phone: .csv, .geojson or .gpx");
    s->add_flag("--store", stations.store, "keeps the stations in the green file");
    const char* const whose = "Whose chance to hole each station is told, and asked for by even-chance (a fair amateur)";
    add_number(s, "--start-line-sigma", stations.who.start_line_sigma_deg, "1 sigma of the start line, degrees (1)")->group(whose);
    add_number(s, "--pace-sigma", stations.who.pace_sigma_pct, "1 sigma of the launch speed, percent of it (6)")->group(whose);
    add_number(s, "--read-sigma", stations.who.read_sigma_deg, "1 sigma of the player's own read, degrees (0.5)")->group(whose);
    s->add_option("--player-file", stations.who.player_file, "instead: lesson file whose lessons on this green have learned the player")->group(whose);
    s->add_option("--player", stations.who.player, "name or code in that file, where it holds several")->group(whose);

    std::string kinds;
    for (const auto& k : sheet_kinds()) kinds += fmt::format("{}{}: {}", kinds.empty() ? "" : "; ", k.name, k.what);
    s = verb("sheet", "printed sheets (PDF)", sheet, run_sheet);
    add_green(s, sheet);
    s->add_option("--kind", sheet.kind, kinds)->required();
    s->add_option("--out", sheet.out, "PDF file to write; for --kind day also .csv, .geojson or .gpx, the holes for a rover or phone")->required();
    s->add_option("--hole", sheet.hole, "X,Y, map:X,Y or today; default: the stations kept in the green, else today's hole");
    s->add_option("--lesson", sheet.lesson, "name of a ready lesson; default: the stations kept in the green, else ladder");
    s->add_option("--lesson-file", sheet.lesson_file, "a lesson of your own (JSON), in place of --lesson");
    s->add_option("--usual-speed", sheet.usual_speed_ft, "green speed that the player is used to, ft; default: the one kept with the stations")->check(finite);
    add_optional_speed(s, sheet.speed_ft);
    s->add_option("--past", sheet.past_m, "pace: how far past the hole's centre on level ground, m (0.30)")->check(finite);
    s->add_option("--days", sheet.days, "for --kind holes: plan for so many days")->check(finite)->check(CLI::Range(1, 14));
    s->add_option("--from", sheet.from, "for --kind holes: the first day, such as 2026-05-02; default: today");
    s->add_option("--date", sheet.date, "printed on the sheet; for --kind day and card the day whose holes are printed");
    s->add_option("--card-scale", sheet.card_scale, "for --kind card: 500 for 1:500; 480 or more; default: as large as two cards take")->check(CLI::Range(1, 100000));
    s->add_option("--paper", sheet.paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}))->capture_default_str();
    s->add_flag("--feet", sheet.feet, "lengths in feet and inches");

    lesson_verbs();

    s = verb("picture", "renders the scene as a PNG, with no display", picture, run_picture);
    add_green(s, picture);
    s->add_option("--out", picture.out, "PNG file to write")->required();
    s->add_option("--size", picture.size, "pixels")->capture_default_str();
    s->add_option("--view", picture.view, "fit, above or behind (from behind the ball, at true height)")
        ->check(CLI::IsMember({"fit", "above", "behind"}))->capture_default_str();
    s->add_option("--ground", picture.ground, "what colours it: plain, slope, or for every ball spot aim, break, launch or entry")
        ->check(CLI::IsMember({"plain", "slope", "aim", "break", "launch", "entry"}))->capture_default_str();
    s->add_option("--ball", picture.ball, kPoint);
    s->add_option("--hole", picture.hole, "X,Y, map:X,Y; default: today's hole of the green");
    s->add_option("--speed", picture.speed_ft, "green speed of the day, ft (4 to 16); default: the newest reading kept in the green, else 10")
        ->check(finite);
    add_past(s, picture.past_m);
    s->add_option("--exaggeration", picture.exaggeration, "of heights")->check(finite)->check(CLI::Range(1.0, 20.0))->capture_default_str();
}

// Each action of brae lesson has options of its own, and says an example.
void CommandLine::lesson_verbs() {
    CLI::App* all = app.add_subcommand("lesson", "records a lesson with a player, and tells read, aim, stroke and pace apart");
    LessonArguments& a = lesson;
    all->add_flag("--json", a.json, "the same of every action");
    CLI::App* s = nullptr;
    const auto action = [&](const char* name, const char* what, const char* example) {
        s = all->add_subcommand(name, what);
        s->callback([this, name] {
            lesson.action = name;
            json = lesson.json;
            run = [this] { return run_lesson(lesson); };
        });
        s->add_option("FILE", a.file, "lesson file (.brae-lesson); personal data is here and nowhere else")->required();
        s->add_flag("--json", a.json, "one JSON object on standard output, nothing else");
        s->footer(fmt::format("Example: brae lesson {} {}", name, example));
    };
    const auto player = [&](const char* what) { s->add_option("--player", a.player, what); };
    const auto which = [&] {
        s->add_option("--lesson", a.lesson, "id of a lesson; default: the newest (of the player)");
        player("name or code; default: whose lesson is the newest");
    };
    const auto facts = [&] {
        s->add_option("--handicap", a.handicap, "band, such as 10-18");
        s->add_option("--hand", a.hand, "right or left")->check(CLI::IsMember({"right", "left"}));
        add_number(s, "--usual-speed", a.usual_speed_ft, "the player's usual green speed, ft");
        s->add_option("--note", a.note, "kept as given");
    };
    const auto fields = [&] {
        s->add_option("FIELDS", a.fields, "of one putt: station=A outcome=passed-low phase=own-read own_read_cm=-12 beyond_m=0.4 right_m=-0.1 ...");
    };
    const auto which_putt = [&](const char* what) { s->add_option("--putt", a.putt, what); };
    const char* const numbered = "a putt by its number among those that count, or by its id; brae lesson list FILE --lesson ID names them";
    const auto date = [&](const char* what) { s->add_option("--date", a.date, what); };
    const std::string words = "\nPutts, on the line and in the columns of a card: station and outcome (holed, passed-high, passed-low, passed-left,\n"
              "passed-right, short, lip-out, off-green, missed), and where known phase (own-read, marker, mark, retest), own_read_m,\n"
              "own_read_cm or own_read_in (offset at the hole, right positive), aim (left, on, right), gate (left, middle, right),\n"
              "strike (toe, centre, heel), marker_seen (yes, no), stop_x_m stop_y_m, beyond_m right_m or beyond_ft right_ft (from the\n"
              "hole), stop_source (click, tape, paces; not told: 5 cm + 2 %), stop_sigma_m, at, note. Codes of the printed card (brae\n"
              "sheet --kind lesson-card) are read like the words: phase o m k r; outcome h hi lo le ri s lip off x.";
    const auto with_words = [&] { s->footer(s->get_footer() + words); };

    action("new", "makes an empty lesson file", "2026.brae-lesson");
    action("player", "adds a player", "2026.brae-lesson --player 'code 7' --hand right --handicap 10-18 --usual-speed 9");
    player("name, or a code for minors"), facts();
    action("baseline", "keeps measured putts of a player, from a CSV", "2026.brae-lesson --player 'code 7' --csv putts.csv --column start='Launch dir' --unit speed=mph");
    player("name or code"), date("kept as given, such as 2026-05-02");
    s->add_option("--csv", a.csv, "measured putts, one a line");
    s->add_option("--column", a.columns, "FIELD=NAME or FIELD=NUMBER, for aim, face, path, start, strike, speed, distance");
    s->add_option("--unit", a.units, "FIELD=UNIT, such as aim=deg, speed=mph");
    s->add_flag("--left-positive", a.left_is_positive, "the file counts angles to the player's left");
    action("putter", "keeps how the player's putter was set", "2026.brae-lesson --player 'code 7' --moment before --loft 3 --lie 70");
    player("name or code"), date("kept as given, such as 2026-05-02");
    s->add_option("--moment", a.moment, "before or after an adjustment");
    add_number(s, "--loft", a.loft_deg, "degrees"), add_number(s, "--lie", a.lie_deg, "degrees"), add_number(s, "--length", a.length_m, "m");
    s->add_option("--sight-line", a.sight_line, "kept as given"), s->add_option("--note", a.note, "kept as given");
    action("start", "begins a lesson at the stations that a green keeps", "2026.brae-lesson --player 'code 7' --green green.gpkg --speed 9.5");
    player("name or code"), date("day, such as 2026-05-02; default: today");
    s->add_option("--green", a.green, "green file whose kept stations become the lesson's (brae stations --store keeps some)");
    add_optional_speed(s, a.speed_ft), s->add_option("--note", a.note, "kept as given");
    action("putt", "keeps one putt", "2026.brae-lesson station=A outcome=passed-low phase=own-read own_read_cm=-12 beyond_m=0.4 right_m=-0.1");
    fields(), which(), s->add_option("--green", a.green, "the lesson's green: side and place of the putt are held against each other"), with_words();
    action("card", "keeps the putts of a card that was typed in", "2026.brae-lesson --csv card.csv");
    which(), s->add_option("--csv", a.csv, "the card, one line a putt"), with_words();
    action("undo", "takes the last putt back", "2026.brae-lesson");
    which();
    action("correct", "puts right a putt, or what is known of a player", "2026.brae-lesson --putt 4 outcome=passed-low beyond_m=0.3");
    fields(), which(), which_putt(numbered), s->add_option("--name", a.name, "the player's new name or code"), facts(), with_words();
    s->add_option("--green", a.green, "the lesson's green: side and place of the corrected putt are held against each other");
    action("strike", "takes a putt out; it stays in the file as undone", "2026.brae-lesson --putt 4");
    which(), which_putt(numbered);
    action("restore", "brings back a putt that was taken out", "2026.brae-lesson --putt 6f9619ff-8b86-4011-b42d-00c04fc964ff");
    which(), which_putt("the id of a putt that was taken out; brae lesson list FILE --lesson ID names them");
    action("list", "names players and lessons, and the putts of a lesson", "2026.brae-lesson --player 'code 7'");
    player("this one only"), s->add_option("--lesson", a.lesson, "id of a lesson whose putts are named");
    action("report", "tells what a lesson says of the player, on the screen or as a page or a table", "2026.brae-lesson --green green.gpkg --out lesson.pdf");
    which(), s->add_option("--green", a.green, "the ground: the green file that the lesson was held on");
    s->add_flag("--history", a.history, "earlier lessons of the player on this green come first, each the start of the next");
    s->add_option("--out", a.out, "FILE.pdf, or FILE.csv with its figures");
    s->add_option("--for", a.reader, "of --out: player (one page; CSV: a line a putt) or coach (history and plots; CSV: a line a lesson)")
        ->check(CLI::IsMember({"player", "coach"}))->capture_default_str();
    s->add_option("--paper", a.paper, "of --out: a4 or letter")->check(CLI::IsMember({"a4", "letter"}))->capture_default_str();
    s->add_flag("--feet", a.feet, "of --out: lengths in feet and inches");
    s->add_flag("--force", a.force, "over a .csv that is there already");
    s->footer(s->get_footer() + "\n--json: read_low_deg read_share_pct start_line_deg aim_deg stroke_deg pace_pct, each {mean sd low_90 high_90}: the truth lies\n"
              "between low_90 and high_90 in nine of ten cases, sd is one standard deviation; sides stations each next sentences practise history.");
    action("export", "writes the putts of a lesson or all of a player", "2026.brae-lesson --player 'code 7' --out code7.json");
    which(), s->add_option("--out", a.out, "FILE.csv (putts of a lesson, as brae lesson card takes them) or FILE.json (all of a player)");
    s->add_flag("--force", a.force, "over a file that is there already");
    action("erase", "takes out a player with all of their lessons, for good", "2026.brae-lesson --player 'code 7' --sure");
    player("name or code"), s->add_flag("--sure", a.sure, "yes, for good");

    // An action that is none is named, with those that are.
    all->require_subcommand(0, 1)->allow_extras();
    all->callback([all] {
        if (!all->get_subcommands().empty()) return;
        std::string names;
        for (const CLI::App* known : all->get_subcommands([](const CLI::App*) { return true; })) names += (names.empty() ? "" : ", ") + known->get_name();
        const std::vector<std::string> found = all->remaining();
        throw CLI::ValidationError("ACTION", fmt::format("found {}, one of {} is wanted", found.empty() ? "none" : "'" + found.front() + "'", names));
    });
}

// The words before the sentence of a failure: "brae putt", "brae lesson start".
std::string speaker(const CLI::App& app, const std::string& name = "brae") {
    const auto subs = app.get_subcommands();
    return subs.empty() ? name : name + " " + speaker(*subs.front(), subs.front()->get_name());
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
        if (line.run) return line.run();
        if (!line.window.screenshot.empty()) check_output(line.window.screenshot, {line.window.file, line.window.input_script}, ".png", "--screenshot");
        return run_window(line.window);
    } catch (const Error& e) {
        return fail(who, e.what(), e.kind() == ErrorKind::usage ? 2 : 1, line.json);
    } catch (const std::bad_alloc&) {
        return fail(who, "the machine has not enough memory for this", 1, line.json);
    } catch (const std::exception& e) {
        return fail(who, fmt::format("something unforeseen went wrong: {}", e.what()), 1, line.json);
    }
}

}  // namespace brae::app
