// How the core refuses: one exception type whose text is one sentence that names what was found and what is wanted.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace brae {

// Which exit code and which colour of message an error deserves.
enum class ErrorKind {
    usage,      // the caller asked for something that has no meaning (exit 2)
    failed,     // the input or the machine said no (exit 1)
    cancelled,  // the user stopped it (exit 1)
};

// "Not found" of a search is a value, not an Error; an Error is for work that cannot be done at all.
class Error : public std::runtime_error {
public:
    explicit Error(std::string sentence, ErrorKind kind = ErrorKind::failed)
        : std::runtime_error(std::move(sentence)), kind_(kind) {}
    ErrorKind kind() const noexcept { return kind_; }

private:
    ErrorKind kind_;
};

// Shorthand for a wrong argument.
inline Error usage_error(std::string sentence) { return Error(std::move(sentence), ErrorKind::usage); }

}  // namespace brae
