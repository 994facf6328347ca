#include "tests/core/record/green_file_checks.h"

#include "core/survey/read_outline.h"
#include "core/survey/ring.h"
#include "core/terrain/new_outline.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("a green comes back from its file bit for bit") {
    const Scratch scratch;
    Progress progress;
    const Green a = sample_green();
    write_green_file(a, scratch / "a.gpkg", progress);
    CHECK(files_in(scratch.path()) == 1);
    const Green b = read_green_file(scratch / "a.gpkg");

    CHECK(b.id == a.id);
    CHECK(b.revision == 3);
    CHECK(b.surface_revision == 1);
    CHECK(b.name == a.name);
    const TerrainModel &s = *a.terrain, &t = *b.terrain;
    CHECK(t.frame.spec() == s.frame.spec());
    CHECK(t.outline.ring() == s.outline.ring());
    CHECK(s.outline.gaps().size() == 2);
    CHECK(t.outline.gaps() == s.outline.gaps());
    CHECK(t.outline.cut_outs().size() == 1);
    CHECK(t.outline.area_m2() == s.outline.area_m2());
    CHECK(t.outline.source() == OutlineSource::point_codes);
    CHECK(same_bits(t.surface->grid().coefficients, s.surface->grid().coefficients));
    CHECK(t.surface->grid().x0 == s.surface->grid().x0);
    CHECK(t.surface->grid().cell == s.surface->grid().cell);
    CHECK(same_bits(t.grid.height.values, s.grid.height.values));
    CHECK(same_bits(t.grid.height_se.values, s.grid.height_se.values));
    CHECK(same_bits(t.grid.slope_se.values, s.grid.slope_se.values));
    CHECK(t.grid.mask == s.grid.mask);
    CHECK(t.noise_m == s.noise_m);
    CHECK(t.smoothing == s.smoothing);
    CHECK(t.error.smooth_se_m == s.error.smooth_se_m);
    CHECK(t.error.correlated_length_m == s.error.correlated_length_m);
    CHECK(t.points_read == 12345u);
    CHECK(t.points_used == 12001u);
    CHECK(t.warnings == s.warnings);
    CHECK(t.checks == s.checks);
    CHECK(t.reach == s.reach);
    CHECK(t.put_back == s.put_back);

    CHECK(b.marks == a.marks);
    REQUIRE(b.holes.size() == 2);
    CHECK(b.holes[0].p == a.holes[0].p);
    CHECK(b.holes[0].today);
    CHECK(b.holes[1].set_by == "head");
    CHECK_FALSE(b.holes[0].as_cut);
    CHECK_FALSE(b.holes[0].speed_ft);
    CHECK(b.holes[1].as_cut);
    CHECK(b.holes[1].speed_ft == 9.3);
    CHECK(b.holes[1].remark == "a yard left for a scar");
    CHECK(b.skipped == a.skipped);
    CHECK(b.line_of_play == a.line_of_play);
    CHECK(b.gates == a.gates);
    REQUIRE(b.zones.size() == 1);
    CHECK(b.zones[0].ring == a.zones[0].ring);
    CHECK(b.zones[0].until == "2026-06-01");
    CHECK(b.survey == a.survey);
    CHECK(b.record.files == a.record.files);
    CHECK(b.record.outline == a.record.outline);
    CHECK(b.record.put_back == a.record.put_back);
    CHECK(b.record.read.crs == "EPSG:27700");
    CHECK(b.record.read.units.empty());
    CHECK(b.record.read.height_units == "ft");
    REQUIRE(b.record.read.clip);
    CHECK(b.record.read.clip->x0 == 1.0 / 3);
    CHECK(b.record.read.clip->y1 == 400);
    CHECK(b.record.read.method == SurveyMethod::drone);
    CHECK(b.record.read.height_of_cut_m == 0.0035);
    CHECK(b.record.cell_m == 0.1);
    REQUIRE(b.removed);
    CHECK(b.removed->points == a.removed->points);
    CHECK(b.removed->counts == a.removed->counts);
    REQUIRE(b.speeds.size() == 1);
    CHECK(b.speeds[0].speed_ft == 9.7);
    CHECK(b.speeds[0].method == "ramp, both ways");
    REQUIRE(b.stations.size() == 1);
    const PracticeStation &p = a.stations[0].station, &q = b.stations[0].station;
    CHECK(q.ball == p.ball);
    CHECK(q.marker == p.marker);
    CHECK(q.path == p.path);
    CHECK(q.side == p.side);
    CHECK(q.break_se_m == p.break_se_m);
    CHECK(std::isnan(q.break_faster_m));
    CHECK(q.window.fast_mps == p.window.fast_mps);
    CHECK(q.note == p.note);
    CHECK(q.lesson == "ladder");
    REQUIRE(q.tape_ball);
    CHECK(q.tape_ball->second.from.name == "S2");
    CHECK(q.tape_ball->second.metres == 13.4);
    REQUIRE(q.tape_ball->check);
    CHECK(q.tape_ball->check->from.p == p.tape_ball->check->from.p);
    CHECK_FALSE(q.tape_marker);
    CHECK(b.stations[0].model == "brae 0.1.0");
}

