// Measures how right the stated standard errors are: brae_coverage SEEDS [tripod|lidar|raster|levels ...]. Each sample green is
// surveyed anew with each seed; with the word `changed` clouds also with noise that is not what the method is expected to have,
// for which nothing can be out of bounds. The table shares out the cells 1 m inside the outline. Fails where a share is out of bounds.
#include "tests/terrain-samples/coverage.h"

#include "core/base/error.h"

#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <unistd.h>
#include <vector>

using namespace brae;
using namespace brae::test;

namespace {

// Percent of cells within one and two standard errors, and the errors themselves. True where all four lie within
// 68 and 95 +/- 5 points.
bool print(const char* format, const char* zone, const Coverage& c) {
    const double shares[] = {100 * c.h1 / c.n, 100 * c.h2 / c.n, 100 * c.s1 / c.n, 100 * c.s2 / c.n};
    const bool right = std::abs(shares[0] - 68) <= 5 && std::abs(shares[1] - 95) <= 5 && std::abs(shares[2] - 68) <= 5 &&
                       std::abs(shares[3] - 95) <= 5;
    std::printf("| %-6s | %-14s | %4.1f | %4.1f | %4.1f | %4.1f | %5.2f mm | %5.3f points | %s\n", format, zone, shares[0], shares[1],
                shares[2], shares[3], 1e3 * c.height_rms(), 100 * c.slope_rms(), right ? "right" : "out of bounds");
    std::fflush(stdout);
    return right;
}

// Clouds whose noise differs from the one expected of their method.
void print_changes(int seeds, int argc, char** argv, const std::filesystem::path& folder) {
    const struct { const char* words; NoiseChange change; } kinds[] = {
        {"independent noise halved", {0.5, 1, 1}}, {"independent noise doubled", {2, 1, 1}}, {"correlated noise halved", {1, 0.5, 1}},
        {"correlated noise 1.5 times", {1, 1.5, 1}}, {"correlation length halved", {1, 1, 0.5}}, {"correlation length doubled", {1, 1, 2}}};
    for (const Delivery delivery : {Delivery::lidar, Delivery::tripod}) {
        bool wanted = false, any = false;
        for (int k = 2; k < argc; ++k)
            wanted = wanted || std::strcmp(argv[k], to_text(delivery)) == 0, any = any || std::strcmp(argv[k], "changed") != 0;
        if (any && !wanted) continue;
        for (const auto& kind : kinds) {
            ZonedCoverage pooled;
            double noise = 0;
            for (const auto& green : samples::all_greens())
                for (int seed = 1; seed <= seeds; ++seed) {
                    const TerrainModel t = survey_again(green, delivery, 7000 + static_cast<std::uint64_t>(seed), folder, kind.change);
                    add_coverage(pooled, green, t);
                    noise += t.noise_m / (3.0 * seeds);
                }
            std::printf("%s, noise found %.2f mm\n", kind.words, 1e3 * noise);
            print(to_text(delivery), "off the tiers", pooled.off);
            print(to_text(delivery), "at the tiers", pooled.tier);
        }
    }
}

}  // namespace

int main(int argc, char** argv) {
    const int seeds = argc > 1 ? std::atoi(argv[1]) : 30;
    if (seeds < 1) {
        std::fprintf(stderr, "brae_coverage: %s is no number of seeds; one or more is wanted\n", argv[1]);
        return 2;
    }
    const auto folder = std::filesystem::temp_directory_path() / ("brae-coverage-" + std::to_string(::getpid()));
    std::filesystem::create_directories(folder);
    std::printf("| format | zone | height 1 SE | 2 SE | slope 1 SE | 2 SE | height RMS | slope RMS | (%d seeds)\n", seeds);
    bool all = true;
    bool changes = false;
    for (int k = 2; k < argc; ++k) changes = changes || std::strcmp(argv[k], "changed") == 0;
    try {
        if (changes) {
            print_changes(seeds, argc, argv, folder);
            std::filesystem::remove_all(folder);
            return 0;
        }
        for (const Delivery delivery : {Delivery::raster, Delivery::levels, Delivery::lidar, Delivery::tripod}) {
            bool wanted = argc <= 2;
            for (int k = 2; k < argc; ++k) wanted = wanted || std::strcmp(argv[k], to_text(delivery)) == 0;
            if (!wanted) continue;
            ZonedCoverage pooled;
            for (const auto& green : samples::all_greens()) {
                ZonedCoverage own;
                double noise = 0;
                for (int seed = 1; seed <= seeds; ++seed) {
                    const TerrainModel t = survey_again(green, delivery, 7000 + static_cast<std::uint64_t>(seed), folder);
                    add_coverage(own, green, t);
                    noise += t.noise_m / seeds;
                    if (seed == 1)
                        for (const std::string& w : t.warnings) std::printf("%s: %s\n", green.folder.c_str(), w.c_str());
                }
                pooled.off.add(own.off), pooled.tier.add(own.tier);
                std::printf("%s, noise %.2f mm\n", green.folder.c_str(), 1e3 * noise);
                print(to_text(delivery), "off the tiers", own.off);
                if (own.tier.n > 0) print(to_text(delivery), "at the tiers", own.tier);
                own.off.add(own.tier);
                std::printf("the whole green: height %.2f mm RMS, slope %.3f points RMS\n", 1e3 * own.off.height_rms(), 100 * own.off.slope_rms());
            }
            std::printf("all greens\n");
            all = print(to_text(delivery), "off the tiers", pooled.off) && all;
            print(to_text(delivery), "at the tiers", pooled.tier);
        }
    } catch (const std::exception& e) {
        std::fprintf(stderr, "brae_coverage: %s\n", e.what());
        all = false;
    }
    std::filesystem::remove_all(folder);
    return all ? 0 : 1;
}
