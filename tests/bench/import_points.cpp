#include "tests/bench/import_points.h"

#include "core/base/random.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <memory>
#include <stdexcept>
#include <string>

namespace brae::bench {

namespace {

using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

File opened(const std::filesystem::path& path) {
    File file(path.empty() ? nullptr : std::fopen(path.c_str(), "wb"), &std::fclose);
    if (!file && !path.empty()) throw std::runtime_error("cannot write " + path.string());
    return file;
}

// Whole millimetres as metres, "1512030.125".
char* write_metres(char* at, std::int64_t mm) {
    at = std::to_chars(at, at + 24, mm / 1000).ptr;
    const int rest = static_cast<int>(mm % 1000);
    *at++ = '.';
    *at++ = static_cast<char>('0' + rest / 100);
    *at++ = static_cast<char>('0' + rest / 10 % 10);
    *at++ = static_cast<char>('0' + rest % 10);
    return at;
}

template <class T>
void put(std::string& bytes, std::size_t at, T value) {
    std::memcpy(bytes.data() + at, &value, sizeof value);
}

// Header of LAS 1.4 with points of format 6 in millimetres (LAS Specification 1.4, tables 3 and 15).
std::string las_head(std::uint64_t count) {
    std::string head(375, '\0');
    head.replace(0, 4, "LASF");
    put<std::uint16_t>(head, 6, 16);
    put<std::uint8_t>(head, 24, 1);
    put<std::uint8_t>(head, 25, 4);
    put<std::uint16_t>(head, 94, 375);
    put<std::uint32_t>(head, 96, 375);
    put<std::uint8_t>(head, 104, 6);
    put<std::uint16_t>(head, 105, 30);
    for (std::size_t k = 0; k < 3; ++k) put(head, 131 + 8 * k, 0.001);
    put(head, 155, kImportWest);
    put(head, 163, kImportSouth);
    put(head, 171, 0.0);
    put(head, 247, count);
    return head;
}

}  // namespace

void write_import_points(std::uint64_t count, const std::filesystem::path& text, const std::filesystem::path& las) {
    const File xyz = opened(text), cloud = opened(las);
    const auto write = [](const File& file, const char* bytes, std::size_t length) {
        if (file && std::fwrite(bytes, 1, length, file.get()) != length) throw std::runtime_error("the disk is full");
    };
    const std::string head = las_head(count);
    write(cloud, head.data(), head.size());
    Random random(20260501);
    std::array<char, 96> line{};
    std::array<char, 30> record{};
    for (std::uint64_t k = 0; k < count; ++k) {
        const double x = random.uniform(0, kImportEast - kImportWest), y = random.uniform(0, kImportNorth - kImportSouth);
        // A fall of 2 % with swells, the noise of a drone's cloud (the sum of four even draws), now and then something on the turf.
        double z = 87.4 + 0.02 * x - 0.008 * y + 0.12 * std::sin(x / 5.1) * std::cos(y / 4.3);
        z += 0.008 * std::sqrt(3.0) * (random.uniform() + random.uniform() + random.uniform() + random.uniform() - 2);
        if (random.uniform() < 0.002) z += random.uniform(0.1, 1.8);
        const auto mm = [](double v) { return static_cast<std::int64_t>(std::llround(1000 * v)); };
        const std::int64_t xi = mm(x), yi = mm(y), zi = mm(z);
        if (xyz) {
            char* at = write_metres(line.data(), static_cast<std::int64_t>(1000 * kImportWest) + xi);
            *at++ = ' ';
            at = write_metres(at, static_cast<std::int64_t>(1000 * kImportSouth) + yi);
            *at++ = ' ';
            at = write_metres(at, zi);
            *at++ = '\n';
            write(xyz, line.data(), static_cast<std::size_t>(at - line.data()));
        }
        if (cloud) {
            const std::array<std::int32_t, 3> whole{static_cast<std::int32_t>(xi), static_cast<std::int32_t>(yi), static_cast<std::int32_t>(zi)};
            std::memcpy(record.data(), whole.data(), sizeof whole);
            record[14] = 0x11;  // the only return of its pulse
            write(cloud, record.data(), record.size());
        }
    }
}

}  // namespace brae::bench
