#include "core/terrain/build_terrain.h"

#include "core/base/error.h"
#include "tests/core/terrain/fixtures.h"
#include "tests/support/support.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fstream>
#include <sstream>

using namespace brae;
using namespace brae::test;

namespace {

SurfaceJet quadratic(double x, double y) {
    return {3 + 0.02 * x - 0.03 * y + 0.001 * x * x - 0.0007 * x * y + 0.0004 * y * y,
            0.02 + 0.002 * x - 0.0007 * y, -0.03 - 0.0007 * x + 0.0008 * y, 0.002, -0.0007, 0.0008};
}

std::string message_of(const Survey& survey, BuildOptions options = {}) {
    Progress progress;
    try {
        build_terrain(survey, options, progress);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

}  // namespace

TEST_CASE("planes and quadratics come back to a nanometre from noise-free points, however they are strewn") {
    const Outline green = ellipse(8, 6, 7, 5);
    for (const double cell : {0.25, 0.5, 0.37}) {
        const TerrainModel m = build(cloud(green, quadratic, 6, 0, 0, 1, 3), cell);
        const Misfit off = misfit(m, quadratic);
        CHECK(off.height_max < 1e-9);
        CHECK(off.slope_max < 1e-9);
    }
    const auto tilted = [](double x, double y) { return SurfaceJet{0.03 * x - 0.01 * y + 100, 0.03, -0.01, 0, 0, 0}; };
    CHECK(misfit(build(raster(green, tilted, 0.5)), tilted).height_max < 1e-9);
    // Levels on a 2 m grid.
    CHECK(misfit(build(raster(ellipse(12, 12, 10, 9), quadratic, 2.0)), quadratic).height_max < 1e-9);
}

TEST_CASE("the penalty alone keeps quadratics: any smoothing gives the same") {
    BuildOptions options;
    options.smoothing = 1e4;
    options.cell_m = 0.5;
    Progress progress;
    const TerrainModel m = build_terrain(cloud(ellipse(8, 6, 7, 5), quadratic, 6, 0, 0, 1, 3), options, progress);
    CHECK(misfit(m, quadratic).height_max < 1e-9);
}

TEST_CASE("an exact curved surface converges with the cell") {
    const Outline green = ellipse(8, 6, 7, 5);
    const Survey survey = cloud(green, rolling_green, 60, 0, 0, 1, 5);
    double before = 0;
    for (const double cell : {1.0, 0.5}) {
        const Misfit off = misfit(build(survey, cell), rolling_green);
        MESSAGE("cell " << cell << " m: height " << 1e6 * off.height_rms << " um, slope " << 1e6 * off.slope_rms << " ppm");
        if (before > 0) CHECK(off.height_rms < before / 6);  // the fourth power would be 16
        before = off.height_rms;
    }
    CHECK(before < 1e-5);
}

TEST_CASE("an exact raster keeps its nodes within a tenth of a millimetre") {
    const Survey survey = raster(ellipse(10, 9, 8, 7), rolling_green, 0.25);
    const TerrainModel m = build(survey);
    CHECK(m.grid.height.cell == doctest::Approx(0.25));
    double worst = 0;
    for (const Vec3& p : survey.points)
        if (m.outline.contains({p.x, p.y})) worst = std::max(worst, std::abs(m.surface->height(p.x, p.y) - p.z));
    CHECK(worst < 1e-4);
    CHECK(misfit(m, rolling_green).slope_max < 1e-4);
    CHECK(m.noise_m < 1e-4);
}

TEST_CASE("an exact raster from another projection, turned and stretched, keeps its nodes too") {
    const double angle = 0.03, scale = 0.2499;
    Survey survey;
    survey.outline = ellipse(10, 11, 7, 7);
    survey.grid_spacing_m = 0.25;
    survey.method = SurveyMethod::grid;
    for (int j = 0; j < 80; ++j)
        for (int i = 0; i < 80; ++i) {
            const double x = scale * (std::cos(angle) * i - std::sin(angle) * j), y = scale * (std::sin(angle) * i + std::cos(angle) * j);
            survey.points.push_back({x, y, rolling_green(x, y).h});
        }
    const TerrainModel m = build(survey);
    double worst = 0;
    for (const Vec3& p : survey.points)
        if (m.outline.contains({p.x, p.y})) worst = std::max(worst, std::abs(m.surface->height(p.x, p.y) - p.z));
    CHECK(worst < 1e-4);
    CHECK(misfit(m, rolling_green).slope_max < 2e-4);
}

TEST_CASE("a tripod scan gives heights within 5 mm and slopes within 0.2 points of the formula") {
    // 400 points/m2, 3.5 mm independent and 2 mm correlated over 3 m.
    Survey survey = cloud(ellipse(15, 15, 14, 13), rolling_green, 400, 0.0035, 0.002, 3, 11);
    survey.method = SurveyMethod::tripod_scan;
    const auto start = std::chrono::steady_clock::now();
    const TerrainModel m = build(survey);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    const Misfit off = misfit(m, rolling_green);
    MESSAGE(survey.points.size() << " points, " << seconds << " s: height " << 1e3 * off.height_rms << " mm, slope "
            << 100 * off.slope_rms << " points, noise " << 1e3 * m.noise_m << " mm, lambda " << m.smoothing);
    CHECK(m.grid.height.cell == doctest::Approx(0.25));
    CHECK(off.height_rms < 0.005);
    CHECK(off.slope_rms < 0.002);
    CHECK(m.noise_m == doctest::Approx(0.0035).epsilon(0.03));
}

TEST_CASE("a tier comes through within 5 mm and 0.2 points from a tripod scan and from a slightly noisy raster") {
    const Outline green = ellipse(14, 14, 13, 13);
    Survey scan = cloud(green, two_tiers, 400, 0.0035, 0.002, 3, 12);
    scan.method = SurveyMethod::tripod_scan;
    Random random(8);
    const Field field(3, 5);
    const Survey dtm = raster(green, two_tiers, 0.25, [&](double x, double y) { return 0.001 * random.normal() + 0.002 * field.at(x, y); });
    for (const Survey* survey : {static_cast<const Survey*>(&scan), &dtm}) {
        const auto start = std::chrono::steady_clock::now();
        const TerrainModel m = build(*survey);
        const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        const Misfit off = misfit(m, two_tiers);
        MESSAGE(seconds << " s: height " << 1e3 * off.height_rms << " mm, slope " << 100 * off.slope_rms << " points (most "
                << 100 * off.slope_max << "), noise " << 1e3 * m.noise_m << " mm, lambda " << m.smoothing);
        CHECK(off.height_rms < 0.005);
        CHECK(off.slope_rms < 0.002);
    }
}

TEST_CASE("a lidar cloud and levels on a grid do not have their slope raised by noise") {
    const Outline green = ellipse(15, 15, 14, 13);
    const double true_median = slope_summary(build(raster(green, rolling_green, 0.5))).median;
    for (const double cell : {0.25, 0.5}) {
        const SlopeSummary s = slope_summary(build(cloud(green, rolling_green, 30, 0.025, 0, 1, 21), cell));
        MESSAGE("median " << 100 * s.median << " +- " << 100 * s.median_se << ", true " << 100 * true_median);
        CHECK(std::abs(s.median - true_median) < 2 * s.median_se + 1e-4);
        CHECK(std::abs(s.median - true_median) < 0.0010);
    }
    Random random(4);
    const SlopeSummary s = slope_summary(build(raster(green, rolling_green, 2.0, [&](double, double) { return 0.003 * random.normal(); })));
    CHECK(std::abs(s.median - true_median) < 0.0015);
}

TEST_CASE("noise that hangs together on a raster is seen and smoothed") {
    // 5 mm over 0.7 m on nodes of 0.5 m, the like of a terrain product gridded from a sparse cloud.
    const Outline green = ellipse(15, 15, 14, 13);
    const Field field(0.6, 77);
    const TerrainModel m = build(raster(green, rolling_green, 0.5, [&](double x, double y) { return 0.005 * field.at(x, y); }));
    const Misfit off = misfit(m, rolling_green);
    MESSAGE("noise " << 1e3 * m.noise_m << " mm, height " << 1e3 * off.height_rms << " mm, slope " << 100 * off.slope_rms);
    CHECK(m.noise_m > 0.003);
    CHECK(m.noise_m < 0.008);
    CHECK(off.slope_rms < 0.0035);  // unsmoothed it would be 0.8 points
}

namespace {

// Shares of the cells whose height and slope lie within 1 and 1.96 stated standard errors.
struct Coverage { double h1 = 0, h2 = 0, s1 = 0, s2 = 0, n = 0; };

void add_coverage(Coverage& out, const TerrainModel& m, const Surface& f) {
    const Raster& h = m.grid.height;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) {
            if (!m.grid.has(i, j)) continue;
            const Vec2 c = h.centre(i, j);
            const SurfaceJet got = m.surface->jet(c.x, c.y), want = f(c.x, c.y);
            const double eh = std::abs(got.h - want.h) / m.grid.height_se.at(i, j);
            const double es = std::abs(slope_ratio(got) - slope_ratio(want)) / m.grid.slope_se.at(i, j);
            out.h1 += eh < 1, out.h2 += eh < 1.96, out.s1 += es < 1, out.s2 += es < 1.96, out.n += 1;
        }
}

}  // namespace

TEST_CASE("the stated standard errors cover rough ground as often as they say, and smooth ground at least as often") {
    const Outline green = ellipse(9, 8, 8, 7);
    Coverage rough, smooth;
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        const PowerLawGround ground(0.01, seed);
        // Taken as airborne lidar, so with the error that neighbours share there.
        const double s = noise_prior(SurveyMethod::airborne_lidar).correlated_m, l = noise_prior(SurveyMethod::airborne_lidar).correlation_length_m;
        add_coverage(rough, build(cloud(green, ground, 30, 0.010, s, l, seed), 0.5), ground);
        add_coverage(smooth, build(cloud(green, rolling_green, 30, 0.010, s, l, seed), 0.5), rolling_green);
    }
    for (const Coverage* c : {&rough, &smooth})
        MESSAGE("height " << c->h1 / c->n << " " << c->h2 / c->n << ", slope " << c->s1 / c->n << " " << c->s2 / c->n);
    CHECK(std::abs(rough.h1 / rough.n - 0.683) < 0.08);
    CHECK(std::abs(rough.h2 / rough.n - 0.95) < 0.08);
    CHECK(std::abs(rough.s1 / rough.n - 0.683) < 0.08);
    CHECK(std::abs(rough.s2 / rough.n - 0.95) < 0.08);
    CHECK(smooth.h1 / smooth.n > 0.683 - 0.08);
    CHECK(smooth.h2 / smooth.n > 0.95 - 0.04);
    CHECK(smooth.s1 / smooth.n > 0.683 - 0.08);
    CHECK(smooth.s2 / smooth.n > 0.95 - 0.04);
}

