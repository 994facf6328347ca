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

RemovedPoints removed_points(const Survey& survey, std::size_t most) {
    RemovedPoints out;
    for (const std::uint8_t reason : survey.removed)
        if (reason != kept && reason < kRemovalReasons) ++out.counts[reason];
    // One pass a reason keeps them together; every n-th, so that they lie where all of them lie.
    for (std::size_t reason = 1; reason < kRemovalReasons; ++reason) {
        if (out.counts[reason] == 0 || most == 0) continue;
        const std::size_t every = (out.counts[reason] + most - 1) / most;
        std::size_t seen = 0;
        for (std::size_t k = 0; k < survey.removed.size(); ++k)
            if (survey.removed[k] == reason && seen++ % every == 0)
                out.points.push_back({survey.points[k], static_cast<RemovalReason>(reason)});
    }
    return out;
}

}  // namespace brae
