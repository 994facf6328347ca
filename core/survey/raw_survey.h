// One file as read: its own coordinates and units, nothing dropped or moved yet.
#pragma once

#include "core/base/vec.h"
#include "core/survey/survey.h"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// A row that carries a point name or a code.
struct RawLevel {
    Vec3 p;
    std::string name, code, description;
    bool beyond = false;  // outside the clip box: kept only for the ring of edge points that it belongs to
};

struct RawSurvey {
    enum class Kind { cloud, raster, levels };

    std::filesystem::path path;
    Kind kind = Kind::cloud;
    std::vector<Vec3> points;      // clouds and rasters (cell centres), map coordinates
    // Class with flags (survey.h) and strip of every point, where the file tells them; else empty.
    std::vector<std::uint16_t> classes, strips;
    std::vector<RawLevel> levels;  // level lists
    std::size_t rows = 0;          // vertices, lines or cells in the file
    std::string crs;               // as the file names it, "" where it does not
    std::optional<double> metres_per_unit, metres_per_height;  // where the file says so beside or without a system
    // Raster: the vectors from one cell to the next, map units.
    Vec2 cell_column, cell_row;
    // A format that has a place for its units: where that is empty the reader says what it took.
    bool names_units = false;
    std::string date;     // of the survey, ISO 8601, "" where the file does not say
    std::string written;  // of the file
    std::vector<std::string> warnings;
};

// More points than these are thinned as they are read: a green of 600 m2 has 20,000 a square metre then.
inline constexpr std::size_t kMostPoints = 12'000'000;

// Takes the points of a cloud one by one. Those outside `clip` are passed over; whenever `most` are held every second goes, and
// from then on only as many are taken, so that every n-th point of the file stays and memory does not grow with it.
class PointThinner {
public:
    PointThinner(RawSurvey& raw, std::uint64_t expected, const std::optional<Box>& clip = {}, std::size_t most = kMostPoints);
    void add(const Vec3& p) {
        if (take(p)) raw_.points.push_back(p);
    }
    void add(const Vec3& p, std::uint16_t kind, std::uint16_t strip) {
        if (!take(p)) return;
        raw_.points.push_back(p);
        raw_.classes.push_back(kind);
        raw_.strips.push_back(strip);
    }
    // Says so in the warnings where points were thinned.
    void finish();

private:
    bool take(const Vec3& p) {
        if (clip_ && !clip_->contains({p.x, p.y})) return false;
        if ((seen_++ & (stride_ - 1)) != 0) return false;
        if (raw_.points.size() < most_) return true;
        halve();
        return ((seen_ - 1) & (stride_ - 1)) == 0;
    }
    void halve();

    RawSurvey& raw_;
    std::optional<Box> clip_;
    std::size_t most_;
    std::uint64_t seen_ = 0, stride_ = 1;  // a power of two
};

// For files of 32-bit numbers: the largest step between two neighbouring numbers of the size of `largest`, in its unit.
double float32_step(double largest);
// Adds a warning where positions or heights of a 32-bit file are stepped by more than a millimetre.
void warn_of_steps(RawSurvey& raw, bool float_xy, bool float_z);
// The same for files of text or of 64-bit numbers that went through 32-bit ones before: every number of an axis is one, and
// neighbours stand a step apart. Says nothing where a warning of steps is there already.
void warn_of_hidden_steps(RawSurvey& raw);

}  // namespace brae
