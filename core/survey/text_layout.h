// How a text survey is laid out: separator, decimal sign, and which column holds what.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace brae {

// What a column holds, by the names that survey controllers and spreadsheets commonly write (case, blanks and signs ignored).
enum class ColumnRole { none, x, y, z, lon, lat, name, code, description };
ColumnRole role_of_column(std::string_view name);

struct TextLayout {
    char separator = ' ';        // ',' ';' '\t' '|', or ' ' for any run of blanks
    bool decimal_comma = false;
    std::size_t columns = 0;     // fields of a row
    int x = 0, y = 1, z = 2;     // columns; easting first
    int name = -1, code = -1, description = -1;
    bool header = false;         // the first line that is no comment names the columns
    std::optional<std::size_t> count;  // PTS: the first line says how many points follow
    bool lonlat = false;         // the header says longitude and latitude
    std::optional<double> metres_per_unit, metres_per_height;  // from units in the header
    // The last column is a code or description that may hold the separator itself: any text column where blanks part
    // the fields, a description named by the header elsewhere.
    bool open_end = false;
    std::size_t fewest = 0;  // fields that a row must have
};

// Lines that carry nothing: blank, or starting with '#' or '//'.
bool is_comment(std::string_view line);

// Splits into at most `limit` fields, trimmed, quotes taken off; returns false where there are more.
bool split_fields(std::string_view line, char separator, std::vector<std::string_view>& fields, std::size_t limit = 64);

// All fields of a row with a header of its own, empty ones too, trimmed. Quotes as in RFC 4180, section 2: they may hold the
// separator, two stand for one; a quote that is not closed ends with the line.
std::vector<std::string> fields_of(std::string_view line, char separator);
// A field to write between commas: in quotes where it would break the line, and with an apostrophe before it where a
// spreadsheet would take it for a formula. Line breaks become blanks, so that fields_of reads it back.
std::string field_of(std::string_view text);

// Looks at the first lines. `name` starts error sentences; `prefer_names`: a file of that kind (CSV) starts rows with a
// point number where four or five columns leave it open. Throws Error where no easting, northing and height are found.
TextLayout detect_layout(std::string_view bytes, const std::string& name, bool prefer_names);

}  // namespace brae
