// brae speed: the green speed of the day, from a ramp or from rolled balls, and kept in the green where told to.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/rolls_file.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/record/green_file.h"
#include "core/roll/green_speed.h"

#include <cmath>
#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <numeric>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

std::vector<double> readings_of(const std::string& text, const char* option) {
    std::vector<double> out;
    for (std::size_t from = 0; from <= text.size();) {
        const std::size_t to = std::min(text.find(',', from), text.size());
        const double feet = parse_number(text.substr(from, to - from), option);
        if (!(feet >= 2 && feet <= 30)) throw usage_error(fmt::format("{}: found {:g}, readings of 2 to 30 ft are wanted", option, feet));
        out.push_back(feet);
        from = to + 1;
    }
    return out;
}

double mean(const std::vector<double>& v) { return std::accumulate(v.begin(), v.end(), 0.0) / static_cast<double>(v.size()); }

// What either way of measuring comes to.
struct Answer {
    SpeedReading reading;
    std::string why_not_kept;          // one sentence where it must not be kept, else empty
    std::vector<std::string> warnings;
    ordered_json json;
    std::string words;                 // lines for people
};

Answer from_ramp(const SpeedArguments& a) {
    if (a.back.empty()) throw usage_error("--back: nothing found; the readings back along the same line are wanted beside --ramp");
    const RampReadings readings{readings_of(a.ramp, "--ramp"), readings_of(a.back, "--back")};
    if (a.sigma_ft && !(*a.sigma_ft > 0 && *a.sigma_ft <= 3)) throw usage_error(fmt::format("--sigma: found {:g}, over 0 to 3 ft is wanted", *a.sigma_ft));
    const GreenSpeedEstimate e = green_speed_from_ramp(readings);
    Answer out;
    out.reading = {e.speed_ft, a.sigma_ft.value_or(e.sigma_ft), a.date, "ramp"};
    if (e.repeat) out.why_not_kept = "the readings of one way lie more than 8 in apart, so the procedure wants them rolled again";
    if (readings.one_way.size() < 3 || readings.back.size() < 3)
        out.warnings.push_back(fmt::format("{} one way and {} back; the procedure has three readings each way", readings.one_way.size(), readings.back.size()));
    // The correction is exact for constant friction, yet a steep site is no place to measure: e = a_g / a_f of the way.
    const double one_way = mean(readings.one_way), back = mean(readings.back), e_way = std::abs(one_way - back) / (one_way + back);
    if (e_way > 0.2)
        out.warnings.push_back(fmt::format("the two ways differ by {:.1f} ft, as on a slope of about {:.1f} %; look for a flatter place", std::abs(one_way - back),
                                           100 * e_way * level_deceleration(std::clamp(e.speed_ft, kSlowestGreenFt, kFastestGreenFt)) / (kRollFactor * kGravity)));
    out.json = {{"one_way_ft", tidy(one_way)}, {"back_ft", tidy(back)},
                {"slope_corrected", e.slope_corrected}, {"repeat", e.repeat}};
    out.words = fmt::format("ways         {:.2f} ft one way, {:.2f} ft back{}\n", one_way, back,
                            e.slope_corrected ? "; more than 18 in apart, so corrected for the slope" : "");
    if (e.repeat) out.words += "repeat       " + out.why_not_kept + "\n";
    return out;
}

