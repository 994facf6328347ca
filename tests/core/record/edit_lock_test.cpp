// Who may change a green file. The other process is a real one: a child that opens, writes and ends as it is told.
#include "tests/core/record/green_file_checks.h"

#include "core/record/edit_lock.h"
#include "tests/support/other_process.h"

using namespace brae;
using namespace brae::test;

namespace {

struct Stored {
    Scratch scratch;
    fs::path file = scratch / "a.gpkg";
    Green green = sample_green();
    Stored() {
        Progress progress;
        write_green_file(green, file, progress);
    }
    void change() {
        ++green.revision;
        green.holes[0].p.x += 0.01;
        update_green_file(green, file);
    }
};

}  // namespace

TEST_CASE("the first process holds the lock, another is told who, and neither writes past the other") {
    Stored s;
    Other first([&] { if (take_edit_lock(s.file).state != LockState::own) throw 1; }, {{'e', [&] { release_edit_lock(s.file); }}});
    const LockView view = take_edit_lock(s.file);
    CHECK(view.state == LockState::held);
    CHECK(view.holder.pid == first.pid());
    CHECK_FALSE(view.holder.host.empty());
    CHECK(edit_lock_of(s.file).state == LockState::held);

    // What would write is refused with a sentence that says who holds it, and nothing happens.
    const std::string before = content(s.file);
    const std::string said = refusal([&] { s.change(); });
    CHECK(holds(said, "open for editing in another window"));
    CHECK(holds(said, "process " + std::to_string(first.pid())));
    Progress progress;
    CHECK(holds(refusal([&] { write_green_file(s.green, s.file, progress); }), "open for editing"));
    CHECK(holds(refusal([&] { require_unlocked(s.file); }), "open for editing"));
    CHECK(content(s.file) == before);
    CHECK(files_in(s.scratch.path()) == 1);
    // Giving back what is not one's own does nothing.
    release_edit_lock(s.file);
    CHECK(edit_lock_of(s.file).state == LockState::held);

    // Once it is closed there, all is open here.
    first.tell('e');
    CHECK(edit_lock_of(s.file).state == LockState::free);
    CHECK(take_edit_lock(s.file).state == LockState::own);
    CHECK(read_green_file(s.file).revision == 3);
    s.green.revision = 3;
    s.change();
    CHECK(read_green_file(s.file).revision == 4);
}

TEST_CASE("the lock of a process that was killed is free on the same host") {
    Stored s;
    Other first([&] { take_edit_lock(s.file); });
    CHECK(edit_lock_of(s.file).state == LockState::held);
    first.kill();
    CHECK(edit_lock_of(s.file).state == LockState::free);
    s.change();
    CHECK(take_edit_lock(s.file).state == LockState::own);
}

TEST_CASE("two processes that ask at once: exactly one has the lock") {
    Stored s;
    for (int round = 0; round < 5; ++round) {
        std::vector<std::unique_ptr<Other>> asked;
        std::vector<pid_t> pids;
        for (int k = 0; k < 4; ++k) {
            asked.push_back(std::make_unique<Other>([&] { take_edit_lock(s.file); }));
            pids.push_back(asked.back()->pid());
        }
        const LockView view = edit_lock_of(s.file);
        CHECK(view.state == LockState::held);
        CHECK(view.holder.pid == pids.front());
        for (auto& a : asked) a->kill();
    }
}

