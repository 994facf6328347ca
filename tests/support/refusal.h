// What a refused call says, and whether a sentence holds some words.
#pragma once

#include "core/base/error.h"

#include <functional>
#include <string>

namespace brae::test {

// The sentence of the Error; empty where nothing was refused.
inline std::string refusal(const std::function<void()>& work) {
    try {
        work();
    } catch (const Error& e) {
        return e.what();
    }
    return {};
}
inline bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace brae::test
