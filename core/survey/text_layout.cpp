#include "core/survey/text_layout.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace brae {

namespace {

constexpr std::string_view kWanted = "numbers or a header such as Point,Easting,Northing,Elevation,Code";

using Role = ColumnRole;

// What a column name means; the names are those that survey controllers and spreadsheets commonly write.
Role role_of(const std::string& word) {
    const auto any = [&](std::initializer_list<std::string_view> words) {
        return std::find(words.begin(), words.end(), word) != words.end();
    };
    if (any({"easting", "eastings", "east", "e", "x", "rechtswert", "ost", "xcoord", "xcoordinate"})) return Role::x;
    if (any({"northing", "northings", "north", "n", "y", "hochwert", "nord", "ycoord", "ycoordinate"})) return Role::y;
    if (any({"elevation", "elev", "height", "z", "h", "level", "rl", "reducedlevel", "alt", "altitude", "hoehe", "h\xc3\xb6he",
             "zcoord", "zcoordinate", "orthoheight"}))
        return Role::z;
    if (any({"longitude", "lon", "long", "lng"})) return Role::lon;
    if (any({"latitude", "lat"})) return Role::lat;
    if (any({"point", "pointname", "pointno", "pointnumber", "pointid", "name", "id", "no", "nr", "number", "p", "pt", "pnt",
             "ptno", "ptid", "punkt", "station", "point#", "#"}))
        return Role::name;
    if (any({"code", "featurecode", "feature", "pointcode", "fcode"})) return Role::code;
    if (any({"description", "desc", "note", "notes", "remark", "remarks", "comment"})) return Role::description;
    return Role::none;
}

// "Elevation (ft)", "elev_m" -> name without unit, and the unit.
std::pair<std::string, std::optional<double>> split_unit(std::string_view field) {
    std::string text = lower_case(trimmed(field));
    std::optional<double> unit;
    if (const auto open = text.find_first_of("([{"); open != text.npos && open > 0) {
        std::string inside = text.substr(open + 1);
        inside.erase(std::remove_if(inside.begin(), inside.end(), [](char c) { return c == ')' || c == ']' || c == '}' || c == ' '; }),
                     inside.end());
        unit = metres_in_unit(inside);
        text.resize(open);
    } else if (const auto tail = text.find_last_of("_ "); tail != text.npos && tail > 0) {
        unit = metres_in_unit(text.substr(tail + 1));
        if (unit) text.resize(tail);
    }
    text.erase(std::remove_if(text.begin(), text.end(), [](char c) { return c == ' ' || c == '_' || c == '-' || c == '.' || c == '/'; }),
               text.end());
    return {text, unit};
}

std::size_t numeric_fields(const std::vector<std::string_view>& fields, bool comma) {
    return static_cast<std::size_t>(std::count_if(fields.begin(), fields.end(),
                                                  [&](std::string_view f) { return parse_number(f, comma).has_value(); }));
}

// Picks the separator from a line of the body: tabs, semicolons and bars are never part of numbers; a comma is the separator
// unless blanks already part the line into numbers with decimal commas.
void choose_separator(std::string_view line, TextLayout& layout) {
    std::vector<std::string_view> fields;
    for (char separator : {'\t', ';', '|'})
        if (line.find(separator) != line.npos) {
            layout.separator = separator;
            return;
        }
    if (line.find(',') == line.npos) return;
    split_fields(line, ' ', fields);
    std::size_t with_comma = 0;
    for (std::string_view f : fields)
        if (f.back() != ',' && std::count(f.begin(), f.end(), ',') == 1 && parse_number(f, true)) ++with_comma;
    if (with_comma >= 2 && numeric_fields(fields, true) >= 3) {
        layout.decimal_comma = true;
        return;
    }
    layout.separator = ',';
}

// Whether the numbers between separators have decimal commas, in quotes where a comma separates; the commoner sign decides,
// since a point number or a remark may look like either.
bool has_decimal_commas(const std::vector<std::string_view>& lines, char separator) {
    std::size_t commas = 0, points = 0;
    std::vector<std::string_view> fields;
    for (const std::string_view line : lines) {
        split_fields(line, separator, fields);
        for (const std::string_view f : fields) {
            points += f.find('.') != f.npos && parse_number(f) ? 1 : 0;
            commas += f.find(',') != f.npos && parse_number(f, true) ? 1 : 0;
        }
    }
    return commas > points;
}

// Three numbers with decimal commas that commas separate, "0,00,1,25,100,50", are six whole ones to a reader.
bool looks_like_split_decimals(const std::vector<std::vector<std::string_view>>& rows) {
    bool leading_zero = false;
    for (const auto& row : rows) {
        if (row.size() != 6) return false;
        for (std::size_t i = 0; i < 6; ++i) {
            std::string_view digits = row[i];
            if (i % 2 == 0 && !digits.empty() && digits.front() == '-') digits.remove_prefix(1);
            if (digits.empty() || digits.find_first_not_of("0123456789") != digits.npos) return false;
            // Decimals are written with as many digits in every row.
            if (i % 2 == 1 && row[i].size() != rows.front()[i].size()) return false;
            leading_zero = leading_zero || (i % 2 == 1 && digits.size() > 1 && digits.front() == '0');
        }
    }
    // Colours and counts start with no zero.
    return leading_zero;
}

bool apply_header(const std::vector<std::string_view>& fields, TextLayout& layout) {
    std::array<int, 9> column;
    column.fill(-1);
    std::array<std::optional<double>, 9> unit;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        const auto [word, metres] = split_unit(fields[i]);
        const auto role = static_cast<std::size_t>(role_of(word));
        if (role == 0 || column[role] >= 0) continue;
        column[role] = static_cast<int>(i);
        unit[role] = metres;
    }
    const auto at = [&](Role role) { return column[static_cast<std::size_t>(role)]; };
    const bool degrees = at(Role::x) < 0 && at(Role::y) < 0 && at(Role::lon) >= 0 && at(Role::lat) >= 0;
    layout.x = degrees ? at(Role::lon) : at(Role::x);
    layout.y = degrees ? at(Role::lat) : at(Role::y);
    layout.z = at(Role::z);
    if (layout.x < 0 || layout.y < 0 || layout.z < 0) return false;
    layout.lonlat = degrees;
    layout.name = at(Role::name);
    layout.code = at(Role::code);
    layout.description = at(Role::description);
    if (layout.code < 0) std::swap(layout.code, layout.description);
    if (!degrees) layout.metres_per_unit = unit[static_cast<std::size_t>(Role::x)];
    layout.metres_per_height = unit[static_cast<std::size_t>(Role::z)];
    layout.header = true;
    return true;
}

