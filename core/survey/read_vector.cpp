#include "core/survey/read_vector.h"

#include "core/base/error.h"
#include "core/survey/gdal_support.h"
#include "core/survey/point_codes.h"
#include "core/survey/read_survey.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <cmath>
#include <cpl_conv.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>

namespace brae {

namespace {

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};

// Columns of a layer, -1 where there is none.
struct Fields {
    int height = -1, name = -1, code = -1, description = -1;
};

Fields fields_of(const OGRFeatureDefn& layer) {
    Fields f;
    for (int i = 0; i < layer.GetFieldCount(); ++i) {
        const ColumnRole role = role_of_column(layer.GetFieldDefn(i)->GetNameRef());
        int& slot = role == ColumnRole::z ? f.height : role == ColumnRole::name ? f.name : role == ColumnRole::code ? f.code : f.description;
        if (slot < 0 && (role == ColumnRole::z || role == ColumnRole::name || role == ColumnRole::code || role == ColumnRole::description)) slot = i;
    }
    if (f.code < 0) std::swap(f.code, f.description);
    return f;
}

// Calls take(x, y, z or NaN) for every position, however deep the geometry is nested.
template <class Take>
void walk(const OGRGeometry* geometry, const Take& take, int depth = 0) {
    if (!geometry || depth > 16) return;
    const bool high = geometry->Is3D();
    const auto curve = [&](const OGRSimpleCurve& line) {
        // The closing corner of a ring is its first.
        const int n = line.getNumPoints() - (line.get_IsClosed() && line.getNumPoints() > 1 ? 1 : 0);
        for (int i = 0; i < n; ++i) take(line.getX(i), line.getY(i), high ? line.getZ(i) : NAN);
    };
    switch (wkbFlatten(geometry->getGeometryType())) {
        case wkbPoint: {
            const OGRPoint& p = *geometry->toPoint();
            if (!p.IsEmpty()) take(p.getX(), p.getY(), high ? p.getZ() : NAN);
            break;
        }
        case wkbLineString: curve(*geometry->toLineString()); break;
        case wkbPolygon:
            for (const OGRLinearRing* ring : *geometry->toPolygon()) curve(*ring);
            break;
        case wkbMultiPoint:
        case wkbMultiLineString:
        case wkbMultiPolygon:
        case wkbGeometryCollection:
            for (const OGRGeometry* part : *geometry->toGeometryCollection()) walk(part, take, depth + 1);
            break;
        default: break;
    }
}

}  // namespace

RawSurvey read_vector(const std::filesystem::path& path, Progress& progress) {
    const std::string name = path.string();
    register_survey_drivers();
    const QuietGdal quiet;
    const std::string absolute = std::filesystem::absolute(path).string();
    const std::unique_ptr<GDALDataset, CloseDataset> dataset(static_cast<GDALDataset*>(
        GDALOpenEx(absolute.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, kVectorDrivers, nullptr, nullptr)));
    if (!dataset)
        throw Error(fmt::format("'{}' cannot be read as GeoPackage, Shapefile, GeoJSON or DXF: {}", name, quiet.why()));

    if (dataset->GetLayerByName("brae_meta"))
        throw Error(fmt::format("'{}' is a green file of this program and no survey; open it as it is", name));

    RawSurvey raw;
    raw.path = path;
    raw.kind = RawSurvey::Kind::levels;
    std::size_t flat = 0, unreal = 0;
    bool coded = false;
    for (OGRLayer* layer : dataset->GetLayers()) {
        const Fields columns = fields_of(*layer->GetLayerDefn());
        const std::string layer_code = meaning_of_code(layer->GetName()) == CodeMeaning::other ? "" : layer->GetName();
        const bool degrees = layer->GetSpatialRef() && layer->GetSpatialRef()->IsGeographic();
        for (const auto& feature : *layer) {
            progress.step(0.5, "reading " + name);
            const auto text = [&](int i) { return i >= 0 && feature->IsFieldSetAndNotNull(i) ? std::string(feature->GetFieldAsString(i)) : std::string(); };
            RawLevel level;
            level.name = text(columns.name);
            level.code = text(columns.code);
            if (level.code.empty()) level.code = layer_code;
            level.description = text(columns.description);
            coded = coded || !level.name.empty() || !level.code.empty();
            const double column = columns.height >= 0 && feature->IsFieldSetAndNotNull(columns.height) ? feature->GetFieldAsDouble(columns.height) : NAN;
            walk(feature->GetGeometryRef(), [&](double x, double y, double z) {
                // A column named for heights rules: many programs write zeros into the geometry.
                if (std::isfinite(column)) z = column;
                if (!std::isfinite(z)) {
                    ++flat;
                    return;
                }
                if (!std::isfinite(x) || !std::isfinite(y) || std::abs(z) > 1e5) {
                    ++unreal;
                    return;
                }
                level.p = {x, y, z};
                raw.levels.push_back(level);
            });
        }
        if (raw.crs.empty() && !raw.levels.empty()) {
            if (const OGRSpatialReference* srs = layer->GetSpatialRef()) {
                const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
                char* wkt = nullptr;
                srs->exportToWkt(&wkt, options);
                if (wkt) raw.crs = wkt;
                CPLFree(wkt);
            }
        }
        // GeoJSON is in degrees by its standard (RFC 7946); other numbers under that name are somebody's own metres.
        if (degrees && std::any_of(raw.levels.begin(), raw.levels.end(), [](const RawLevel& l) { return std::abs(l.p.x) > 360 || std::abs(l.p.y) > 90; })) {
            raw.crs.clear();
            raw.warnings.push_back(fmt::format("'{}' is not in longitude and latitude as it says; its numbers are taken without a system", name));
        }
    }
    raw.rows = raw.levels.size() + flat + unreal;
    if (raw.levels.empty())
        throw Error(fmt::format("'{}' holds {} positions and none has a height; points with heights, or a column such as 'elevation', are wanted",
                                name, flat));
    if (flat > 0) raw.warnings.push_back(fmt::format("'{}' has {} positions without a height; they were left out", name, flat));
    if (unreal > 0) raw.warnings.push_back(fmt::format("'{}' has {} positions that no ground has; they were left out", name, unreal));
    // Nothing but positions: a cloud.
    if (!coded) {
        raw.kind = RawSurvey::Kind::cloud;
        for (const RawLevel& level : raw.levels) raw.points.push_back(level.p);
        raw.levels.clear();
    }
    return raw;
}

}  // namespace brae
