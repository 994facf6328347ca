#include "core/survey/text_rows.h"

#include "core/base/error.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <cstring>

namespace brae {

namespace {

constexpr std::array<double, 23> kTens{1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                       1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

bool is_digit(char c) { return static_cast<unsigned char>(c - '0') < 10; }

// The columns of a line one after another; false where it is not as plain as that.
bool plain_row(const char* at, const char* end, const TextLayout& layout, Vec3& p) {
    const bool blanks = layout.separator == ' ';
    const auto blank = [&](char c) { return c == ' ' || (blanks && c == '\t'); };
    const char mark = layout.decimal_comma ? ',' : '.';
    const auto columns = static_cast<int>(layout.columns);
    // Numbers in quotes where the decimal sign separates too; comments.
    if (mark == layout.separator) return false;
    while (at < end && (*at == ' ' || *at == '\t')) ++at;
    if (at == end || *at == '#' || *at == '/') return false;
    for (int column = 0;; ++column) {
        while (at < end && blank(*at)) ++at;
        if (at == end) return false;
        if (column == layout.x || column == layout.y || column == layout.z) {
            const auto value = plain_number(at, end, mark);
            if (!value) return false;
            (column == layout.x ? p.x : column == layout.y ? p.y : p.z) = *value;
        } else {
            // Whatever the others hold, but for quotes, which may hold the separator.
            for (; at < end && *at != layout.separator && !(blanks && *at == '\t'); ++at)
                if (*at == '"') return false;
        }
        // The end of the line behind the last column, a separator behind every other.
        const char* const behind = at;
        while (at < end && blank(*at)) ++at;
        if (column + 1 == columns) return at == end;
        if (blanks ? at == behind : at == end || *at != layout.separator) return false;
        if (!blanks) ++at;
    }
}

}  // namespace

std::optional<double> plain_number(const char*& at, const char* end, char mark) {
    const char* c = at;
    const bool negative = c < end && *c == '-';
    if (negative || (c < end && *c == '+')) ++c;
    // Nineteen digits fit into 64 bits whatever they are.
    const char* const first = c;
    std::uint64_t digits = 0;
    while (c < end && is_digit(*c) && c - first < 20) digits = 10 * digits + static_cast<std::uint64_t>(*c++ - '0');
    const auto whole = c - first;
    std::ptrdiff_t after = 0;
    if (c < end && *c == mark) {
        const char* const decimals = ++c;
        while (c < end && is_digit(*c) && c - decimals < 20 - whole) digits = 10 * digits + static_cast<std::uint64_t>(*c++ - '0');
        after = c - decimals;
    }
    const auto all = whole + after;
    const bool more = c < end && (is_digit(*c) || *c == 'e' || *c == 'E');
    if (all > 0 && all <= 19 && digits <= (std::uint64_t{1} << 53) && !more) {
        at = c;
        const double value = static_cast<double>(digits) / kTens[static_cast<std::size_t>(after)];
        return negative ? -value : value;
    }
    // Exponents and more digits than fit: the library knows how. It would take words such as "inf" too.
    if (all == 0 || mark != '.') return std::nullopt;
    double value = 0;
    const auto [behind, failed] = std::from_chars(first, end, value);
    if (failed != std::errc()) return std::nullopt;
    at = behind;
    return negative ? -value : value;
}

void read_rows(std::string_view block, char line_end, const TextLayout& layout, const SlowRow& slow, TextRows& rows) {
    rows.points.clear();
    rows.lines = 0;
    rows.not_a_row.reset();
    const char* at = block.data();
    const char* const end = at + block.size();
    while (at < end) {
        const void* const found = std::memchr(at, line_end, static_cast<std::size_t>(end - at));
        const char* const stop = found ? static_cast<const char*>(found) : end;
        const char* const last = stop > at && stop[-1] == '\r' ? stop - 1 : stop;
        Vec3 p;
        if (plain_row(at, last, layout, p)) {
            rows.points.push_back(p);
        } else {
            const std::string_view line(at, static_cast<std::size_t>(last - at));
            try {
                if (const auto row = slow(line)) rows.points.push_back(*row);
            } catch (const Error&) {
                rows.not_a_row = line;
                return;
            }
        }
        ++rows.lines;
        at = stop + (found ? 1 : 0);
    }
}

}  // namespace brae
