// A small mutation fuzzer for compilers without libFuzzer: takes files of a corpus, spoils them, runs the reader.
//   fuzz_READER SECONDS SEED CORPUS
// The last input lies beside the corpus as last-READER-input until the run ends well, so that a crash can be repeated by
// giving that file in place of SECONDS.
#include "core/base/random.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

std::string bytes_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::size_t pick(brae::Random& random, std::size_t n) { return std::min(n - 1, static_cast<std::size_t>(random.uniform() * static_cast<double>(n))); }

// One to eight small damages.
void spoil(std::string& bytes, const std::vector<std::string>& corpus, brae::Random& random) {
    constexpr std::array<const char*, 12> words{"nan", "inf", "-1", "4294967295", "1e999", ",", ";", "\n", "\"", "-", "65536", "0"};
    for (std::size_t n = 1 + pick(random, 8); n > 0; --n) {
        if (bytes.empty()) bytes = "0";
        const std::size_t at = pick(random, bytes.size());
        switch (pick(random, 9)) {
            case 0: bytes[at] = static_cast<char>(pick(random, 256)); break;
            case 1: bytes[at] = static_cast<char>(bytes[at] ^ (1 << pick(random, 8))); break;
            case 2: bytes.resize(at); break;
            case 3: bytes.erase(at, 1 + pick(random, 16)); break;
            case 4: bytes.insert(at, words[pick(random, words.size())]); break;
            case 5: bytes.insert(at, bytes.substr(pick(random, bytes.size()), pick(random, 64))); break;
            case 6:  // an extreme whole number of 1, 2, 4 or 8 bytes
                for (std::size_t k = 0, width = std::size_t{1} << pick(random, 4), fill = pick(random, 3); k < width && at + k < bytes.size(); ++k)
                    bytes[at + k] = fill == 0 ? '\xff' : fill == 1 ? '\0' : k + 1 == width ? '\x7f' : '\xff';
                break;
            case 7: {
                const std::string& other = corpus[pick(random, corpus.size())];
                if (!other.empty()) bytes = bytes.substr(0, at) + other.substr(pick(random, other.size()));
                break;
            }
            default: std::swap(bytes[at], bytes[pick(random, bytes.size())]);
        }
        if (bytes.size() > 65536) bytes.resize(65536);
    }
}

}  // namespace

int main(int count, char** arguments) {
    if (count == 2) {
        const std::string bytes = bytes_of(arguments[1]);
        return LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    }
    if (count != 4) {
        std::fprintf(stderr, "fuzz_READER SECONDS SEED CORPUS, or fuzz_READER FILE\n");
        return 2;
    }
    const double seconds = std::atof(arguments[1]);
    brae::Random random(static_cast<std::uint64_t>(std::atoll(arguments[2])));
    const std::filesystem::path folder = arguments[3];
    std::vector<std::string> corpus;
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    for (const auto& file : files) corpus.push_back(bytes_of(file));
    if (corpus.empty()) return 2;

    const std::string last = "last-" + std::filesystem::path(arguments[0]).filename().string() + "-input";
    const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
    std::size_t runs = 0;
    for (; std::chrono::steady_clock::now() < end; ++runs) {
        std::string bytes = corpus[pick(random, corpus.size())];
        if (runs >= corpus.size()) spoil(bytes, corpus, random);
        std::ofstream(last, std::ios::binary | std::ios::trunc).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    }
    std::filesystem::remove(last);
    std::printf("%zu inputs in %.0f s, nothing found\n", runs, seconds);
    return 0;
}
