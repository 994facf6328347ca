// What to do next: the putt that is expected to tell most about the player.
#pragma once

#include "core/teach/lesson_estimate.h"

#include <string>
#include <vector>

namespace brae {

struct NextPutt {
    int station = 0;
    bool own_read = false;       // on the player's own read, told before the putt; else at the marker
    // By how much one more putt is expected to shrink what is unknown: the share of the sum of variances of read
    // (constant and share), start line and pace, each against its prior variance.
    double reduction = 0;
    double by[4] = {};           // the same for each alone: read constant, read share, start line, pace
    int most() const;            // the place in `by` that shrinks most
};

// All stations, both ways, the most telling first; equal ones in the order of the stations. Linear in the posterior's
// covariance: what is seen is taken as read, start line and pace with normal noise, a holed ball as one that lies
// anywhere in the holing window. Deterministic.
std::vector<NextPutt> next_putts(const PlayerModel& model, const LessonEstimate& estimate);

// "station C on the player's own read, told before the putt: tells most of the start line".
std::string next_putt_words(const NextPutt& next, const std::string& label);

}  // namespace brae
