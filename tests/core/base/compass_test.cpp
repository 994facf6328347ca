#include "core/base/compass.h"

#include "tests/support/support.h"

using namespace brae;

TEST_CASE("each point of the compass owns 45 degrees about it, and bearings wrap") {
    const char* words[] = {"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"};
    for (int k = 0; k < 8; ++k)
        for (const double off : {-22.4, 0.0, 22.4, 360.0, -720.0}) CHECK(std::string(compass(45 * k + off).word) == words[k]);
    CHECK(std::string(compass(-45).sign) == "NW");
}
