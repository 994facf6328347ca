// Writes core/roll/capture_table_data.inc: the capture limits of the rim's simulation on the grid of CaptureGrid.
// Run by hand when the mechanics or the grid change: make_capture_table > core/roll/capture_table_data.inc
#include "core/base/constants.h"
#include "core/roll/capture_table.h"

#include <cmath>
#include <cstdio>

using namespace brae;

namespace {

void write_row(double slope, double angle) {
    // Every offset's limit in 0.1 mm/s, then the band in 10 mm/s, rounded up.
    long band[CaptureGrid::kOffsets];
    std::printf("{{{");
    for (int k = 0; k < CaptureGrid::kOffsets; ++k) {
        const double u = double(k + 1) / CaptureGrid::kOffsets;
        const CaptureLimit limit = capture_limit({kHoleRadius * (1 - u * u), 0, slope, angle, 0}, {}, 2e-5);
        std::printf("%s%ld,", k % 20 ? " " : "\n", std::lround(limit.all_drop_mps * 1e4));
        band[k] = std::lround(std::ceil((limit.none_drops_mps - limit.all_drop_mps) * 100 - 1e-9));
        std::fflush(stdout);
    }
    std::printf("}},\n{{");
    for (int k = 0; k < CaptureGrid::kOffsets; ++k) std::printf("%s%ld,", k % 40 ? " " : "\n", band[k]);
    std::printf("}}},\n");
}

}  // namespace

int main() {
    std::printf("// Made by tools/make_capture_table.cpp; not to be edited.\n// level\n");
    write_row(0, 0);
    for (int s = 1; s <= CaptureGrid::kSlopes; ++s)
        for (int a = 0; a < CaptureGrid::kAngles; ++a) {
            std::printf("// slope %.2f, angle %d degrees\n", s * CaptureGrid::kSlopeStep, 360 / CaptureGrid::kAngles * a);
            write_row(s * CaptureGrid::kSlopeStep, 2 * kPi * a / CaptureGrid::kAngles);
        }
}
