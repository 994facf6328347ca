// Horn's slope of a raster of 4000 x 4000 cells against GDAL's own function, called in the same process on a raster in memory
// that reads the same heights; both write into memory that they have used before. Fails under 20 times as fast, or where a
// cell away from the border differs by 0.001 percentage points.
#include "core/terrain/horn_kernel.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <gdal_priv.h>
#include <gdal_utils.h>
#include <memory>
#include <vector>

using namespace brae;

namespace {

constexpr int kSide = 4000, kRounds = 7;

double seconds(const auto& work) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}
double median(std::vector<double> v) {
    std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
    return v[v.size() / 2];
}

// A band in memory over an array that stays ours.
std::unique_ptr<GDALDataset> over(void* values, GDALDataType type, int bytes, double cell) {
    char pointer[64], pixel[32], line[32];
    std::snprintf(pointer, sizeof pointer, "DATAPOINTER=%p", values);
    std::snprintf(pixel, sizeof pixel, "PIXELOFFSET=%d", bytes);
    std::snprintf(line, sizeof line, "LINEOFFSET=%d", bytes * kSide);
    GDALDriver* memory = GetGDALDriverManager()->GetDriverByName("MEM");
    std::unique_ptr<GDALDataset> set(memory->Create("", kSide, kSide, 0, type, nullptr));
    const char* const options[] = {pointer, pixel, line, nullptr};
    set->AddBand(type, const_cast<char**>(options));
    double transform[6] = {0, cell, 0, kSide * cell, 0, -cell};
    set->SetGeoTransform(transform);
    return set;
}

}  // namespace

int main() {
    GDALAllRegister();
    constexpr double cell = 0.25;
    std::vector<float> height(static_cast<std::size_t>(kSide) * kSide), slope(height.size());
    for (int j = 0; j < kSide; ++j)
        for (int i = 0; i < kSide; ++i) {
            const double x = cell * i, y = cell * j;
            height[static_cast<std::size_t>(j) * kSide + static_cast<std::size_t>(i)] = static_cast<float>(
                0.002 * x + 0.3 * std::sin(x / 7) * std::cos(y / 9) + 1e-3 * std::sin(91.7 * x + 53.3 * y));
        }

    // GDAL's rows run north to south: the same memory read upside down is the same slope, mirrored.
    const auto source = over(height.data(), GDT_Float32, sizeof(float), cell);
    std::unique_ptr<GDALDataset> theirs;
    char format[] = "-of", name[] = "MEM", percent[] = "-p";
    char* words[] = {format, name, percent, nullptr};
    GDALDEMProcessingOptions* options = GDALDEMProcessingOptionsNew(words, nullptr);
    std::vector<double> gdal, ours;
    for (int round = 0; round < kRounds; ++round) {
        gdal.push_back(seconds([&] {
            theirs.reset();   // its memory goes back to the allocator and comes again
            theirs.reset(GDALDataset::FromHandle(
                GDALDEMProcessing("", GDALDataset::ToHandle(source.get()), "slope", nullptr, options, nullptr)));
        }));
        ours.push_back(seconds([&] { horn_slope_f32(height.data(), kSide, kSide, cell, slope.data()); }));
    }
    GDALDEMProcessingOptionsFree(options);

    double off = 0;
    std::vector<float> row(kSide);
    for (int j = 1; j + 1 < kSide; ++j) {
        if (theirs->GetRasterBand(1)->RasterIO(GF_Read, 0, j, kSide, 1, row.data(), kSide, 1, GDT_Float32, 0, 0) != CE_None) return 1;
        for (int i = 1; i + 1 < kSide; ++i) off = std::max(off, std::abs(100.0 * slope[static_cast<std::size_t>(j) * kSide + static_cast<std::size_t>(i)] - static_cast<double>(row[static_cast<std::size_t>(i)])));
    }
    const double ratio = median(gdal) / median(ours);
    std::printf("Horn's slope, 4000 x 4000: GDAL %.0f ms, here %.1f ms, ratio %.1f (at least 20); largest difference %.5f points\n",
                1e3 * median(gdal), 1e3 * median(ours), ratio, off);
    return ratio >= 20 && off < 0.001 ? 0 : 1;
}
