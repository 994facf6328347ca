#include "tests/core/record/green_file_checks.h"

#include "core/record/migration.h"

using namespace brae;
using namespace brae::test;

namespace {

// A file as the first schema had it.
fs::path first_schema(const Scratch& scratch) {
    Progress progress;
    const fs::path file = scratch / "old.gpkg";
    write_green_file(sample_green(), file, progress);
    Database db(file, Database::Access::write);
    db.run("ALTER TABLE stations DROP COLUMN lesson");
    db.run("UPDATE brae_meta SET value = '1' WHERE key = 'schema'");
    return file;
}

}  // namespace

TEST_CASE("a green file of the first schema is read with defaults for what it lacks, and is not touched by that") {
    const Scratch scratch;
    const fs::path file = first_schema(scratch);
    const std::string before = content(file);
    const Green green = read_green_file(file);
    REQUIRE(green.stations.size() == 1);
    CHECK(green.stations[0].station.lesson.empty());
    CHECK(green.stations[0].station.note == sample_green().stations[0].station.note);
    CHECK(content(file) == before);
}

TEST_CASE("the next change of an old green file brings it up to date in the same transaction") {
    const Scratch scratch;
    const fs::path file = first_schema(scratch);
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
}
