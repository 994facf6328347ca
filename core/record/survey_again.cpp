#include "core/record/survey_again.h"

#include "core/base/error.h"
#include "core/record/green_file.h"
#include "core/terrain/data_reach.h"
#include "core/terrain/new_outline.h"
#include "core/terrain/put_back_share.h"

#include <fmt/format.h>

namespace brae {

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

    const bool puts_back = !order.put_back.empty();
    Progress reading(progress, 0, 0.4), reaching(progress, 0.4, 0.42), judging(progress, 0.42, puts_back ? 0.49 : 0.42),
        cleaning(progress, puts_back ? 0.49 : 0.42, 0.55), fitting(progress, 0.55, 1);
    reading.step(0, "reading");
    Survey survey = read_survey(order.files, order.read, reading);
    if (coded != nullptr) *coded = survey.coded.size();
    if (order.edge) survey.outline = order.edge;
    std::vector<Vec2> reach;
    keep_former_edge(survey, order.former_edge, reach, reaching);

    // What is put back is told from the rest by a cleaning that knows nothing of it.
    PutBackSample sample;
    if (puts_back) {
        clean_survey(survey, judging);
        const std::vector<std::uint8_t> without = std::move(survey.removed);
        survey.removed.clear();
        clean_survey(survey, cleaning, order.put_back);
        sample = put_back_sample(survey, without);
    } else {
        clean_survey(survey, cleaning);
    }
    BuildOptions build;
    build.cell_m = order.cell_m;
    Green green = make_green(std::move(survey), name, build, fitting);
    auto terrain = std::make_shared<TerrainModel>(*green.terrain);
    terrain->reach = reach.empty() ? terrain->outline.ring() : std::move(reach);
    terrain->put_back = put_back_share(*terrain, sample);
    if (const PutBackShare& back = terrain->put_back; back.no_turf())
        terrain->warnings.push_back(fmt::format("{} points on the green that were put back scatter by {:.0f} mm about the surface: they are probably no "
                                                "turf; --remove-again all takes them away", back.points, 1000 * back.scatter_m));
    else if (back.points > 0)
        terrain->warnings.push_back(fmt::format("{} points that were put back are part of the surface", back.points));
    green.terrain = std::move(terrain);
    green.record = std::move(record);
    return green;
}

Green survey_again(const Green& old, const PutBack& put_back, Progress& progress, std::size_t* coded,
                   const std::optional<std::vector<Vec2>>& edge) {
    if (!old.record.known())
        throw Error(fmt::format("the green '{}' does not say which survey it came from; import the survey once more, then it can be read again",
                                old.name));
    if (const auto fault = source_fault(old.record)) throw Error(fault->sentence);
    SurveyOrder order;
    for (const SurveySource& source : old.record.files) order.files.push_back(source.file);
    order.read = old.record.read;
    if (old.record.outline) order.read.outline = old.record.outline->file;
    order.read.frame = old.terrain->frame.spec();
    order.cell_m = old.record.cell_m;
    order.put_back = put_back;
    const Outline& now = old.terrain->outline;
    if (edge) order.edge = Outline(*edge, OutlineSource::drawn).with_cut_outs_of(now);
    else if (now.source() == OutlineSource::drawn) order.edge = Outline(now.ring(), OutlineSource::drawn).with_cut_outs_of(now);
    order.former_edge = now;
    Green green = renewed_green(old, green_from_survey(order, old.name, progress, coded));
    if (old.revision == 0) green.revision = green.surface_revision = 0;
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
