// What goes wrong with green files: places that cannot be written, full disks, foreign and damaged files.
#include "tests/core/record/green_file_checks.h"

using namespace brae;
using namespace brae::test;

TEST_CASE("what cannot be written is refused with a sentence and leaves the old file and no part") {
    const Scratch scratch;
    Progress progress;
    const Green green = sample_green();
    const fs::path file = scratch / "a.gpkg";
    write_green_file(green, file, progress);
    const std::string before = content(file);

    // Stopped at every stage in turn.
    for (int stop = 0; stop < 4; ++stop) {
        int at = 0;
        Progress stopping([&](double, const std::string&) { if (at++ == stop) throw Error("stopped"); });
        Green changed = green;
        changed.name = "changed";
        CHECK(refusal([&] { write_green_file(changed, file, stopping); }) == "stopped");
        CHECK(content(file) == before);
        CHECK(files_in(scratch.path()) == 1);
    }

    CHECK(holds(refusal([&] { write_green_file(green, scratch / "no" / "a.gpkg", progress); }), "does not exist"));
    fs::create_directory(scratch / "folder");
    CHECK(holds(refusal([&] { write_green_file(green, scratch / "folder", progress); }), "is a folder"));
    fs::create_symlink(file, scratch / "link.gpkg");
    CHECK(holds(refusal([&] { write_green_file(green, scratch / "link.gpkg", progress); }), "symbolic link"));
    CHECK(content(file) == before);
    Green empty = green;
    empty.terrain = nullptr;
    CHECK(holds(refusal([&] { write_green_file(empty, file, progress); }), "no terrain"));
    Green twins = green;
    twins.marks.push_back(twins.marks[0]);
    CHECK(holds(refusal([&] { write_green_file(twins, file, progress); }), "'S1'"));
    Green sliver = green;
    sliver.zones.push_back({"line", "worn", {{0, 0}, {1, 1}}, ""});
    CHECK(holds(refusal([&] { write_green_file(sliver, file, progress); }), "2 corners"));
    CHECK(content(file) == before);
}

TEST_CASE("a disk that takes no more leaves the old file and no part") {
    const Scratch scratch;
    Progress progress;
    const Green green = sample_green();
    const fs::path file = scratch / "a.gpkg";
    write_green_file(green, file, progress);
    const std::string before = content(file);

    // A limit on the size of files stands in for a full disk; a child carries it so that nothing else feels it.
    for (const rlim_t limit : {rlim_t{0}, rlim_t{4096}, rlim_t{60000}, static_cast<rlim_t>(before.size() * 9 / 10)}) {
        CAPTURE(limit);
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            std::signal(SIGXFSZ, SIG_IGN);
            const rlimit r{limit, limit};
            setrlimit(RLIMIT_FSIZE, &r);
            const std::string said = refusal([&] { write_green_file(green, file, progress); });
            std::_Exit(said.empty() ? 1 : said.find('\n') != std::string::npos ? 2 : 0);
        }
        int status = 0;
        REQUIRE(waitpid(child, &status, 0) == child);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 0);
        CHECK(content(file) == before);
        CHECK(files_in(scratch.path()) == 1);
    }
}

TEST_CASE("an unfinished journal of the old file does not spoil the new one") {
    const Scratch scratch;
    Progress progress;
    Green green = sample_green();
    const fs::path file = scratch / "a.gpkg";
    write_green_file(green, file, progress);
    // A program dies in the middle of an update: its journal stays.
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        Database db(file, Database::Access::write);
        db.run("PRAGMA cache_size=1");
        db.run("BEGIN IMMEDIATE");
        db.run("UPDATE brae_grids SET cell_values = zeroblob(length(cell_values))");
        std::_Exit(0);
    }
    int status = 0;
    waitpid(child, &status, 0);
    REQUIRE(fs::exists(scratch / "a.gpkg-journal"));
    green.name = "new";
    write_green_file(green, file, progress);
    CHECK_FALSE(fs::exists(scratch / "a.gpkg-journal"));
    CHECK(read_green_file(file).name == "new");
}

