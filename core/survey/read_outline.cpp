#include "core/survey/read_outline.h"

#include "core/base/error.h"
#include "core/survey/coordinate_system.h"
#include "core/survey/gdal_support.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>

namespace brae {

namespace {

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};

std::vector<Vec2> ring_of(const OGRSimpleCurve& curve) {
    std::vector<Vec2> ring;
    for (int i = 0; i < curve.getNumPoints(); ++i) ring.push_back({curve.getX(i), curve.getY(i)});
    return ring;
}

double area_of(const std::vector<Vec2>& ring) {
    double twice = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) twice += cross(ring[i] - ring[0], ring[i + 1] - ring[0]);
    return std::abs(twice) / 2;
}

// Every outer ring of a geometry, however deep it is nested.
void collect(const OGRGeometry* geometry, std::vector<std::vector<Vec2>>& rings, int depth = 0) {
    if (!geometry || depth > 16) return;
    switch (wkbFlatten(geometry->getGeometryType())) {
        case wkbPolygon:
            if (const auto* outer = geometry->toPolygon()->getExteriorRing()) rings.push_back(ring_of(*outer));
            break;
        case wkbLineString:
            if (geometry->toLineString()->get_IsClosed()) rings.push_back(ring_of(*geometry->toLineString()));
            break;
        case wkbMultiPolygon:
        case wkbMultiLineString:
        case wkbGeometryCollection:
            for (const OGRGeometry* part : *geometry->toGeometryCollection()) collect(part, rings, depth + 1);
            break;
        default: break;
    }
}

Box box_of(const std::vector<Vec2>& ring) {
    Box box{INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (Vec2 p : ring) {
        box.x0 = std::min(box.x0, p.x);
        box.x1 = std::max(box.x1, p.x);
        box.y0 = std::min(box.y0, p.y);
        box.y1 = std::max(box.y1, p.y);
    }
    return box;
}

// Distance between two boxes, 0 where they overlap.
double gap(const Box& a, const Box& b) {
    const double dx = std::max({0.0, a.x0 - b.x1, b.x0 - a.x1}), dy = std::max({0.0, a.y0 - b.y1, b.y0 - a.y1});
    return std::hypot(dx, dy);
}

}  // namespace

Outline read_outline(const std::filesystem::path& path, const Frame& frame, const Box& data, std::vector<std::string>& warnings) {
    const std::string name = path.string();
    require_plain_file(path);
    register_survey_drivers();
    const QuietGdal quiet;
    const char* const drivers[] = {"GeoJSON", "GPKG", "ESRI Shapefile", nullptr};
    const std::string absolute = std::filesystem::absolute(path).string();
    const std::unique_ptr<GDALDataset, CloseDataset> dataset(static_cast<GDALDataset*>(
        GDALOpenEx(absolute.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, nullptr, nullptr)));
    if (!dataset)
        throw Error(fmt::format("the outline '{}' cannot be read as GeoJSON, GeoPackage or Shapefile{}{}", name,
                                quiet.message().empty() ? "" : ": ", quiet.message()));

    // The largest ring of all layers.
    std::vector<Vec2> ring;
    std::string wkt;
    std::size_t found = 0;
    for (OGRLayer* layer : dataset->GetLayers()) {
        std::vector<std::vector<Vec2>> rings;
        for (const auto& feature : *layer) collect(feature->GetGeometryRef(), rings);
        for (auto& r : rings) {
            ++found;
            if (!ring.empty() && area_of(r) <= area_of(ring)) continue;
            ring = std::move(r);
            wkt.clear();
            if (const OGRSpatialReference* srs = layer->GetSpatialRef()) {
                char* text = nullptr;
                srs->exportToWkt(&text);
                if (text) wkt = text;
                CPLFree(text);
            }
        }
    }
    if (found == 0) throw Error(fmt::format("the outline '{}' holds no polygon and no closed line; one ring is wanted", name));
    if (found > 1) warnings.push_back(fmt::format("the outline '{}' holds {} rings; the largest is used", name, found));

    const SystemInfo system = wkt.empty() ? SystemInfo{} : parse_system(wkt, name);
    const auto through = [&](auto convert) {
        std::vector<Vec2> result;
        for (Vec2 p : ring) result.push_back(convert(p));
        return result;
    };
    std::vector<Vec2> local;
    if (frame.has_crs() && !system.wkt.empty()) {
        const bool degrees = std::all_of(ring.begin(), ring.end(), [](Vec2 p) { return std::abs(p.x) <= 360 && std::abs(p.y) <= 90; });
        if (system.geographic && !degrees) {
            // Not degrees whatever the format says: the survey's own coordinates.
            warnings.push_back(fmt::format("the outline '{}' is not in longitude and latitude as its format says; its numbers are "
                                           "taken for {}", name, frame.spec().crs_name));
            local = through([&](Vec2 p) { return frame.from_map(p); });
        } else {
            const Transformer to_survey(system.wkt, frame.spec().crs_wkt);
            local = through([&](Vec2 p) { return frame.from_map(to_survey.forward(p)); });
        }
    } else {
        // No system on one side: the survey's own coordinates where they meet the data, else local metres.
        local = through([&](Vec2 p) { return frame.from_map(p); });
        const bool as_map = gap(box_of(local), data) == 0;
        if (!as_map) local = ring;
        warnings.push_back(fmt::format("the {} has no coordinate system, so the outline '{}' is taken to be in {}",
                                       frame.has_crs() ? "outline" : "survey", name,
                                       as_map ? "the coordinates of the survey" : "local metres"));
    }
    if (const double away = gap(box_of(local), data); away > 0)
        throw Error(fmt::format("the outline '{}' lies {:.0f} m from the data; the two must overlap", name, away));
    try {
        return Outline(local, OutlineSource::file);
    } catch (const Error& problem) {
        throw Error(fmt::format("'{}': {}", name, problem.what()));
    }
}

}  // namespace brae