// Without a header the order decides: P,E,N,H,Code or E,N,H and more.
bool apply_order(const std::vector<std::vector<std::string_view>>& rows, bool prefer_names, TextLayout& layout) {
    const auto& row = rows.front();
    const auto number = [&](std::size_t i) { return i < row.size() && parse_number(row[i], layout.decimal_comma).has_value(); };
    const bool tail_named = number(1) && number(2) && number(3);
    if (row.size() >= 4 && tail_named && !number(0)) {
        layout.name = 0;
    } else if (number(0) && number(1) && number(2)) {
        // Point numbers are whole and all different; with a code behind four numbers there is no doubt.
        bool whole = row.size() >= 4 && tail_named && row.size() <= 6;
        std::set<std::string_view> seen;
        for (const auto& r : rows)
            whole = whole && !r.empty() && r[0].find_first_not_of("0123456789") == std::string_view::npos && seen.insert(r[0]).second;
        const bool coded = row.size() >= 5 && !number(4);
        if (whole && (prefer_names || coded || row.size() == 4)) layout.name = 0;
    } else {
        return false;
    }
    const int first = layout.name + 1;
    layout.x = first;
    layout.y = first + 1;
    layout.z = first + 2;
    // A text column behind the height is a code, the next one a description. It may be empty in the first row.
    const auto next = static_cast<std::size_t>(first) + 3;
    for (const auto& r : rows)
        if (r.size() > next && !r[next].empty() && !parse_number(r[next], layout.decimal_comma)) layout.code = static_cast<int>(next);
    if (layout.name == 0 && row.size() > next && layout.code < 0) layout.code = static_cast<int>(next);
    if (layout.code >= 0 && row.size() > next + 1) layout.description = layout.code + 1;
    return true;
}

}  // namespace

