// What cleaning took away, to be shown and to be put back.
#pragma once

#include "core/survey/survey.h"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// Counts by RemovalReason.
using ReasonCounts = std::array<std::size_t, kRemovalReasons>;

// What is to stay in the survey whatever cleaning says of it. A reason that is put back is a rule switched off: points that
// the file withholds or counts to another class, and second layers, are then judged like any others; clutter, noise and
// stray points are left in. A box (local metres) keeps every point in it, whatever the reason. What lies outside the edge
// stays out: the edge decides.
struct PutBack {
    std::array<bool, kRemovalReasons> reasons{};
    std::vector<Box> boxes;

    bool has(RemovalReason reason) const { return reasons[reason]; }
    bool in_box(Vec2 p) const;
    bool empty() const;
    friend bool operator==(const PutBack&, const PutBack&);
};

// The word of a reason on the command line and in files: "above-turf", "below-turf", "outside-edge", "astray", "other-class",
// "second-layer", "withheld"; "" for `kept`. The other way round: nothing for other words.
const char* word_of(RemovalReason reason);
std::optional<RemovalReason> reason_of(const std::string& word);
// The words that can be put back, commas between, for sentences.
std::string words_to_put_back();

// One removed point for people to look at.
struct RemovedPoint {
    Vec3 p;   // local metres
    RemovalReason reason = above_turf;
    friend bool operator==(const RemovedPoint&, const RemovedPoint&) = default;
};

// Of one reason at most this many points are kept to be looked at: every n-th in the order of the files. The counts are whole.
inline constexpr std::size_t kMostRemovedPoints = 20'000;
struct RemovedPoints {
    std::vector<RemovedPoint> points;   // by reason, then in the order of the files
    ReasonCounts counts{};              // counts[kept] is 0
    std::size_t total() const;
};
// Points outside `edge` are counted and kept as outside it, whatever cleaning said of them: longer grass round the green is no
// clutter on it. An empty edge: as cleaning said.
RemovedPoints removed_points(const Survey& survey, const Outline& edge = {}, std::size_t most = kMostRemovedPoints);

}  // namespace brae
