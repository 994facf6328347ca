// Everything that writes a file, where it cannot: a full disk, a read-only folder, a limit on the size of files, a symbolic link
// and a file that another program holds. Each time: one clear sentence, the old file as it was, and nothing left beside it.
#include "tests/support/process.h"

#include "core/record/geopackage.h"
#include "core/record/green_file.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <sstream>
#include <unistd.h>

using namespace brae::test;

namespace {

std::string plane() {
    std::string text;
    for (int j = 0; j < 50; ++j)
        for (int i = 0; i < 50; ++i)
            text += fmt::format("{:.2f} {:.2f} {:.5f}\n", 200000 + 0.4 * i, 300000 + 0.4 * j, 20 + 0.02 * 0.4 * i + 0.002 * ((i * 7 + j * 13) % 5 - 2));
    return text;
}

// One way to write: the words of the command with OUT for the file, and the file's name. `store`: OUT is a green that is changed.
struct Writer {
    const char* name;
    std::vector<std::string> words;
    bool store = false;
};

const std::vector<Writer>& writers() {
    static const std::vector<Writer> all{
        {"g.gpkg", {"survey", "SURVEY", "--out", "OUT"}},
        {"e.tif", {"export", "GREEN", "--out", "OUT"}},
        {"e.asc", {"export", "GREEN", "--out", "OUT"}},
        {"e.ply", {"export", "GREEN", "--out", "OUT"}},
        {"e.obj", {"export", "GREEN", "--out", "OUT"}},
        {"e.glb", {"export", "GREEN", "--out", "OUT"}},
        {"e.dxf", {"export", "GREEN", "--out", "OUT"}},
        {"e.geojson", {"export", "GREEN", "--out", "OUT"}},
        {"survey.pdf", {"sheet", "GREEN", "--kind", "survey", "--out", "OUT"}},
        {"stations.pdf", {"sheet", "GREEN", "--kind", "stations", "--hole", "10,10", "--speed", "10", "--lesson", "fall-line", "--out", "OUT"}},
        {"p.png", {"picture", "GREEN", "--out", "OUT"}},
        {"s.gpkg", {"speed", "OUT", "--ramp", "9.0,9.2,9.4", "--back", "9.6,9.8,10.0", "--store"}, true}};
    return all;
}

// A survey, a green from it, and an old file of every name.
struct Desk {
    Scratch scratch;
    fs::path survey = scratch / "a.xyz", green = scratch / "green.gpkg";
    Desk() {
        write_file(survey, plane());
        const Outcome made = run_brae({"survey", survey.string(), "--out", green.string()});
        REQUIRE_MESSAGE(made.code == 0, made.error);
    }
    // What stands at the place before: a green where one is written, else any bytes.
    void put_old(const Writer& w, const fs::path& at) const {
        fs::remove(at);
        if (fs::path(w.name).extension() == ".gpkg") fs::copy_file(green, at);
        else write_file(at, "what was there before\n");
    }
    std::vector<std::string> words(const Writer& w, const fs::path& out) const {
        std::vector<std::string> all = w.words;
        for (std::string& word : all) {
            if (word == "OUT") word = out.string();
            if (word == "GREEN") word = green.string();
            if (word == "SURVEY") word = survey.string();
        }
        return all;
    }
};

std::set<std::string> names_in(const fs::path& folder) {
    std::set<std::string> out;
    for (const auto& entry : fs::directory_iterator(folder)) out.insert(entry.path().filename().string());
    return out;
}

// Without the bytes in the message where it fails.
bool same(const fs::path& file, const std::string& bytes) { return whole_file(file) == bytes; }

void check_sentence(const Outcome& o, const char* name) {
    CHECK(o.code == 1);
    CHECK_MESSAGE(o.error.find(name) != std::string::npos, o.error);
    // One sentence: warnings have lines of their own.
    std::istringstream lines(o.error);
    int sentences = 0;
    for (std::string line; std::getline(lines, line);)
        if (!line.empty() && line.find("warning") == std::string::npos) ++sentences;
    CHECK_MESSAGE(sentences == 1, o.error);
}

// Runs the writer in a mount of its own that is `state` ("full" or "read-only"), and brings back what is left there.
struct Left { Outcome o; bool same = false; std::set<std::string> names; };
Left run_mounted(const Desk& desk, const Writer& w, const std::string& state) {
    const Scratch work;
    const fs::path mount = work / "mount", old = work / "old";
    fs::create_directory(mount);
    desk.put_old(w, old);
    std::string script = "set -e\nmount -t tmpfs -o size=24m tmpfs " + quoted(mount.string()) + "\ncp " + quoted(old.string()) + " " +
                         quoted((mount / w.name).string()) + "\n";
    if (state == "full") script += "cat /dev/zero > " + quoted((mount / "filler").string()) + " 2>/dev/null || true\n";
    else script += "mount -o remount,ro " + quoted(mount.string()) + "\n";
    script += "set +e\n" + quoted(BRAE_BINARY_DIR "/bin/brae");
    for (const std::string& word : desk.words(w, mount / w.name)) script += " " + quoted(word);
    script += " >" + quoted((work / "out").string()) + " 2>" + quoted((work / "error").string()) + " </dev/null\necho $? >" + quoted((work / "code").string()) +
              "\ncp " + quoted((mount / w.name).string()) + " " + quoted((work / "after").string()) + "\nls -A " + quoted(mount.string()) + " >" +
              quoted((work / "names").string()) + "\n";
    write_file(work / "script", script);
    REQUIRE(std::system(("unshare -m sh " + quoted((work / "script").string())).c_str()) == 0);
    Left left;
    left.o.code = std::atoi(whole_file(work / "code").c_str());
    left.o.error = whole_file(work / "error");
    left.same = whole_file(work / "after") == whole_file(old);
    std::istringstream names(whole_file(work / "names"));
    for (std::string name; std::getline(names, name);)
        if (name != "filler") left.names.insert(name);
    return left;
}

bool can_mount() {
    return geteuid() == 0 && std::system("unshare -m sh -c 'mount -t tmpfs tmpfs /tmp' >/dev/null 2>&1") == 0;
}

}  // namespace

