#include "core/survey/gdal_support.h"

#include "core/base/error.h"

#include <algorithm>
#include <cpl_error.h>
#include <fmt/format.h>
#include <gdal_frmts.h>
#include <mutex>
#include <ogrsf_frmts.h>

namespace brae {

std::string gdal_sentence(std::string_view text) {
    // Statements stand behind the name of a call and before what went wrong with them.
    std::size_t statement = text.npos;
    for (const std::string_view verb : {"SELECT ", "INSERT ", "UPDATE ", "DELETE ", "CREATE ", "ALTER ", "DROP ", "PRAGMA ", "COMMIT",
                                        "BEGIN", "ROLLBACK", "SAVEPOINT ", "RELEASE "})
        statement = std::min(statement, text.find(verb));
    std::string_view head = text, reason;
    if (statement != text.npos) {
        constexpr std::string_view failed = "failed: ";
        head = text.substr(0, statement);
        if (const std::size_t at = text.rfind(failed); at != text.npos && at > statement) reason = text.substr(at + failed.size());
        if (head.find("sqlite3_") != head.npos) head = {};
    }
    const auto first_line = [](std::string_view part) {
        part = part.substr(0, part.find_first_of("\r\n"));
        while (!part.empty() && std::string_view(". :(").find(part.back()) != std::string_view::npos) part.remove_suffix(1);
        return std::string(part);
    };
    const std::string what = first_line(head), why = first_line(reason);
    if (what.empty() && why.empty()) return statement != text.npos ? "the database refused a statement" : "";
    return what + (what.empty() || why.empty() ? "" : ": ") + why;
}

void register_survey_drivers() {
    static std::once_flag once;
    std::call_once(once, [] {
        GDALRegister_GTiff();
        GDALRegister_AAIGrid();
        GDALRegister_GSAG();
        GDALRegister_GSBG();
        GDALRegister_GS7BG();
        GDALRegister_SAGA();
        GDALRegister_EHdr();
        RegisterOGRGeoJSON();
        RegisterOGRShape();
        RegisterOGRGeoPackage();
        RegisterOGRDXF();
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

void QuietGdal::keep(int level, int, const char* text) {
    auto* kept = static_cast<QuietGdal*>(CPLGetErrorHandlerUserData());
    if (level < CE_Warning || !kept) return;
    const std::string sentence = gdal_sentence(text ? text : "");
    if (kept->message_.empty()) kept->message_ = sentence;
    if (level < CE_Failure) return;
    kept->failed_ = true;
    if (kept->failure_.empty()) kept->failure_ = sentence;
}

QuietGdal::QuietGdal() {
    CPLPushErrorHandlerEx([](CPLErr level, CPLErrorNum number, const char* text) { keep(level, number, text); }, this);
}
QuietGdal::~QuietGdal() { CPLPopErrorHandler(); }

std::string QuietGdal::why() const {
    if (!failure_.empty()) return failure_;
    return message_.empty() ? "GDAL gave no reason" : message_;
}

}  // namespace brae
