// A green file of a plane, made by the program itself.
#pragma once

#include "tests/support/process.h"

#include <fmt/format.h>

namespace brae::test {

// Falls to the south by `slope`, 12 x 12 m, in `folder`; the file's name tells the slope, and one that is there is used again.
inline fs::path plane_green(const Scratch& folder, double slope) {
    const fs::path xyz = folder / fmt::format("plane{:.0f}.xyz", 1e4 * slope), green = fs::path(xyz).replace_extension(".gpkg");
    if (fs::exists(green)) return green;
    std::string text;
    for (int j = 0; j <= 40; ++j)
        for (int i = 0; i <= 40; ++i) text += fmt::format("{:.3f} {:.3f} {:.6f}\n", 0.3 * i, 0.3 * j, slope * 0.3 * j);
    write_file(xyz, text);
    REQUIRE(run_brae({"survey", xyz.string(), "--out", green.string(), "--json"}).code == 0);
    return green;
}

}  // namespace brae::test
