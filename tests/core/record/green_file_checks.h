// What the tests of the green file share: bytes of files, refusals, and what GDAL says.
#pragma once

#include "core/base/error.h"
#include "core/record/geopackage.h"
#include "core/record/green_file.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"
#include "tests/support/refusal.h"
#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <gdal_priv.h>
#include <iterator>
#include <ogrsf_frmts.h>
#include <set>
#include <sys/resource.h>
#include <sys/wait.h>

namespace brae::test {

namespace fs = std::filesystem;

inline std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}
inline void put(const fs::path& file, const std::string& bytes) { std::ofstream(file, std::ios::binary) << bytes; }

inline bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
}

inline std::size_t files_in(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

// What GDAL says while it lives.
struct Listener {
    std::vector<std::string> said;
    Listener() { CPLPushErrorHandlerEx(&Listener::take, this); }
    ~Listener() { CPLPopErrorHandler(); }
    static void CPL_STDCALL take(CPLErr, CPLErrorNum, const char* text) {
        static_cast<Listener*>(CPLGetErrorHandlerUserData())->said.push_back(text);
    }
};

// Datum OSGB 1936 grid, as a survey would bring it: only what the file needs of it is checked.
inline std::string wkt_of(const char* code) {
    OGRSpatialReference s;
    REQUIRE(s.SetFromUserInput(code) == OGRERR_NONE);
    char* text = nullptr;
    const char* const form[] = {"FORMAT=WKT2_2019", nullptr};
    REQUIRE(s.exportToWkt(&text, form) == OGRERR_NONE);
    const std::string out = text;
    CPLFree(text);
    return out;
}

}  // namespace brae::test
