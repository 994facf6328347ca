#include "core/base/version.h"

#include "tests/support/support.h"

#include <regex>

TEST_CASE("the version that is stored with results is the program's name and three numbers") {
    CHECK(std::regex_match(brae::model_version(), std::regex("brae [0-9]+\\.[0-9]+\\.[0-9]+")));
}
