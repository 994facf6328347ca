#include "tests/core/record/green_file_checks.h"

#include "core/record/migration.h"
#include "core/record/survey_again.h"

using namespace brae;
using namespace brae::test;

namespace {

void without_table(Database& db, const std::string& table) {
    db.run("DROP TABLE " + table);
    db.run("DELETE FROM gpkg_geometry_columns WHERE table_name = '" + table + "'");
    db.run("DELETE FROM gpkg_contents WHERE table_name = '" + table + "'");
}

// What came with the sixth schema.
void without_cut_outs(Database& db) {
    db.run("ALTER TABLE outline_gaps DROP COLUMN cut_out");
    db.run("ALTER TABLE holes DROP COLUMN by_plan");
}

// What came with the fifth schema and later.
void without_play(Database& db) {
    without_cut_outs(db);
    for (const char* table : {"skipped_days", "line_of_play", "gates"}) without_table(db, table);
    for (const char* column : {"as_cut", "speed_ft", "remark"}) db.run(std::string("ALTER TABLE holes DROP COLUMN ") + column);
}

// What came with the fourth schema and later.
void without_reach(Database& db) {
    without_play(db);
    for (const char* table : {"data_reach", "check_points"}) without_table(db, table);
    db.run("DELETE FROM brae_meta WHERE key = 'put_back_share'");
}

// What came with the third schema and later.
void without_survey(Database& db) {
    without_reach(db);
    for (const char* table : {"removed_points", "survey_sources"}) without_table(db, table);
    db.run("DELETE FROM brae_meta WHERE key IN ('survey_options', 'put_back', 'removed_counts')");
}

// What came with the second schema and later.
void without_lesson(Database& db) {
    without_survey(db);
    db.run("ALTER TABLE stations DROP COLUMN lesson");
}

// The sample green as a schema of old had it.
fs::path file_of_schema(int schema, const Scratch& scratch) {
    constexpr void (*kWithout[])(Database&) = {without_lesson, without_survey, without_reach, without_play, without_cut_outs};
    Progress progress;
    const fs::path file = scratch / "old.gpkg";
    write_green_file(sample_green(), file, progress);
    Database db(file, Database::Access::write);
    kWithout[schema - 1](db);
    db.run("UPDATE brae_meta SET value = '" + std::to_string(schema) + "' WHERE key = 'schema'");
    return file;
}

}  // namespace

TEST_CASE("a green file of the first schema is read with defaults for what it lacks, and is not touched by that") {
    const Scratch scratch;
    const fs::path file = file_of_schema(1, scratch);
    const std::string before = content(file);
    const Green green = read_green_file(file);
    REQUIRE(green.stations.size() == 1);
    CHECK(green.stations[0].station.lesson.empty());
    CHECK(green.stations[0].station.note == sample_green().stations[0].station.note);
    CHECK(content(file) == before);
}

TEST_CASE("the next change of an old green file brings it up to date in the same transaction") {
    const Scratch scratch;
    const fs::path file = file_of_schema(1, scratch);
    Green green = read_green_file(file);
    ++green.revision;
    green.stations[0].station.lesson = "ring";
    update_green_file(green, file);
    CHECK(read_green_file(file).stations[0].station.lesson == "ring");
    // And once more, now that nothing is to be added.
    ++green.revision;
    update_green_file(green, file);
    CHECK(read_green_file(file).revision == green.revision);
}

TEST_CASE("a column that is younger than the file reads as its default") {
    CHECK(columns_of_schema("stations", "label, lesson", 1) == "label, ''");
    CHECK(columns_of_schema("stations", "label, lesson", 2) == "label, lesson");
    CHECK(columns_of_schema("holes", "name, date", 1) == "name, date");
    CHECK(columns_of_schema("holes", "date, as_cut, speed_ft, remark", 4) == "date, 0, NULL, ''");
}