ColumnRole role_of_column(std::string_view name) { return role_of(split_unit(name).first); }

bool is_comment(std::string_view line) {
    line = trimmed(line);
    return line.empty() || line.front() == '#' || line.substr(0, 2) == "//";
}

bool split_fields(std::string_view line, char separator, std::vector<std::string_view>& fields, std::size_t limit) {
    fields.clear();
    std::size_t i = 0;
    if (separator == ' ') {
        while (i < line.size()) {
            while (i < line.size() && (line[i] == ' ' || line[i] == '\t')) ++i;
            if (i >= line.size()) break;
            if (fields.size() >= limit) return false;
            const std::size_t begin = i;
            while (i < line.size() && line[i] != ' ' && line[i] != '\t') ++i;
            fields.push_back(line.substr(begin, i - begin));
        }
        return true;
    }
    for (;;) {
        if (fields.size() >= limit) return false;
        // A quoted field may hold the separator.
        while (i < line.size() && line[i] == ' ') ++i;
        if (i < line.size() && line[i] == '"') {
            const std::size_t close = line.find('"', i + 1);
            if (close != line.npos) {
                fields.push_back(line.substr(i + 1, close - i - 1));
                i = line.find(separator, close);
                if (i == line.npos) return true;
                ++i;
                continue;
            }
        }
        const std::size_t end = line.find(separator, i);
        fields.push_back(trimmed(line.substr(i, end == line.npos ? line.npos : end - i)));
        if (end == line.npos) return true;
        i = end + 1;
    }
}

