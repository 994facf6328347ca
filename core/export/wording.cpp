#include "core/export/wording.h"

#include "core/base/compass.h"
#include "core/base/constants.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

std::string feet_inches(double metres, bool quarters) {
    // Counted in the smallest unit, so that twelve inches carry into a foot.
    const long parts = quarters ? 4 : 1;
    const long total = std::lround(std::abs(metres) / kInch * static_cast<double>(parts));
    const long feet = total / (12 * parts), inches = total / parts % 12;
    static const char* const fractions[] = {"", "¼", "½", "¾"};
    const char* fraction = quarters ? fractions[total % 4] : "";
    const std::string in = inches == 0 && fraction[0] != 0 ? fraction : fmt::format("{}{}", inches, fraction);
    return feet == 0 ? in + "\u00a0in" : fmt::format("{}\u00a0ft\u00a0{}\u00a0in", feet, in);
}

std::string tape_length(double metres, bool feet) {
    return feet ? feet_inches(metres, true) : fmt::format("{:.2f}\u00a0m", metres);
}

std::string small_length(double metres, bool feet) {
    return feet ? fmt::format("{:.1f}\u00a0in", metres / kInch) : fmt::format("{:.1f}\u00a0cm", metres * 100);
}

std::string speed_text(double mps, bool feet) {
    return feet ? fmt::format("{:.1f}\u00a0ft/s", mps / kFoot) : fmt::format("{:.1f}\u00a0m/s", mps);
}

std::string aim_text(double offset, bool feet) {
    if (std::abs(offset) < 0.005) return "on the hole's\ncentre";
    return small_length(std::abs(offset), feet) + (offset > 0 ? " right\nof the hole" : " left\nof the hole");
}

std::vector<std::string> tape_cells(const TapePlan& p, bool feet) {
    const auto from = [&](const TapeReading& r) { return r.from.name + " " + tape_length(r.metres, feet); };
    return {from(p.first), from(p.second),
            fmt::format("{} of the line {}–{}", p.side == TapeSide::left ? "left" : "right", p.first.from.name,
                        p.second.from.name),
            p.check ? from(*p.check) : "", "± " + small_length(p.se_m, feet)};
}

std::string compass_point(double bearing) { return compass(bearing).sign; }

namespace {

std::vector<std::string> clauses(const std::string& note) {
    std::vector<std::string> out;
    for (std::size_t from = 0; from < note.size();) {
        const std::size_t to = std::min(note.find("; ", from), note.size());
        out.push_back(note.substr(from, to - from));
        from = to + 2;
    }
    return out;
}

}  // namespace

std::vector<std::string> shared_notes(const std::vector<PracticeStation>& stations) {
    std::vector<std::string> out;
    if (stations.size() < 2) return out;
    for (const std::string& c : clauses(stations.front().note)) {
        const bool all = std::all_of(stations.begin(), stations.end(), [&](const PracticeStation& s) {
            const auto own = clauses(s.note);
            return std::find(own.begin(), own.end(), c) != own.end();
        });
        if (all && std::find(out.begin(), out.end(), c) == out.end()) out.push_back(c);
    }
    return out;
}

std::string note_without(const std::string& note, const std::vector<std::string>& shared) {
    std::string out;
    for (const std::string& c : clauses(note))
        if (std::find(shared.begin(), shared.end(), c) == shared.end()) out += (out.empty() ? "" : "; ") + c;
    return out;
}

}  // namespace brae
