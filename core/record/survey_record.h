// Where a green's surface came from: the files, how they were read, and which removed points were put back, so that the
// survey can be read again.
#pragma once

#include "core/survey/read_survey.h"
#include "core/survey/removed_points.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace brae {

// One file as it was when it was read.
struct SurveySource {
    std::filesystem::path file;    // absolute here; in the green file relative to that, so that a folder can be moved whole
    std::uint64_t bytes = 0;
    std::string modified;          // UTC, ISO 8601 to the second
    friend bool operator==(const SurveySource&, const SurveySource&) = default;
};

struct SurveyRecord {
    std::vector<SurveySource> files;         // points, levels, marks, in the order in which they were named
    std::optional<SurveySource> outline;     // the file of the edge, where one was named
    ReadOptions read;                        // without `outline` and `frame`: those are above and in the terrain
    double cell_m = 0;                       // as asked for; 0: from the density
    PutBack put_back;
    bool known() const { return !files.empty(); }
};

// The file as it is now. Throws Error where there is none.
SurveySource source_of(const std::filesystem::path& file);

// The first source that is not what it was: gone, or of another size or date.
struct SourceFault {
    SurveySource source;
    std::string sentence;    // says what is the matter, and asks for the file
    bool missing = false;
};
std::optional<SourceFault> source_fault(const SurveyRecord& record);

}  // namespace brae
