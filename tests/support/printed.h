// Printed sheets looked at from outside, through poppler: pages, words, pixels.
#pragma once

#include "core/base/vec.h"
#include "tests/support/support.h"
#include "tests/support/refusal.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace brae::test {

inline std::string content(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// Output of a command; empty where it cannot be run.
inline std::string output_of(const std::string& command) {
    std::string out;
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    if (pipe == nullptr) return out;
    std::array<char, 4096> buffer{};
    for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) out.append(buffer.data(), n);
    pclose(pipe);
    return out;
}
inline bool have_poppler() { return !output_of("which pdftoppm").empty() && !output_of("which pdfinfo").empty(); }

inline int pages_in(const std::filesystem::path& pdf) {
    const std::string info = output_of("pdfinfo " + pdf.string());
    const auto at = info.find("Pages:");
    return at == std::string::npos ? -1 : std::atoi(info.c_str() + at + 6);
}
inline std::string words_in(const std::filesystem::path& pdf) {
    // No-break spaces and line ends count as spaces.
    std::string raw = output_of("pdftotext -layout " + pdf.string() + " -"), out;
    for (std::size_t k = 0; k < raw.size(); ++k) {
        const bool no_break = k + 1 < raw.size() && static_cast<unsigned char>(raw[k]) == 0xc2 &&
                              static_cast<unsigned char>(raw[k + 1]) == 0xa0;
        if (no_break) ++k;
        const char c = no_break || raw[k] == '\n' || raw[k] == '\f' ? ' ' : raw[k];
        if (c != ' ' || out.empty() || out.back() != ' ') out += c;
    }
    return out;
}

// Lengths and speeds of a page's words that are in the other system of units than its own, with what stands round them. Green speeds
// are in feet everywhere ("9.5 ft"), so on a page in metres only feet with inches, inches and feet a second are strange.
inline std::vector<std::string> strange_units(const std::string& words, bool feet) {
    static const std::regex metric("[0-9] ?(m|cm|mm|m/s)(?![A-Za-z\u00b2/])"), imperial("[0-9]( ft [0-9]+(\u00bc|\u00bd|\u00be)? in|(\u00bc|\u00bd|\u00be)? in(?! the|[A-Za-z])| ft/s)(?![A-Za-z])");
    std::vector<std::string> out;
    for (auto at = std::sregex_iterator(words.begin(), words.end(), feet ? metric : imperial); at != std::sregex_iterator(); ++at) {
        const auto from = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, at->position() - 25));
        out.push_back(words.substr(from, 50));
    }
    return out;
}

// A page in grey as pdftoppm draws it.
struct Picture {
    int width = 0, height = 0;
    std::string pixels;
    int grey(int x, int y) const { return static_cast<unsigned char>(pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)]); }
    bool dark(int x, int y) const { return x >= 0 && y >= 0 && x < width && y < height && grey(x, y) < 140; }
    // Is the square of 2 half + 1 pixels round it all dark?
    bool solid(int x, int y, int half) const {
        for (int dy = -half; dy <= half; ++dy)
            for (int dx = -half; dx <= half; ++dx)
                if (!dark(x + dx, y + dy)) return false;
        return true;
    }
};
inline Picture page_of(const std::filesystem::path& pdf, int number, int dpi) {
    const std::string n = std::to_string(number), raw = output_of("pdftoppm -gray -f " + n + " -l " + n + " -r " + std::to_string(dpi) + " " + pdf.string());
    Picture p;
    std::istringstream in(raw);
    std::string magic;
    int most = 0;
    in >> magic >> p.width >> p.height >> most;
    in.get();
    p.pixels.assign(std::istreambuf_iterator<char>(in), {});
    REQUIRE(p.pixels.size() == static_cast<std::size_t>(p.width) * static_cast<std::size_t>(p.height));
    return p;
}
inline Picture first_page(const std::filesystem::path& pdf, int dpi) { return page_of(pdf, 1, dpi); }

// First and last pixel of the longest dark run in a row.
inline std::pair<int, int> longest_run(const Picture& p, int y) {
    std::pair<int, int> best{0, -1};
    for (int x = 0; x < p.width; ++x) {
        if (!p.dark(x, y)) continue;
        int end = x;
        while (p.dark(end + 1, y)) ++end;
        if (end - x > best.second - best.first) best = {x, end};
        x = end;
    }
    return best;
}
// Centres of what is solid over so many pixels to each side, each once, between two rows.
inline std::vector<Vec2> solid_spots(const Picture& p, int half, int from, int to) {
    std::vector<Vec2> out;
    for (int y = from; y < to; ++y)
        for (int x = 0; x < p.width; ++x)
            if (p.solid(x, y, half) && std::none_of(out.begin(), out.end(), [&](Vec2 s) { return distance(s, {double(x), double(y)}) < 30; }))
                out.push_back({double(x), double(y)});
    return out;
}
// Ink inside the page and outside its margin of so many mm.
inline std::pair<int, int> ink_and_outside(const Picture& p, int dpi, double margin_mm) {
    const int margin = static_cast<int>(margin_mm / 25.4 * dpi);
    int ink = 0, outside = 0;
    for (int y = 0; y < p.height; ++y)
        for (int x = 0; x < p.width; ++x)
            if (p.grey(x, y) < 200) ++ink, outside += x < margin || y < margin || x >= p.width - margin || y >= p.height - margin;
    return {ink, outside};
}

}  // namespace brae::test