Answer from_rolls(const SpeedArguments& a, const Green& green) {
    const TerrainModel& terrain = *green.terrain;
    const std::vector<RolledBall> rolls = read_rolls(a.rolls, terrain.frame, a.map);
    const SpeedCalibration c = calibrate_speed(*terrain.surface, terrain.outline, rolls);
    if (!c.told) throw Error(c.sentence);
    Answer out;
    // A misfit widens the error that is kept.
    out.reading = {c.speed_ft, c.scaled_sigma_ft, a.date, fmt::format("{} rolled balls", rolls.size())};
    if (!c.agrees) out.why_not_kept = c.sentence;
    ordered_json rows = ordered_json::array();
    for (const RollResidual& r : c.rolls)
        rows.push_back({{"along_m", tidy(r.along_m)}, {"along_sigma_m", tidy(r.along_sigma_m)}, {"across_m", tidy(r.across_m)},
                        {"across_sigma_m", tidy(r.across_sigma_m)}, {"launch_mps", tidy(r.launch_mps)}});
    ordered_json tilt = nullptr;
    if (c.tilt)
        tilt = {{"slope_pct", tidy(percent(c.tilt->slope))}, {"se_pct", tidy(percent(c.tilt->slope_se))},
                {"falls_to_bearing_deg", tidy(c.tilt->falls_to_bearing_deg)}, {"speed_ft", tidy(c.tilt->speed_ft)}, {"p_value", tidy(c.tilt->p_value)}};
    out.json = {{"told", c.told}, {"agrees", c.agrees}, {"sentence", c.sentence}, {"chi_square", tidy(c.chi_square)},
                {"degrees_of_freedom", c.degrees_of_freedom}, {"p_value", tidy(c.p_value)}, {"fit_sigma_ft", tidy(c.sigma_ft)},
                {"tilt", tilt}, {"rolls", rows}};
    out.words = fmt::format("{}       {}\n", c.agrees ? "fits  " : "differ", c.sentence);
    for (std::size_t k = 0; k < c.rolls.size(); ++k)
        out.words += fmt::format("roll {:<8}{:.0f} cm {}, {:.0f} cm {} of where the model has it (1 sigma {:.0f} and {:.0f} cm)\n", k + 1,
                                 100 * std::abs(c.rolls[k].along_m), c.rolls[k].along_m >= 0 ? "beyond" : "short", 100 * std::abs(c.rolls[k].across_m),
                                 c.rolls[k].across_m >= 0 ? "right" : "left", 100 * c.rolls[k].along_sigma_m, 100 * c.rolls[k].across_sigma_m);
    return out;
}

}  // namespace

int run_speed(const SpeedArguments& a) {
    if (a.ramp.empty() == a.rolls.empty()) throw usage_error("--ramp: one of --ramp with --back, and --rolls is wanted to measure by");
    if (a.map && a.rolls.empty()) throw usage_error("--map: found without --rolls, whose places it is about");
    if (!a.date.empty() && !day_number(a.date.substr(0, 10))) throw usage_error(fmt::format("--date: found '{}', a day such as 2026-05-02 is wanted", a.date));
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    if (a.store && green.revision == 0)
        throw usage_error(fmt::format("--store: {} is a survey, not a green file; make one with brae survey", a.green));
    Answer answer = a.ramp.empty() ? from_rolls(a, green) : from_ramp(a);
    if (answer.reading.taken_at.empty()) answer.reading.taken_at = today();

    // What cannot be a speed of the day is told but never kept.
    const SpeedReading& reading = answer.reading;
    if (answer.why_not_kept.empty() && !(reading.speed_ft >= kSlowestGreenFt && reading.speed_ft <= kFastestGreenFt))
        answer.why_not_kept = fmt::format("a speed of {:.2f} ft lies outside the {:g} to {:g} ft that reads take", reading.speed_ft, kSlowestGreenFt, kFastestGreenFt);
    if (a.store && !answer.why_not_kept.empty()) throw Error("not stored: " + answer.why_not_kept);
    if (a.store) {
        Green changed = green;
        changed.speeds.push_back(reading);
        ++changed.revision;
        update_green_file(changed, a.green);
    }

    terminal.finish();
    if (a.json) {
        ordered_json out{{"speed_ft", tidy(reading.speed_ft)}, {"sigma_ft", tidy(reading.sigma_ft)}, {"method", reading.method}, {"stored", a.store}};
        out.update(answer.json);
        out["warnings"] = answer.warnings;
        print_json(out);
        return 0;
    }
    print_warnings(answer.warnings);
    fmt::print("speed        {:.2f} +/- {:.2f} ft (1 sigma){}\n{}", reading.speed_ft, reading.sigma_ft, a.store ? ", kept in the green" : "", answer.words);
    return 0;
}

}  // namespace brae::app
