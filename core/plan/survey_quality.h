// How far a surveyed green can be trusted, in figures that a coach and a greenkeeper use, with a verdict and advice.
#pragma once

#include "core/base/progress.h"
#include "core/terrain/check_points.h"
#include "core/terrain/terrain_model.h"

#include <string>
#include <vector>

namespace brae {

// What the survey is good for; each includes the ones after it.
enum class SurveyVerdict { stations, hole_positions, overview_only };
std::string to_text(SurveyVerdict verdict);   // stations, hole positions, overview only

// The limits behind the verdict: own choices. A station's aim marker may be wrong by half of the hole's radius or so and the
// ball still finds the hole; a hole's slope is judged against limits of 2 to 4 %, which wants a tenth of that.
struct QualityLimits {
    double station_aim_se_m = 0.027;   // one standard error of the aim of a 3 m putt
    double hole_slope_se = 0.004;      // one standard error of the slope at one spot, ratio
    double most_missing = 0.05;        // share of the green without data
};

// One line of the report: what was found, and what it means.
struct QualityFact { std::string name, value, meaning; bool limits = false; };   // limits: it holds the verdict down

struct SurveyQuality {
    double density_per_m2 = 0;         // points used, over the green
    double noise_m = 0;                // of one point, independent
    double height_se_m = 0;            // median over the green
    double slope_se = 0, slope_se_p90 = 0;   // ratio; median and the 90th percentile
    double missing = 0;                // share of the area inside the outer edge without data
    double aim_se_m = 0, aim_se_p90_m = 0;   // of 3 m putts at the usual pace and green speed 10, from the survey alone
    int putts = 0;                     // behind the two figures above; 0 where none could be solved
    double correlated_share = 0;       // of the variance of the slope: the part that no number of points can lower
    CheckResult check;                 // against heights that are no part of the fit; count 0 where there are none
    bool bent = false;                 // the dome shows in them and turns slopes by more than half of hole_slope_se
    SurveyVerdict verdict = SurveyVerdict::overview_only;
    std::vector<QualityFact> facts;
    std::vector<std::string> advice;   // what to do to get better; empty where nothing is wanted
};

// The error that neighbouring points share is a prior, and the facts say so; only check points can show it. A bent surface is
// good for hole positions at most, and one whose dome turns slopes by more than hole_slope_se for an overview.
// Deterministic; up to 24 putts spread over the green, about 5 ms each. Throws Error for a terrain without surface or outline.
SurveyQuality survey_quality(const TerrainModel& terrain, Progress& progress, const QualityLimits& limits = {});

}  // namespace brae
