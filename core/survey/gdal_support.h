// The few GDAL drivers that surveys may come through, and GDAL's error text kept off the terminal.
#pragma once

#include <filesystem>
#include <string>

namespace brae {

// Registers GeoTIFF, ESRI ASCII, GeoJSON, Shapefile and GeoPackage once; no other driver is ever asked.
void register_survey_drivers();

// Throws Error where the path is missing, a folder, empty, or names a virtual file system (/vsi...), which could reach
// into archives or the network.
void require_plain_file(const std::filesystem::path& path);

// While one lives, GDAL and PROJ messages of this thread are kept instead of printed.
class QuietGdal {
public:
    QuietGdal();
    ~QuietGdal();
    QuietGdal(const QuietGdal&) = delete;
    QuietGdal& operator=(const QuietGdal&) = delete;
    // The first message since construction, without a full stop; "" where there was none.
    const std::string& message() const { return message_; }

private:
    std::string message_;
};

}  // namespace brae
