#include "core/base/error.h"
#include "core/record/green_file.h"
#include "core/record/green_tables.h"
#include "core/record/green_zones.h"
#include "core/record/migration.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <limits>
#include <map>
#include <system_error>

namespace brae {
namespace fs = std::filesystem;
namespace {

class Reader {
public:
    explicit Reader(const fs::path& file) : db_(file, Database::Access::read) {}

    Green read() {
        // What it is, before anything is believed.
        if (!db_.has_table("gpkg_contents"))
            throw Error(fmt::format("{} is a database but not a GeoPackage; a green file is wanted", name()));
        if (!db_.has_table("brae_meta"))
            throw Error(fmt::format("{} is a GeoPackage without brae's tables; import it as a survey first", name()));
        read_meta();
        const int schema = whole("schema");
        if (schema > kGreenSchema)
            throw Error(fmt::format("{} was written by a newer brae (schema {}; this one reads up to {})", name(), schema,
                                    kGreenSchema));
        if (schema < 1) damaged(fmt::format("its schema is {}", schema));
        schema_ = schema;
        if (!db_.sound()) damaged("its pages do not hang together");

        Green green;
        green.id = meta("id");
        green.revision = whole("revision");
        green.surface_revision = whole("surface_revision");
        green.name = meta("name");
        green.terrain = std::make_shared<const TerrainModel>(read_terrain());
        green.marks = read_marks();
        green.holes = read_holes();
        green.zones = read_zones();
        green.stations = read_stations();
        green.stations_told = read_stations_told();
        green.speeds = read_speeds();
        green.survey = read_facts();
        if (schema_ >= 3) read_survey(green);
        if (schema_ >= 5) read_play(db_, green);
        take_gates_from_zones(green);
        return green;
    }

private:
    std::string name() const { return db_.file().string(); }
    [[noreturn]] void damaged(const std::string& how) const {
        throw Error(fmt::format("{} is damaged: {}", name(), how));
    }

    void read_meta() {
        Statement rows(db_, "SELECT key, value FROM brae_meta");
        while (rows.row()) {
            const std::string key = rows.text();
            meta_[key] = rows.text();
        }
    }
    const std::string& meta(const std::string& key) const {
        const auto found = meta_.find(key);
        if (found == meta_.end()) damaged(fmt::format("brae_meta has no '{}'", key));
        return found->second;
    }
    // Keys that older files lack; "" then.
    std::string meta_or_empty(const std::string& key) const {
        const auto found = meta_.find(key);
        return found == meta_.end() ? std::string() : found->second;
    }
    SurveyFacts read_facts() const {
        SurveyFacts facts;
        facts.method = method_of(meta_or_empty("survey_method"));
        facts.date = meta_or_empty("survey_date");
        facts.date_of_file = meta_or_empty("survey_date_of") == "file";
        facts.top_dressed = meta_or_empty("top_dressed");
        if (const std::string text = meta_or_empty("height_of_cut_m"); !text.empty()) {
            double value = 0;
            const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
            if (code != std::errc() || end != text.data() + text.size() || !(value > 0) || !(value < 1))
                damaged(fmt::format("'height_of_cut_m' in brae_meta is '{}', not a height", text));
            facts.height_of_cut_m = value;
        }
        return facts;
    }
    StationsTold read_stations_told() const {
        StationsTold told;
        told.missing = meta_or_empty("stations_missing");
        if (const std::string text = meta_or_empty("stations_usual_speed_ft"); !text.empty()) {
            double value = 0;
            const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
            if (code != std::errc() || end != text.data() + text.size() || !(value >= kSlowestGreenFt && value <= kFastestGreenFt))
                damaged(fmt::format("'stations_usual_speed_ft' in brae_meta is '{}', not a green speed", text));
            told.usual_speed_ft = value;
        }
        return told;
    }
    int whole(const std::string& key) const {
        const std::string& text = meta(key);
        int value = 0;
        const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (code != std::errc() || end != text.data() + text.size())
            damaged(fmt::format("'{}' in brae_meta is '{}', not a whole number", key, text));
        return value;
    }
    // Runs a reader of JSON text.
    template <class F>
    auto parsed(const char* what, F&& read) const {
        try {
            return read();
        } catch (const Error&) {
            throw;
        } catch (const std::exception&) {
            damaged(fmt::format("its {} cannot be read", what));
        }
    }

