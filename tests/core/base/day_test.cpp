#include "core/base/day.h"
#include "tests/support/support.h"

using namespace brae;

TEST_CASE("days are counted from 1970 over leap years and back into the same text") {
    CHECK(day_number("1970-01-01") == 0);
    CHECK(day_number("2000-03-01") == 11017);   // 30 years, 7 leap days, 60 days: 30 * 365 + 7 + 60
    CHECK(*day_number("2028-03-01") - *day_number("2028-02-28") == 2);
    CHECK(*day_number("2026-01-01") - *day_number("2025-12-31") == 1);
    for (const char* day : {"1969-12-31", "2024-02-29", "2026-05-02", "9999-12-31"}) CHECK(day_text(*day_number(day)) == day);
}

TEST_CASE("what is no day has no number") {
    for (const char* text : {"", "2026-02-30", "2026-13-01", "2026-5-2", "02-05-2026", "2026-05-02 ", "2026/05/02", "1899-01-01", "2026-00-10", "20x6-01-01"}) {
        CAPTURE(text);
        CHECK_FALSE(day_number(text));
    }
}
