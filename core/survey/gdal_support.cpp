#include "core/survey/gdal_support.h"

#include "core/base/error.h"

#include <cpl_error.h>
#include <fmt/format.h>
#include <gdal_frmts.h>
#include <mutex>
#include <ogrsf_frmts.h>

namespace brae {

namespace {

void CPL_STDCALL keep_message(CPLErr level, CPLErrorNum, const char* text) {
    auto* kept = static_cast<std::string*>(CPLGetErrorHandlerUserData());
    if (level < CE_Warning || !kept || !kept->empty() || !text) return;
    *kept = text;
    while (!kept->empty() && (kept->back() == '.' || kept->back() == '\n')) kept->pop_back();
}

}  // namespace

void register_survey_drivers() {
    static std::once_flag once;
    std::call_once(once, [] {
        GDALRegister_GTiff();
        GDALRegister_AAIGrid();
        RegisterOGRGeoJSON();
        RegisterOGRShape();
        RegisterOGRGeoPackage();
    });
}

void require_plain_file(const std::filesystem::path& path) {
    const std::string name = path.string();
    if (name.rfind("/vsi", 0) == 0 || name.rfind("\\vsi", 0) == 0)
        throw Error(fmt::format("'{}' names a virtual file system; a plain file on this machine is wanted", name));
    std::error_code failed;
    const auto status = std::filesystem::status(path, failed);
    if (status.type() == std::filesystem::file_type::not_found || failed)
        throw Error(fmt::format("'{}' does not exist or cannot be reached; a survey file is wanted", name));
    if (std::filesystem::is_directory(status))
        throw Error(fmt::format("'{}' is a folder; a file is wanted", name));
    if (!std::filesystem::is_regular_file(status))
        throw Error(fmt::format("'{}' is not a plain file; a file on disk is wanted", name));
    if (std::filesystem::file_size(path, failed) == 0 && !failed)
        throw Error(fmt::format("'{}' is empty (0 bytes); a file with points is wanted", name));
}

QuietGdal::QuietGdal() { CPLPushErrorHandlerEx(keep_message, &message_); }
QuietGdal::~QuietGdal() { CPLPopErrorHandler(); }

}  // namespace brae