    // Files and options of the survey, and what cleaning took away; a GIS may have dropped the keys.
    void read_survey(Green& green) {
        read_survey_sources(db_, green.record);
        if (const std::string text = meta_or_empty("survey_options"); !text.empty())
            parsed("options of the survey", [&] { options_from_json(text, green.record); });
        if (const std::string text = meta_or_empty("put_back"); !text.empty())
            parsed("list of what was put back", [&] { green.record.put_back = put_back_from_json(text); });
        if (const std::string text = meta_or_empty("removed_counts"); !text.empty()) {
            auto removed = std::make_shared<RemovedPoints>();
            parsed("counts of removed points", [&] { removed->counts = counts_from_json(text); });
            removed->points = read_removed_points(db_);
            green.removed = std::move(removed);
        }
    }

    Bytes checked(const char* what, const Bytes& bytes, const std::string& sum) const {
        if (checksum(bytes) != sum) damaged(fmt::format("the {} do not match their checksum", what));
        return bytes;
    }
    std::vector<Vec2> ring(const Bytes& bytes, const char* what) const {
        auto points = points_of(bytes);
        if (!points) damaged(fmt::format("the corners of {} are not pairs of numbers", what));
        return *points;
    }

    TerrainModel read_terrain() {
        TerrainModel t;
        const FrameSpec spec = parsed("frame", [&] { return frame_from_json(meta("frame")); });
        t.frame = Frame(spec);
        t.points_read = count("points_read");
        t.points_used = count("points_used");
        t.warnings = parsed("list of warnings", [&] { return list_from_json(meta("warnings")); });

        // The outline.
        {
            Statement row(db_, "SELECT source, ring_m FROM outline");
            if (!row.row()) damaged("it has no outline");
            const std::string source = row.text();
            const std::vector<Vec2> corners = ring(row.bytes(), "the outline");
            std::vector<std::vector<Vec2>> gaps;
            std::vector<std::vector<Vec2>> cut_outs;
            Statement gap(db_, select("outline_gaps", "ring_m, cut_out"));
            while (gap.row()) {
                std::vector<Vec2> r = ring(gap.bytes(), "a gap in the outline");
                (gap.truth() ? cut_outs : gaps).push_back(std::move(r));
            }
            bool known = false;
            for (OutlineSource s : {OutlineSource::data_boundary, OutlineSource::file, OutlineSource::point_codes,
                                    OutlineSource::drawn})
                if (to_text(s) == source) {
                    try {
                        t.outline = Outline(corners, s);
                        if (!cut_outs.empty()) t.outline = t.outline.with_cut_outs(cut_outs);
                        if (!gaps.empty()) t.outline = t.outline.with_gaps(gaps);
                    } catch (const Error& e) {
                        damaged(e.what());
                    }
                    known = true;
                }
            if (!known) damaged(fmt::format("the outline's source is '{}'", source));
        }

        // The spline.
        {
            Statement row(db_, "SELECT columns, rows, x0_m, y0_m, cell_m, coefficients, checksum, smoothing, noise_m, "
                               "smooth_se_m, smooth_length_m, correlated_se_m, correlated_length_m FROM brae_surface");
            if (!row.row()) damaged("it has no surface");
            SplineGrid g;
            g.columns = side(row.integer());
            g.rows = side(row.integer());
            g.x0 = row.number(), g.y0 = row.number(), g.cell = row.number();
            const Bytes bytes = row.bytes();
            const auto values = doubles_of(checked("coefficients", bytes, row.text()));
            if (!values || values->size() != static_cast<std::size_t>(g.columns) * static_cast<std::size_t>(g.rows))
                damaged("the surface has not as many coefficients as its grid wants");
            g.coefficients = *values;
            t.smoothing = row.number(), t.noise_m = row.number();
            t.error.smooth_se_m = row.number(), t.error.smooth_length_m = row.number();
            t.error.correlated_se_m = row.number(), t.error.correlated_length_m = row.number();
            try {
                t.surface = std::make_shared<const SplineSurface>(std::move(g));
            } catch (const Error& e) {
                damaged(e.what());
            }
        }

        // The rasters.
        t.grid.height = raster("height_m");
        t.grid.height_se = raster("height_se_m");
        t.grid.slope_se = raster("slope_se");
        const Bytes mask = grid_bytes("mask").second;
        t.grid.mask.assign(mask.begin(), mask.end());
        const auto same = [&](const Raster& r) {
            return r.columns == t.grid.height.columns && r.rows == t.grid.height.rows;
        };
        if (!same(t.grid.height_se) || !same(t.grid.slope_se) || mask.size() != t.grid.height.values.size())
            damaged("its rasters differ in size");

        // What is known of its survey.
        if (schema_ >= 4) t.reach = read_data_reach(db_), t.checks = read_check_points(db_);
        if (const std::string text = meta_or_empty("put_back_share"); !text.empty())
            parsed("judgement of what was put back", [&] { t.put_back = put_back_share_from_json(text); });
        return t;
    }

