// brae reads: every ball spot of the green at once, as a raster with one band a quantity.
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/export/raster_file.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"
#include "core/solve/aim_error_map.h"
#include "core/solve/green_reads.h"

#include <chrono>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_reads(const ReadsArguments& a) {
    TerminalProgress terminal;
    const Green green = open_green(a.green, terminal.progress());
    const TerrainModel& terrain = *green.terrain;
    const SpeedOfDay speed = speed_of_day(green, a.speed_ft);
    const GreenQuestion question{parse_hole(a.hole, green), speed.speed_ft, a.past_m};

    // The time told is that of the reads, without opening and writing files.
    const auto began = std::chrono::steady_clock::now();
    const GreenReads reads = read_green(*terrain.surface, terrain.outline, question, {a.spacing_m}, terminal.progress());
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    if (!reads.why_none.empty()) throw Error(reads.why_none);
    std::vector<RasterBand> bands{{&reads.aim_offset_m, "aim offset, m"},
                                  {&reads.break_m, "break, m"},
                                  {&reads.launch_mps, "launch speed, m/s"},
                                  {&reads.start_bearing_deg, "start bearing, degrees"},
                                  {&reads.entry_bearing_deg, "entry bearing, degrees"},
                                  {&reads.time_s, "time to the hole, s"},
                                  {&reads.solutions, "number of solutions"}};
    // How sure the answers are that the file shows.
    AimErrorMap errors;
    double error_seconds = 0;
    if (a.errors) {
        const auto from = std::chrono::steady_clock::now();
        errors = map_aim_errors(*terrain.surface, terrain.outline, question, reads, terrain.error, speed.sigma_ft, terminal.progress());
        error_seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
        bands.push_back({&errors.survey_se_m, "standard error of the aim by the survey, m"});
        bands.push_back({&errors.speed_se_m, "standard error of the aim by green speed, m"});
        bands.push_back({&errors.aim_offset_se_m, "standard error of the aim, m"});
    }
    write_raster_bands(bands, terrain.frame, a.out);

    if (a.json) {
        nlohmann::ordered_json out{{"spots", reads.spots},
                                   {"solved", reads.solved},
                                   {"solutions", reads.all.size()},
                                   {"seconds", tidy(seconds)},
                                   {"spacing_m", tidy(a.spacing_m)},
                                   {"speed_ft", tidy(question.green_speed_ft)},
                                   {"hole", {tidy(question.hole.x), tidy(question.hole.y)}},
                                   {"file", a.out}};
        if (a.errors) out["errors"] = {{"spots", errors.spots}, {"one_by_one", errors.one_by_one}, {"seconds", tidy(error_seconds)}};
        print_json(out);
        return 0;
    }
    fmt::print("{} of {} ball spots have a putt at this pace, {} solutions, in {:.3f} s\n", reads.solved, reads.spots,
               reads.all.size(), seconds);
    if (a.errors) fmt::print("standard errors of {} spots in {:.3f} s\n", errors.spots, error_seconds);
    fmt::print("written {}\n", a.out);
    return 0;
}

}  // namespace brae::app