TEST_CASE("a green file as outline hands on its edge and what is cut out of it, and not the gaps of its own survey") {
    const Scratch scratch;
    Progress progress;
    const Green green = sample_green();
    write_green_file(green, scratch / "a.gpkg", progress);
    std::vector<std::string> warnings;
    const Outline edge = read_outline(scratch / "a.gpkg", green.terrain->frame, green.terrain->outline.box(), warnings);
    CHECK(edge.ring().size() == green.terrain->outline.ring().size());
    REQUIRE(edge.gaps().size() == 1);
    CHECK(edge.cut_outs().size() == 1);
    CHECK(edge.area_m2() == doctest::Approx(green.terrain->outline.area_m2() + std::abs(signed_area(green.terrain->outline.data_gaps()[0]))));
}

TEST_CASE("equal greens make equal files, also after a trip through a file") {
    const Scratch scratch;
    Progress progress;
    write_green_file(sample_green(), scratch / "a.gpkg", progress);
    write_green_file(read_green_file(scratch / "a.gpkg"), scratch / "b.gpkg", progress);
    CHECK(content(scratch / "a.gpkg") == content(scratch / "b.gpkg"));
}

TEST_CASE("GDAL opens every layer and coverage without a word, where the survey lies") {
    GDALAllRegister();
    FrameSpec spec;
    spec.crs_wkt = wkt_of("EPSG:27700");
    spec.crs_name = "EPSG:27700";
    spec.origin_map = {312000, 721000};
    spec.origin_height_m = 52.5;
    const Scratch scratch;
    Progress progress;
    const Green green = sample_green(spec);
    write_green_file(green, scratch / "a.gpkg", progress);

    Listener listener;
    // Vectors: all layers are there and lie at origin + local.
    std::unique_ptr<GDALDataset> file(GDALDataset::Open((scratch / "a.gpkg").c_str(), GDAL_OF_VECTOR));
    REQUIRE(file);
    for (const char* name : {"outline", "outline_gaps", "reference_marks", "holes", "zones", "stations", "speed_readings", "removed_points", "survey_sources", "data_reach", "check_points", "brae_meta",
                             "brae_surface", "brae_grids"}) {
        CAPTURE(std::string(name));
        OGRLayer* layer = file->GetLayerByName(name);
        REQUIRE(layer != nullptr);
        CHECK(layer->GetFeatureCount() > 0);
        while (std::unique_ptr<OGRFeature> f{layer->GetNextFeature()}) CHECK(f->GetFieldCount() > 0);
    }
    file->GetLayerByName("holes")->ResetReading();
    const std::unique_ptr<OGRFeature> hole(file->GetLayerByName("holes")->GetNextFeature());
    REQUIRE(hole);
    const OGRPoint* p = hole->GetGeometryRef()->toPoint();
    CHECK(p->getX() == doctest::Approx(312000 + 17.0 / 3).epsilon(1e-14));
    CHECK(p->getY() == doctest::Approx(721012.1).epsilon(1e-14));
    const OGRSpatialReference* system = file->GetLayerByName("outline")->GetSpatialRef();
    REQUIRE(system != nullptr);
    CHECK(std::string(system->GetAuthorityCode(nullptr)) == "27700");
    file->GetLayerByName("outline")->ResetReading();
    const std::unique_ptr<OGRFeature> outline(file->GetLayerByName("outline")->GetNextFeature());
    CHECK(outline->GetGeometryRef()->toPolygon()->get_Area() ==
          doctest::Approx(green.terrain->outline.area_m2()).epsilon(1e-6));

    // Coverages: float heights of the datum, no data outside the mask.
    for (const auto& [table, raster, add] :
         {std::tuple{"elevation", &green.terrain->grid.height, 52.5},
          std::tuple{"elevation_standard_error", &green.terrain->grid.height_se, 0.0},
          std::tuple{"slope_standard_error", &green.terrain->grid.slope_se, 0.0}}) {
        CAPTURE(std::string(table));
        std::unique_ptr<GDALDataset> coverage(
            GDALDataset::Open(("GPKG:" + (scratch / "a.gpkg").string() + ":" + table).c_str(), GDAL_OF_RASTER));
        REQUIRE(coverage);
        REQUIRE(coverage->GetRasterXSize() == raster->columns);
        REQUIRE(coverage->GetRasterYSize() == raster->rows);
        CHECK(coverage->GetRasterBand(1)->GetRasterDataType() == GDT_Float32);
        double place[6];
        REQUIRE(coverage->GetGeoTransform(place) == CE_None);
        CHECK(place[0] == doctest::Approx(312004.0).epsilon(1e-12));
        CHECK(place[3] == doctest::Approx(721020.0).epsilon(1e-12));
        CHECK(place[1] == doctest::Approx(0.5).epsilon(1e-12));
        int has = 0;
        const double none = coverage->GetRasterBand(1)->GetNoDataValue(&has);
        CHECK(has);
        std::vector<float> values(raster->values.size());
        REQUIRE(coverage->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, raster->columns, raster->rows, values.data(),
                                                     raster->columns, raster->rows, GDT_Float32, 0, 0) == CE_None);
        int wrong = 0;
        for (int j = 0; j < raster->rows; ++j)
            for (int i = 0; i < raster->columns; ++i) {
                const float got = values[raster->index(i, raster->rows - 1 - j)];
                const float want = static_cast<float>(green.terrain->grid.has(i, j) ? raster->at(i, j) + add : none);
                wrong += got != want;
            }
        CHECK(wrong == 0);
    }
    file.reset();
    for (const std::string& text : listener.said) MESSAGE(text);
    CHECK(listener.said.empty());
}

