#include "terrain-samples/generator/deliver.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "terrain-samples/generator/noise_field.h"

#include <cstring>
#include <fmt/format.h>
#include <fstream>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

namespace brae::samples {

namespace {

constexpr double kMargin = 1.5;  // surveyed beyond the outline, m

std::ofstream open_for_writing(const std::filesystem::path& file) {
    std::ofstream out(file, std::ios::binary);
    if (!out) throw Error(fmt::format("{}: cannot be written", file.string()));
    return out;
}

// What stood on the green: a post of 2.1 m in the hole, a bag of 0.35 x 0.9 m and 0.3 m height, a standing person. The
// turf beneath bag and person is hidden.
void add_clutter(const SampleGreen& green, bool all, Random& random, std::vector<Vec3>& points) {
    const auto put = [&](double x, double y, double above) { points.push_back({x, y, green.height(x, y) + above}); };
    const int post = all ? 14 : 160;
    for (int k = 0; k < post; ++k)
        put(green.hole.x + 0.008 * random.normal(), green.hole.y + 0.008 * random.normal(), random.uniform(0.05, 2.1));
    if (!all) return;
    const Vec2 bag = green.hole + Vec2{4.0, -3.0}, person = green.hole + Vec2{-4.5, -2.0};
    std::erase_if(points, [&](const Vec3& p) {
        return (std::abs(p.x - bag.x) < 0.45 && std::abs(p.y - bag.y) < 0.17) || distance({p.x, p.y}, person) < 0.25;
    });
    for (int k = 0; k < 16; ++k)
        put(bag.x + random.uniform(-0.45, 0.45), bag.y + random.uniform(-0.17, 0.17), random.uniform(0.12, 0.30));
    for (int k = 0; k < 24; ++k)
        put(person.x + 0.12 * random.normal(), person.y + 0.10 * random.normal(), random.uniform(0.1, 1.75));
}

}  // namespace

CloudKind tripod_scan() { return {"tripod-scan.ply", 400, 0.0035, 0.002, false, 0x11, 3}; }
CloudKind lidar() { return {"lidar.ply", 30, 0.025, 0.004, true, 0x22, 3}; }

void write_cloud(const SampleGreen& green, const CloudKind& kind, const std::filesystem::path& file) {
    const Outline outline(green.outline, OutlineSource::file);
    const NoiseField drift(kind.correlated_m, kind.correlation_length, green.seed ^ kind.salt);
    Random random(green.seed * 31 + kind.salt);

    // One point in each cell of the density, jittered; grass outside the cut stands higher and rougher.
    const double step = 1 / std::sqrt(kind.density);
    const Box box = outline.box();
    std::vector<Vec3> points;
    for (double y = box.y0 - kMargin; y < box.y1 + kMargin; y += step)
        for (double x = box.x0 - kMargin; x < box.x1 + kMargin; x += step) {
            const double px = x + step * random.uniform(), py = y + step * random.uniform();
            const double d = outline.signed_distance({px, py});
            const double noise = kind.independent_m * random.normal();
            const double grass = random.uniform(0.03, 0.06);
            if (d < -kMargin) continue;
            points.push_back({px, py, green.height(px, py) + drift.at(px, py) + noise + (d < 0 ? grass : 0)});
        }
    add_clutter(green, kind.clutter, random, points);

    // Binary PLY: doubles in the plane, so that map coordinates keep their millimetres.
    auto out = open_for_writing(file);
    out << "ply\nformat binary_little_endian 1.0\ncomment " << green.title << ", " << green.crs
        << ", invented data\nelement vertex " << points.size()
        << "\nproperty double x\nproperty double y\nproperty float z\nend_header\n";
    for (const Vec3& p : points) {
        char row[20];
        const double x = std::round((green.origin.x + p.x) * 1e4) / 1e4, y = std::round((green.origin.y + p.y) * 1e4) / 1e4;
        const float z = static_cast<float>(std::round((green.datum + p.z) * 1e4) / 1e4);
        std::memcpy(row, &x, 8);
        std::memcpy(row + 8, &y, 8);
        std::memcpy(row + 16, &z, 4);
        out.write(row, sizeof row);
    }
    if (!out.flush()) throw Error(fmt::format("{}: could not be written to the end", file.string()));
}

void write_levels(const SampleGreen& green, const std::filesystem::path& file) {
    const Outline outline(green.outline, OutlineSource::file);
    Random random(green.seed * 31 + 0x33);
    auto out = open_for_writing(file);
    out << "Point,Easting,Northing,Elevation,Code,Description\n";
    int number = 100;
    const auto row = [&](Vec2 p, const std::string& code, std::string name = {}, const std::string& description = {}) {
        if (name.empty()) name = std::to_string(++number);
        out << fmt::format("{},{:.3f},{:.3f},{:.3f},{},{}\n", name, green.origin.x + p.x, green.origin.y + p.y,
                           green.datum + green.height(p.x, p.y) + 0.003 * random.normal(), code, description);
    };

    // Turf on a 2 m grid, walked by hand: a decimetre off the nodes.
    const Box box = outline.box();
    for (double y = std::ceil(box.y0 / 2) * 2; y < box.y1; y += 2)
        for (double x = std::ceil(box.x0 / 2) * 2; x < box.x1; x += 2) {
            const Vec2 p{x + 0.1 * random.normal(), y + 0.1 * random.normal()};
            if (outline.signed_distance(p) > 0.3) row(p, "GND");
        }
    // Strings: the edge about every 1.6 m, tiers at 1 m; then the hole and the marks.
    for (std::size_t k = 0; k < green.outline.size(); k += 2) row(green.outline[k], "EDGE1");
    for (const auto& s : green.strings)
        for (Vec2 p : s.points)
            if (outline.contains(p)) row(p, s.code + "1");
    row(green.hole, "HOLE");
    for (const auto& m : green.marks)
        row({m.p.x, m.p.y}, m.name[0] == 'S' ? "SPR" : m.name[0] == 'D' ? "DRAIN" : "NAIL", m.name, m.description);
    if (!out.flush()) throw Error(fmt::format("{}: could not be written to the end", file.string()));
}

void write_raster(const SampleGreen& green, const std::filesystem::path& file) {
    const Outline outline(green.outline, OutlineSource::file);
    const NoiseField drift(0.002, 3.0, green.seed ^ 0x44);
    Random random(green.seed * 31 + 0x44);
    const double cell = 0.25;
    const Box box = outline.box();
    const double x0 = std::floor(box.x0 - kMargin), y1 = std::ceil(box.y1 + kMargin);
    const int columns = static_cast<int>(std::ceil((box.x1 + kMargin - x0) / cell));
    const int rows = static_cast<int>(std::ceil((y1 - (box.y0 - kMargin)) / cell));

    const float none = -9999;
    std::vector<float> heights(static_cast<std::size_t>(columns) * rows, none);
    for (int j = 0; j < rows; ++j)
        for (int i = 0; i < columns; ++i) {
            const Vec2 p{x0 + (i + 0.5) * cell, y1 - (j + 0.5) * cell};
            const double noise = 0.001 * random.normal();
            if (outline.signed_distance(p) >= -kMargin)
                heights[static_cast<std::size_t>(j) * columns + i] =
                    static_cast<float>(green.datum + green.height(p.x, p.y) + drift.at(p.x, p.y) + noise);
        }

    GDALAllRegister();
    auto* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    const char* options[] = {"COMPRESS=DEFLATE", "PREDICTOR=3", nullptr};
    GDALDataset* set = driver->Create(file.string().c_str(), columns, rows, 1, GDT_Float32, const_cast<char**>(options));
    if (!set) throw Error(fmt::format("{}: cannot be written", file.string()));
    double geo[6] = {green.origin.x + x0, cell, 0, green.origin.y + y1, 0, -cell};
    set->SetGeoTransform(geo);
    OGRSpatialReference srs;
    srs.SetFromUserInput(green.crs.c_str());
    set->SetSpatialRef(&srs);
    set->GetRasterBand(1)->SetNoDataValue(none);
    const CPLErr done =
        set->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, columns, rows, heights.data(), columns, rows, GDT_Float32, 0, 0);
    GDALClose(set);
    if (done != CE_None) throw Error(fmt::format("{}: could not be written to the end", file.string()));
}

void write_outline(const SampleGreen& green, const std::filesystem::path& file) {
    OGRSpatialReference from, to;
    from.SetFromUserInput(green.crs.c_str());
    to.SetFromUserInput("EPSG:4326");
    from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    to.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> transform(OGRCreateCoordinateTransformation(&from, &to));
    if (!transform) throw Error(green.crs + ": no way to longitude and latitude is known");

    auto out = open_for_writing(file);
    out << "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"name\":\"" << green.title
        << "\"},\n\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[";
    for (std::size_t k = 0; k <= green.outline.size(); ++k) {
        const Vec2 p = green.outline[k % green.outline.size()];
        double x = green.origin.x + p.x, y = green.origin.y + p.y;
        if (!transform->Transform(1, &x, &y)) throw Error(green.crs + ": a point could not be converted");
        out << (k ? ",\n" : "") << fmt::format("[{:.9f},{:.9f}]", x, y);
    }
    out << "]]}}]}\n";
}

}  // namespace brae::samples
