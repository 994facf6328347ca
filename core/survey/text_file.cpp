#include "core/survey/text_file.h"

#include "core/base/constants.h"
#include "core/base/error.h"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstdint>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

namespace brae {

MappedFile::MappedFile(const std::filesystem::path& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) throw Error(fmt::format("'{}' cannot be opened: {}", path.string(), std::strerror(errno)));
    struct stat status {};
    if (::fstat(file, &status) != 0 || status.st_size < 0) {
        ::close(file);
        throw Error(fmt::format("'{}' cannot be read: {}", path.string(), std::strerror(errno)));
    }
    size_ = static_cast<std::size_t>(status.st_size);
    if (size_ > 0) {
        void* address = ::mmap(nullptr, size_, PROT_READ, MAP_PRIVATE, file, 0);
        const int problem = errno;
        ::close(file);
        if (address == MAP_FAILED)
            throw Error(fmt::format("'{}' cannot be read: {}", path.string(), std::strerror(problem)));
        ::madvise(address, size_, MADV_SEQUENTIAL);
        data_ = static_cast<const char*>(address);
    } else {
        ::close(file);
    }
}

MappedFile::~MappedFile() {
    if (data_) ::munmap(const_cast<char*>(data_), size_);
}

void MappedFile::done_with(std::size_t at) const {
    // A few megabytes at a time, whole pages.
    constexpr std::size_t page = 65536, least = 1 << 22;
    const std::size_t end = std::min(at, size_) / page * page;
    // Behind what was given back: the file is read once more.
    if (end < released_) released_ = 0;
    if (end < released_ + least) return;
    ::madvise(const_cast<char*>(data_) + released_, end - released_, MADV_DONTNEED);
    released_ = end;
}

LineReader::LineReader(std::string_view bytes) : bytes_(bytes) {
    if (bytes_.substr(0, 3) == "\xef\xbb\xbf") at_ = 3;
    // Old files end lines in CR alone.
    const std::string_view start = bytes_.substr(0, 65536);
    bare_cr_ = start.find('\n') == start.npos && start.find('\r') != start.npos;
}

bool LineReader::next(std::string_view& line) {
    if (at_ >= bytes_.size()) return false;
    const char* begin = bytes_.data() + at_;
    const std::size_t left = bytes_.size() - at_;
    const void* end = std::memchr(begin, bare_cr_ ? '\r' : '\n', left);
    const std::size_t length = end ? static_cast<std::size_t>(static_cast<const char*>(end) - begin) : left;
    at_ += length + (end ? 1 : 0);
    line = {begin, length};
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    ++number_;
    return true;
}

bool is_utf8(std::string_view bytes) {
    const auto* p = reinterpret_cast<const unsigned char*>(bytes.data());
    const auto* end = p + bytes.size();
    while (p < end) {
        // Eight bytes of ASCII at a time.
        std::uint64_t eight = 0;
        if (end - p >= 8 && (std::memcpy(&eight, p, 8), (eight & 0x8080808080808080ULL) == 0)) {
            p += 8;
            continue;
        }
        const unsigned char lead = *p++;
        if (lead < 0x80) continue;
        const int more = lead >= 0xc2 && lead <= 0xdf ? 1 : lead >= 0xe0 && lead <= 0xef ? 2 : lead >= 0xf0 && lead <= 0xf4 ? 3 : 0;
        if (more == 0 || end - p < more) return false;
        // The first byte behind the lead rules out overlong forms, surrogates and what lies above U+10FFFF.
        const unsigned char low = lead == 0xe0 ? 0xa0 : lead == 0xf0 ? 0x90 : 0x80, high = lead == 0xed ? 0x9f : lead == 0xf4 ? 0x8f : 0xbf;
        if (*p < low || *p > high) return false;
        for (int k = 1; k < more; ++k)
            if ((p[k] & 0xc0) != 0x80) return false;
        p += more;
    }
    return true;
}

std::string utf8_from_latin1(std::string_view bytes) {
    std::string out;
    out.reserve(bytes.size() + bytes.size() / 8);
    for (const char c : bytes) {
        const auto b = static_cast<unsigned char>(c);
        if (b < 0x80) out += c;
        else if (b < 0xa0) out += "\xef\xbf\xbd";
        else out += static_cast<char>(0xc0 | (b >> 6)), out += static_cast<char>(0x80 | (b & 0x3f));
    }
    return out;
}

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    return text;
}

std::string lower_case(std::string_view text) {
    std::string result(text);
    for (char& c : result)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return result;
}

std::optional<double> metres_in_unit(std::string_view name) {
    const std::string word = lower_case(name);
    const auto any = [&](std::initializer_list<std::string_view> words) {
        return std::find(words.begin(), words.end(), word) != words.end();
    };
    if (any({"m", "metre", "metres", "meter", "meters"})) return 1.0;
    if (any({"ft", "foot", "feet", "international foot"})) return kFoot;
    if (any({"us-ft", "usft", "ftus", "sft", "foot_us", "us survey foot", "ussurveyfoot"})) return kUsSurveyFoot;
    return std::nullopt;
}

std::optional<double> parse_number(std::string_view text, bool decimal_comma) {
    if (text.size() > 1 && text.front() == '+' && text[1] != '-' && text[1] != '+') text.remove_prefix(1);
    char copy[64];
    if (decimal_comma) {
        // A point beside a decimal comma would be a thousands sign: not a number to us.
        if (text.size() > sizeof copy || text.find('.') != text.npos) return std::nullopt;
        std::replace_copy(text.begin(), text.end(), copy, ',', '.');
        text = {copy, text.size()};
    }
    double value = 0;
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (failed != std::errc() || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::string quote(std::string_view text) {
    const bool cut = text.size() > 40;
    std::string shown(text.substr(0, cut ? 37 : text.size()));
    // Do not cut inside a UTF-8 character.
    if (cut)
        while (!shown.empty() && (static_cast<unsigned char>(text[shown.size()]) & 0xc0) == 0x80) shown.pop_back();
    for (char& c : shown)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
    return "'" + shown + (cut ? "...'" : "'");
}

}  // namespace brae
