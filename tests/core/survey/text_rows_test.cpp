#include "core/survey/text_rows.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/survey/read_text.h"
#include "core/survey/text_file.h"
#include "tests/core/survey/survey_files.h"

#include <bit>

using namespace brae;
using namespace brae::test;

namespace {

std::optional<double> whole(const std::string& text, char mark = '.') {
    const char* at = text.data();
    const auto value = plain_number(at, text.data() + text.size(), mark);
    return value && at == text.data() + text.size() ? value : std::nullopt;
}

// A layout of three columns and a reader of other lines that knows comments and refuses the rest.
TextLayout three(char separator) {
    TextLayout layout;
    layout.separator = separator;
    layout.columns = layout.fewest = 3;
    return layout;
}
std::optional<Vec3> only_comments(std::string_view line) {
    if (is_comment(line)) return std::nullopt;
    throw Error("no row");
}

}  // namespace

TEST_CASE("a plain number has the bits that the standard library gives it, however it is written") {
    Random random(3);
    std::vector<std::string> words{"0", "-0", "+7", ".5", "5.", "9007199254740992", "9007199254740993", "0.1", "1e5", "1E-3", "4.9e-324", "1.7976931348623157e308",
                                   "12345678901234567890", "0.00000000000000000000001", "512034.12345678901", "3.14159265358979312e+00"};
    for (int k = 0; k < 20'000; ++k) {
        const double v = (random.uniform() - 0.5) * std::pow(10, random.uniform(-6, 9));
        words.push_back(fmt::format("{:.{}f}", v, static_cast<int>(random.uniform(0, 12))));
        words.push_back(fmt::format("{:.17g}", v));
        words.push_back(fmt::format("{:.18e}", v));
    }
    for (const std::string& word : words) {
        const auto expected = parse_number(word), got = whole(word);
        REQUIRE_MESSAGE(expected.has_value(), word);
        REQUIRE_MESSAGE(got.has_value(), word);
        CHECK_MESSAGE(std::bit_cast<std::uint64_t>(*got) == std::bit_cast<std::uint64_t>(*expected), word);
    }
    // What is no number to the one is none to the other.
    for (const char* word : {"", "-", "+-5", "--5", ".", "nan", "inf", "-inf", "1e999", "1e-999", "0x10", "1.2.3", "12a", "1,5"}) CHECK_MESSAGE(!whole(word), word);
    CHECK(whole("1,5", ',') == 1.5);
    CHECK(!whole("1.5", ','));
}

TEST_CASE("rows come from lines with every separator, and lines that are not plain go to the slow reader") {
    for (const char separator : {' ', ',', ';', '\t', '|'}) {
        CAPTURE(separator);
        const std::string s(1, separator);
        const std::string text = "1" + s + "2" + s + "3\r\n# a" + s + "b" + s + "c\n\n -4.5" + s + " 5 " + s + "6e1\n7" + s + "8" + s + "9";
        TextRows rows;
        read_rows(text, '\n', three(separator), only_comments, rows);
        REQUIRE(!rows.not_a_row);
        REQUIRE(rows.points.size() == 3);
        CHECK(rows.points[0] == Vec3{1, 2, 3});
        CHECK(rows.points[1] == Vec3{-4.5, 5, 60});
        CHECK(rows.points[2] == Vec3{7, 8, 9});
        CHECK(rows.lines == 5);
    }
}

TEST_CASE("the first line that is no row is handed back with how many stand before it") {
    for (const char* bad : {"1 2", "1 2 3 4", "1 2 x", "1 nan 3", "1,2,3", "1 2 3,", "\"1\" 2 3"}) {
        CAPTURE(bad);
        const std::string text = std::string("1 2 3\n4 5 6\n") + bad + "\n7 8 9\n";
        TextRows rows;
        read_rows(text, '\n', three(' '), only_comments, rows);
        REQUIRE(rows.not_a_row);
        CHECK(*rows.not_a_row == bad);
        CHECK(rows.lines == 2);
        CHECK(rows.points.size() == 2);
    }
}

TEST_CASE("a large file of many blocks gives every row in order, and its error the right line") {
    const Scratch scratch;
    std::string text = "# head\nx y z\n";
    constexpr int rows = 700'000;  // some 20 blocks
    for (int k = 0; k < rows; ++k) text += fmt::format("{}.{:03} {}.5 {}\n", k % 1000, k % 997, k / 1000, k % 7);
    write_file(scratch / "large.xyz", text);
    Progress quiet;
    const RawSurvey raw = read_text(scratch / "large.xyz", quiet);
    REQUIRE(raw.points.size() == rows);
    CHECK(raw.rows == rows);
    int wrong = 0;
    for (int k = 0; k < rows; ++k)
        wrong += !(raw.points[static_cast<std::size_t>(k)] == Vec3{(1000 * (k % 1000) + k % 997) / 1000.0, k / 1000 + 0.5, static_cast<double>(k % 7)});
    CHECK(wrong == 0);
    CHECK(raw.points[654'321].y == 654.5);
    CHECK(raw.points[654'321].z == 654'321 % 7);

    // Spoil a row near the end; comments and the header count as lines.
    const std::size_t at = text.find("\n999.", text.size() - 40'000);
    REQUIRE(at != text.npos);
    text[at + 1] = 'q';
    const auto line = 2 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
    write_file(scratch / "spoilt.xyz", text);
    CHECK(says(failure(scratch / "spoilt.xyz"), fmt::format("line {}: 'q99.", line)));
}