    std::size_t count(const char* key) const {
        const std::string& text = meta(key);
        std::size_t value = 0;
        const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (code != std::errc() || end != text.data() + text.size())
            damaged(fmt::format("'{}' in brae_meta is '{}', not a count", key, text));
        return value;
    }
    int side(std::int64_t n) const {
        if (n < 1 || n > 100000) damaged(fmt::format("a raster side of {} cells", n));
        return static_cast<int>(n);
    }
    std::pair<Raster, Bytes> grid_bytes(const char* which) {
        Statement row(db_, "SELECT columns, rows, x0_m, y0_m, cell_m, cell_values, checksum FROM brae_grids "
                           "WHERE name = ?");
        if (!row.put(which).row()) damaged(fmt::format("it has no raster '{}'", which));
        Raster r;
        r.columns = side(row.integer());
        r.rows = side(row.integer());
        r.x0 = row.number(), r.y0 = row.number(), r.cell = row.number();
        if (!(r.cell > 0)) damaged(fmt::format("the raster '{}' has cells of no size", which));
        const Bytes bytes = row.bytes();
        return {r, checked("rasters", bytes, row.text())};
    }
    Raster raster(const char* which) {
        auto [r, bytes] = grid_bytes(which);
        const auto values = doubles_of(bytes);
        if (!values || values->size() != static_cast<std::size_t>(r.columns) * static_cast<std::size_t>(r.rows))
            damaged(fmt::format("the raster '{}' has not as many values as cells", which));
        r.values = *values;
        return r;
    }

    // Rows in the order in which they were written.
    std::string select(const char* table, const char* columns) const {
        return fmt::format("SELECT {} FROM {} ORDER BY fid", columns_of_schema(table, columns, schema_), table);
    }
    static Vec2 pair(Statement& row) {
        const double x = row.number();
        return {x, row.number()};
    }

