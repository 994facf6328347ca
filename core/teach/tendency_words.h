// Plain words for what a lesson tells. They follow the interval: no verdict where it holds both sides.
#pragma once

#include "core/teach/lesson_estimate.h"

#include <string>
#include <vector>

namespace brae {

// How sure the words may be, by the 90 % interval and the number of putts that speak to it.
enum class Verdict {
    nothing,     // no putt speaks to it
    open,        // the interval holds both sides and more than a small bias
    small,       // the whole interval lies within what does not matter
    leans,       // the interval lies on one side, from fewer than kFewPutts putts
    tells        // on one side, from enough putts
};
inline constexpr int kFewPutts = 12;   // own choice: never a verdict from six

Verdict verdict_on(const Told90& told, int putts, double small);

// One tendency as a sentence. Values in `unit` (already converted); what: "the start line"; less and more: the words for
// negative and positive values, such as "left" and "right"; small: a bias that does not matter.
struct Tendency { std::string what, unit, less, more; double small = 0; int places = 1; };
std::string sentence_on(const Tendency& tendency, const Told90& told, int putts);

// Read, aim, stroke or start line, pace and sides of a lesson, in this order; only what the record can tell. Then what cannot be
// told and, unless they are left out, the putts whose side and place do not fit together.
std::vector<std::string> tendency_sentences(const LessonEstimate& estimate, bool with_doubts = true);

// The ± that goes with a mean: so much to either side of it holds the 90 % interval.
double half_width(const Told90& told);

// One putt in one line: "read 1.2 degrees low +/- 0.6, start 0.4 right +/- 0.7, pace 6 % soft +/- 2 (90 %)".
std::string putt_sentence(const PuttErrors& errors);

}  // namespace brae