TEST_CASE("a green file of the second schema does not know its survey, and says so rather than guess") {
    const Scratch scratch;
    const fs::path file = file_of_schema(2, scratch);
    const std::string before = content(file);
    const Green green = read_green_file(file);
    CHECK(green.stations[0].station.lesson == "ladder");
    CHECK_FALSE(green.record.known());
    CHECK(green.record.put_back.empty());
    CHECK(green.removed == nullptr);
    CHECK(content(file) == before);
    Progress progress;
    CHECK(holds(refusal([&] { survey_again(green, {}, progress); }), "does not say which survey"));
}

TEST_CASE("the next change of a file of the second schema gives it the tables of the third, which a GIS lists") {
    GDALAllRegister();
    const Scratch scratch;
    for (const bool first : {false, true}) {
        const fs::path file = first ? file_of_schema(1, scratch) : file_of_schema(2, scratch);
        Green green = read_green_file(file);
        ++green.revision;
        update_green_file(green, file);
        CHECK(read_green_file(file).revision == green.revision);
        {
            Database db(file, Database::Access::read);
            CHECK(db.has_table("removed_points"));
            Statement version(db, "SELECT value FROM brae_meta WHERE key = 'schema'");
            REQUIRE(version.row());
            CHECK(version.text() == std::to_string(kGreenSchema));
        }
        const Listener listener;
        std::unique_ptr<GDALDataset> vector(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
        REQUIRE(vector);
        OGRLayer* layer = vector->GetLayerByName("removed_points");
        REQUIRE(layer != nullptr);
        CHECK(wkbFlatten(layer->GetGeomType()) == wkbPoint);
        CHECK(layer->GetFeatureCount() == 0);
        CHECK(listener.said.empty());
        vector.reset();
        // Once more, now that nothing is to be added.
        ++green.revision;
        update_green_file(green, file);
    }
}

TEST_CASE("a green file of the third schema knows neither reach nor check points, and gets their tables by its next change") {
    const Scratch scratch;
    const fs::path file = file_of_schema(3, scratch);
    Green green = read_green_file(file);
    CHECK(green.terrain->reach.empty());
    CHECK(green.terrain->checks.empty());
    CHECK(green.terrain->put_back == PutBackShare{});
    CHECK(green.record.known());
    CHECK(green.removed->points == sample_green().removed->points);
    ++green.revision;
    update_green_file(green, file);
    Database db(file, Database::Access::read);
    CHECK(db.has_table("data_reach"));
    CHECK(db.has_table("check_points"));
    CHECK(read_green_file(file).revision == green.revision);
}

TEST_CASE("a green file older than the history of its holes has them as planned, and gets line of play and gates with its next change") {
    const Scratch scratch;
    const fs::path file = file_of_schema(4, scratch);
    const std::string before = content(file);
    Green green = read_green_file(file);
    CHECK(content(file) == before);
    REQUIRE(green.holes.size() == 2);
    CHECK_FALSE(green.holes[1].as_cut);
    CHECK_FALSE(green.holes[1].speed_ft);
    CHECK_FALSE(green.line_of_play);
    CHECK(green.skipped.empty());
    ++green.revision;
    green.line_of_play = line_of_play_towards(30);
    green.holes[1].as_cut = true;
    update_green_file(green, file);
    const Green back = read_green_file(file);
    CHECK(back.line_of_play == green.line_of_play);
    CHECK(back.holes[1].as_cut);
}

TEST_CASE("a green file from before cut-outs takes every inner ring for a place without data, and tells them apart from its next change on") {
    const Scratch scratch;
    const fs::path file = file_of_schema(5, scratch);
    Green green = read_green_file(file);
    CHECK(green.terrain->outline.gaps() == sample_green().terrain->outline.gaps());
    CHECK(green.terrain->outline.cut_outs().empty());
    ++green.revision;
    CHECK_FALSE(green.holes[1].by_plan);
    green.terrain = sample_green().terrain;
    green.holes[1].by_plan = true;
    update_green_file(green, file);
    const Green back = read_green_file(file);
    CHECK(back.terrain->outline.cut_outs().size() == 1);
    CHECK(back.holes[1].by_plan);
}
