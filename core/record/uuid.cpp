#include "core/record/green_file.h"

#include <array>
#include <cstdint>
#include <fmt/format.h>
#include <random>

namespace brae {

// RFC 9562, section 5.4: 122 random bits, version 4, variant 10.
std::string new_uuid() {
    std::random_device device;
    std::array<std::uint32_t, 4> w{};
    for (auto& word : w) word = static_cast<std::uint32_t>(device());
    w[1] = (w[1] & 0xffff0fffu) | 0x00004000u;
    w[2] = (w[2] & 0x3fffffffu) | 0x80000000u;
    return fmt::format("{:08x}-{:04x}-{:04x}-{:04x}-{:04x}{:08x}", w[0], w[1] >> 16, w[1] & 0xffffu, w[2] >> 16,
                       w[2] & 0xffffu, w[3]);
}

}  // namespace brae
