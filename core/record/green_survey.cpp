// The survey in a green file: its files and options, what cleaning took away, what was put back.
#include "core/record/green_tables.h"

#include "core/base/error.h"

#include <fmt/format.h>
#include <limits>
#include <nlohmann/json.hpp>

namespace brae {
namespace fs = std::filesystem;
namespace {

using nlohmann::json;

std::string text_of(const json& j) { return j.dump(-1, ' ', false, json::error_handler_t::replace); }

json json_of(const Box& b) { return {b.x0, b.y0, b.x1, b.y1}; }
Box box_from(const json& j) {
    return {j.at(0).get<double>(), j.at(1).get<double>(), j.at(2).get<double>(), j.at(3).get<double>()};
}

json json_of(const PutBack& put_back) {
    json words = json::array(), boxes = json::array();
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (put_back.reasons[k]) words.push_back(word_of(static_cast<RemovalReason>(k)));
    for (const Box& b : put_back.boxes) boxes.push_back(json_of(b));
    return {{"reasons", words}, {"boxes_m", boxes}};
}
PutBack put_back_from(const json& j) {
    PutBack out;
    for (const json& word : j.at("reasons"))
        if (const auto reason = reason_of(word.get<std::string>())) out.reasons[*reason] = true;
    for (const json& box : j.at("boxes_m")) out.boxes.push_back(box_from(box));
    return out;
}

RemovalReason known_reason(const std::string& word, const fs::path& file) {
    if (const auto reason = reason_of(word)) return *reason;
    throw Error(fmt::format("{} is damaged: a point was removed because of '{}'", file.string(), word));
}

}  // namespace

std::string options_to_json(const SurveyRecord& record) {
    const ReadOptions& r = record.read;
    json j = {{"crs", r.crs}, {"units", r.units}, {"height_units", r.height_units}, {"method", to_text(r.method)}, {"date", r.date},
              {"top_dressed", r.top_dressed}, {"cell_m", record.cell_m}};
    if (r.clip) j["clip_map"] = json_of(*r.clip);
    if (r.height_of_cut_m) j["height_of_cut_m"] = *r.height_of_cut_m;
    return text_of(j);
}

void options_from_json(const std::string& text, SurveyRecord& record) {
    const json j = json::parse(text);
    ReadOptions& r = record.read;
    r.crs = j.at("crs").get<std::string>();
    r.units = j.at("units").get<std::string>();
    r.height_units = j.at("height_units").get<std::string>();
    r.method = method_of(j.at("method").get<std::string>());
    r.date = j.at("date").get<std::string>();
    r.top_dressed = j.at("top_dressed").get<std::string>();
    record.cell_m = j.at("cell_m").get<double>();
    if (j.contains("clip_map")) r.clip = box_from(j.at("clip_map"));
    if (j.contains("height_of_cut_m")) r.height_of_cut_m = j.at("height_of_cut_m").get<double>();
}

std::string put_back_to_json(const PutBack& put_back) { return text_of(json_of(put_back)); }
PutBack put_back_from_json(const std::string& text) { return put_back_from(json::parse(text)); }

std::string put_back_share_to_json(const PutBackShare& share) {
    return text_of({{"points", share.points}, {"scatter_m", share.scatter_m}, {"noise_rise", share.noise_rise}});
}
PutBackShare put_back_share_from_json(const std::string& text) {
    const json j = json::parse(text);
    PutBackShare out{j.at("points").get<std::size_t>(), j.at("scatter_m").get<double>(), j.at("noise_rise").get<double>()};
    if (!(out.scatter_m >= 0) || !(out.noise_rise >= 0)) throw std::runtime_error("a scatter that is none");
    return out;
}

std::string counts_to_json(const ReasonCounts& counts) {
    json j = json::object();
    for (std::size_t k = 1; k < kRemovalReasons; ++k) j[word_of(static_cast<RemovalReason>(k))] = counts[k];
    return text_of(j);
}

ReasonCounts counts_from_json(const std::string& text) {
    ReasonCounts out{};
    const json j = json::parse(text);
    for (std::size_t k = 1; k < kRemovalReasons; ++k) out[k] = j.value(word_of(static_cast<RemovalReason>(k)), std::size_t{0});
    return out;
}

void write_survey(Database& db, const Green& green, const FileFrame& frame) {
    // Files as seen from where the green lies: no names of folders above it that others need not read, and both may move together.
    // What lies in another part of the disk stays where it is when the green is copied.
    const fs::path folder = fs::absolute(db.file()).parent_path();
    Statement source(db, "INSERT INTO survey_sources (role, path, size_bytes, modified) VALUES (?, ?, ?, ?)");
    const auto put = [&](const char* role, const SurveySource& s) {
        std::error_code code;
        fs::path canonical = fs::weakly_canonical(folder, code);
        if (code) canonical = folder;
        const fs::path seen = s.file.lexically_relative(canonical);
        const bool far = seen.empty() || seen.generic_string().starts_with("../../../");
        source.put(role).put((far ? s.file : seen).generic_string()).put(static_cast<std::int64_t>(s.bytes)).put(s.modified).go();
    };
    for (const SurveySource& s : green.record.files) put("survey", s);
    if (green.record.outline) put("outline", *green.record.outline);

    // How far the data reach, and what tests the surface: how much it lies over each height.
    std::vector<Vec2> places;
    const TerrainModel& terrain = *green.terrain;
    if (terrain.reach.size() >= 3) {
        for (const Vec2& p : terrain.reach) places.push_back(frame.to_file(p));
        Statement reach(db, "INSERT INTO data_reach (geom, ring_m) VALUES (?, ?)");
        reach.put(polygon_geometry(places, {}, frame.srs)).put(bytes_of(terrain.reach)).go();
        set_extent(db, "data_reach", places);
    }
    places.clear();
    Statement check(db, "INSERT INTO check_points (geom, x_m, y_m, z_m, over_m) VALUES (?, ?, ?, ?, ?)");
    for (const Vec3& p : terrain.checks) {
        places.push_back(frame.to_file({p.x, p.y}));
        check.put(point_geometry(places.back(), frame.srs)).put(p.x).put(p.y).put(p.z).put(terrain.surface->height(p.x, p.y) - p.z).go();
    }
    set_extent(db, "check_points", places);

    if (!green.removed) return;
    places.clear();
    Statement point(db, "INSERT INTO removed_points (geom, reason, x_m, y_m, z_m) VALUES (?, ?, ?, ?, ?)");
    for (const RemovedPoint& r : green.removed->points) {
        places.push_back(frame.to_file({r.p.x, r.p.y}));
        point.put(point_geometry(places.back(), frame.srs)).put(word_of(r.reason)).put(r.p.x).put(r.p.y).put(r.p.z).go();
    }
    set_extent(db, "removed_points", places);
}

std::vector<RemovedPoint> read_removed_points(Database& db) {
    std::vector<RemovedPoint> out;
    Statement row(db, "SELECT reason, x_m, y_m, z_m FROM removed_points ORDER BY fid");
    while (row.row()) {
        RemovedPoint r;
        r.reason = known_reason(row.text(), db.file());
        r.p.x = row.number(), r.p.y = row.number(), r.p.z = row.number();
        out.push_back(r);
    }
    return out;
}

std::vector<Vec2> read_data_reach(Database& db) {
    Statement row(db, "SELECT ring_m FROM data_reach");
    if (!row.row()) return {};
    const auto ring = points_of(row.bytes());
    if (!ring || ring->size() < 3) throw Error(fmt::format("{} is damaged: the ring round its data is none", db.file().string()));
    return *ring;
}

std::vector<Vec3> read_check_points(Database& db) {
    std::vector<Vec3> out;
    Statement row(db, "SELECT x_m, y_m, z_m FROM check_points ORDER BY fid");
    while (row.row()) {
        Vec3 p;
        p.x = row.number(), p.y = row.number(), p.z = row.number();
        out.push_back(p);
    }
    return out;
}

void read_survey_sources(Database& db, SurveyRecord& record) {
    std::error_code code;
    fs::path folder = fs::weakly_canonical(fs::absolute(db.file()).parent_path(), code);
    if (code) folder = fs::absolute(db.file()).parent_path();
    Statement row(db, "SELECT role, path, size_bytes, modified FROM survey_sources ORDER BY fid");
    while (row.row()) {
        const std::string role = row.text();
        SurveySource s;
        const fs::path path = row.text();
        s.file = path.is_absolute() ? path : (folder / path).lexically_normal();
        const std::int64_t bytes = row.integer();
        s.bytes = bytes > 0 ? static_cast<std::uint64_t>(bytes) : 0;
        s.modified = row.text();
        if (role == "outline") record.outline = s;
        else record.files.push_back(s);
    }
}

}  // namespace brae
