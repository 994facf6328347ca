#include "core/survey/gdal_support.h"

#include "tests/support/support.h"

#include <cpl_error.h>

using namespace brae;

TEST_CASE("a message of GDAL becomes one sentence without statements of SQL") {
    CHECK(gdal_sentence("Write error at scanline 4.\nmore") == "Write error at scanline 4");
    CHECK(gdal_sentence("sqlite3_exec(INSERT INTO gpkg_contents (a,b)\nVALUES ('x',1)) failed: database or disk is full") ==
          "database or disk is full");
    CHECK(gdal_sentence("Failed to prepare SQL: SELECT a FROM b") == "Failed to prepare SQL");
    CHECK(gdal_sentence("sqlite3_exec(COMMIT) failed: disk I/O error") == "disk I/O error");
    CHECK(gdal_sentence("CREATE TABLE t(a)") == "the database refused a statement");
    CHECK(gdal_sentence("") == "");
}

TEST_CASE("a warning is a message, a failure after it is the reason") {
    const QuietGdal quiet;
    CHECK_FALSE(quiet.failed());
    CHECK(quiet.why() == "GDAL gave no reason");
    CPLError(CE_Warning, CPLE_AppDefined, "an odd tag.");
    CHECK_FALSE(quiet.failed());
    CPLError(CE_Failure, CPLE_FileIO, "the disk is full");
    CPLError(CE_Failure, CPLE_FileIO, "and more");
    CHECK(quiet.failed());
    CHECK(quiet.message() == "an odd tag");
    CHECK(quiet.why() == "the disk is full");
}