TEST_CASE("a green from a geographic survey carries its own metre system, and longitude and latitude come out right") {
    // Local metres are a transverse Mercator centred here; (0, 0) lies at this longitude and latitude.
    FrameSpec spec;
    spec.crs_wkt = wkt_of("EPSG:4326");
    spec.crs_name = "EPSG:4326";
    spec.local_tm = true;
    spec.centre_lon_deg = -3.2;
    spec.centre_lat_deg = 56.3;
    spec.origin_map = {-3.2001, 56.2999};
    const Scratch scratch;
    Progress progress;
    write_green_file(sample_green(spec), scratch / "a.gpkg", progress);

    std::unique_ptr<GDALDataset> file(GDALDataset::Open((scratch / "a.gpkg").c_str(), GDAL_OF_VECTOR));
    REQUIRE(file);
    OGRLayer* marks = file->GetLayerByName("reference_marks");
    OGRSpatialReference lonlat;
    lonlat.SetFromUserInput("EPSG:4326");
    lonlat.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    REQUIRE(marks->GetSpatialRef() != nullptr);
    const std::unique_ptr<OGRCoordinateTransformation> to_lonlat(
        OGRCreateCoordinateTransformation(marks->GetSpatialRef(), &lonlat));
    REQUIRE(to_lonlat);
    // Coordinates equal local metres; the local origin is where the frame says.
    const std::unique_ptr<OGRFeature> mark(marks->GetNextFeature());
    CHECK(mark->GetGeometryRef()->toPoint()->getX() == doctest::Approx(6.1).epsilon(1e-14));
    double x = 0, y = 0;
    REQUIRE(to_lonlat->Transform(1, &x, &y));
    CHECK(x == doctest::Approx(-3.2001).epsilon(1e-11));
    CHECK(y == doctest::Approx(56.2999).epsilon(1e-11));
    // 100 m north on the WGS 84 ellipsoid at 56.3 degrees: meridian radius 6 379 700 m (derived from a and f), so
    // 100 / 6 379 7xx rad = 0.000898 degrees.
    double x2 = 0, y2 = 100;
    REQUIRE(to_lonlat->Transform(1, &x2, &y2));
    const double a = 6378137, e2 = 0.00669437999014, s = std::sin(56.3 * kPi / 180);
    const double meridian = a * (1 - e2) / std::pow(1 - e2 * s * s, 1.5);
    CHECK((y2 - y) * kPi / 180 * meridian == doctest::Approx(100).epsilon(1e-5));
}

