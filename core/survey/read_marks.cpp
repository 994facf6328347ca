#include "core/survey/read_marks.h"

#include "core/base/error.h"
#include "core/survey/point_codes.h"
#include "core/survey/read_survey.h"
#include "core/survey/read_text.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kFarthestM = 500;

}  // namespace

std::vector<ReferenceMark> read_marks(const std::filesystem::path& file, const Frame& frame, Progress& progress) {
    RawSurvey raw = read_text(file, progress);
    if (raw.kind != RawSurvey::Kind::levels)
        throw Error(fmt::format("'{}' has neither names nor codes; a list of marks with name, easting, northing and height is wanted", file.string()));

    // Into the frame of the green; another system shows by the distance.
    std::vector<Vec3> places;
    for (const RawLevel& level : raw.levels) places.push_back(level.p);
    frame.from_map(std::span<Vec3>(places));
    for (std::size_t k = 0; k < places.size(); ++k) {
        const double off = std::hypot(places[k].x, places[k].y);
        if (!(off < kFarthestM))
            throw Error(fmt::format("'{}' puts {} {:.0f} m from this green's origin; marks within {:.0f} m, in the system of the green, are "
                                    "wanted", file.string(), raw.levels[k].name.empty() ? "a point" : "'" + raw.levels[k].name + "'", off, kFarthestM));
        raw.levels[k].p = {places[k].x, places[k].y, places[k].z - frame.spec().origin_height_m};
    }

    // Where no code means a mark, every named row is one.
    const bool coded = std::any_of(raw.levels.begin(), raw.levels.end(), [](const RawLevel& l) { return meaning_of_code(l.code) == CodeMeaning::mark; });
    if (!coded) {
        std::erase_if(raw.levels, [](const RawLevel& l) { return l.name.empty(); });
        for (RawLevel& l : raw.levels) {
            if (l.description.empty()) l.description = l.code;
            l.code = "MARK";
        }
    }
    Survey survey;
    sort_levels(raw.levels, false, survey);
    if (survey.marks.empty())
        throw Error(fmt::format("'{}' holds no mark; rows with a name, or with a code such as HEAD, DRAIN or NAIL, are wanted", file.string()));
    return survey.marks;
}

}  // namespace brae
