#include "app/commands/terminal.h"

#include <cmath>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <nlohmann/json.hpp>
#include <utility>
#include <unistd.h>

namespace brae::app {

namespace {

// The one piece of work that Ctrl-C cancels.
std::atomic<Progress*> interruptible{nullptr};

void on_interrupt(int) {
    if (Progress* p = interruptible.load()) p->cancel();
}

void draw_bar(double fraction, const std::string& stage) {
    const int full = static_cast<int>(std::lround(30 * std::min(std::max(fraction, 0.0), 1.0)));
    std::string bar(static_cast<std::size_t>(full), '=');
    bar.resize(30, ' ');
    std::fprintf(stderr, "\r[%s] %3.0f %%  %-40.40s", bar.c_str(), 100 * fraction, stage.c_str());
    std::fflush(stderr);
}

}  // namespace

TerminalProgress::TerminalProgress() : progress_(isatty(2) ? Progress::Report(draw_bar) : Progress::Report()) {
    interruptible = &progress_;
    std::signal(SIGINT, on_interrupt);
}

void TerminalProgress::finish() {
    if (std::exchange(finished_, true)) return;
    if (isatty(2)) std::fprintf(stderr, "\r%-90s\r", "");
}

TerminalProgress::~TerminalProgress() {
    interruptible = nullptr;
    std::signal(SIGINT, SIG_DFL);
    finish();
}

void print_json(const nlohmann::ordered_json& object) { std::cout << object.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << '\n' << std::flush; }

void print_warnings(const std::vector<std::string>& warnings) {
    for (const auto& w : warnings) std::cerr << "warning: " << w << '\n';
}

double tidy(double value) { return std::round(value * 1e6) / 1e6 + 0.0; }

}  // namespace brae::app
