// Text surveys read without copying: a mapped file, its lines, strict numbers, and quotes for error sentences.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace brae {

// Read-only view of a whole file. Throws Error where the file cannot be opened.
class MappedFile {
public:
    explicit MappedFile(const std::filesystem::path& path);
    ~MappedFile();
    MappedFile(const MappedFile&) = delete;
    MappedFile& operator=(const MappedFile&) = delete;
    std::string_view bytes() const { return {data_, size_}; }
    // Gives the memory of the pages before `at` back; they can still be read.
    void done_with(std::size_t at) const;

private:
    const char* data_ = nullptr;
    std::size_t size_ = 0;
    mutable std::size_t released_ = 0;
};

// Walks lines that end in LF, CR LF or CR; a byte order mark at the start is skipped. Line numbers count from 1.
class LineReader {
public:
    explicit LineReader(std::string_view bytes);
    bool next(std::string_view& line);
    std::size_t number() const { return number_; }
    std::size_t offset() const { return at_; }  // of the next line
    char line_end() const { return bare_cr_ ? '\r' : '\n'; }

private:
    std::string_view bytes_;
    std::size_t at_ = 0, number_ = 0;
    bool bare_cr_ = false;
};

// Whether the bytes are UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF).
bool is_utf8(std::string_view bytes);
// Bytes of ISO 8859-1 as UTF-8; those that are no letters there (0x80 to 0x9f) become U+FFFD.
std::string utf8_from_latin1(std::string_view bytes);

std::string_view trimmed(std::string_view text);
// Lower-case ASCII; other bytes stay.
std::string lower_case(std::string_view text);

// Metres in a unit of length that a file or an option names ("m", "Feet", "us-ft", ...); empty for another word.
std::optional<double> metres_in_unit(std::string_view name);

// The whole of `text` as a number: no rest, no locale, an optional sign, a point (or a comma where said so). "nan" and
// "inf" come back as such, so that a caller can name them.
std::optional<double> parse_number(std::string_view text, bool decimal_comma = false);

// Text for an error sentence: in quotes, at most 40 bytes, control bytes replaced.
std::string quote(std::string_view text);

}  // namespace brae