TEST_CASE("a green from a projected survey with a distorted scale lies in the file where the survey has it") {
    // UTM zone 30 (PROJ is the oracle): scale and convergence at this place come from its own formulas.
    GDALAllRegister();
    OGRSpatialReference utm, lonlat;
    utm.SetFromUserInput("EPSG:32630");
    lonlat.SetFromUserInput("EPSG:4326");
    lonlat.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> to_lonlat(OGRCreateCoordinateTransformation(&utm, &lonlat));
    FrameSpec spec;
    spec.crs_wkt = wkt_of("EPSG:32630");
    spec.local_tm = true;
    spec.origin_map = {350000, 6240000};
    double lon = 350015, lat = 6240012;
    REQUIRE(to_lonlat->Transform(1, &lon, &lat));
    spec.centre_lon_deg = lon;
    spec.centre_lat_deg = lat;
    // The convergence: where true north points on PROJ's grid, against the sphere's atan(tan(dlon) sin(lat)) (derived).
    const std::unique_ptr<OGRCoordinateTransformation> from_lonlat(OGRCreateCoordinateTransformation(&lonlat, &utm));
    double x = lon, y = lat + 1e-4, x0 = lon, y0 = lat - 1e-4;
    REQUIRE(from_lonlat->Transform(1, &x, &y));
    REQUIRE(from_lonlat->Transform(1, &x0, &y0));
    spec.convergence_deg = -std::atan2(x - x0, y - y0) * 180 / kPi;
    CHECK(spec.convergence_deg ==
          doctest::Approx(std::atan(std::tan((lon + 3) * kPi / 180) * std::sin(lat * kPi / 180)) * 180 / kPi)
              .epsilon(1e-3));
    const double scale = 0.9996 * (1 + std::pow(150000.0 / 0.9996, 2) / (2 * std::pow(6383000.0, 2)));  // Snyder (derived)

    const Scratch scratch;
    Progress progress;
    write_green_file(sample_green(spec), scratch / "a.gpkg", progress);
    std::unique_ptr<GDALDataset> file(GDALDataset::Open((scratch / "a.gpkg").c_str(), GDAL_OF_VECTOR));
    REQUIRE(file);
    const OGRSpatialReference* stored = file->GetLayerByName("holes")->GetSpatialRef();
    REQUIRE(stored != nullptr);
    const std::unique_ptr<OGRCoordinateTransformation> to_utm(OGRCreateCoordinateTransformation(stored, &utm));
    REQUIRE(to_utm);
    for (const Vec2 local : {Vec2{0, 0}, Vec2{30, 0}, Vec2{0, 40}, Vec2{30, 40}}) {
        double e = local.x, n = local.y;
        REQUIRE(to_utm->Transform(1, &e, &n));
        CHECK(std::abs(e - 350000 - scale * local.x) < 1e-4);
        CHECK(std::abs(n - 6240000 - scale * local.y) < 1e-4);
    }
}