TEST_CASE("what is stated of levels about tiers of any width, height and profile holds as often as it says") {
    std::size_t n = 0, inside[4] = {};
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        const DrawnTier tier(seed);
        Random random(500 + seed);
        Survey survey;
        survey.outline = ellipse(0, 0, 13, 10);
        constexpr double spacing = 1.5;
        for (double y = -11; y <= 11; y += spacing)
            for (double x = -14; x <= 14; x += spacing) {
                const Vec2 p{x + spacing * random.uniform(-0.35, 0.35), y + spacing * random.uniform(-0.35, 0.35)};
                if (survey.outline->signed_distance(p) > -0.3) survey.points.push_back({p.x, p.y, tier.height(p.x, p.y) + 0.003 * random.normal()});
            }
        survey.points_read = survey.points.size();
        const TerrainModel model = build(survey);
        const Raster& h = model.grid.height;
        for (int j = 0; j < h.rows; ++j)
            for (int i = 0; i < h.columns; ++i) {
                const Vec2 c = h.centre(i, j);
                if (!model.grid.has(i, j) || model.outline.signed_distance(c) < 1 || std::abs(tier.across(c.x, c.y)) > 3.5) continue;
                const SurfaceJet truth = tier(c.x, c.y), fit = model.surface->jet(c.x, c.y);
                const double height = std::abs(fit.h - truth.h) / model.grid.height_se.at(i, j);
                const double slope = std::abs((fit.hx - truth.hx) * fit.hx + (fit.hy - truth.hy) * fit.hy) / slope_ratio(fit) / model.grid.slope_se.at(i, j);
                ++n;
                inside[0] += height < 1, inside[1] += height < 2, inside[2] += slope < 1, inside[3] += slope < 2;
            }
    }
    const auto percent = [&](int k) { return 100.0 * static_cast<double>(inside[k]) / static_cast<double>(n); };
    MESSAGE("at tiers: height " << percent(0) << " / " << percent(1) << " %, slope " << percent(2) << " / " << percent(3) << " % within 1 / 2 standard errors");
    // 68 and 95, five points either way.
    CHECK(std::abs(percent(0) - 68) < 5);
    CHECK(std::abs(percent(1) - 95) < 5);
    CHECK(std::abs(percent(2) - 68) < 5);
    CHECK(std::abs(percent(3) - 95) < 5);
}

