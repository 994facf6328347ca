// What goes to the terminal: a progress bar on standard error where it is one, results on standard output.
#pragma once

#include "core/base/progress.h"

#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace brae::app {

// Draws the bar while the work runs and wipes it at the end; silent where standard error is not a terminal.
// Ctrl-C cancels the work instead of killing the program half-way.
class TerminalProgress {
public:
    TerminalProgress();
    ~TerminalProgress();
    TerminalProgress(const TerminalProgress&) = delete;
    TerminalProgress& operator=(const TerminalProgress&) = delete;
    Progress& progress() { return progress_; }
    // Wipes the bar; call before the first result is printed. The destructor does it too.
    void finish();

private:
    Progress progress_;
    bool finished_ = false;
};

// One object on standard output, nothing else; bytes that are not UTF-8 are replaced.
void print_json(const nlohmann::ordered_json& object);
// Warnings on standard error, a line each.
void print_warnings(const std::vector<std::string>& warnings);

// Rounded to a millionth of the unit, which keeps every digit that means something; never -0. NaN becomes null in JSON.
double tidy(double value);

}  // namespace brae::app
