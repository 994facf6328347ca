// Writes core/roll/capture_table_data.inc: the capture limits of the rim's simulation on the grid of CaptureGrid.
// Run by hand when the mechanics or the grid change: make_capture_table > core/roll/capture_table_data.inc
#include "core/base/constants.h"
#include "core/roll/capture_table.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>

using namespace brae;

namespace {

void write_row(double slope, double angle) {
    // Every offset's limit in 0.1 mm/s, then the band in 10 mm/s, rounded up.
    // Contact steps of 50 microseconds move no limit by 0.1 mm/s (docs/physics.md).
    RimSettings settings;
    settings.step_s = 5e-5;
    long band[CaptureGrid::kOffsets];
    std::printf("{{{");
    for (int k = 0; k < CaptureGrid::kOffsets; ++k) {
        const double u = double(k + 1) / CaptureGrid::kOffsets;
        const CaptureLimit limit = capture_limit({kHoleRadius * (1 - u * u), 0, slope, angle, 0}, settings, 5e-5);
        std::printf("%s%ld,", k % 20 ? " " : "\n", std::lround(limit.all_drop_mps * 1e4));
        band[k] = std::lround(std::ceil((limit.none_drops_mps - limit.all_drop_mps) * 100 - 1e-9));
        std::fflush(stdout);
    }
    std::printf("}},\n{{");
    for (int k = 0; k < CaptureGrid::kOffsets; ++k) std::printf("%s%ld,", k % 40 ? " " : "\n", band[k]);
    std::printf("}}},\n");
}

}  // namespace

// Arguments: first and last row, where the work is divided; none: all.
int main(int count, char** words) {
    const int first = count == 3 ? std::atoi(words[1]) : 0;
    const int last = count == 3 ? std::atoi(words[2]) : CaptureGrid::kSlopes * CaptureGrid::kAngles;
    for (int row = first; row <= last; ++row) {
        // Level first, then slope by slope, angle by angle.
        const int s = row == 0 ? 0 : 1 + (row - 1) / CaptureGrid::kAngles, a = row == 0 ? 0 : (row - 1) % CaptureGrid::kAngles;
        if (row == 0) std::printf("// Made by core/roll/table_maker/make_capture_table.cpp; not to be edited.\n");
        std::printf("// slope %.2f, angle %d degrees\n", s * CaptureGrid::kSlopeStep, 360 / CaptureGrid::kAngles * a);
        write_row(s * CaptureGrid::kSlopeStep, 2 * kPi * a / CaptureGrid::kAngles);
    }
}