TEST_CASE("correlated noise of the method enters the standard errors") {
    const NoisePrior prior = noise_prior(SurveyMethod::tripod_scan);
    if (!(prior.correlated_m > 0)) BRAE_SKIP("the method has no correlated part");
    const Outline green = ellipse(9, 8, 8, 7);
    Coverage c;
    for (std::uint64_t seed = 1; seed <= 16; ++seed) {
        Survey survey = cloud(green, rolling_green, 60, 0.0035, prior.correlated_m, prior.correlation_length_m, seed);
        survey.method = SurveyMethod::tripod_scan;
        const TerrainModel m = build(survey, 0.5);
        CHECK(m.error.correlated_se_m == doctest::Approx(prior.correlated_m).epsilon(0.05));  // less what smoothing takes off
        add_coverage(c, m, rolling_green);
    }
    MESSAGE("height " << c.h1 / c.n << ", slope " << c.s1 / c.n);
    CHECK(std::abs(c.h1 / c.n - 0.683) < 0.10);  // few independent patches: 16 greens of 5 lengths
    CHECK(std::abs(c.s1 / c.n - 0.683) < 0.10);
}

TEST_CASE("removed points do not count, and points in the margin do not stretch the mask") {
    const Outline green = ellipse(8, 6, 7, 5);
    Survey survey = cloud(green, rolling_green, 60, 0, 0, 1, 9, 3.0);
    survey.removed.assign(survey.points.size(), kept);
    for (std::size_t k = 0; k < survey.points.size(); k += 7) {
        survey.points[k].z += 0.5;
        survey.removed[k] = above_turf;
    }
    const TerrainModel m = build(survey, 0.5);
    CHECK(misfit(m, rolling_green).height_rms < 1e-3);
    CHECK(m.points_read == survey.points.size());
    CHECK(m.points_used < survey.points.size());
    const Raster& h = m.grid.height;
    for (int j = 0; j < h.rows; ++j)
        for (int i = 0; i < h.columns; ++i) CHECK(m.grid.has(i, j) == green.contains(h.centre(i, j)));
}