TEST_CASE("an update replaces the vector tables in place and leaves the surface alone") {
    const Scratch scratch;
    Progress progress;
    Green green = sample_green();
    write_green_file(green, scratch / "a.gpkg", progress);
    green.revision = 4;
    green.holes = {{"moved", {16.0, 11.0}, "2026-05-03", "", true}};
    green.stations.clear();
    green.stations_told = {8.5, "station 3: no spot has a tier between it and the hole"};
    green.marks.push_back({"S4", "nail", {9, 9, 0}});
    update_green_file(green, scratch / "a.gpkg");

    const Green back = read_green_file(scratch / "a.gpkg");
    CHECK(back.revision == 4);
    REQUIRE(back.holes.size() == 1);
    CHECK(back.holes[0].name == "moved");
    CHECK(back.stations.empty());
    CHECK(back.stations_told == green.stations_told);
    CHECK(back.marks.size() == 4);
    CHECK(same_bits(back.terrain->surface->grid().coefficients, green.terrain->surface->grid().coefficients));
    CHECK(files_in(scratch.path()) == 1);
    Listener listener;
    std::unique_ptr<GDALDataset> file(GDALDataset::Open((scratch / "a.gpkg").c_str(), GDAL_OF_VECTOR));
    REQUIRE(file);
    OGREnvelope box;
    CHECK(file->GetLayerByName("holes")->GetExtent(&box, TRUE) == OGRERR_NONE);
    CHECK(box.MinX == doctest::Approx(116));
    CHECK(file->GetLayerByName("stations")->GetFeatureCount() == 0);
    CHECK(listener.said.empty());
}

