// The rows of a cloud as text, read on all cores: plain numbers the quick way, whatever else by the reader's own.
#pragma once

#include "core/base/vec.h"
#include "core/survey/text_layout.h"

#include <cstddef>
#include <functional>
#include <optional>
#include <string_view>
#include <vector>

namespace brae {

// The number that starts at `at`, with a decimal sign of `mark` and a sign before it; `at` moves behind it. Nothing, and `at`
// stays, where there is none ("inf" and "nan" are none). The same bits as std::from_chars: up to 2^53 over a power of ten up to
// 10^22 one division is correctly rounded (W. Clinger, "How to read floating point numbers accurately", PLDI 1990).
std::optional<double> plain_number(const char*& at, const char* end, char mark);

// The points of whole lines.
struct TextRows {
    std::vector<Vec3> points;
    std::size_t lines = 0;                      // walked, with those that carry nothing
    std::optional<std::string_view> not_a_row;  // the line that `slow` refused; the rest was not read
};

// Reads the lines of `block`. `slow` reads a line that is not plain numbers in as many columns as the layout has (quotes, an
// exponent, blanks too many, a comment): nothing for a comment; it throws Error for a line that is no row. It is called from
// several threads at once where several blocks are read.
using SlowRow = std::function<std::optional<Vec3>(std::string_view line)>;
void read_rows(std::string_view block, char line_end, const TextLayout& layout, const SlowRow& slow, TextRows& rows);

}  // namespace brae
