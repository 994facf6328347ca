// What several test programs need: where the samples are, scratch folders, skipping with a word.
#pragma once

#include "core/terrain/spline_surface.h"

#include <doctest/doctest.h>

#include <cstdio>
#include <filesystem>
#include <functional>
#include <string>
#include <unistd.h>
#include <utility>

namespace brae::test {

namespace fs = std::filesystem;

inline fs::path source_dir() { return BRAE_SOURCE_DIR; }
inline fs::path samples() { return source_dir() / "terrain-samples"; }
// Open survey data that stands beside the project on some machines and is never committed.
inline fs::path open_data() { return source_dir().parent_path() / "shared" / "data"; }

// A fresh folder that is removed again.
class Scratch {
public:
    Scratch() {
        static int count = 0;
        path_ = fs::temp_directory_path() /
                ("brae-test-" + std::to_string(::getpid()) + "-" + std::to_string(++count));
        fs::create_directories(path_);
    }
    ~Scratch() { std::error_code ignored; fs::remove_all(path_, ignored); }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    fs::path operator/(const std::string& name) const { return path_ / name; }
    const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

// A surface from a formula.
class Formula final : public HeightField {
public:
    explicit Formula(std::function<SurfaceJet(double, double)> f) : f_(std::move(f)) {}
    SurfaceJet jet(double x, double y) const noexcept override { return f_(x, y); }

private:
    std::function<SurfaceJet(double, double)> f_;
};

// A plane that falls by `slope` (ratio) towards `downhill` (unit vector x, y).
inline Formula plane(double slope, double dx, double dy) {
    return Formula([=](double x, double y) {
        return SurfaceJet{-slope * (dx * x + dy * y), -slope * dx, -slope * dy, 0, 0, 0};
    });
}

}  // namespace brae::test

// Ends a test case with a word; the runner counts these lines.
#define BRAE_SKIP(why)                                   \
    do {                                                 \
        std::printf("skipped: %s\n", std::string(why).c_str()); \
        return;                                          \
    } while (false)
