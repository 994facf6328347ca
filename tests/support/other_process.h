// Another process that does as it is told: what only two processes can show.
#pragma once

#include <doctest/doctest.h>

#include <cstdlib>
#include <functional>
#include <map>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

namespace brae::test {

// A child that does `work` when it is made, then one of `later` for every letter that it is told, and ends at 'k' as one that
// is killed: nothing is cleaned up. Make it before anything that starts threads.
class Other {
public:
    explicit Other(const std::function<void()>& work, const std::map<char, std::function<void()>>& later = {}) {
        int to[2], from[2];
        REQUIRE(pipe(to) == 0);
        REQUIRE(pipe(from) == 0);
        child_ = fork();
        REQUIRE(child_ >= 0);
        if (child_ == 0) {
            close(to[1]);
            close(from[0]);
            const auto answer = [&](const std::function<void()>& what) {
                char word = 'y';
                try {
                    what();
                } catch (...) {
                    word = 'n';
                }
                if (write(from[1], &word, 1) != 1) std::_Exit(2);
            };
            answer(work);
            for (char told = 0; read(to[0], &told, 1) == 1 && told != 'k';) answer(later.at(told));
            std::_Exit(0);
        }
        close(to[0]);
        close(from[1]);
        to_ = to[1];
        from_ = from[0];
        REQUIRE(answered());
    }
    // Waits until it is done.
    void tell(char word) {
        REQUIRE(write(to_, &word, 1) == 1);
        REQUIRE(answered());
    }
    void kill() {
        if (child_ == 0) return;
        const char word = 'k';
        CHECK(write(to_, &word, 1) == 1);
        close(to_);
        close(from_);
        int status = 0;
        waitpid(child_, &status, 0);
        child_ = 0;
    }
    ~Other() { kill(); }
    Other(const Other&) = delete;
    Other& operator=(const Other&) = delete;
    pid_t pid() const { return child_; }

private:
    bool answered() {
        char word = 0;
        return read(from_, &word, 1) == 1 && word == 'y';
    }
    pid_t child_ = 0;
    int to_ = -1, from_ = -1;
};

}  // namespace brae::test
