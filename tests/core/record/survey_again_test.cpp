// The same survey read again with other points kept.
#include "core/record/survey_again.h"

#include "core/base/random.h"
#include "core/survey/ring.h"
#include "core/terrain/new_outline.h"
#include "tests/core/record/green_file_checks.h"

#include <fmt/format.h>

using namespace brae;
using namespace brae::test;

namespace {

// A plane of 12 m that falls 2 % to the east, with a mat of turf 40 mm thick that cleaning takes for clutter at (6, 6).
void write_cloud(const fs::path& file, std::uint64_t seed = 3) {
    std::ofstream out(file);
    Random random(seed);
    for (int k = 0; k < 30000; ++k) {
        const double x = random.uniform(0, 12), y = random.uniform(0, 12);
        out << fmt::format("{:.4f} {:.4f} {:.5f}\n", 500 + x, 700 + y, 20 - 0.02 * x + 0.002 * random.normal());
    }
    for (int k = 0; k < 120; ++k) {
        const double x = random.uniform(5.9, 6.1), y = random.uniform(5.9, 6.1);
        out << fmt::format("{:.4f} {:.4f} {:.5f}\n", 500 + x, 700 + y, 20 - 0.02 * x + 0.30 + 0.002 * random.normal());
    }
}

Green stored(const fs::path& survey, const fs::path& file) {
    Progress progress;
    SurveyOrder order;
    order.files = {survey};
    Green green = green_from_survey(order, "lawn", progress);
    green.revision = green.surface_revision = 1;
    write_green_file(green, file, progress);
    return read_green_file(file);
}

// Height over the plane at the mat.
double bump(const Green& green) {
    const Vec2 p = green.terrain->frame.from_map({506, 706});
    return green.terrain->surface->height(p.x, p.y) + green.terrain->frame.spec().origin_height_m - (20 - 0.02 * 6);
}

}  // namespace

TEST_CASE("what was removed can be put back by reason or by box, stays so, and can be taken out again") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "cloud.xyz");
    const Green green = stored(scratch / "cloud.xyz", scratch / "lawn.gpkg");
    REQUIRE(green.removed);
    CHECK(green.removed->counts[above_turf] >= 100);
    CHECK(std::abs(bump(green)) < 0.01);
    CHECK(green.record.files.size() == 1);
    CHECK(green.record.files[0].bytes == fs::file_size(scratch / "cloud.xyz"));

    for (const bool by_box : {false, true}) {
        CAPTURE(by_box);
        PutBack points;
        const Vec2 at = green.terrain->frame.from_map({506, 706});
        if (by_box) points.boxes = {{at.x - 0.3, at.y - 0.3, at.x + 0.3, at.y + 0.3}};
        else points.reasons[above_turf] = true;
        const Green again = survey_again(green, points, progress);
        CHECK(again.id == green.id);
        CHECK(again.revision == 2);
        CHECK(again.surface_revision == 2);
        CHECK(again.terrain->frame.spec() == green.terrain->frame.spec());
        CHECK(again.removed->counts[above_turf] < green.removed->counts[above_turf] / 4);
        CHECK(again.terrain->points_used > green.terrain->points_used + 90);
        // The surface rises towards the mat, which is no turf, and that is known.
        CHECK(bump(again) > 0.03);
        CHECK(green.terrain->put_back == PutBackShare{});
        CHECK(again.terrain->put_back.points >= 100);
        CHECK(again.terrain->put_back.scatter_m > 0.05);
        CHECK(again.terrain->put_back.no_turf());
        const auto said = [](const Green& g) {
            return std::count_if(g.terrain->warnings.begin(), g.terrain->warnings.end(), [](const std::string& w) { return holds(w, "probably no turf"); });
        };
        CHECK(said(again) == 1);

        // Through the file, and back again: the first surface, bit for bit.
        write_green_file(again, scratch / "lawn.gpkg", progress, 1);
        const Green read = read_green_file(scratch / "lawn.gpkg");
        CHECK(read.record.put_back == points);
        CHECK(read.terrain->put_back == again.terrain->put_back);
        const Green out = survey_again(read, {}, progress);
        CHECK(out.removed->counts == green.removed->counts);
        CHECK(same_bits(out.terrain->surface->grid().coefficients, green.terrain->surface->grid().coefficients));
        write_green_file(green, scratch / "lawn.gpkg", progress);
    }
}

