// The whole green at once: for one hole and pace, the read of every ball spot on a regular grid, folds included.
#pragma once

#include "core/base/constants.h"
#include "core/base/progress.h"
#include "core/survey/outline.h"
#include "core/terrain/elevation_model.h"
#include "core/terrain/spline_surface.h"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace brae {

struct GreenQuestion {
    Vec2 hole;
    double green_speed_ft = 10;
    double past_m = kUsualPastM;   // as in PuttQuestion
};

// One way to hole the putt from one spot; quantities as in PuttRead.
struct SpotSolution {
    std::uint32_t spot = 0;        // index into the rasters
    Vec2 direction;                // unit, horizontal, at the start
    double launch_mps = 0;
    double aim_offset_m = 0;       // not a number where the start is 90 degrees or more off
    double start_bearing_deg = 0, entry_bearing_deg = 0;
    double time_s = 0;
};

// Rasters share one layout; not a number where there is no answer. The maps show the slowest solution of each spot.
struct GreenReads {
    Raster aim_offset_m, break_m, launch_mps, start_bearing_deg, entry_bearing_deg, time_s;
    Raster solutions;                      // how many there are; 0 where none, not a number off the green
    std::vector<unsigned char> mask;       // 1 where there is a read
    std::vector<SpotSolution> all;         // by spot, then by launch speed
    std::size_t spots = 0, solved = 0;     // on the green; of these with a read
    std::string why_none;                  // a sentence where no spot can have one
};

struct GreenReadOptions {
    double spacing_m = 0.25;               // of the spots, which are the centres of the rasters' cells
    // Solve one by one, a millisecond each, the spots that patches do not serve: where paths turn sharply or bunch, on
    // ground that hardly holds a ball. Without it they have no read, for a map that must follow a dragged hole.
    bool one_by_one = true;
    // For thousands of holes: fewer rays, longer steps. 97 of 100 spots are then within 5 mm of aim offset and 5 mm/s of launch
    // on a spline with 0.3 mm of roughness, and more on smoother ground.
    bool coarse = false;
};

// Keeps what depends on the green alone and its memory, so that a dragged hole is answered again and again.
// Not to be used by two threads at once; works on all threads of oneTBB itself, with the same bits for any number.
class GreenReader {
public:
    // The surface and the outline must outlive it. Throws Error(usage) for an empty outline, a spacing outside
    // 0.05-5 m, or more than four million spots.
    GreenReader(const HeightField& surface, const Outline& outline, const GreenReadOptions& options = {});
    ~GreenReader();
    GreenReader(const GreenReader&) = delete;
    GreenReader& operator=(const GreenReader&) = delete;

    // Against exact answers 99 of 100 spots are within 0.5 mm of aim offset and 0.5 mm/s of launch (docs/solver.md).
    // Spots nearer to the hole than a hole radius have no read. The result stays valid until the next call.
    // Throws Error(usage) for a hole off the green, a pace that is negative or over 5 m, a green speed outside 4-16 ft.
    const GreenReads& read(const GreenQuestion& question, Progress& progress);

    // Of the last call: rays traced, steps tried (a step moves one vector of rays), spots that were solved one by one.
    struct Effort { std::size_t rays = 0, steps = 0, polished = 0; };
    Effort effort() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

// The same for one question.
GreenReads read_green(const HeightField& surface, const Outline& outline, const GreenQuestion& question,
                      const GreenReadOptions& options, Progress& progress);

}  // namespace brae