TextLayout detect_layout(std::string_view bytes, const std::string& name, bool prefer_names) {
    // The first lines that say something.
    LineReader lines(bytes);
    std::vector<std::string_view> sample;
    std::vector<std::size_t> numbers;
    for (std::string_view line; sample.size() < 40 && lines.next(line);)
        if (!is_comment(line)) {
            sample.push_back(line.substr(0, 100'000));
            numbers.push_back(lines.number());
        }
    if (sample.empty()) throw Error(fmt::format("'{}' holds no line with data; {} are wanted", name, kWanted));

    // A PTS file starts with the number of its points.
    TextLayout layout;
    std::vector<std::string_view> fields;
    split_fields(sample.front(), ' ', fields);
    if (fields.size() == 1 && sample.size() > 1 && fields[0].size() < 12 &&
        fields[0].find_first_not_of("0123456789") == std::string_view::npos) {
        layout.count = static_cast<std::size_t>(*parse_number(fields[0]));
        sample.erase(sample.begin());
        numbers.erase(numbers.begin());
    }

    choose_separator(sample.size() > 1 ? sample[1] : sample[0], layout);
    if (layout.separator != ' ') layout.decimal_comma = has_decimal_commas(sample, layout.separator);
    if (!split_fields(sample.front(), layout.separator, fields))
        throw Error(fmt::format("'{}', line {}: more than 64 columns in {}; wanted are {}", name, numbers[0],
                                quote(sample.front()), kWanted));

    // Fewer than three numbers: a header, or no survey at all.
    std::size_t first = 0;
    if (TextLayout alone; sample.size() == 1 && numeric_fields(fields, layout.decimal_comma) < 3 && apply_header(fields, alone))
        throw Error(fmt::format("'{}' holds the header {} and no points; a line for each point is wanted", name, quote(sample.front())));
    if (numeric_fields(fields, layout.decimal_comma) < 3 && sample.size() > 1) {
        if (!apply_header(fields, layout)) {
            // It may be one under another sign than that of its rows.
            for (const auto& [sign, word] : {std::pair{',', "commas"}, {';', "semicolons"}, {'\t', "tabs"}, {'|', "bars"}, {' ', "blanks"}}) {
                TextLayout own;
                own.separator = sign;
                if (sign == layout.separator || !split_fields(sample.front(), sign, fields)) continue;
                if (apply_header(fields, own) || numeric_fields(fields, false) >= 3)
                    throw Error(fmt::format("'{}', line {}: {} has {} between its columns and the lines behind it have another sign; the same in every "
                                            "line is wanted", name, numbers[0], quote(sample.front()), word));
            }
            // Most of a header is one that lacks a column.
            split_fields(sample.front(), layout.separator, fields);
            TextLayout found;
            apply_header(fields, found);
            if ((found.x >= 0) + (found.y >= 0) + (found.z >= 0) == 2)
                throw Error(fmt::format("'{}', line {}: {} names no column of {}; one such as {} is wanted", name, numbers[0], quote(sample.front()),
                                        found.z < 0 ? "heights" : found.x < 0 ? "eastings" : "northings", found.z < 0 ? "Elevation" : found.x < 0 ? "Easting" : "Northing"));
            throw Error(fmt::format("'{}', line {}: {} where {} are wanted", name, numbers[0], quote(sample.front()), kWanted));
        }
        first = 1;
    }
    std::vector<std::vector<std::string_view>> rows;
    for (std::size_t i = first; i < sample.size(); ++i) {
        split_fields(sample[i], layout.separator, fields);
        rows.push_back(fields);
    }
    if (layout.separator == ',' && looks_like_split_decimals(rows))
        throw Error(fmt::format("'{}', line {}: {} may be six whole numbers or three with decimal commas; wanted are decimal points, "
                                "semicolons between the numbers, or quotes round each", name, numbers[first], quote(sample[first])));
    layout.columns = rows.front().size();
    if (layout.header) {
        split_fields(sample.front(), layout.separator, fields);
        layout.columns = fields.size();
    } else if (!apply_order(rows, prefer_names, layout)) {
        throw Error(fmt::format("'{}', line {}: {} where {} are wanted", name, numbers[first], quote(sample[first]), kWanted));
    }
    const int last_text = std::max(layout.code, layout.description);
    const int last_number = std::max({layout.x, layout.y, layout.z});
    const bool text_ends = last_text > last_number && static_cast<std::size_t>(last_text) + 1 == layout.columns;
    layout.open_end = text_ends && (layout.separator == ' ' || (layout.header && layout.description == last_text));
    // Where blanks separate, an empty code leaves no trace.
    layout.fewest = layout.open_end && layout.separator == ' ' ? static_cast<std::size_t>(std::max(last_number, layout.name)) + 1
                                                               : layout.columns;
    return layout;
}

std::vector<std::string> fields_of(std::string_view line, char separator) {
    std::vector<std::string> out(1);
    bool quoted = false;
    for (std::size_t k = 0; k < line.size(); ++k) {
        const char c = line[k];
        if (c == '"') {
            if (quoted && k + 1 < line.size() && line[k + 1] == '"') out.back() += line[++k];
            else quoted = !quoted;
        } else if (c == separator && !quoted) {
            out.emplace_back();
        } else {
            out.back() += c;
        }
    }
    for (std::string& f : out) f = std::string(trimmed(f));
    return out;
}

std::string field_of(std::string_view text) {
    if (text.empty()) return {};
    const bool formula = std::string_view("=+-@").find(text.front()) != std::string_view::npos;
    if (!formula && text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
    std::string out = formula ? "\"'" : "\"";
    for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c == '\n' || c == '\r' ? ' ' : c);
    return out + "\"";
}

}  // namespace brae
