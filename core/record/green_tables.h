// The tables of a green file, once: their columns, and how a green's parts become rows. docs/file-formats.md says it
// for people.
#pragma once

#include "core/base/error.h"
#include "core/record/geopackage.h"
#include "core/record/green.h"

#include <cstdint>
#include <string>

namespace brae {

inline constexpr int kGreenSchema = 6;
// Nothing in the file depends on the clock, so equal greens make equal files.
inline constexpr const char* kUnchangingDate = "2000-01-01T00:00:00.000Z";

// The one spatial reference of all layers: the green's local frame itself as a projected system. Coordinates in the
// file are origin + local / unit.
struct FileFrame {
    std::string wkt;            // empty: undefined cartesian, srs -1
    Vec2 origin;
    double unit = 1;            // metres per unit of the file's coordinates
    std::int32_t srs = -1;      // row in gpkg_spatial_ref_sys, known after the coverages are written
    Vec2 to_file(Vec2 local) const { return origin + local / unit; }
};
// A plain projected system is kept; a geographic one, or one with a distorted scale, becomes a Mercator of the frame's
// own whose false origin and turn make coordinates equal to local metres. Throws Error for unreadable WKT.
FileFrame file_frame(const FrameSpec& spec);

// Does work on a part of a file; what goes wrong is said of the file, not of the hidden part.
template <class F>
void on_part(const std::filesystem::path& part, const std::filesystem::path& file, F work) {
    try {
        work();
    } catch (const Error& e) {
        std::string text = e.what();
        for (std::size_t at = text.find(part.string()); at != std::string::npos; at = text.find(part.string(), at + file.string().size()))
            text.replace(at, part.string().size(), file.string());
        throw Error(text, e.kind());
    }
}

// Writes the three coverages (elevation, elevation_standard_error, slope_standard_error) into a new file.
void write_coverages(const TerrainModel& terrain, const FileFrame& frame, const std::filesystem::path& file);

// Throws Error for what cannot be stored: no terrain, rings of fewer than three corners, marks of equal names.
void check_storable(const Green& green);

// Makes the tables that came after schema `after`: all of them for 0.
void create_tables(Database& db, const FileFrame& frame, int after = 0);
void write_surface(Database& db, const TerrainModel& terrain, const FileFrame& frame);
// Replaces the outline, its gaps and what they let through of the rasters and of the coverages, where the file has another
// outline; the surface stays. The coverages are made in a part beside the file and their tiles copied into the open transaction.
void renew_outline(Database& db, const TerrainModel& terrain, const FileFrame& frame);
// The tiles of the coverages of `from`, and what is said of each, in place of those of `db`. Both have the same rasters.
void copy_coverages(Database& from, Database& db);
// Replaces all rows of marks, holes, skipped days, zones, stations, speed readings, the line of play and gates, and the extents in gpkg_contents.
void write_vectors(Database& db, const Green& green, const FileFrame& frame);
void write_play(Database& db, const Green& green, const FileFrame& frame);   // a part of write_vectors
void read_play(Database& db, Green& green);                                  // skipped days, line of play, gates
void write_meta(Database& db, const Green& green);
// The files that the survey came from, how far its data reach, check points, and the points that cleaning took away.
void write_survey(Database& db, const Green& green, const FileFrame& frame);
std::vector<RemovedPoint> read_removed_points(Database& db);
void read_survey_sources(Database& db, SurveyRecord& record);
std::vector<Vec2> read_data_reach(Database& db);    // empty where it is not known
std::vector<Vec3> read_check_points(Database& db);
// Tells a GIS how far a layer reaches; points in the file's coordinates.
void set_extent(Database& db, const char* table, const std::vector<Vec2>& points);

// Frames, tapes and lists of sentences as JSON text. The readers throw std::exception where the text does not fit.
std::string frame_to_json(const FrameSpec& spec);
FrameSpec frame_from_json(const std::string& text);
std::string tapes_to_json(const TapePlan& plan);
TapePlan tapes_from_json(const std::string& text);
std::string list_to_json(const std::vector<std::string>& list);
std::vector<std::string> list_from_json(const std::string& text);

std::string options_to_json(const SurveyRecord& record);
void options_from_json(const std::string& text, SurveyRecord& record);
std::string put_back_to_json(const PutBack& put_back);
PutBack put_back_from_json(const std::string& text);
std::string put_back_share_to_json(const PutBackShare& share);
PutBackShare put_back_share_from_json(const std::string& text);
std::string counts_to_json(const ReasonCounts& counts);
ReasonCounts counts_from_json(const std::string& text);

// The columns of the vector tables in the order in which they are written and read.
extern const char* const kMarkColumns;
extern const char* const kHoleColumns;
extern const char* const kZoneColumns;
extern const char* const kStationColumns;
extern const char* const kSpeedColumns;

}  // namespace brae
