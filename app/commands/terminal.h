// What goes to the terminal: a progress bar on standard error where it is one, results on standard output.
#pragma once

#include "core/base/progress.h"

#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <string>

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

private:
    Progress progress_;
};

// One object on standard output, nothing else.
void print_json(const nlohmann::ordered_json& object);
// Warnings on standard error, a line each.
void print_warnings(const std::vector<std::string>& warnings);

// Rounded to a millionth of the unit, which keeps every digit that means something; never NaN or -0.
double tidy(double value);

}  // namespace brae::app