TEST_CASE("an update stores a new outline with its gaps and mask in the same transaction, and the old one comes back the same way") {
    const Scratch scratch;
    Progress progress;
    const Green before = sample_green();
    const fs::path file = scratch / "a.gpkg";
    write_green_file(before, file, progress);
    Green green = before;
    green.revision = 4;
    green.terrain = std::make_shared<const TerrainModel>(with_outline(*before.terrain, {{9, 7}, {20, 7}, {20.5, 16}, {10, 15.5}}));
    update_green_file(green, file);

    const Green back = read_green_file(file);
    CHECK(back.terrain->outline.ring() == green.terrain->outline.ring());
    CHECK(back.terrain->outline.source() == OutlineSource::drawn);
    CHECK(back.terrain->outline.gaps() == green.terrain->outline.gaps());
    CHECK(back.terrain->grid.mask == green.terrain->grid.mask);
    CHECK(back.terrain->points_used == green.terrain->points_used);
    CHECK(back.surface_revision == before.surface_revision);
    CHECK(same_bits(back.terrain->surface->grid().coefficients, before.terrain->surface->grid().coefficients));
    CHECK(same_bits(back.terrain->grid.height_se.values, before.terrain->grid.height_se.values));
    CHECK(back.holes.size() == before.holes.size());
    {
        Listener listener;
        std::unique_ptr<GDALDataset> data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
        REQUIRE(data);
        CHECK(data->GetLayerByName("outline")->GetFeatureCount() == 1);
        OGREnvelope box;
        CHECK(data->GetLayerByName("outline")->GetExtent(&box, TRUE) == OGRERR_NONE);
        CHECK(box.MaxX == doctest::Approx(120.5));
        CHECK(listener.said.empty());
    }
    // What a GIS sees of the rasters is that of a file written anew, statistics of the tiles too.
    write_green_file(green, scratch / "anew.gpkg", progress);
    const auto tiles = [](const fs::path& path) {
        Database db(path, Database::Access::read);
        std::string all;
        for (const char* table : {"elevation", "elevation_standard_error", "slope_standard_error"}) {
            Statement row(db, std::string("SELECT zoom_level, tile_column, tile_row, tile_data, min, max, mean, std_dev FROM ") + table +
                                  " t LEFT JOIN gpkg_2d_gridded_tile_ancillary a ON a.tpudt_id = t.id AND a.tpudt_name = '" + table + "' ORDER BY t.id");
            while (row.row()) {
                for (int k = 0; k < 3; ++k) all += std::to_string(row.integer()) + " ";
                const Bytes tile = row.bytes();
                all.append(tile.begin(), tile.end());
                for (int k = 0; k < 4; ++k) all += std::to_string(row.number()) + " ";
            }
        }
        return all;
    };
    CHECK(tiles(file).size() > 1000);
    CHECK(tiles(file) == tiles(scratch / "anew.gpkg"));
    for (const char* table : {"elevation", "elevation_standard_error", "slope_standard_error"}) {
        CAPTURE(std::string(table));
        Listener listener;
        const char* const options[] = {nullptr};
        const std::unique_ptr<GDALDataset> data(GDALDataset::Open(("GPKG:" + file.string() + ":" + table).c_str(), GDAL_OF_RASTER, nullptr, options));
        REQUIRE(data);
        const ElevationModel& g = green.terrain->grid;
        REQUIRE(data->GetRasterXSize() == g.height.columns);
        std::vector<float> seen(g.mask.size());
        REQUIRE(data->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, g.height.columns, g.height.rows, seen.data(), g.height.columns, g.height.rows, GDT_Float32, 0, 0,
                                                 nullptr) == CE_None);
        const float none = static_cast<float>(data->GetRasterBand(1)->GetNoDataValue());
        std::size_t wrong = 0;
        for (int j = 0; j < g.height.rows; ++j)
            for (int i = 0; i < g.height.columns; ++i)
                wrong += (seen[g.height.index(i, g.height.rows - 1 - j)] != none) != g.has(i, j);
        CHECK(wrong == 0);
        CHECK(listener.said.empty());
    }
    CHECK(files_in(scratch.path()) == 2);

    // A failure later in the transaction leaves the outline as it was.
    Green broken = before;
    broken.revision = 5;
    broken.speeds.push_back({std::nan(""), 0.5, "", ""});
    const std::string held = content(file);
    CHECK(holds(refusal([&] { update_green_file(broken, file); }), "not a number"));
    CHECK(content(file) == held);

    // The old outline under a new revision.
    Green again = before;
    again.revision = 5;
    update_green_file(again, file);
    const Green old = read_green_file(file);
    CHECK(old.terrain->outline.ring() == before.terrain->outline.ring());
    CHECK(old.terrain->outline.gaps() == before.terrain->outline.gaps());
    CHECK(old.terrain->grid.mask == before.terrain->grid.mask);
    CHECK(same_bits(old.terrain->grid.height.values, before.terrain->grid.height.values));
}

TEST_CASE("an update refuses a missing file, another green, a stale revision and another surface, and changes nothing") {
    const Scratch scratch;
    Progress progress;
    const Green green = sample_green();
    const fs::path file = scratch / "a.gpkg";
    write_green_file(green, file, progress);
    const std::string before = content(file);

    Green other = green;
    other.revision = 4;
    other.id = "11111111-1111-4222-8333-444444444444";
    CHECK(holds(refusal([&] { update_green_file(other, file); }), "another green"));
    CHECK(holds(refusal([&] { update_green_file(green, file); }), "has changed meanwhile"));
    Green surface = green;
    surface.revision = 4;
    surface.surface_revision = 2;
    CHECK(holds(refusal([&] { update_green_file(surface, file); }), "surface revision 1"));
    CHECK(holds(refusal([&] { update_green_file(green, scratch / "none.gpkg"); }), "cannot find"));
    // A value that is not a number stops in the middle of the transaction and rolls back.
    Green broken = green;
    broken.revision = 4;
    broken.speeds.push_back({std::nan(""), 0.5, "", ""});
    CHECK(holds(refusal([&] { update_green_file(broken, file); }), "not a number"));
    CHECK(content(file) == before);
    CHECK(files_in(scratch.path()) == 1);
}

