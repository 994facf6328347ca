#include "core/survey/read_outline.h"

#include "core/base/error.h"
#include "core/survey/coordinate_system.h"
#include "core/survey/gdal_support.h"
#include "core/survey/ring.h"

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

using Ring = std::vector<Vec2>;
// A polygon: its outer ring and those that are cut out of it.
struct Shape {
    Ring outer;
    std::vector<Ring> inner;
};

// Without repeated corners, the closing one among them.
Ring ring_of(const OGRSimpleCurve& curve) {
    Ring ring;
    for (int i = 0; i < curve.getNumPoints(); ++i)
        if (const Vec2 p{curve.getX(i), curve.getY(i)}; ring.empty() || !(p == ring.back())) ring.push_back(p);
    while (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
    return ring;
}

// Every polygon and closed line of a geometry, however deep it is nested.
void collect(const OGRGeometry* geometry, std::vector<Shape>& shapes, int depth = 0) {
    if (!geometry || depth > 16) return;
    switch (wkbFlatten(geometry->getGeometryType())) {
        case wkbPolygon: {
            const OGRPolygon& polygon = *geometry->toPolygon();
            if (!polygon.getExteriorRing()) break;
            Shape shape{ring_of(*polygon.getExteriorRing()), {}};
            for (int k = 0; k < polygon.getNumInteriorRings(); ++k) shape.inner.push_back(ring_of(*polygon.getInteriorRing(k)));
            shapes.push_back(std::move(shape));
            break;
        }
        case wkbLineString:
            if (geometry->toLineString()->get_IsClosed()) shapes.push_back({ring_of(*geometry->toLineString()), {}});
            break;
        case wkbMultiPolygon:
        case wkbMultiLineString:
        case wkbGeometryCollection:
            for (const OGRGeometry* part : *geometry->toGeometryCollection()) collect(part, shapes, depth + 1);
            break;
        default: break;
    }
}

// The outline with its inner rings cut out. Throws Error where one of them is no ring inside it, or meets another ring: such
// a shape has no inside that programs agree on (OGC 06-103r4, 6.1.11).
Outline outline_of(const Shape& shape) {
    const Outline outer(shape.outer, OutlineSource::file);
    std::vector<Box> boxes;
    for (std::size_t k = 0; k < shape.inner.size(); ++k) {
        const Ring& ring = shape.inner[k];
        if (ring.size() < 3) throw Error(fmt::format("its inner ring {} has {} distinct points; at least 3 are wanted", k + 1, ring.size()));
        if (const auto sides = first_crossing(ring))
            throw Error(fmt::format("its inner ring {} crosses itself between its points {} and {}", k + 1, sides->first + 1,
                                    sides->second + 1));
        for (Vec2 p : ring)
            if (!outer.contains(p))
                throw Error(fmt::format("its inner ring {} leaves the outer one at ({:.2f}, {:.2f}); rings inside it are wanted", k + 1,
                                        p.x, p.y));
        if (const auto sides = first_meeting(ring, shape.outer))
            throw Error(fmt::format("its inner ring {} meets the outer one after its point {}; rings inside it are wanted", k + 1,
                                    sides->first + 1));
        boxes.push_back(box_of(ring));
        for (std::size_t other = 0; other < k; ++other)
            if (gap_between(boxes[k], boxes[other]) == 0 &&
                (first_meeting(ring, shape.inner[other]) || side_of_ring(shape.inner[other], ring[0]) > 0 ||
                side_of_ring(ring, shape.inner[other][0]) > 0))
                throw Error(fmt::format("its inner rings {} and {} overlap; rings apart from one another are wanted", other + 1, k + 1));
    }
    if (shape.inner.empty()) return outer;
    Outline cut = outer.with_cut_outs(shape.inner);
    if (cut.area_m2() < 1)
        throw Error(fmt::format("its inner rings leave {:.2f} m2 of the outer one; at least 1 m2 is wanted", cut.area_m2()));
    return cut;
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

    // The polygon of all layers whose outer ring is largest, with the rings cut out of it.
    Shape shape;
    std::string wkt;
    std::size_t found = 0;
    // A file that has a layer of that name, as a green file has, means that one.
    const bool named = dataset->GetLayerByName("outline") != nullptr;
    for (OGRLayer* layer : dataset->GetLayers()) {
        if (named && std::string(layer->GetName()) != "outline") continue;
        std::vector<Shape> shapes;
        for (const auto& feature : *layer) collect(feature->GetGeometryRef(), shapes);
        for (Shape& s : shapes) {
            ++found;
            if (!shape.outer.empty() && std::abs(signed_area(s.outer)) <= std::abs(signed_area(shape.outer))) continue;
            shape = std::move(s);
            wkt.clear();
            if (const OGRSpatialReference* srs = layer->GetSpatialRef()) {
                char* text = nullptr;
                srs->exportToWkt(&text);
                if (text) wkt = text;
                CPLFree(text);
            }
        }
    }
    // A green file shows places without data as rings in its outline too; those were of its own survey.
    if (OGRLayer* gaps = named ? dataset->GetLayerByName("outline_gaps") : nullptr) {
        shape.inner.clear();
        const int mark = gaps->GetLayerDefn()->GetFieldIndex("cut_out");
        for (const auto& feature : *gaps) {
            if (mark < 0 || feature->GetFieldAsInteger(mark) == 0) continue;
            std::vector<Shape> rings;
            collect(feature->GetGeometryRef(), rings);
            for (Shape& ring : rings) shape.inner.push_back(std::move(ring.outer));
        }
    }
    if (found == 0) throw Error(fmt::format("the outline '{}' holds no polygon and no closed line; one ring is wanted", name));
    if (found > 1) warnings.push_back(fmt::format("the outline '{}' holds {} rings; the largest is used", name, found));
    if (const std::size_t n = shape.inner.size(); n > 0)
        warnings.push_back(fmt::format("the outline '{}' has {} inner ring{}; what {} enclose{} is not green", name, n, n == 1 ? "" : "s",
                                       n == 1 ? "it" : "they", n == 1 ? "s" : ""));

    const SystemInfo system = wkt.empty() ? SystemInfo{} : parse_system(wkt, name);
    const auto through = [&](auto convert) {
        Shape result = shape;
        for (Vec2& p : result.outer) p = convert(p);
        for (Ring& ring : result.inner)
            for (Vec2& p : ring) p = convert(p);
        return result;
    };
    Shape local;
    if (frame.has_crs() && !system.wkt.empty()) {
        const bool degrees = std::all_of(shape.outer.begin(), shape.outer.end(), [](Vec2 p) { return std::abs(p.x) <= 360 && std::abs(p.y) <= 90; });
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
        const bool as_map = gap_between(box_of(local.outer), data) == 0;
        if (!as_map) local = shape;
        warnings.push_back(fmt::format("the {} has no coordinate system, so the outline '{}' is taken to be in {}",
                                       frame.has_crs() ? "outline" : "survey", name,
                                       as_map ? "the coordinates of the survey" : "local metres"));
    }
    if (const double away = gap_between(box_of(local.outer), data); away > 0)
        throw Error(fmt::format("the outline '{}' lies {:.0f} m from the data{}; the two must overlap, so look whether each is in the coordinate system that it is said to be in", name, away,
                                frame.has_crs() || system.wkt.empty() ? "" : fmt::format(" when its numbers, which are of {}, are read as they stand, since the survey names no coordinate system (--crs does)", system.name)));
    try {
        return outline_of(local);
    } catch (const Error& problem) {
        throw Error(fmt::format("'{}': {}", name, problem.what()));
    }
}

}  // namespace brae