TEST_CASE("foreign, empty, newer and missing files each get a sentence of their own") {
    const Scratch scratch;
    Progress progress;
    const auto said = [](const fs::path& file) { return refusal([&] { read_green_file(file); }); };
    CHECK(holds(said(scratch / "none.gpkg"), "cannot find"));
    CHECK(holds(said(scratch.path()), "is not a file"));
    put(scratch / "empty.gpkg", "");
    CHECK(holds(said(scratch / "empty.gpkg"), "is empty"));
    put(scratch / "text.gpkg", "x y z\n1 2 3\n");
    CHECK(holds(said(scratch / "text.gpkg"), "is not a GeoPackage"));
    put(scratch / "head.gpkg", std::string("SQLite format 3\0", 16));
    CHECK_FALSE(said(scratch / "head.gpkg").empty());

    const fs::path file = scratch / "a.gpkg";
    write_green_file(sample_green(), file, progress);
    const auto changed = [&](const char* sql) {
        const fs::path copy = scratch / "copy.gpkg";
        fs::copy_file(file, copy, fs::copy_options::overwrite_existing);
        Database(copy, Database::Access::write).run(sql);
        return said(copy);
    };
    CHECK(holds(changed("UPDATE brae_meta SET value = '99' WHERE key = 'schema'"), "newer brae"));
    CHECK(holds(changed("UPDATE brae_meta SET value = 'x' WHERE key = 'revision'"), "not a whole number"));
    CHECK(holds(changed("DELETE FROM brae_meta WHERE key = 'frame'"), "no 'frame'"));
    CHECK(holds(changed("UPDATE brae_meta SET value = '{' WHERE key = 'frame'"), "frame cannot be read"));
    CHECK(holds(changed("DROP TABLE brae_meta"), "without brae's tables"));
    CHECK(holds(changed("DELETE FROM outline"), "no outline"));
    CHECK(holds(changed("UPDATE outline SET ring_m = x'00112233'"), "corners of the outline"));
    CHECK(holds(changed("UPDATE brae_surface SET coefficients = zeroblob(80)"), "checksum"));
    CHECK(holds(changed("UPDATE brae_surface SET columns = 7"), "as many coefficients"));
    CHECK(holds(changed("UPDATE brae_surface SET columns = 9999999999"), "9999999999"));
    CHECK(holds(changed("UPDATE brae_surface SET smoothing = 'much'"), "'smoothing'"));
    CHECK(holds(changed("UPDATE stations SET side = 'up'"), "'up'"));
    CHECK(holds(changed("UPDATE stations SET tape_ball = '[]'"), "tapes"));
    CHECK(holds(changed("DROP TABLE holes"), "holes"));
    CHECK(changed("UPDATE holes SET name = NULL").empty());
}

TEST_CASE("a truncated or damaged file never crashes and never passes for whole") {
    const Scratch scratch;
    Progress progress;
    const fs::path file = scratch / "a.gpkg", cut = scratch / "cut.gpkg";
    write_green_file(sample_green(), file, progress);
    const std::string whole = content(file);

    // Cut anywhere: refused.
    for (std::size_t size = 1; size < whole.size(); size += whole.size() / 97 + 1) {
        put(cut, whole.substr(0, size));
        CAPTURE(size);
        CHECK_FALSE(refusal([&] { read_green_file(cut); }).empty());
    }
    // Noise in one page: either refused or, where the page holds only views, the same surface.
    const auto surface = sample_green().terrain->surface->grid().coefficients;
    int refused = 0;
    for (std::size_t page = 0; page * 4096 + 4096 <= whole.size(); ++page) {
        std::string bytes = whole;
        for (std::size_t k = 0; k < 64; ++k) bytes[page * 4096 + 1000 + 7 * k] ^= static_cast<char>(0x5a + k);
        put(cut, bytes);
        CAPTURE(page);
        bool same = false;
        if (refusal([&] { same = same_bits(read_green_file(cut).terrain->surface->grid().coefficients, surface); })
                .empty())
            CHECK(same);
        else
            ++refused;
    }
    CHECK(refused > 10);
}