TEST_CASE("a green that is renewed keeps its holder's lock, and a change by the holder moves its time") {
    Stored s;
    REQUIRE(take_edit_lock(s.file).state == LockState::own);
    {
        Database db(s.file, Database::Access::write);
        db.run("UPDATE brae_edit_lock SET taken_at = '2020-01-01T00:00:00Z'");
    }
    CHECK(edit_lock_of(s.file).holder.taken_at == "2020-01-01T00:00:00Z");
    s.change();
    CHECK(edit_lock_of(s.file).holder.taken_at > "2026-01-01");
    Progress progress;
    ++s.green.revision;
    write_green_file(s.green, s.file, progress);
    CHECK(edit_lock_of(s.file).state == LockState::own);
    Other second([&] { if (take_edit_lock(s.file).state != LockState::held) throw 1; });
    release_edit_lock(s.file);
    CHECK(edit_lock_of(s.file).state == LockState::free);
    // A GIS does not list it.
    std::unique_ptr<GDALDataset> vector(GDALDataset::Open(s.file.c_str(), GDAL_OF_VECTOR));
    REQUIRE(vector);
    CHECK(vector->GetLayerByName("brae_edit_lock") == nullptr);
}

TEST_CASE("a lock of another host is held, and forsaken only after twelve hours; this host's is judged by its process") {
    const LockHolder self{100, "fern", "", "boot/1"};
    const std::int64_t noon = 1777723200;   // 2026-05-02T12:00:00Z (date -u -d 2026-05-02T12:00:00Z +%s)
    const auto judged = [&](const char* host, std::int64_t pid, const char* run, const char* when, bool alive) {
        return judge_lock({pid, host, when, run}, self, noon, alive);
    };
    CHECK(judged("moss", 100, "boot/1", "2026-05-02T11:59:00Z", true) == LockState::held);
    CHECK(judged("moss", 100, "boot/1", "2026-05-02T00:00:00Z", false) == LockState::held);
    CHECK(judged("moss", 100, "boot/1", "2026-05-01T23:59:59Z", false) == LockState::forsaken);
    // A time ahead of ours, or none, proves nothing.
    CHECK(judged("moss", 1, "", "2026-06-01T00:00:00Z", false) == LockState::held);
    CHECK(judged("moss", 1, "", "long ago", false) == LockState::held);
    CHECK(judged("fern", 100, "boot/1", "2026-05-02T11:00:00Z", true) == LockState::own);
    // The number of a process that is gone, used again.
    CHECK(judged("fern", 100, "boot/0", "2026-05-02T11:00:00Z", false) == LockState::free);
    CHECK(judged("fern", 200, "boot/2", "2020-05-02T11:00:00Z", true) == LockState::held);
    CHECK(judged("fern", 200, "boot/2", "2026-05-02T11:00:00Z", false) == LockState::free);
}

TEST_CASE("a forsaken lock is taken over only where that is asked for") {
    Stored s;
    REQUIRE(take_edit_lock(s.file).state == LockState::own);
    {
        Database db(s.file, Database::Access::write);
        db.run("UPDATE brae_edit_lock SET host = 'no-such-host.example', taken_at = '2020-01-01T00:00:00Z'");
    }
    CHECK(take_edit_lock(s.file).state == LockState::forsaken);
    CHECK(holds(refusal([&] { s.change(); }), "another machine"));
    CHECK(take_edit_lock(s.file, true).state == LockState::own);
    s.green.revision = 3;
    s.change();
    // The one that lost it is told by its next change: it is another process for all the file knows.
    CHECK(edit_lock_of(s.file).holder.pid == getpid());
}

TEST_CASE("files without a lock table, and files that are none, are free; the revision is told or nothing") {
    Stored s;
    CHECK(edit_lock_of(s.file).state == LockState::free);
    CHECK(revision_of_file(s.file) == 3);
    put(s.scratch / "text.csv", "x y z\n");
    CHECK(edit_lock_of(s.scratch / "text.csv").state == LockState::free);
    CHECK_FALSE(revision_of_file(s.scratch / "text.csv"));
    CHECK_FALSE(revision_of_file(s.scratch / "none.gpkg"));
    CHECK(edit_lock_of(s.scratch / "none.gpkg").state == LockState::free);
    release_edit_lock(s.scratch / "none.gpkg");
    CHECK_FALSE(fs::exists(s.scratch / "none.gpkg"));
    CHECK(holds(words_of({7, "fern", "2026-05-02T07:10:44Z", ""}), "process 7 on fern, since 2026-05-02 07:10 UTC"));
}
