#include "core/terrain/data_reach.h"

#include "core/base/error.h"
#include "core/base/parts.h"
#include "core/survey/place_order.h"
#include "core/survey/read_survey.h"
#include "core/survey/ring.h"
#include "core/terrain/new_outline.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kPlaces = 2000;      // of the lattice over the edge
constexpr double kLeastShare = 0.5;   // as build_terrain wants it

}  // namespace

std::vector<Vec2> data_reach(Survey& survey, const Box& around, Progress& progress) {
    progress.step(0, "how far the data reach");
    const Box room{around.x0 - kReachRoomM, around.y0 - kReachRoomM, around.x1 + kReachRoomM, around.y1 + kReachRoomM};
    const std::size_t n = survey.points.size();
    const bool classed = survey.classes.size() == n;

    // The boundary is drawn of what is not marked; the marks go again, whatever happens.
    struct Marks {
        std::vector<std::uint8_t>& removed;
        std::vector<std::uint8_t> before = std::move(removed);
        ~Marks() { removed = std::move(before); }
    } marks{survey.removed};
    survey.removed.assign(n, kept);
    for_parts(n, n / 65536 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k)
            if (!room.contains({survey.points[k].x, survey.points[k].y}) || (classed && (survey.classes[k] & kWithheld) != 0))
                survey.removed[k] = outside_clip;
    });
    try {
        return data_boundary(survey, progress).ring();
    } catch (const Error& e) {
        if (e.kind() == ErrorKind::cancelled) throw;
        return {};   // a handful of points, or islands
    }
}

double share_within(const Outline& edge, const std::vector<Vec2>& reach) {
    if (edge.empty() || reach.size() < 3) return 0;
    const Box& box = edge.box();
    const double step = std::sqrt(box.width() * box.height() / kPlaces);
    std::size_t inside = 0, on_data = 0;
    for (double y = box.y0 + step / 2; y < box.y1; y += step)
        for (double x = box.x0 + step / 2; x < box.x1; x += step) {
            if (side_of_ring(edge.ring(), {x, y}) < 0) continue;
            ++inside;
            on_data += side_of_ring(reach, {x, y}) >= 0;
        }
    return inside > 0 ? static_cast<double>(on_data) / static_cast<double>(inside) : 0;
}

void keep_former_edge(Survey& survey, const std::optional<Outline>& former, std::vector<Vec2>& reach, Progress& progress) {
    reach.clear();
    if (survey.outline && !survey.outline->empty()) {
        reach = data_reach(survey, survey.outline->box(), progress);
        return;
    }
    if (!former || former->empty() || former->source() == OutlineSource::data_boundary) return;
    const std::vector<Vec2> around = data_reach(survey, former->box(), progress);
    const double share = share_within(*former, around);
    if (share < kLeastShare) {
        survey.warnings.push_back(fmt::format("the survey brings no outline, and only {:.0f} % of the edge that the green had, {}, lies on its data; "
                                              "that edge was left", std::floor(100 * share), where_from(former->source())));
        return;
    }
    // Its gaps were of the data before; the new ones make their own.
    survey.outline = Outline(former->ring(), former->source()).with_cut_outs_of(*former);
    reach = around;
    survey.warnings.push_back(fmt::format("{}, {}, stays{}", kFormerEdgeStays, where_from(former->source()),
                                          share < 0.995 ? fmt::format(", of which {:.0f} % lies on the new data", std::floor(100 * share)) : ""));
}

}  // namespace brae
