// The greens of the invented Dunlarrick Golf Club: exact height formulas, outlines, marks and today's holes.
// Tests compare what the program makes of the delivered files against these formulas.
#pragma once

#include "core/base/vec.h"
#include "core/survey/survey.h"
#include "core/terrain/spline_surface.h"

#include <cstdint>
#include <string>
#include <vector>

namespace brae::samples {

// A string of levels that a surveyor picks: along the top or the toe of a tier.
struct CodedString { std::string code; std::vector<Vec2> points; };

class SampleGreen final : public HeightField {
public:
    enum class Kind { tilted, two_tier, crowned };
    explicit SampleGreen(Kind kind);

    // Exact height above the green's own zero and its derivatives, m, at x, y in the green's own metres.
    SurfaceJet jet(double x, double y) const noexcept override;

    std::string folder;             // name under terrain-samples/
    std::string title;
    std::string crs;                // projected system of the delivered files
    Vec2 origin;                    // map coordinates of x = y = 0
    double datum = 0;               // survey height of the green's own zero, m
    std::uint64_t seed = 0;
    std::vector<Vec2> outline;      // ring, counter-clockwise, not closed
    Vec2 hole;
    std::vector<ReferenceMark> marks;
    std::vector<CodedString> strings;

private:
    Kind kind_;
};

std::vector<SampleGreen> all_greens();

}  // namespace brae::samples