TEST_CASE("ground without data is left out and reported, and half a green is refused") {
    const Outline green = ellipse(15, 15, 14, 13);
    const auto without = [&](auto&& hidden) {
        Survey survey = cloud(green, rolling_green, 20, 0.003, 0, 1, 9);
        std::erase_if(survey.points, hidden);
        return survey;
    };
    const TerrainModel m = build(without([](const Vec3& p) { return std::hypot(p.x - 15, p.y - 15) < 6; }));
    CHECK_FALSE(m.grid.has(m.grid.height.columns / 2, m.grid.height.rows / 2));
    const auto says = [&](const char* words) {
        return std::any_of(m.warnings.begin(), m.warnings.end(), [&](const std::string& w) { return w.find(words) != std::string::npos; });
    };
    CHECK(says("has no survey point within"));
    CHECK(says("how the heights were taken is not known"));
    CHECK(message_of(without([](const Vec3& p) { return p.x > 9; })).find("of the outline") != std::string::npos);
}

TEST_CASE("what is not a surface is refused with one sentence") {
    const Outline green = ellipse(8, 6, 7, 5);
    // A roof over the green.
    Survey two = cloud(green, rolling_green, 60, 0.003, 0, 1, 9);
    for (std::size_t k = 0; k < two.points.size(); k += 2) two.points[k].z += 2.5;
    CHECK(message_of(two).find("not a surface") != std::string::npos);
    // Heights anywhere in a box.
    Survey box = cloud(green, [](double, double) { return SurfaceJet{}; }, 60, 0.3, 0, 1, 9);
    CHECK(message_of(box).find("not a surface") != std::string::npos);
    // Heights in millimetres on positions in metres.
    Survey scaled = cloud(green, rolling_green, 60, 0.000002, 0, 1, 9);
    for (Vec3& p : scaled.points) p.z *= 1000;
    CHECK(message_of(scaled).find("another unit") != std::string::npos);
    // Too few.
    Survey few = cloud(green, rolling_green, 0.05, 0, 0, 1, 9);
    CHECK(message_of(few).find("wanted") != std::string::npos);
    CHECK(message_of(cloud(green, rolling_green, 5, 0, 0, 1, 9), {.cell_m = -1, .smoothing = {}, .largest_gap_m = 2.5}).find("cell") !=
          std::string::npos);
}