TEST_CASE("every writer works where nothing is in its way") {
    const Desk desk;
    for (const Writer& w : writers()) {
        CAPTURE(std::string(w.name));
        const Scratch out;
        desk.put_old(w, out / w.name);
        const std::string before = whole_file(out / w.name);
        const Outcome o = run_brae(desk.words(w, out / w.name));
        CHECK_MESSAGE(o.code == 0, o.error);
        CHECK_FALSE(same(out / w.name, before));
        CHECK(names_in(out.path()) == std::set<std::string>{w.name});
    }
}

TEST_CASE("a disk that is full costs nothing that was there") {
    if (!can_mount()) {
        MESSAGE("skipped: a small disk of one's own can be mounted by root only");
        return;
    }
    const Desk desk;
    for (const Writer& w : writers()) {
        CAPTURE(std::string(w.name));
        const Left left = run_mounted(desk, w, "full");
        check_sentence(left.o, w.name);
        CHECK(left.same);
        CHECK(left.names == std::set<std::string>{w.name});
    }
}

TEST_CASE("a folder that is read-only is refused with a sentence") {
    if (!can_mount()) {
        MESSAGE("skipped: a read-only disk of one's own can be mounted by root only");
        return;
    }
    const Desk desk;
    for (const Writer& w : writers()) {
        CAPTURE(std::string(w.name));
        const Left left = run_mounted(desk, w, "read-only");
        check_sentence(left.o, w.name);
        CHECK_MESSAGE((left.o.error.find("read-only") != std::string::npos || left.o.error.find("Read-only") != std::string::npos), left.o.error);
        CHECK(left.same);
        CHECK(left.names == std::set<std::string>{w.name});
    }
}

TEST_CASE("a limit on the size of files is an error and no end of the program") {
    const Desk desk;
    for (const Writer& w : writers()) {
        CAPTURE(std::string(w.name));
        const Scratch out;
        desk.put_old(w, out / w.name);
        const std::string before = whole_file(out / w.name);
        // Blocks of 512 bytes; every file is larger than one.
        const Outcome o = run_brae(desk.words(w, out / w.name), "ulimit -f 1;");
        check_sentence(o, w.name);
        CHECK(same(out / w.name, before));
        CHECK(names_in(out.path()) == std::set<std::string>{w.name});
    }
}

