// One input for one reader: bytes become a file in memory, the reader reads it, and the only way out beside a result is an
// Error. Anything else (another exception, a crash, a sanitizer's report, much memory) is a finding.
#include "core/base/error.h"
#include "core/base/progress.h"
#include "core/survey/coordinate_system.h"
#include "core/survey/file_kind.h"
#include "core/survey/read_las.h"
#include "core/survey/read_obj.h"
#include "core/survey/read_outline.h"
#include "core/survey/read_pcd.h"
#include "core/survey/read_ply.h"
#include "core/survey/read_survey.h"
#include "core/survey/read_text.h"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <fcntl.h>
#include <string>
#include <unistd.h>

using namespace brae;

namespace {

#if defined(BRAE_FUZZ_las)
constexpr const char* kName = "las";
void read(const std::string& path, Progress& progress) {
    const RawSurvey raw = read_las(path, progress);
    if (raw.classes.size() != raw.points.size() || raw.strips.size() != raw.points.size()) std::abort();
    if (!raw.crs.empty()) parse_system(raw.crs, path);
}
#elif defined(BRAE_FUZZ_text)
constexpr const char* kName = "csv";
void read(const std::string& path, Progress& progress) {
    const RawSurvey raw = read_text(path, progress);
    for (const Vec3& p : raw.points)
        if (!std::isfinite(p.x + p.y + p.z)) std::abort();
}
#elif defined(BRAE_FUZZ_ply)
constexpr const char* kName = "ply";
void read(const std::string& path, Progress& progress) { read_ply(path, progress); }
#elif defined(BRAE_FUZZ_pcd)
constexpr const char* kName = "pcd";
void read(const std::string& path, Progress& progress) { read_pcd(path, progress); }
#elif defined(BRAE_FUZZ_obj)
constexpr const char* kName = "obj";
void read(const std::string& path, Progress& progress) {
    RawSurvey raw = read_obj(path, progress);
    turn_y_up(raw);
    warn_of_hidden_steps(raw);
}
#elif defined(BRAE_FUZZ_outline)
constexpr const char* kName = "geojson";
void read(const std::string& path, Progress&) {
    FrameSpec spec;
    spec.origin_map = {484950, 6632650};
    std::vector<std::string> warnings;
    const Outline outline = read_outline(path, Frame(spec), {0, 0, 40, 30}, warnings);
    if (!(outline.area_m2() > 0) || outline.ring().size() < 3) std::abort();
}
#else
// The whole way: kind, reader, frame, cleaning, boundary.
constexpr const char* kName = "any";
void read(const std::string& path, Progress& progress) {
    Survey survey = read_survey({path}, {}, progress);
    clean_survey(survey, progress);
    if (survey.removed.size() != survey.points.size()) std::abort();
    data_boundary(survey);
}
#endif

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string path = "/dev/shm/brae-fuzz-" + std::to_string(::getpid()) + "." + kName;
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    if (file < 0 || ::write(file, data, size) != static_cast<ssize_t>(size)) std::abort();
    ::close(file);
    try {
        Progress progress;
        read(path, progress);
    } catch (const Error& error) {
        // One sentence, and not an endless one.
        const std::string text = error.what();
        if (text.empty() || text.size() > 4000 || text.find('\n') != std::string::npos) std::abort();
    }
    ::unlink(path.c_str());
    return 0;
}