TEST_CASE("work stops when it is cancelled, and the same survey gives the same bits") {
    const Survey survey = cloud(ellipse(8, 6, 7, 5), rolling_green, 60, 0.004, 0, 1, 9);
    int calls = 0;
    Progress* self = nullptr;
    Progress progress([&](double, const std::string&) { if (++calls == 20) self->cancel(); });
    self = &progress;
    CHECK_THROWS_AS(build_terrain(survey, {}, progress), Error);
    const TerrainModel a = build(survey), b = build(survey);
    CHECK(a.surface->grid().coefficients == b.surface->grid().coefficients);
    CHECK(a.grid.slope_se.values == b.grid.slope_se.values);
}

TEST_CASE("surveyed strings along a tier sharpen a surface of sparse levels") {
    // A tier 0.25 m high and about 2 m wide across levels on a 2 m grid.
    const auto tier = [](double x, double) {
        const double t = std::tanh((x - 12.3) / 0.8);
        return SurfaceJet{0.125 * t + 0.01 * x, 0.125 / 0.8 * (1 - t * t) + 0.01, 0, 0, 0, 0};
    };
    Survey survey = raster(ellipse(12, 12, 10, 9), tier, 2.0);
    survey.grid_spacing_m.reset();
    survey.method = SurveyMethod::total_station;
    const double plain = misfit(build(survey), tier).height_rms;
    for (const double x : {11.2, 13.4}) {
        Breakline line{x < 12 ? "toe" : "top", {}};
        for (double y = 3; y <= 21; y += 2) line.points.push_back({x, y, tier(x, y).h});
        survey.breaklines.push_back(line);
    }
    const double with = misfit(build(survey), tier).height_rms;
    MESSAGE("height " << 1e3 * plain << " mm without, " << 1e3 * with << " mm with strings");
    CHECK(with < 0.7 * plain);
}

TEST_CASE("open airborne data: every copy of the field has its true median slope") {
    const fs::path folder = open_data() / "ign-lidarhd-field";
    if (!fs::exists(folder)) BRAE_SKIP("open survey data are not beside the project");
    // Local origin at the corner of the 40 x 40 m window.
    const auto read = [&](const std::string& name) {
        Survey survey;
        survey.outline = Outline({{0, 0}, {40, 0}, {40, 40}, {0, 40}}, OutlineSource::drawn);
        std::ifstream in(folder / name);
        std::string line;
        if (name.ends_with(".asc")) {
            for (int k = 0; k < 6; ++k) std::getline(in, line);
            for (int row = 79; row >= 0; --row)
                for (int column = 0; column < 80; ++column) {
                    double z = 0;
                    in >> z;
                    survey.points.push_back({0.5 * column + 0.25, 0.5 * row + 0.25, z - 100});
                }
            survey.grid_spacing_m = 0.5;
            survey.method = SurveyMethod::grid;
            return survey;
        }
        while (std::getline(in, line)) {
            for (char& c : line) c = c == ',' ? ' ' : c;
            std::istringstream words(line);
            double x = 0, y = 0, z = 0;
            int number = 0;
            if (name.ends_with(".csv") && !(words >> number)) continue;
            if (words >> x >> y >> z) survey.points.push_back({x - 484958, y - 6632656, z - 100});
        }
        return survey;
    };
    // The folder's notes: noise 19 mm, true median slope about 2.7 %.
    for (const char* name : {"field_40m_ground.xyz", "field_40m_ground_levels.csv", "field_40m_dtm50cm.asc"}) {
        CAPTURE(name);
        const Survey survey = read(name);
        const TerrainModel m = build(survey);
        const SlopeSummary s = slope_summary(m);
        MESSAGE(std::string(name) << ": noise " << 1e3 * m.noise_m << " mm, median " << 100 * s.median << " +- " << 100 * s.median_se);
        CHECK(s.median > 0.025);
        CHECK(s.median < 0.029);
        CHECK(s.median_se > 0.00005);
        CHECK(s.median_se < 0.002);
        if (survey.method != SurveyMethod::grid) CHECK(m.noise_m == doctest::Approx(0.020).epsilon(0.1));
    }
    CHECK(slope_summary(build(read("field_40m_ground.xyz"), 0.25)).median == doctest::Approx(0.0265).epsilon(0.02));
}