    std::vector<ReferenceMark> read_marks() {
        std::vector<ReferenceMark> out;
        Statement row(db_, select("reference_marks", kMarkColumns));
        while (row.row()) {
            ReferenceMark m;
            m.name = row.text(), m.description = row.text();
            const Vec2 p = pair(row);
            m.p = {p.x, p.y, row.number()};
            out.push_back(m);
        }
        return out;
    }
    std::vector<StoredHole> read_holes() {
        std::vector<StoredHole> out;
        Statement row(db_, select("holes", kHoleColumns));
        while (row.row()) {
            StoredHole h;
            h.name = row.text(), h.date = row.text(), h.set_by = row.text(), h.today = row.truth(), h.p = pair(row);
            h.as_cut = row.truth();
            if (const double speed = row.number_or_nan(); !std::isnan(speed)) h.speed_ft = speed;
            h.remark = row.text();
            h.by_plan = row.truth();
            out.push_back(h);
        }
        return out;
    }
    std::vector<Zone> read_zones() {
        std::vector<Zone> out;
        Statement row(db_, select("zones", kZoneColumns));
        while (row.row()) {
            Zone z;
            z.name = row.text(), z.kind = row.text(), z.until = row.text(), z.ring = ring(row.bytes(), "a zone");
            if (z.ring.size() < 3) damaged(fmt::format("the zone '{}' has {} corners", z.name, z.ring.size()));
            out.push_back(z);
        }
        return out;
    }
    std::optional<TapePlan> tapes(const std::string& text) const {
        if (text.empty()) return std::nullopt;
        return parsed("tapes of a station", [&] { return tapes_from_json(text); });
    }
    std::vector<StoredStation> read_stations() {
        std::vector<StoredStation> out;
        Statement row(db_, select("stations", kStationColumns));
        while (row.row()) {
            StoredStation stored;
            PracticeStation& s = stored.station;
            s.label = row.text();
            s.ball = pair(row), s.marker = pair(row), s.hole = pair(row);
            s.past_m = row.number(), s.green_speed_ft = row.number(), s.break_m = row.number();
            s.break_se_m = row.number_or_nan();
            s.break_slower_m = row.number_or_nan(), s.break_faster_m = row.number_or_nan();
            s.aim_offset_m = row.number();
            const std::string turn = row.text();
            bool known = false;
            for (PuttSide p : {PuttSide::left_to_right, PuttSide::right_to_left, PuttSide::straight})
                if (to_text(p) == turn) s.side = p, known = true;
            if (!known) damaged(fmt::format("the side of station '{}' is '{}'", s.label, turn));
            s.distance_m = row.number(), s.launch_mps = row.number(), s.ball_speed_mps = row.number();
            s.window.left_deg = row.number(), s.window.right_deg = row.number();
            s.window.slow_mps = row.number(), s.window.fast_mps = row.number();
            s.slope_along_pct = row.number();
            s.start_line_at_0_3m = pair(row), s.start_line_at_1m = pair(row);
            s.note = row.text();
            s.tape_ball = tapes(row.text());
            s.tape_marker = tapes(row.text());
            s.path = ring(row.bytes(), "a ball's path");
            stored.surface_revision = static_cast<int>(row.integer());
            stored.model = row.text();
            s.lesson = row.text();
            out.push_back(stored);
        }
        return out;
    }
    std::vector<SpeedReading> read_speeds() {
        std::vector<SpeedReading> out;
        Statement row(db_, select("speed_readings", kSpeedColumns));
        while (row.row()) {
            SpeedReading r;
            r.speed_ft = row.number(), r.sigma_ft = row.number(), r.taken_at = row.text(), r.method = row.text();
            out.push_back(r);
        }
        return out;
    }

    Database db_;
    std::map<std::string, std::string> meta_;
    int schema_ = kGreenSchema;
};

}  // namespace

Green read_green_file(const fs::path& file) {
    // The plain cases first, each with its own words.
    std::error_code code;
    if (!fs::exists(file, code)) throw Error(fmt::format("cannot find the green file {}", file.string()));
    if (!fs::is_regular_file(file, code))
        throw Error(fmt::format("{} is not a file; a green file is wanted", file.string()));
    if (fs::file_size(file, code) == 0) throw Error(fmt::format("{} is empty; a green file is wanted", file.string()));
    std::ifstream in(file, std::ios::binary);
    char magic[16] = {};
    in.read(magic, sizeof magic);
    if (!in.is_open()) throw Error(fmt::format("cannot open {}: no permission to read it", file.string()));
    if (std::string(magic, 15) != "SQLite format 3")
        throw Error(fmt::format("{} is not a GeoPackage; a green file is wanted", file.string()));
    return Reader(file).read();
}

}  // namespace brae
