#include "core/record/survey_again.h"

#include "core/base/error.h"
#include "core/record/green_file.h"

#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kNoisier = 1.3;   // times the noise before: what came back does not lie on the turf

}  // namespace

Green green_from_survey(const SurveyOrder& order, const std::string& name, Progress& progress, std::size_t* coded) {
    // The sources as they are before they are read: a file that changes meanwhile is told as changed later.
    SurveyRecord record;
    for (const auto& file : order.files) {
        std::error_code none;
        if (std::filesystem::is_regular_file(file, none)) record.files.push_back(source_of(file));
    }
    if (order.read.outline) {
        std::error_code none;
        if (std::filesystem::is_regular_file(*order.read.outline, none)) record.outline = source_of(*order.read.outline);
    }
    record.read = order.read;
    record.read.outline.reset();
    record.read.frame.reset();
    record.cell_m = order.cell_m;
    record.put_back = order.put_back;

    Progress reading(progress, 0, 0.4), cleaning(progress, 0.4, 0.55), fitting(progress, 0.55, 1);
    reading.step(0, "reading");
    Survey survey = read_survey(order.files, order.read, reading);
    if (coded != nullptr) *coded = survey.coded.size();
    if (order.edge) survey.outline = order.edge;
    clean_survey(survey, cleaning, order.put_back);
    BuildOptions build;
    build.cell_m = order.cell_m;
    Green green = make_green(std::move(survey), name, build, fitting);
    green.record = std::move(record);
    return green;
}

Green survey_again(const Green& old, const PutBack& put_back, Progress& progress, std::size_t* coded) {
    if (!old.record.known())
        throw Error(fmt::format("the green '{}' does not say which survey it came from; import the survey once more, then points can be put back",
                                old.name));
    if (const auto fault = source_fault(old.record)) throw Error(fault->sentence);
    SurveyOrder order;
    for (const SurveySource& source : old.record.files) order.files.push_back(source.file);
    order.read = old.record.read;
    if (old.record.outline) order.read.outline = old.record.outline->file;
    order.read.frame = old.terrain->frame.spec();
    order.cell_m = old.record.cell_m;
    order.put_back = put_back;
    const Outline& edge = old.terrain->outline;
    if (edge.source() == OutlineSource::drawn) order.edge = Outline(edge.ring(), OutlineSource::drawn);
    Green green = renewed_green(old, green_from_survey(order, old.name, progress, coded));
    if (old.revision == 0) green.revision = green.surface_revision = 0;
    // What was put back and is no turf shows as noise, and spoils every read near it.
    const long more = static_cast<long>(green.terrain->points_used) - static_cast<long>(old.terrain->points_used);
    auto terrain = std::make_shared<TerrainModel>(*green.terrain);
    if (!put_back.empty() && terrain->noise_m > kNoisier * old.terrain->noise_m)
        terrain->warnings.push_back(fmt::format("{} points more than before, and the noise rose from {:.1f} to {:.1f} mm: what was put back is "
                                                "probably no turf; --remove-again all takes it away", more, 1000 * old.terrain->noise_m, 1000 * terrain->noise_m));
    else if (!put_back.empty())
        terrain->warnings.push_back(fmt::format("{} points more than before are part of the surface", more));
    green.terrain = std::move(terrain);
    return green;
}

SurveyRecord with_source(SurveyRecord record, const SurveySource& old, const std::filesystem::path& file) {
    const SurveySource now = source_of(file);
    for (SurveySource& source : record.files)
        if (source == old) source = now;
    if (record.outline && *record.outline == old) record.outline = now;
    return record;
}

}  // namespace brae
