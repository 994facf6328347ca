// A green with something in every table, from formulas; positions are odd fractions so that a lost bit shows.
#pragma once

#include "core/record/green.h"

#include <cmath>
#include <memory>

namespace brae::test {

inline FrameSpec plain_frame() {
    FrameSpec s;
    s.origin_map = {100.0, 200.0};
    s.origin_height_m = 37.25;
    return s;
}

inline Green sample_green(const FrameSpec& spec = plain_frame()) {
    auto t = std::make_shared<TerrainModel>();
    t->frame = Frame(spec);
    std::vector<Vec2> ring;
    for (int k = 0; k < 40; ++k) {
        const double a = 2 * kPi * k / 40;
        ring.push_back({15 + (10 + std::sin(3 * a)) * std::cos(a), 12 + 9 * std::sin(a) / 1.1});
    }
    t->outline = Outline(ring, OutlineSource::point_codes)
                     .with_cut_outs({{{18, 12}, {19.1, 12.2}, {18.7, 40.0 / 3}}})
                     .with_gaps({{{9, 12}, {9.5, 12}, {9.5, 12.7}, {9, 12.6}}});

    // Ground that falls and rolls a little.
    const auto height = [](double x, double y) { return 1.0 / 3 + 0.02 * x - 0.013 * y + 0.05 * std::sin(x / 4); };
    SplineGrid g{68, 54, 2.0, 0.5, 0.5, {}};
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) g.coefficients.push_back(height(g.x0 + i * g.cell, g.y0 + j * g.cell));
    t->surface = std::make_shared<const SplineSurface>(g);

    const Raster blank(44, 36, 4.0, 2.0, 0.5);
    t->grid = {blank, std::vector<unsigned char>(blank.values.size()), blank, blank};
    for (int j = 0; j < blank.rows; ++j)
        for (int i = 0; i < blank.columns; ++i) {
            const Vec2 p = blank.centre(i, j);
            const auto k = blank.index(i, j);
            t->grid.mask[k] = t->outline.contains(p);
            t->grid.height.values[k] = t->surface->height(p.x, p.y);
            t->grid.height_se.values[k] = 0.003 + i / 30000.0;
            t->grid.slope_se.values[k] = 0.0011 + j / 70000.0;
        }
    t->noise_m = 0.1 / 33;
    t->smoothing = 1e-5 / 7;
    t->error = {0.001 / 3, 0.9, 0.004 / 3, 3.1};
    t->points_read = 12345;
    t->points_used = 12001;
    t->checks = {{12.3, 9.1, 0.5 + 1.0 / 7}, {16.1, 13.9, 0.6}};
    t->reach = {{1.0 / 3, 0.7}, {33, 1}, {32, 23.1}, {0, 22}};
    t->put_back = {1204, 0.212, 1.0 / 3};
    t->warnings = {"the file names no coordinate system; its coordinates are taken as metres"};

    Green green;
    green.id = "00000000-1111-4222-8333-444444444444";
    green.revision = 3;
    green.surface_revision = 1;
    green.name = "Dunlarrick 4";
    green.terrain = t;
    green.marks = {{"S1", "sprinkler head, front left", {6.1, 4.7, 0.1}},
                   {"S2", "sprinkler head, right", {25.3, 9.9, 0.3}},
                   {"S3", "drain cover, back", {13.7, 21.9, 0.7}}};
    green.holes = {{"today", {17.0 / 3, 12.1}, "2026-05-02", "", true}, {"plan a", {14.2, 40.0 / 3}, "", "head", false, true, 9.3, "a yard left for a scar"}};
    green.skipped = {{"2026-05-01", "frost", "head"}};
    green.line_of_play = line_of_play_along({{-30, 4}, {2.0 / 3, 7}, {6, 8.5}});
    green.gates = {{"to the 5th tee", {26, 40.0 / 3}}};
    green.zones = {{"seam", "worn", {{10, 10}, {12.1, 10}, {12, 11.3}}, "2026-06-01"}};
    green.survey = {SurveyMethod::drone, "2026-04-30", true, 0.0035, "2025-09-10"};
    green.record.files = {{std::filesystem::temp_directory_path() / "surveys" / "scan.las", 123456789012, "2026-04-30T08:15:00Z"}};
    green.record.outline = SurveySource{std::filesystem::temp_directory_path() / "edge.geojson", 777, "2026-05-01T00:00:59Z"};
    green.record.read.crs = "EPSG:27700";
    green.record.read.height_units = "ft";
    green.record.read.clip = Box{1.0 / 3, 2, 300.25, 400};
    green.record.read.method = SurveyMethod::drone;
    green.record.read.height_of_cut_m = 0.0035;
    green.record.cell_m = 0.1;
    green.record.put_back.reasons[other_class] = true;
    green.record.put_back.boxes = {{1, 2, 3, 10.0 / 3}};
    auto removed = std::make_shared<RemovedPoints>();
    removed->points = {{{8.1, 9.2, 1.0 / 7}, above_turf}, {{9.3, 9.9, 2.5}, above_turf}, {{10, 11, -0.4}, below_turf}, {{60, 70, 3}, outside_clip}};
    removed->counts[above_turf] = 1204;
    removed->counts[below_turf] = 1;
    removed->counts[outside_clip] = 40000;
    green.removed = removed;
    green.speeds = {{9.7, 0.4, "2026-05-02T07:10", "ramp, both ways"}};
    StoredStation s;
    s.station.label = "A";
    s.station.lesson = "ladder";
    s.station.ball = {12.0, 8.0 + 1.0 / 3};
    s.station.hole = {15.0, 12.0};
    s.station.marker = {14.8, 12.2};
    s.station.break_m = 0.283;
    s.station.break_se_m = 0.021;
    s.station.break_slower_m = 0.25;
    s.station.break_faster_m = std::nan("");   // no solution at the faster green
    s.station.aim_offset_m = -0.283;
    s.station.side = PuttSide::left_to_right;
    s.station.distance_m = distance(s.station.ball, s.station.hole);
    s.station.launch_mps = 1.9;
    s.station.ball_speed_mps = 2.5;
    s.station.window = {-0.7, 0.6, 1.7, 2.3};
    s.station.slope_along_pct = -0.8;
    s.station.note = "watch the last metre";
    s.station.tape_ball = TapePlan{{{"S1", {6.1, 4.7}}, 6.93}, {{"S2", {25.3, 9.9}}, 13.4}, TapeSide::left,
                                   TapeReading{{"S3", {13.7, 21.9}}, 13.67}, 71.5, 0.0149};
    s.station.path = {{12.0, 8.0 + 1.0 / 3}, {13.2, 10.1}, {15.0, 12.0}};
    s.surface_revision = 1;
    s.model = "brae 0.1.0";
    green.stations = {s};
    return green;
}

}  // namespace brae::test
