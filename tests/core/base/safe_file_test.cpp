#include "core/base/safe_file.h"

#include "core/base/error.h"
#include "tests/support/process.h"

using namespace brae;
using test::whole_file;
using test::write_file;

TEST_CASE("a part that is not committed leaves the old file and no part") {
    const test::Scratch scratch;
    write_file(scratch / "f", "old");
    {
        PartFile part(scratch / "f");
        write_file(part.part(), "half of the n");
    }
    CHECK(whole_file(scratch / "f") == "old");
    CHECK_FALSE(test::fs::exists(scratch / "f.part"));
    write_file_safely(scratch / "f", "new");
    CHECK(whole_file(scratch / "f") == "new");
    CHECK_FALSE(test::fs::exists(scratch / "f.part"));
}

TEST_CASE("folders, symbolic links and missing folders are refused and left alone") {
    const test::Scratch scratch;
    write_file(scratch / "target", "old");
    test::fs::create_symlink(scratch / "target", scratch / "link");
    CHECK_THROWS_AS(write_file_safely(scratch / "link", "new"), Error);
    CHECK(whole_file(scratch / "target") == "old");
    CHECK_THROWS_AS(write_file_safely(scratch.path(), "new"), Error);
    CHECK_THROWS_AS(write_file_safely(scratch / "none" / "f", "new"), Error);
}

TEST_CASE("a stale part is removed first, never written through") {
    // A link left under the part's name must not lead the new content elsewhere.
    const test::Scratch scratch;
    write_file(scratch / "f", "old");
    test::fs::create_symlink("/dev/full", scratch / "g.part");
    CHECK_NOTHROW(write_file_safely(scratch / "g", "x"));
    CHECK(whole_file(scratch / "g") == "x");
    CHECK(whole_file(scratch / "f") == "old");
}
