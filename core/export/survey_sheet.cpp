// The page that says how far a survey can be trusted.
#include "core/base/units.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/plan/survey_quality.h"

#include <cctype>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr std::size_t kMostChecks = 200;   // drawn; more would hide the plan

// How, when and in what state of the turf: what the file knows, and that it does not where it does not.
std::vector<std::string> survey_row(const SurveyFacts& facts) {
    const auto name = [&] {
        switch (facts.method) {
            case SurveyMethod::total_station: return "total station";
            case SurveyMethod::tripod_scan: return "tripod scan";
            case SurveyMethod::rtk: return "RTK rover";
            case SurveyMethod::drone: return "drone";
            case SurveyMethod::airborne_lidar: return "airborne lidar";
            case SurveyMethod::grid: return "raster";
            case SurveyMethod::unknown: break;
        }
        return "method not told";
    };
    const std::string day = facts.date.empty() ? "day not known" : facts.date_of_file ? "no later than " + facts.date : facts.date;
    std::string turf = facts.height_of_cut_m ? fmt::format("height of cut {:.1f} mm", 1000 * *facts.height_of_cut_m) : "height of cut not told";
    turf += facts.top_dressed.empty() ? "; last top-dressing not told" : "; last top-dressed " + facts.top_dressed;
    return {"Survey", fmt::format("{}, {}", name(), day), turf};
}

}  // namespace

DrawnSheet draw_survey_sheet(const Green& green, const SheetRequest& request) {
    const TerrainModel& terrain = *green.terrain;
    const GreenPlan plan = fit_plan(green, {}, {}, request, 0.55);   // room for the words on the same page
    Progress progress;
    const SurveyQuality quality = survey_quality(terrain, progress);
    const SlopeSummary& slope = plan.slope;
    const std::vector<Vec3> checks = checks_on_green(terrain.checks, terrain.outline);

    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Survey report", green.name, {request.date}, sheet_foot(green),
                    "What the survey is worth.", fmt::format("Plan 1:{}", plan.scale)},
                   total_pages);
        const std::size_t every = checks.size() / kMostChecks + 1;
        draw_plan(d, green, plan, checks.empty() ? std::vector<LegendItem>{} : std::vector<LegendItem>{{"diamond", "check point"}}, [&](PlanView& view) {
            for (std::size_t k = 0; k < checks.size(); k += every) view.diamond({checks[k].x, checks[k].y}, 2.0);
        });

        // The verdict first, then why.
        std::string verdict = "Good for: " + to_text(quality.verdict) + ".";
        if (quality.verdict == SurveyVerdict::stations) verdict += " Hole positions and overviews too.";
        if (quality.verdict == SurveyVerdict::hole_positions) verdict += " Stations only with the errors in view.";
        const auto hand = [&](const std::string& words) { return in_units(words, request.feet_and_inches); };
        std::vector<std::vector<std::string>> rows{survey_row(green.survey)};
        for (std::string& cell : rows[0]) cell = hand(cell);
        for (const QualityFact& f : quality.facts)
            rows.push_back({hand(f.name), hand(f.value), hand(f.meaning) + (f.limits ? "; this limits the verdict" : "")});
        rows.push_back({"Slope of the green", fmt::format("{:.1f}\u00a0% median", percent(slope.median)),
                        fmt::format("\u00b1 {:.2f} %; 90 % of the green is under {:.1f} %, the steepest is {:.1f} %", percent(slope.median_se),
                                    percent(slope.p90), percent(slope.max))});
        d.table(verdict, {{"What", 96, true}, {"Found", 124}, {"Meaning", 296}}, rows);
        if (!quality.advice.empty()) {
            d.heading("To make it better");
            for (const std::string& sentence : quality.advice) d.paragraph(hand(sentence));
        }
        if (!terrain.warnings.empty()) {
            d.heading("Noted at the import");
            for (std::string sentence : terrain.warnings) {
                if (!sentence.empty()) sentence[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence[0])));
                d.paragraph(hand(sentence) + ".");
            }
        }
        d.paragraph("Standard errors are of the survey alone. Grain, worn ground and the green speed of the day come on top: roll a few "
                    "balls and see whether green and model agree.");
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, plan.scale}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
