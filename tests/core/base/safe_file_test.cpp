#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "tests/support/support.h"

#include <csignal>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sys/resource.h>
#include <sys/wait.h>

using namespace brae;
using brae::test::Scratch;
namespace fs = std::filesystem;

namespace {
std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}
std::ptrdiff_t files_in(const fs::path& folder) { return std::distance(fs::directory_iterator(folder), fs::directory_iterator()); }
}  // namespace

TEST_CASE("a file is replaced whole or not at all") {
    const Scratch scratch;
    const fs::path file = scratch / "a.txt";
    write_file_safely(file, "one");
    CHECK(content(file) == "one");
    write_file_safely(file, std::string(1, '\0') + "two");
    CHECK(content(file) == std::string(1, '\0') + "two");
    {
        PartFile part(file);
        std::ofstream(part.part()) << "half";
        CHECK(part.part().parent_path() == scratch.path());
    }
    CHECK(content(file) == std::string(1, '\0') + "two");
    CHECK(files_in(scratch.path()) == 1);
    write_file_safely(file, "three");
    CHECK(content(file) == "three");
}

TEST_CASE("what others keep beside the file stays: a part of a user's own, another writer's part") {
    const Scratch scratch;
    const fs::path file = scratch / "a.txt";
    std::ofstream(file.string() + ".part") << "a user's own";
    PartFile first(file), second(file);
    CHECK(first.part() != second.part());
    std::ofstream(first.part()) << "first";
    std::ofstream(second.part()) << "second";
    {
        PartFile third(file);
        // A database leaves its journal beside the part; it goes with it, and only that one.
        std::ofstream(third.part().string() + "-journal") << "third";
    }
    first.commit();
    CHECK(content(file) == "first");
    second.commit();
    CHECK(content(file) == "second");
    CHECK(content(file.string() + ".part") == "a user's own");
    CHECK(files_in(scratch.path()) == 2);

    // Two processes at once have different names too, and what stands at a name that would be next is passed over.
    std::string ahead;
    {
        const PartFile probe(file);
        ahead = probe.part().string();
    }
    const std::size_t dash = ahead.rfind('-');
    const int count = std::stoi(ahead.substr(dash + 1));
    const std::string taken = ahead.substr(0, dash + 1) + std::to_string(count + 1) + ".part";
    std::ofstream(taken) << "taken";
    write_file_safely(file, "third");
    CHECK(content(taken) == "taken");
    CHECK(content(file) == "third");
}

TEST_CASE("a part may end as its file does, for writers that choose their format by it, and keeps every other promise") {
    const Scratch scratch;
    const fs::path file = scratch / "sheet.pdf";
    write_file_safely(file, "old");
    {
        PartFile first(file, PartFile::Ending::of_the_file), second(file, PartFile::Ending::of_the_file);
        CHECK(first.part().extension() == ".pdf");
        CHECK(first.part() != second.part());
        std::ofstream(second.part()) << "half";
    }
    CHECK(content(file) == "old");
    CHECK(files_in(scratch.path()) == 1);
    {
        PartFile part(file, PartFile::Ending::of_the_file);
        fs::remove(part.part());
        std::ofstream(part.part()) << "new";
        part.commit();
    }
    CHECK(content(file) == "new");
    fs::create_symlink(file, scratch / "link.pdf");
    CHECK_THROWS_AS(PartFile(scratch / "link.pdf", PartFile::Ending::of_the_file), Error);
    PartFile plain(scratch / "without", PartFile::Ending::of_the_file);
    CHECK(plain.part().extension() == ".part");
}

TEST_CASE("a name as long as the file system takes can be written") {
    const Scratch scratch;
    const fs::path file = scratch / (std::string(251, 'n') + ".txt");
    write_file_safely(file, "long");
    CHECK(content(file) == "long");
}

TEST_CASE("a folder, a link, a missing folder and a folder without permission are refused before any work") {
    const Scratch scratch;
    CHECK_THROWS_AS(PartFile(scratch.path()), Error);
    CHECK_THROWS_AS(PartFile(scratch / "no" / "a.txt"), Error);
    write_file_safely(scratch / "a.txt", "one");
    fs::create_symlink(scratch / "a.txt", scratch / "link");
    CHECK_THROWS_AS(PartFile(scratch / "link"), Error);
    fs::create_symlink(scratch / "nowhere", scratch / "dangling");
    CHECK_THROWS_AS(PartFile(scratch / "dangling"), Error);
    if (::geteuid() == 0) BRAE_SKIP("a folder without permission cannot be tried as root");
    fs::create_directory(scratch / "shut");
    fs::permissions(scratch / "shut", fs::perms::owner_read | fs::perms::owner_exec);
    CHECK_THROWS_AS(PartFile(scratch / "shut" / "a.txt"), Error);
    fs::permissions(scratch / "shut", fs::perms::owner_all);
}

TEST_CASE("a disk that takes no more leaves the old file") {
    const Scratch scratch;
    const fs::path file = scratch / "a.txt";
    write_file_safely(file, "old");
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        // A limit on the size of files stands in for a full disk.
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit r{1000, 1000};
        setrlimit(RLIMIT_FSIZE, &r);
        try {
            write_file_safely(file, std::string(5000, 'x'));
        } catch (const Error&) {
            std::_Exit(0);
        }
        std::_Exit(1);
    }
    int status = 0;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(WEXITSTATUS(status) == 0);
    CHECK(content(file) == "old");
    CHECK(files_in(scratch.path()) == 1);
}
