#include "core/export/point_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/plan/station_facts.h"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae {

namespace {

double height_of(const TerrainModel& terrain, Vec2 p) {
    return terrain.surface->height(p.x, p.y) + terrain.frame.spec().origin_height_m;
}

// Quoted where the comma or a quote asks for it (RFC 4180); line breaks become blanks.
std::string cell(std::string text) {
    std::replace_if(text.begin(), text.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
    if (text.find_first_of(",\"") == std::string::npos) return text;
    std::string out = "\"";
    for (char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

// The frame that decides how coordinates are written.
const Frame& frame_of(const std::vector<PointOfGreen>& points) { return points.front().terrain->frame; }

std::string csv(const std::vector<PointOfGreen>& points) {
    const bool crs = frame_of(points).has_crs();
    for (const PointOfGreen& p : points)
        if (crs && p.terrain->frame.spec().crs_wkt != frame_of(points).spec().crs_wkt)
            throw Error("the greens are surveyed in different coordinate systems, which one CSV cannot hold; write .geojson or .gpx");
    // A thousandth of a unit is a millimetre or less; degrees want nine digits for that.
    const int digits = crs && frame_of(points).spec().metres_per_unit > 1000 ? 9 : 3;
    std::string out = crs ? "name,code,easting,northing,height_m,description\n" : "name,code,x_m,y_m,height_m,description\n";
    for (const auto& [n, terrain] : points) {
        const Vec2 q = crs ? terrain->frame.to_map(n.p) : n.p;
        out += fmt::format("{},{},{:.{}f},{:.{}f},{:.3f},{}\n", cell(n.name), cell(n.code), q.x, digits, q.y, digits,
                           height_of(*terrain, n.p), cell(n.description));
    }
    return out;
}

std::string geojson(const std::vector<PointOfGreen>& points) {
    nlohmann::ordered_json out{{"type", "FeatureCollection"}};
    const bool crs = frame_of(points).has_crs();
    if (!crs) out["note"] = "local metres, the survey has no coordinate system";
    out["features"] = nlohmann::ordered_json::array();
    for (const auto& entry : points) {
        const NamedPoint& n = entry.point;
        const TerrainModel& terrain = *entry.terrain;
        const Vec2 q = crs ? terrain.frame.to_lonlat(n.p) : n.p;
        // Nine decimals of a degree are 0.1 mm.
        const auto tidy = [&](double v) { return crs ? std::round(v * 1e9) / 1e9 : std::round(v * 1e4) / 1e4; };
        out["features"].push_back({{"type", "Feature"},
                                   {"properties", {{"name", n.name}, {"code", n.code}, {"description", n.description}}},
                                   {"geometry", {{"type", "Point"},
                                                 {"coordinates", {tidy(q.x), tidy(q.y), std::round(height_of(terrain, n.p) * 1e3) / 1e3}}}}});
    }
    return out.dump(1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

// Text of an XML element; control characters have no place in XML 1.0.
std::string xml(const std::string& text) {
    std::string out;
    for (char c : text) {
        if (c == '&') out += "&amp;";
        else if (c == '<') out += "&lt;";
        else if (c == '>') out += "&gt;";
        else if (static_cast<unsigned char>(c) >= 0x20) out += c;
        else out += ' ';
    }
    return out;
}

std::string gpx(const std::vector<PointOfGreen>& points) {
    if (!frame_of(points).has_crs())
        throw usage_error("a GPX file holds longitude and latitude, and this survey has no coordinate system; give one with --crs to brae survey, or write .csv");
    std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                      "<gpx version=\"1.1\" creator=\"brae\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n";
    for (const auto& [n, terrain] : points) {
        const Vec2 q = terrain->frame.to_lonlat(n.p);
        // The schema's order of elements: ele, name, cmt, desc, sym, type.
        out += fmt::format("<wpt lat=\"{:.9f}\" lon=\"{:.9f}\"><ele>{:.3f}</ele><name>{}</name><desc>{}</desc><type>{}</type></wpt>\n", q.y, q.x,
                           height_of(*terrain, n.p), xml(n.name), xml(n.description), xml(n.code));
    }
    return out + "</gpx>\n";
}

}  // namespace

std::vector<NamedPoint> station_points(const std::vector<PracticeStation>& stations) {
    std::vector<NamedPoint> out;
    std::vector<Vec2> holes;
    for (const PracticeStation& s : stations)
        if (std::find(holes.begin(), holes.end(), s.hole) == holes.end()) holes.push_back(s.hole);
    for (std::size_t k = 0; k < holes.size(); ++k)
        out.push_back({holes.size() == 1 ? "hole" : fmt::format("hole {}", k + 1), "HOLE", "hole's centre", holes[k]});
    for (const PracticeStation& s : stations) {
        out.push_back({s.label + " ball", "BALL", fmt::format("ball spot, {:.2f} m from the hole", s.distance_m), s.ball});
        if (s.wants_marker())
            out.push_back({s.label + " aim", "AIM", fmt::format("aim marker, {:.2f} m {} of the hole", s.break_m, s.aim_offset_m > 0 ? "right" : "left"),
                           s.marker});
        const StartGate gate = start_gate(s);
        const std::string what = fmt::format("tee of the start gate, {:.0f} mm between the tees", 1000 * gate.width_m);
        out.push_back({s.label + " gate left", "GATE", what, gate.left});
        out.push_back({s.label + " gate right", "GATE", what, gate.right});
    }
    return out;
}

void write_points(const std::vector<PointOfGreen>& points, const std::filesystem::path& file) {
    if (points.empty()) throw Error(fmt::format("there are no points to write to {}", file.string()));
    for (const PointOfGreen& p : points)
        if (p.terrain->frame.has_crs() != frame_of(points).has_crs())
            throw Error("some of the greens have a coordinate system and some have none, so that one file cannot hold their points");
    const std::string ending = file.extension().string();
    std::string text;
    if (ending == ".csv") text = csv(points);
    else if (ending == ".geojson") text = geojson(points);
    else if (ending == ".gpx") text = gpx(points);
    else throw usage_error(fmt::format("{}: points are written as .csv, .geojson or .gpx", file.string()));
    write_file_safely(file, text);
}

void write_points(const std::vector<NamedPoint>& points, const TerrainModel& terrain, const std::filesystem::path& file) {
    // The caller's terrain outlives this call.
    const std::shared_ptr<const TerrainModel> ground(std::shared_ptr<void>(), &terrain);
    std::vector<PointOfGreen> placed;
    for (const NamedPoint& n : points) placed.push_back({n, ground});
    write_points(placed, file);
}

}  // namespace brae
