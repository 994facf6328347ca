#include "core/base/calendar.h"

#include <doctest/doctest.h>

using namespace brae;

TEST_SUITE("calendar") {
    TEST_CASE("a day is exactly ten characters and exists") {
        CHECK(day_of("2026-05-02"));
        CHECK(day_of("2024-02-29"));
        for (const char* text : {"", "2026-5-2", "2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "1899-12-31", "2026-05-02 ", "2026/05/02",
                                 "02-05-2026", "2026-05-0x", "+026-05-02", "2026-05--1"}) {
            CAPTURE(text);
            CHECK(!day_of(text));
        }
    }
    TEST_CASE("days are counted over months and leap years") {
        CHECK(date_after("2026-12-31", 1) == "2027-01-01");
        CHECK(date_after("2024-02-28", 1) == "2024-02-29");
        CHECK(date_after("2026-03-01", -1) == "2026-02-28");
        CHECK(date_after("no day", 1).empty());
        // 2000 and 2400 have a leap day, 2100 to 2300 have none (Gregorian calendar): 400 years are 146,097 days.
        CHECK(days_between("2000-03-01", "2400-03-01") == 146097);
        CHECK(days_between("2026-05-09", "2026-05-02") == -7);
        CHECK(!days_between("2026-05-09", ""));
    }
    TEST_CASE("moments are told in UTC") {
        CHECK(utc_text(0) == "1970-01-01T00:00:00Z");
        // POSIX.1, "Seconds since the Epoch": 86,400 a day.
        CHECK(utc_text(86400 * 365 + 3661) == "1971-01-01T01:01:01Z");
        CHECK(utc_text(-1) == "1969-12-31T23:59:59Z");
    }
    TEST_CASE("today is a day, and the one that BRAE_TODAY names") {
        CHECK(day_of(today()));
        REQUIRE(setenv("BRAE_TODAY", "2026-05-02", 1) == 0);
        CHECK(today() == "2026-05-02");
        setenv("BRAE_TODAY", "soon", 1);
        CHECK(day_of(today()));
        unsetenv("BRAE_TODAY");
    }
}

TEST_CASE("days are counted from 1970 over leap years and back into the same text") {
    CHECK(day_number("1970-01-01") == 0);
    CHECK(day_number("2000-03-01") == 11017);   // 30 years, 7 leap days, 60 days: 30 * 365 + 7 + 60
    CHECK_FALSE(day_number("2026-02-30"));
    for (const char* day : {"1969-12-31", "2024-02-29", "2026-05-02"}) CHECK(day_text(*day_number(day)) == day);
}
