#include "core/record/survey_record.h"

#include "core/base/calendar.h"
#include "core/base/error.h"

#include <chrono>
#include <fmt/format.h>
#include <system_error>

namespace brae {
namespace fs = std::filesystem;
namespace {

std::string text_of(fs::file_time_type when) {
    const auto system = std::chrono::time_point_cast<std::chrono::seconds>(std::chrono::file_clock::to_sys(when));
    return utc_text(system.time_since_epoch().count());
}

std::optional<SourceFault> fault_of(const SurveySource& source) {
    std::error_code code;
    if (!fs::is_regular_file(source.file, code))
        return SourceFault{source, fmt::format("the survey file {} is not where it was when the green was made; name the file where it is now",
                                               source.file.string()), true};
    const SurveySource now = source_of(source.file);
    if (now == source) return std::nullopt;
    const std::string how = now.bytes != source.bytes ? fmt::format("it has {} bytes and had {}", now.bytes, source.bytes)
                                                      : fmt::format("it is of {} and was of {}", now.modified, source.modified);
    return SourceFault{source, fmt::format("the survey file {} has changed since the green was made ({}); name the file that is to be read",
                                           source.file.string(), how), false};
}

}  // namespace

SurveySource source_of(const fs::path& file) {
    std::error_code code;
    SurveySource out;
    out.file = fs::weakly_canonical(file, code);
    if (code) out.file = file;
    out.bytes = fs::file_size(file, code);
    if (code) throw Error(fmt::format("cannot find the survey file {}", file.string()));
    const auto when = fs::last_write_time(file, code);
    if (code) throw Error(fmt::format("cannot tell how old the survey file {} is", file.string()));
    out.modified = text_of(when);
    return out;
}

std::optional<SourceFault> source_fault(const SurveyRecord& record) {
    for (const SurveySource& source : record.files)
        if (auto fault = fault_of(source)) return fault;
    if (record.outline) return fault_of(*record.outline);
    return std::nullopt;
}

}  // namespace brae