TEST_CASE("a source that has moved or changed is named in one sentence, and another file may take its place") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "cloud.xyz");
    const Green green = stored(scratch / "cloud.xyz", scratch / "lawn.gpkg");
    CHECK_FALSE(source_fault(green.record));

    fs::rename(scratch / "cloud.xyz", scratch / "moved.xyz");
    auto fault = source_fault(green.record);
    REQUIRE(fault);
    CHECK(fault->missing);
    CHECK(holds(fault->sentence, "cloud.xyz is not where it was"));
    CHECK(holds(refusal([&] { survey_again(green, {}, progress); }), "name the file"));
    Green moved = green;
    moved.record = with_source(green.record, fault->source, scratch / "moved.xyz");
    CHECK_FALSE(source_fault(moved.record));
    CHECK(survey_again(moved, {}, progress).removed->counts == green.removed->counts);
    CHECK_THROWS_AS(with_source(green.record, fault->source, scratch / "none.xyz"), Error);

    std::ofstream(scratch / "moved.xyz", std::ios::app) << "501 701 19.98\n";
    fault = source_fault(moved.record);
    REQUIRE(fault);
    CHECK_FALSE(fault->missing);
    CHECK(holds(fault->sentence, "has changed"));
    CHECK(holds(fault->sentence, "bytes"));
}

TEST_CASE("a folder that is moved whole still knows its survey") {
    const Scratch scratch;
    fs::create_directory(scratch / "a");
    write_cloud(scratch / "a" / "cloud.xyz");
    stored(scratch / "a" / "cloud.xyz", scratch / "a" / "lawn.gpkg");
    fs::rename(scratch / "a", scratch / "b");
    const Green green = read_green_file(scratch / "b" / "lawn.gpkg");
    CHECK_FALSE(source_fault(green.record));
    // And the table names no folder above its own.
    Database db(scratch / "b" / "lawn.gpkg", Database::Access::read);
    Statement row(db, "SELECT path FROM survey_sources");
    REQUIRE(row.row());
    CHECK(row.text() == "cloud.xyz");
}

TEST_CASE("an edge that was drawn on the green stays when its survey is read again") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "cloud.xyz");
    Green green = stored(scratch / "cloud.xyz", scratch / "lawn.gpkg");
    auto terrain = std::make_shared<TerrainModel>(*green.terrain);
    const Vec2 at = green.terrain->frame.from_map({506, 706});
    terrain->outline = Outline({{at.x - 4, at.y - 4}, {at.x + 4, at.y - 4}, {at.x + 4, at.y + 3.5}, {at.x - 4, at.y + 4}}, OutlineSource::drawn);
    green.terrain = terrain;
    const Green again = survey_again(green, {}, progress);
    CHECK(again.terrain->outline.source() == OutlineSource::drawn);
    CHECK(again.terrain->outline.ring() == terrain->outline.ring());
}

TEST_CASE("a survey that is read again can be stopped at every step, and a file that moved on meanwhile is not written over") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "cloud.xyz");
    Green green = stored(scratch / "cloud.xyz", scratch / "lawn.gpkg");
    const std::string before = content(scratch / "lawn.gpkg");
    int steps = 0;
    double last = 0;
    Progress counting([&](double f, const std::string&) {
        ++steps;
        CHECK(f >= last - 1e-9);   // one bar from end to end
        last = std::max(last, f);
    });
    const Green again = survey_again(green, {}, counting);
    CHECK(steps > 20);
    for (const int stop : {0, steps / 4, steps / 2, 3 * steps / 4, steps - 1}) {
        int at = 0;
        Progress stopping;
        Progress* whole = &stopping;
        Progress reporting([&](double, const std::string&) { if (at++ == stop) whole->cancel(); whole->step(0); });
        try {
            survey_again(green, {}, reporting);
            CHECK(false);
        } catch (const Error& e) {
            CHECK(e.kind() == ErrorKind::cancelled);
        }
    }
    CHECK(content(scratch / "lawn.gpkg") == before);

    // A hole is set while the survey is read.
    ++green.revision;
    green.holes.push_back({"plan", {6, 6}, "", "", false});
    update_green_file(green, scratch / "lawn.gpkg");
    CHECK(holds(refusal([&] { write_green_file(again, scratch / "lawn.gpkg", progress, 1); }), "has changed meanwhile"));
    CHECK(read_green_file(scratch / "lawn.gpkg").holes.size() == 1);
}