TEST_CASE("identifiers are version 4 and do not repeat") {
    std::set<std::string> seen;
    for (int k = 0; k < 1000; ++k) {
        const std::string id = new_uuid();
        REQUIRE(id.size() == 36);
        CHECK(id[14] == '4');
        CHECK(std::string("89ab").find(id[19]) != std::string::npos);
        CHECK(id.find_first_not_of("0123456789abcdef-") == std::string::npos);
        seen.insert(id);
    }
    CHECK(seen.size() == 1000);
}

TEST_CASE("a green file from before it knew its survey's day is read as not knowing it, and an impossible height of cut is damage") {
    const Scratch scratch;
    Progress progress;
    write_green_file(sample_green(), scratch / "a.gpkg", progress);
    {
        Database db(scratch / "a.gpkg", Database::Access::write);
        db.run("UPDATE brae_meta SET value = '3.5' WHERE key = 'height_of_cut_m'");
    }
    CHECK_THROWS_WITH_AS(read_green_file(scratch / "a.gpkg"), doctest::Contains("not a height"), Error);
    {
        Database db(scratch / "a.gpkg", Database::Access::write);
        db.run("DELETE FROM brae_meta WHERE key IN ('survey_method', 'survey_date', 'survey_date_of', 'height_of_cut_m', 'top_dressed')");
    }
    CHECK(read_green_file(scratch / "a.gpkg").survey == SurveyFacts{});
}

TEST_CASE("a green that is surveyed again keeps its id and what people put on it, on the new ground") {
    const Green old = sample_green();
    Green fresh = sample_green();
    fresh.id = "11111111-1111-4222-8333-444444444444";
    fresh.name = "another";
    fresh.holes = {{"surveyed", {15, 12}, "", "", true}};
    fresh.marks = {{old.marks[0].name, "moved", {1, 2, 3}}};
    fresh.stations.clear();
    fresh.zones.clear();
    fresh.speeds.clear();
    const Green green = renewed_green(old, fresh);
    CHECK(green.id == old.id);
    CHECK(green.name == old.name);
    CHECK(green.revision == old.revision + 1);
    CHECK(green.surface_revision == old.surface_revision + 1);
    CHECK(green.stations.size() == old.stations.size());
    CHECK(green.zones.size() == old.zones.size());
    CHECK(green.speeds.size() == old.speeds.size());
    CHECK(green.marks.size() == old.marks.size());
    CHECK(green.marks[0].description == "moved");
    // Today's hole stays the one that was set; the surveyed one is kept beside it.
    CHECK(green.holes.size() == old.holes.size() + 1);
    CHECK(green.todays_hole()->p == old.todays_hole()->p);
    // In another frame it is refused.
    FrameSpec moved = old.terrain->frame.spec();
    moved.origin_map.x += 1;
    CHECK(holds(refusal([&] { renewed_green(old, sample_green(moved)); }), "another frame"));
    // A survey of other ground is another green's.
    auto elsewhere = std::make_shared<TerrainModel>(*fresh.terrain);
    std::vector<Vec2> ring = elsewhere->outline.ring();
    for (Vec2& p : ring) p = p + Vec2{480, 0};
    elsewhere->outline = Outline(ring, OutlineSource::file);
    fresh.terrain = elsewhere;
    CHECK(holds(refusal([&] { renewed_green(old, fresh); }), "m away from the green '" + old.name + "'"));
}
