#include "core/survey/removed_points.h"

#include <algorithm>
#include <numeric>

namespace brae {
namespace {

constexpr std::array<const char*, kRemovalReasons> kWords{"", "above-turf", "below-turf", "outside-edge", "astray", "other-class",
                                                          "second-layer", "withheld"};

bool same(const Box& a, const Box& b) { return a.x0 == b.x0 && a.y0 == b.y0 && a.x1 == b.x1 && a.y1 == b.y1; }

}  // namespace

bool PutBack::in_box(Vec2 p) const {
    return std::any_of(boxes.begin(), boxes.end(), [&](const Box& b) { return b.contains(p); });
}
bool PutBack::empty() const {
    return boxes.empty() && std::none_of(reasons.begin(), reasons.end(), [](bool b) { return b; });
}
bool operator==(const PutBack& a, const PutBack& b) {
    return a.reasons == b.reasons && std::equal(a.boxes.begin(), a.boxes.end(), b.boxes.begin(), b.boxes.end(), same);
}

const char* word_of(RemovalReason reason) { return kWords[reason]; }

std::optional<RemovalReason> reason_of(const std::string& word) {
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (word == kWords[k]) return static_cast<RemovalReason>(k);
    return std::nullopt;
}

std::string words_to_put_back() {
    std::string out;
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (k != outside_clip) out += (out.empty() ? "" : ", ") + std::string(kWords[k]);
    return out;
}

std::size_t RemovedPoints::total() const { return std::accumulate(counts.begin(), counts.end(), std::size_t{0}); }

RemovedPoints removed_points(const Survey& survey, const Outline& edge, std::size_t most) {
    RemovedPoints out;
    const auto reason_at = [&](std::size_t k) {
        const auto reason = static_cast<RemovalReason>(survey.removed[k]);
        if (reason == kept || reason >= kRemovalReasons || reason == outside_clip || edge.empty()) return reason;
        return edge.contains({survey.points[k].x, survey.points[k].y}) ? reason : outside_clip;
    };
    std::array<std::size_t, kRemovalReasons> every{}, seen{};
    for (std::size_t k = 0; k < survey.removed.size(); ++k)
        if (const auto reason = reason_at(k); reason != kept && reason < kRemovalReasons) ++out.counts[reason];
    if (most == 0) return out;

    // Every n-th, so that they lie where all of them lie; those of one reason together.
    std::array<std::vector<RemovedPoint>, kRemovalReasons> by_reason;
    for (std::size_t reason = 1; reason < kRemovalReasons; ++reason) every[reason] = std::max<std::size_t>(1, (out.counts[reason] + most - 1) / most);
    for (std::size_t k = 0; k < survey.removed.size(); ++k)
        if (const auto reason = reason_at(k); reason != kept && reason < kRemovalReasons && seen[reason]++ % every[reason] == 0)
            by_reason[reason].push_back({survey.points[k], reason});
    for (const auto& part : by_reason) out.points.insert(out.points.end(), part.begin(), part.end());
    return out;
}

}  // namespace brae