TEST_CASE("a symbolic link is never written through") {
    const Desk desk;
    for (const Writer& w : writers()) {
        if (w.store) continue;   // a change in place goes to the file itself
        CAPTURE(std::string(w.name));
        const Scratch out;
        fs::create_directory(out / "there");
        const fs::path target = out / "there" / w.name;
        desk.put_old(w, target);
        const std::string before = whole_file(target);
        fs::create_symlink(target, out / w.name);
        const Outcome o = run_brae(desk.words(w, out / w.name));
        check_sentence(o, w.name);
        CHECK_MESSAGE(o.error.find("symbolic link") != std::string::npos, o.error);
        CHECK(same(target, before));
        CHECK(fs::is_symlink(out / w.name));
        CHECK(names_in(out.path()) == std::set<std::string>{w.name, "there"});
    }
}

TEST_CASE("a green file that another program holds is left to it") {
    const Desk desk;
    const Scratch out;
    fs::copy_file(desk.green, out / "s.gpkg");
    const std::string before = whole_file(out / "s.gpkg");
    {
        brae::Database holder(out / "s.gpkg", brae::Database::Access::write);
        holder.run("BEGIN EXCLUSIVE");
        for (const std::vector<std::string>& words : {std::vector<std::string>{"speed", "OUT", "--ramp", "9", "--back", "9.2", "--store"},
                                                      std::vector<std::string>{"survey", "SURVEY", "--out", "OUT", "--replace"}}) {
            const Outcome o = run_brae(desk.words({"s.gpkg", words}, out / "s.gpkg"));
            CHECK(o.code == 1);
            CHECK_MESSAGE(o.error.find("not a green file") == std::string::npos, o.error);
            CHECK_MESSAGE(o.error.find("in use by another program") != std::string::npos, o.error);
        }
    }
    CHECK(same(out / "s.gpkg", before));
    CHECK(names_in(out.path()) == std::set<std::string>{"s.gpkg"});
}

TEST_CASE("a folder of surveys tells of each green that cannot be written and leaves no part") {
    if (!can_mount()) {
        MESSAGE("skipped: a small disk of one's own can be mounted by root only");
        return;
    }
    const Desk desk;
    const Scratch in;
    fs::copy_file(desk.survey, in / "one.xyz");
    fs::copy_file(desk.survey, in / "two.xyz");
    const Scratch work;
    fs::create_directory(work / "mount");
    write_file(work / "script", "mount -t tmpfs -o size=64k tmpfs " + quoted((work / "mount").string()) + " || exit 9\n" + quoted(BRAE_BINARY_DIR "/bin/brae") +
                                    " survey " + quoted(in.path().string()) + " --out " + quoted((work / "mount" / "greens").string()) + " --json >" +
                                    quoted((work / "out").string()) + " 2>/dev/null </dev/null\nls -A " + quoted((work / "mount" / "greens").string()) + " >" +
                                    quoted((work / "names").string()) + "\n");
    REQUIRE(std::system(("unshare -m sh " + quoted((work / "script").string())).c_str()) == 0);
    const auto said = nlohmann::json::parse(whole_file(work / "out"));
    CHECK(said["failed"] == 2);
    for (const auto& green : said["greens"]) CHECK(green["error"].get<std::string>().find("cannot write") != std::string::npos);
    CHECK(whole_file(work / "names").empty());
}

TEST_CASE("a folder of maps that cannot be written is refused, and its old maps stay") {
    const Desk desk;
    const Scratch out;
    fs::create_directory(out / "maps");
    write_file(out / "maps" / "slope.tif", "old\n");
    const Outcome o = run_brae({"slope", desk.green.string(), "--out", (out / "maps").string()}, "ulimit -f 1;");
    CHECK(o.code == 1);
    CHECK(o.error.find("slope.tif") != std::string::npos);
    CHECK(same(out / "maps" / "slope.tif", "old\n"));
    CHECK(names_in(out / "maps") == std::set<std::string>{"slope.tif"});
}