TEST_CASE("an edge drawn past the surface is taken by reading the survey again: the ground there is that of the survey") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "cloud.xyz");
    std::ofstream(scratch / "edge.geojson") << R"({"type":"Polygon","coordinates":[[[503,703],[508,703],[508,708],[503,708],[503,703]]]})";
    SurveyOrder order;
    order.files = {scratch / "cloud.xyz"};
    order.read.outline = scratch / "edge.geojson";
    Green green = green_from_survey(order, "lawn", progress);
    green.revision = green.surface_revision = 1;
    green.holes = {{"today", green.terrain->frame.from_map({504, 704}), "", "", true}};
    write_green_file(green, scratch / "lawn.gpkg", progress);
    green = read_green_file(scratch / "lawn.gpkg");
    CHECK(green.terrain->outline.area_m2() == doctest::Approx(25).epsilon(1e-6));

    // The reach is the whole cloud of 12 x 12 m, within its spacing.
    const auto local = [&](double x, double y) { return green.terrain->frame.from_map({x, y}); };
    CHECK(std::abs(signed_area(green.terrain->reach)) == doctest::Approx(144).epsilon(0.02));
    const std::vector<Vec2> ring{local(501, 701), local(511, 701), local(511, 711), local(501, 711)};
    CHECK(needs_new_surface(*green.terrain, ring));
    CHECK_FALSE(needs_new_surface(*green.terrain, {local(499, 701), local(511, 701), local(511, 711)}));
    const Green wider = survey_again(green, green.record.put_back, progress, nullptr, ring);
    CHECK(wider.terrain->outline.source() == OutlineSource::drawn);
    CHECK(wider.terrain->outline.area_m2() == doctest::Approx(100).epsilon(1e-6));
    CHECK(wider.terrain->outline.gaps().empty());
    CHECK(wider.surface_revision == 2);
    CHECK(wider.holes.size() == 1);
    CHECK(wider.id == green.id);
    for (const auto& [x, y] : {std::pair{502.0, 702.0}, {510, 702}, {510, 710}, {502, 710}}) {
        const Vec2 p = local(x, y);
        CHECK(wider.terrain->surface->height(p.x, p.y) + green.terrain->frame.spec().origin_height_m == doctest::Approx(20 - 0.02 * (x - 500)).epsilon(1e-4));
    }
    // And it stays when the survey is read once more, and through the file.
    write_green_file(wider, scratch / "lawn.gpkg", progress, 1);
    const Green again = survey_again(read_green_file(scratch / "lawn.gpkg"), {}, progress);
    CHECK(again.terrain->outline.ring() == wider.terrain->outline.ring());
    CHECK(again.terrain->reach == wider.terrain->reach);
}

TEST_CASE("a new survey without an outline keeps the edge that the green had, and reading that again keeps it too") {
    const Scratch scratch;
    Progress progress;
    write_cloud(scratch / "first.xyz", 3);
    write_cloud(scratch / "second.xyz", 4);
    std::ofstream(scratch / "edge.geojson") << R"({"type":"Polygon","coordinates":[[[503,703],[508,703],[508,708],[503,708],[503,703]]]})";
    SurveyOrder order;
    order.files = {scratch / "first.xyz"};
    order.read.outline = scratch / "edge.geojson";
    Green green = green_from_survey(order, "lawn", progress);
    green.revision = green.surface_revision = 1;
    write_green_file(green, scratch / "lawn.gpkg", progress);
    green = read_green_file(scratch / "lawn.gpkg");

    SurveyOrder later;
    later.files = {scratch / "second.xyz"};
    later.read.frame = green.terrain->frame.spec();
    later.former_edge = green.terrain->outline;
    Green renewed = renewed_green(green, green_from_survey(later, "lawn", progress));
    CHECK(renewed.terrain->outline.ring() == green.terrain->outline.ring());
    CHECK(renewed.terrain->outline.source() == OutlineSource::file);
    const auto says = [](const Green& g, const char* part) {
        return std::any_of(g.terrain->warnings.begin(), g.terrain->warnings.end(), [&](const std::string& w) { return holds(w, part); });
    };
    CHECK(says(renewed, "brings no outline; the edge that the green had, from a file, stays"));
    CHECK_FALSE(says(renewed, kNoOutlineWarning));
    write_green_file(renewed, scratch / "lawn.gpkg", progress, 1);
    const Green again = survey_again(read_green_file(scratch / "lawn.gpkg"), {}, progress);
    CHECK(again.terrain->outline.ring() == green.terrain->outline.ring());
    CHECK(says(again, "brings no outline"));
}
