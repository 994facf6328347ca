#include "core/survey/raw_survey.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

PointThinner::PointThinner(RawSurvey& raw, std::uint64_t expected, const std::optional<Box>& clip, std::size_t most)
    : raw_(raw), clip_(clip), most_(most) {
    // Inside a box there may be few.
    if (!clip) raw_.points.reserve(static_cast<std::size_t>(std::min<std::uint64_t>(expected, most)));
}

void PointThinner::halve() {
    const auto every_second = [](auto& list) {
        for (std::size_t k = 0; 2 * k < list.size(); ++k) list[k] = list[2 * k];
        list.resize((list.size() + 1) / 2);
    };
    every_second(raw_.points);
    every_second(raw_.classes);
    every_second(raw_.strips);
    stride_ *= 2;
}

void PointThinner::finish() {
    if (stride_ > 1)
        raw_.warnings.push_back(fmt::format("'{}' holds {} points{}, more than are needed; every {}th of them is used (--clip to the green keeps "
                                            "more of them)", raw_.path.string(), seen_, clip_ ? " in the clip box" : "", stride_));
}

double float32_step(double largest) {
    if (!(largest > 0) || !std::isfinite(largest)) return 0;
    // 24 bits of significand (IEEE 754).
    return std::ldexp(1.0, std::ilogb(largest) - 23);
}

void warn_of_steps(RawSurvey& raw, bool float_xy, bool float_z) {
    double xy = 0, z = 0;
    for (const Vec3& p : raw.points) {
        xy = std::max({xy, std::abs(p.x), std::abs(p.y)});
        z = std::max(z, std::abs(p.z));
    }
    const auto length = [](double step) {
        return step >= 0.1 ? fmt::format("{:.2g} m", step) : fmt::format("{:.2g} mm", 1000 * step);
    };
    // Coordinates are taken for metres here; in feet the step is a third of what is said.
    if (const double step = float32_step(xy); float_xy && step > 1e-3)
        raw.warnings.push_back(fmt::format("'{}' keeps positions near {:.0f} as 32-bit numbers, which step by {}; export it "
                                           "again with 64-bit numbers or with a local origin subtracted",
                                           raw.path.string(), xy, length(step)));
    if (const double step = float32_step(z); float_z && step > 1e-3)
        raw.warnings.push_back(fmt::format("'{}' keeps heights near {:.0f} as 32-bit numbers, which step by {}; export it "
                                           "again with 64-bit numbers or with a local origin subtracted",
                                           raw.path.string(), z, length(step)));
}

void warn_of_hidden_steps(RawSurvey& raw) {
    constexpr std::string_view word = "32-bit numbers";
    for (const std::string& warning : raw.warnings)
        if (warning.find(word) != std::string::npos) return;
    // A stretch of neighbours in the file and some from all over it say enough.
    constexpr std::size_t enough = 50'000;
    std::vector<Vec3> positions(raw.points.begin(), raw.points.begin() + static_cast<std::ptrdiff_t>(std::min(raw.points.size(), enough)));
    const std::size_t every = raw.points.size() / enough + 1;
    for (std::size_t k = enough; k < raw.points.size(); k += every) positions.push_back(raw.points[k]);
    for (const RawLevel& level : raw.levels) positions.push_back(level.p);
    if (positions.size() < 30) return;

    const auto stepped = [&](double Vec3::*axis) {
        std::vector<double> values;
        for (const Vec3& p : positions) {
            const double v = p.*axis;
            if (static_cast<double>(static_cast<float>(v)) != v) return 0.0;
            values.push_back(v);
        }
        std::sort(values.begin(), values.end());
        const double step = float32_step(std::max(std::abs(values.front()), std::abs(values.back())));
        // A grid of halves of a metre is no sign; numbers next to each other are.
        double least = INFINITY;
        for (std::size_t k = 1; k < values.size(); ++k)
            if (values[k] > values[k - 1]) least = std::min(least, values[k] - values[k - 1]);
        return step > 1e-3 && least <= 2 * step ? step : 0.0;
    };
    const double step = std::max({stepped(&Vec3::x), stepped(&Vec3::y), stepped(&Vec3::z)});
    if (step > 0)
        raw.warnings.push_back(fmt::format("'{}' holds numbers that went through {} on their way and step by {:.2g} of their unit; export it "
                                           "again with 64-bit numbers or with a local origin subtracted", raw.path.string(), word, step));
}

}  // namespace brae
