// Running the program as a person or a script would, and reading what it said.
#pragma once

#include "tests/support/support.h"

#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sys/wait.h>
#include <vector>

namespace brae::test {

struct Outcome {
    int code = -1;          // exit code; 128 + signal where it was killed
    std::string out, error;
    nlohmann::json json() const { return nlohmann::json::parse(out); }
};

inline std::string quoted(const std::string& word) {
    std::string text = "'";
    for (char c : word) text += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return text + "'";
}

inline std::string whole_file(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline void write_file(const fs::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary) << text;
}

// Runs build/bin/brae with these words, with no terminal and no display, on a day of its own: 2027-01-15, whatever the clock says.
inline Outcome run_brae(const std::vector<std::string>& words, const std::string& before = "") {
    const Scratch scratch;
    setenv("BRAE_TODAY", "2027-01-15", 0);
    std::string line = before;
    line.append(1, ' ').append(quoted(BRAE_BINARY_DIR "/bin/brae"));  // g++ 12 warns of a + here where it inlines
    for (const auto& w : words) line += " " + quoted(w);
    line += " >" + quoted((scratch / "out").string()) + " 2>" + quoted((scratch / "error").string()) + " </dev/null";
    const int status = std::system(line.c_str());
    Outcome o;
    o.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    o.out = whole_file(scratch / "out");
    o.error = whole_file(scratch / "error");
    return o;
}

// One sentence on standard error, nothing on standard output.
inline void refused(const std::vector<std::string>& words, int code, const std::string& contains) {
    const Outcome o = run_brae(words);
    CHECK_MESSAGE(o.code == code, words.back() << ": " << o.code << " " << o.error);
    CHECK_MESSAGE(o.error.find(contains) != std::string::npos, o.error);
    CHECK(std::count(o.error.begin(), o.error.end(), '\n') == 1);
    CHECK(o.out.empty());
}

}  // namespace brae::test
