// The few GDAL drivers that surveys may come through, and GDAL's error text kept off the terminal.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace brae {

// Registers the drivers below once; no other is ever asked. None of them follows a reference to another file or address:
// virtual rasters (VRT), web services and databases are not among them.
void register_survey_drivers();
inline constexpr const char* kRasterDrivers[] = {"GTiff", "AAIGrid", "GSAG", "GSBG", "GS7BG", "SAGA", "EHdr", nullptr};
inline constexpr const char* kVectorDrivers[] = {"GeoJSON", "GPKG", "ESRI Shapefile", "DXF", nullptr};

// Throws Error where the path is missing, a folder, empty, or names a virtual file system (/vsi...), which could reach
// into archives or the network.
void require_plain_file(const std::filesystem::path& path);

// A message of GDAL as part of one sentence: its first line, without a full stop and without statements of SQL.
std::string gdal_sentence(std::string_view text);

// While one lives, GDAL and PROJ messages of this thread are kept instead of printed.
class QuietGdal {
public:
    QuietGdal();
    ~QuietGdal();
    QuietGdal(const QuietGdal&) = delete;
    QuietGdal& operator=(const QuietGdal&) = delete;
    // The first warning or failure since construction, as gdal_sentence gives it; "" where there was none.
    const std::string& message() const { return message_; }
    // Whether anything failed since construction, also where the call itself came back as if all were well; what closing a
    // data set cannot write is only told this way.
    bool failed() const { return failed_; }
    // Why: the first failure, else the first message, else words that say that there is none.
    std::string why() const;

private:
    static void keep(int level, int number, const char* text);
    std::string message_, failure_;
    bool failed_ = false;
};

}  // namespace brae
