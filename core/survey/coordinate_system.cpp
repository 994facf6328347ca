#include "core/survey/coordinate_system.h"

#include "core/base/error.h"
#include "core/survey/gdal_support.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cpl_conv.h>
#include <fmt/format.h>
#include <mutex>
#include <ogr_spatialref.h>
#include <vector>

namespace brae {

namespace {

std::string wkt2(const OGRSpatialReference& srs) {
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    char* text = nullptr;
    srs.exportToWkt(&text, options);
    std::string result = text ? text : "";
    CPLFree(text);
    return result;
}

OGRSpatialReference from_wkt(const std::string& wkt) {
    OGRSpatialReference srs;
    if (srs.importFromWkt(wkt.c_str()) != OGRERR_NONE)
        throw Error("the coordinate system stored with the survey cannot be read; wanted is WKT");
    srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return srs;
}

// EPSG calls it "Popular Visualisation Pseudo Mercator"; other writers have names of their own for the same thing.
bool is_web_mercator(const std::string& wkt) {
    std::string lower = wkt;
    std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
    for (const char* sign : {"pseudo mercator", "pseudo-mercator", "web_mercator", "auxiliary_sphere", "auxiliary sphere"})
        if (lower.find(sign) != std::string::npos) return true;
    return false;
}

}  // namespace

SystemInfo parse_system(const std::string& text, const std::string& what) {
    const QuietGdal quiet;
    OGRSpatialReference srs;
    if (srs.SetFromUserInput(text.c_str(), OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) != OGRERR_NONE)
        throw Error(fmt::format("{}: {} names no coordinate system; wanted is such as EPSG:27700 or WKT", what, quote(text)));
    if (srs.IsGeocentric())
        throw Error(fmt::format("{}: the coordinate system is geocentric; an easting and northing or longitude and "
                                "latitude system is wanted", what));
    SystemInfo info;
    // The vertical part tells the unit of heights and is then put aside.
    if (srs.IsCompound() || srs.IsVertical()) {
        const char* unit = nullptr;
        const double metres = srs.GetTargetLinearUnits("VERT_CS", &unit);
        if (std::isfinite(metres) && metres > 0) info.metres_per_height = metres;
    }
    if (srs.IsCompound()) srs.StripVertical();
    if (srs.GetAxesCount() == 3) srs.DemoteTo2D(nullptr);

    // A local grid tells a unit and nothing else.
    if (!srs.IsProjected() && !srs.IsGeographic()) {
        if (srs.IsLocal()) info.metres_per_unit = srs.GetLinearUnits();
        if (!(info.metres_per_unit > 0)) info.metres_per_unit = 1;
        return info;
    }
    info.geographic = srs.IsGeographic();
    info.metres_per_unit = info.geographic ? 1.0 : srs.GetLinearUnits();
    info.wkt = wkt2(srs);
    info.web_mercator = !info.geographic && is_web_mercator(info.wkt);

    // A short name: the authority's number, found by comparison where the text leaves it out.
    const char* authority = srs.GetAuthorityName(nullptr);
    const char* code = srs.GetAuthorityCode(nullptr);
    if (authority && code) {
        info.name = fmt::format("{}:{}", authority, code);
    } else if (OGRSpatialReference* match = srs.FindBestMatch(90, "EPSG", nullptr)) {
        const char* a = match->GetAuthorityName(nullptr);
        const char* c = match->GetAuthorityCode(nullptr);
        if (a && c) info.name = fmt::format("{}:{}", a, c);
        match->Release();
    }
    if (info.name.empty() && srs.GetName()) info.name = srs.GetName();
    // A name from a file may hold anything; it is shown to people.
    if (info.name.size() > 100) info.name = info.name.substr(0, 97) + "...";
    for (char& c : info.name)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
    return info;
}

std::optional<std::string> area_missed(const SystemInfo& system, Vec2 place) {
    if (system.wkt.empty()) return std::nullopt;
    const QuietGdal quiet;
    // Text from a file seldom carries the area; the authority's number finds it.
    OGRSpatialReference srs = from_wkt(system.wkt);
    double west = 0, south = 0, east = 0, north = 0;
    const char* name = nullptr;
    const auto area = [&] { return srs.GetAreaOfUse(&west, &south, &east, &north, &name) && west > -1000; };
    if (!area() && (system.name.rfind("EPSG:", 0) != 0 ||
                    srs.SetFromUserInput(system.name.c_str(), OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) != OGRERR_NONE ||
                    !area()))
        return std::nullopt;
    const std::string described = name && *name ? gdal_sentence(name) : "no name";

    // Areas are told in degrees of WGS 84, to about a tenth.
    Vec2 lonlat;
    try {
        lonlat = Transformer(system.wkt, parse_system("EPSG:4326", "WGS 84").wkt).forward(place);
    } catch (const Error&) {
        return described;
    }
    constexpr double slack = 0.1;
    const bool across = west > east;  // over the 180th meridian
    const bool in_width = across ? lonlat.x >= west - slack || lonlat.x <= east + slack
                                 : lonlat.x >= west - slack && lonlat.x <= east + slack;
    if (in_width && lonlat.y >= south - slack && lonlat.y <= north + slack) return std::nullopt;
    return described;
}

std::string geographic_wkt(const std::string& wkt) {
    const QuietGdal quiet;
    const OGRSpatialReference srs = from_wkt(wkt);
    OGRSpatialReference* base = srs.CloneGeogCS();
    if (!base) throw Error("the coordinate system has no geographic base; an earth-bound system is wanted");
    const std::string result = wkt2(*base);
    base->Release();
    return result;
}

std::string local_tm_wkt(const std::string& wkt, double lon_deg, double lat_deg) {
    const QuietGdal quiet;
    const OGRSpatialReference srs = from_wkt(wkt);
    OGRSpatialReference* base = srs.CloneGeogCS();
    if (!base) throw Error("the coordinate system has no geographic base; an earth-bound system is wanted");
    // The centre is meant in degrees from Greenwich, whatever the base counts in.
    const double unit = base->GetAngularUnits() / (std::acos(-1.0) / 180.0);
    OGRSpatialReference tm;
    tm.SetProjCS("brae local transverse Mercator");
    tm.CopyGeogCSFrom(base);
    tm.SetTM(lat_deg / unit, lon_deg / unit, 1.0, 0.0, 0.0);
    tm.SetLinearUnits("metre", 1.0);
    base->Release();
    return wkt2(tm);
}

struct Transformer::Handles {
    std::unique_ptr<OGRCoordinateTransformation> forward, inverse;
    std::mutex lock;
};

Transformer::Transformer(const std::string& from_text, const std::string& to_text)
    : handles_(std::make_unique<Handles>()) {
    const QuietGdal quiet;
    const OGRSpatialReference from = from_wkt(from_text), to = from_wkt(to_text);
    handles_->forward.reset(OGRCreateCoordinateTransformation(&from, &to));
    handles_->inverse.reset(OGRCreateCoordinateTransformation(&to, &from));
    if (!handles_->forward || !handles_->inverse)
        throw Error(fmt::format("no conversion between the coordinate systems '{}' and '{}' is known", from.GetName(),
                                to.GetName()));
}

Transformer::~Transformer() = default;

namespace {

Vec2 convert(OGRCoordinateTransformation& transformation, std::mutex& lock, Vec2 p) {
    const std::lock_guard<std::mutex> guard(lock);
    const QuietGdal quiet;
    double x = p.x, y = p.y;
    if (!transformation.Transform(1, &x, &y) || !std::isfinite(x) || !std::isfinite(y))
        throw Error(fmt::format("the point ({}, {}) lies outside the area of the coordinate system", p.x, p.y));
    return {x, y};
}

}  // namespace

Vec2 Transformer::forward(Vec2 p) const { return convert(*handles_->forward, handles_->lock, p); }
Vec2 Transformer::inverse(Vec2 p) const { return convert(*handles_->inverse, handles_->lock, p); }

void Transformer::forward(std::span<Vec3> points) const {
    const std::lock_guard<std::mutex> guard(handles_->lock);
    const QuietGdal quiet;
    constexpr std::size_t block = 4096;
    std::vector<double> x(block), y(block);
    for (std::size_t begin = 0; begin < points.size(); begin += block) {
        const std::size_t n = std::min(block, points.size() - begin);
        for (std::size_t i = 0; i < n; ++i) {
            x[i] = points[begin + i].x;
            y[i] = points[begin + i].y;
        }
        const bool fine = handles_->forward->Transform(static_cast<int>(n), x.data(), y.data());
        for (std::size_t i = 0; i < n; ++i) {
            Vec3& p = points[begin + i];
            if (!fine || !std::isfinite(x[i]) || !std::isfinite(y[i]))
                throw Error(fmt::format("the point ({}, {}) lies outside the area of the coordinate system", p.x, p.y));
            p.x = x[i];
            p.y = y[i];
        }
    }
}

}  // namespace brae
