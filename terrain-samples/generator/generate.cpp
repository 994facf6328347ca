// Writes the sample greens anew: brae_generate_samples FOLDER. The same seeds give the same files.
#include "core/base/error.h"
#include "terrain-samples/generator/deliver.h"

#include <cstdio>

int main(int argc, char** argv) {
    using namespace brae::samples;
    if (argc != 2) {
        std::fprintf(stderr, "brae_generate_samples: one argument is wanted, the folder to write into\n");
        return 2;
    }
    try {
        for (const SampleGreen& green : all_greens()) {
            const std::filesystem::path folder = std::filesystem::path(argv[1]) / green.folder;
            std::filesystem::create_directories(folder);
            for (const CloudKind& kind : {tripod_scan(), lidar()}) write_cloud(green, kind, folder / kind.file);
            write_levels(green, folder / "levels.csv");
            write_raster(green, folder / "dtm.tif");
            write_outline(green, folder / "outline.geojson");
            std::printf("%s\n", folder.string().c_str());
        }
    } catch (const std::exception& e) {
        std::fprintf(stderr, "brae_generate_samples: %s\n", e.what());
        return 1;
    }
    return 0;
}
