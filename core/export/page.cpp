#include "core/export/page.h"

#include "core/base/error.h"

#include <algorithm>
#include <cairo-pdf.h>
#include <fmt/format.h>

namespace brae {
namespace {

constexpr double kMargin = 15 * kPointsPerMm;
constexpr double kHeadHeight = 54, kFootHeight = 20;
constexpr double kHeadingHeight = 25;
constexpr const char* kFamily = "Inter";

cairo_status_t take(void* bytes, const unsigned char* data, unsigned int size) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), size);
    return CAIRO_STATUS_SUCCESS;
}

// Length of the well-formed UTF-8 sequence at i, or 0.
std::size_t sequence_at(const std::string& s, std::size_t i) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(s[k]); };
    const unsigned char c = byte(i);
    const std::size_t n = c < 0x80 ? 1 : c >= 0xc2 && c < 0xe0 ? 2 : c >= 0xe0 && c < 0xf0 ? 3
                          : c >= 0xf0 && c < 0xf5 ? 4 : 0;
    if (n == 0 || i + n > s.size()) return 0;
    for (std::size_t k = 1; k < n; ++k)
        if ((byte(i + k) & 0xc0) != 0x80) return 0;
    // Overlong forms, surrogates and what lies beyond Unicode.
    if (n == 3 && ((c == 0xe0 && byte(i + 1) < 0xa0) || (c == 0xed && byte(i + 1) > 0x9f))) return 0;
    if (n == 4 && ((c == 0xf0 && byte(i + 1) < 0x90) || (c == 0xf4 && byte(i + 1) > 0x8f))) return 0;
    return n;
}

std::string clean(const std::string& s) {
    std::string out;
    for (std::size_t i = 0; i < s.size();) {
        const std::size_t n = sequence_at(s, i);
        if (n == 0) out += '?';
        else if (n == 1 && static_cast<unsigned char>(s[i]) < 0x20) out += ' ';
        else out += s.substr(i, n);
        i += std::max<std::size_t>(n, 1);
    }
    return out;
}

void choose_font(cairo_t* cr, const TextStyle& style) {
    cairo_select_font_face(cr, kFamily, CAIRO_FONT_SLANT_NORMAL,
                           style.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cr, style.size);
}

// The glyphs of one line from (0, 0), and how far they reach.
struct Glyphs {
    std::vector<cairo_glyph_t> glyphs;
    std::vector<cairo_text_cluster_t> clusters;
    cairo_text_cluster_flags_t flags{};
    std::string text;
    double width = 0;
};
Glyphs shape(cairo_t* cr, const TextStyle& style, const std::string& raw) {
    choose_font(cr, style);
    cairo_scaled_font_t* font = cairo_get_scaled_font(cr);
    Glyphs out;
    out.text = clean(raw);
    cairo_glyph_t* glyphs = nullptr;
    cairo_text_cluster_t* clusters = nullptr;
    int n = 0, m = 0;
    if (cairo_scaled_font_text_to_glyphs(font, 0, 0, out.text.c_str(), static_cast<int>(out.text.size()), &glyphs, &n,
                                         &clusters, &m, &out.flags) != CAIRO_STATUS_SUCCESS)
        throw Error("text cannot be set: no usable font was found; install fonts-inter or fonts-dejavu-core");
    out.glyphs.assign(glyphs, glyphs + n);
    out.clusters.assign(clusters, clusters + m);
    cairo_glyph_free(glyphs);
    cairo_text_cluster_free(clusters);

    // Where the pen stands after the last glyph.
    cairo_text_extents_t extents;
    cairo_scaled_font_glyph_extents(font, out.glyphs.data(), n, &extents);
    out.width = extents.x_advance;
    return out;
}

double shift(double width, Align align) { return align == Align::left ? 0 : align == Align::right ? -width : -width / 2; }

}  // namespace

PageBox page_box(Paper paper) {
    // ISO 216 A4, and ANSI A (letter).
    const double width = paper == Paper::a4 ? 210 * kPointsPerMm : 8.5 * 72;
    const double height = paper == Paper::a4 ? 297 * kPointsPerMm : 11 * 72;
    return {kMargin, kMargin + kHeadHeight, width - kMargin, height - kMargin - kFootHeight};
}

Document::Document(Paper paper, PageFrame frame, int total_pages)
    : frame_(std::move(frame)), total_(total_pages), box_(page_box(paper)), bytes_(std::make_unique<std::string>()) {
    surface_ = cairo_pdf_surface_create_for_stream(&take, bytes_.get(), box_.right + kMargin,
                                                   box_.bottom + kFootHeight + kMargin);
    cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_TITLE,
                                   clean(frame_.title + ", " + frame_.subtitle).c_str());
    // Not the clock's: equal sheets are equal files.
    cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    cairo_ = cairo_create(surface_);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cairo_, options);
    cairo_font_options_destroy(options);
    new_page();
}

Document::~Document() {
    if (cairo_ != nullptr) cairo_destroy(cairo_);
    if (surface_ != nullptr) cairo_surface_destroy(surface_);
}

void Document::new_page() {
    if (pages_ > 0) cairo_show_page(cairo_);
    ++pages_;
    furniture();
    y = top();
}

void Document::reserve(double height) {
    if (room() < height && y > top()) new_page();
}

void Document::furniture() {
    // The head: what and where at the left, when and how at the right, a rule below.
    const TextStyle title{16, true, 0}, name{10.5, false, 0}, fact{8.5, false, 0};
    const double facts_width = width() * 0.36;
    text(title, left(), kMargin + 13, frame_.title);
    text(name, left(), kMargin + 30, fitted(name, frame_.subtitle, width() - facts_width - 12));
    double baseline = kMargin + 8;
    for (const std::string& f : frame_.facts) {
        text(fact, right(), baseline, fitted(fact, f, facts_width), Align::right);
        baseline += 11;
    }
    if (pages_ == 1) text(fact, right(), baseline, fitted(fact, frame_.fact_of_first_page, facts_width), Align::right);
    line(left(), kMargin + 40, right(), kMargin + 40, 0.8);

    // The foot: where the numbers come from, and which page this is.
    const double foot = bottom() + kFootHeight;
    line(left(), foot - 11, right(), foot - 11, 0.3, 0.3);
    const std::string page = total_ > 0 ? fmt::format("Page {} of {}", pages_, total_) : fmt::format("Page {}", pages_);
    text(kSmall, right(), foot, page, Align::right);
    const double page_width = text_width(kSmall, "Page 88 of 88") + 14;
    const double foot_right = text_width(kSmall, frame_.foot_right);
    text(kSmall, right() - page_width, foot, frame_.foot_right, Align::right);
    text(kSmall, left(), foot, fitted(kSmall, frame_.foot_left, width() - page_width - foot_right - 14));
}

double Document::text_width(const TextStyle& style, const std::string& text) const {
    return text.empty() ? 0 : shape(cairo_, style, text).width;
}

void Document::text(const TextStyle& style, double x, double baseline, const std::string& text, Align align) const {
    if (text.empty()) return;
    Glyphs g = shape(cairo_, style, text);
    const double dx = x + shift(g.width, align);
    for (auto& glyph : g.glyphs) glyph.x += dx, glyph.y += baseline;
    cairo_set_source_rgb(cairo_, style.grey, style.grey, style.grey);
    cairo_show_text_glyphs(cairo_, g.text.c_str(), static_cast<int>(g.text.size()), g.glyphs.data(),
                           static_cast<int>(g.glyphs.size()), g.clusters.data(), static_cast<int>(g.clusters.size()),
                           g.flags);
    cairo_new_path(cairo_);
}

void Document::text_on_white(const TextStyle& style, double x, double baseline, const std::string& what,
                             Align align) const {
    if (what.empty()) return;
    Glyphs g = shape(cairo_, style, what);
    const double dx = x + shift(g.width, align);
    for (auto& glyph : g.glyphs) glyph.x += dx, glyph.y += baseline;
    cairo_new_path(cairo_);
    cairo_glyph_path(cairo_, g.glyphs.data(), static_cast<int>(g.glyphs.size()));
    cairo_set_source_rgb(cairo_, 1, 1, 1);
    cairo_set_line_width(cairo_, 2.4);
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cairo_);
    text(style, x, baseline, what, align);
}

std::string Document::fitted(const TextStyle& style, const std::string& raw, double room_width) const {
    const std::string text = clean(raw);
    if (text_width(style, text) <= room_width) return text;
    // Take whole characters off the end.
    std::string cut = text;
    while (!cut.empty()) {
        do cut.pop_back();
        while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xc0) == 0x80);
        // A lead byte without its tail goes too.
        if (!cut.empty() && static_cast<unsigned char>(cut.back()) >= 0xc0) cut.pop_back();
        if (text_width(style, cut + "…") <= room_width) return cut + "…";
    }
    return text_width(style, "…") <= room_width ? "…" : "";
}

std::vector<std::string> Document::wrapped(const TextStyle& style, const std::string& text, double room_width,
                                           std::size_t most) const {
    std::vector<std::string> lines;
    std::size_t begin = 0;
    while (begin <= text.size()) {
        // One given line after another, word by word.
        const std::size_t end = std::min(text.find('\n', begin), text.size());
        std::string current;
        std::size_t at = begin;
        while (at < end) {
            const std::size_t space = std::min(text.find(' ', at), end);
            const std::string word = text.substr(at, space - at);
            const std::string longer = current.empty() ? word : current + " " + word;
            if (current.empty() || text_width(style, longer) <= room_width) {
                current = longer;
            } else {
                lines.push_back(fitted(style, current, room_width));
                current = word;
            }
            at = space + 1;
        }
        lines.push_back(fitted(style, current, room_width));
        begin = end + 1;
    }
    if (lines.size() > most) {
        lines.resize(most);
        lines.back() = fitted(style, lines.back() + " …", room_width);
    }
    return lines;
}

void Document::heading(const std::string& what, double keep) {
    reserve(keep + kHeadingHeight);
    if (y > top()) y += 9;
    text(kHeading, left(), y + 9, what);
    y += kHeadingHeight - 9;
}

void Document::paragraph(const std::string& what) {
    // A short one is not parted by the end of a page.
    const std::vector<std::string> lines = wrapped(kBody, what, width());
    if (lines.size() <= 4) reserve(11.5 * static_cast<double>(lines.size()));
    for (const std::string& l : lines) {
        reserve(11.5);
        text(kBody, left(), y + 8.5, l);
        y += 11.5;
    }
    y += 3;
}

void Document::table(const std::string& title, const std::vector<TableColumn>& columns,
                     const std::vector<std::vector<std::string>>& rows) {
    const double leading = 10.8, pad = 3.2, gap = 8, title_leading = 9;
    const TextStyle head{7.5, true, 0.25};
    double sum = 0;
    for (const TableColumn& c : columns) sum += c.width;
    const double stretch = width() / sum;

    // The titles of the columns, and how high they stand.
    std::vector<std::vector<std::string>> titles;
    std::size_t most_titles = 1;
    for (const TableColumn& c : columns) {
        titles.push_back(wrapped(head, c.title, c.width * stretch - gap, 2));
        most_titles = std::max(most_titles, titles.back().size());
    }
    const double head_height = title_leading * static_cast<double>(most_titles) + 4;

    // Every row's cells and height; rows that belong together make one group, which no page break parts.
    struct Row { std::vector<std::vector<std::string>> cells; double height = 0; bool goes_on = false; };
    std::vector<Row> laid;
    std::vector<double> group_height;   // at the first row of each group, 0 at the others
    std::size_t first = 0;
    double whole = head_height;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        Row out;
        std::size_t most = 1;
        const std::size_t used = std::min(rows[r].size(), columns.size());
        for (std::size_t k = 0; k < used; ++k) {
            double cell = columns[k].width;
            for (std::size_t rest = used; k + 1 == used && rest < columns.size(); ++rest) cell += columns[rest].width;
            out.cells.push_back(wrapped({kBody.size, columns[k].bold, 0}, rows[r][k], cell * stretch - gap, 6));
            most = std::max(most, out.cells.back().size());
        }
        out.goes_on = r + 1 < rows.size() && !rows[r + 1].empty() && rows[r + 1][0].empty();
        out.height = leading * static_cast<double>(most) + (out.goes_on ? 1 : 2) * pad;
        group_height.push_back(0);
        group_height[first] += out.height;
        whole += out.height;
        if (!out.goes_on) first = r + 1;
        laid.push_back(std::move(out));
    }
    if (laid.empty()) return;

    // A table that fits on a page of its own is not parted for the sake of less than half a page; its title stays with it.
    const double under_title = title.empty() ? 0 : kHeadingHeight;
    if (whole + under_title > room() && whole + under_title <= bottom() - top() && room() < 0.5 * (bottom() - top()))
        reserve(whole + under_title);
    if (!title.empty()) heading(title, head_height + group_height[0]);
    else reserve(head_height + group_height[0]);

    // The head of the table, here and on each page that it goes on to.
    const auto draw_head = [&] {
        double x = left();
        for (std::size_t k = 0; k < columns.size(); ++k) {
            double baseline = y + 8 + title_leading * static_cast<double>(most_titles - titles[k].size());
            for (const std::string& t : titles[k]) text(head, x, baseline, t), baseline += title_leading;
            x += columns[k].width * stretch;
        }
        y += head_height;
        line(left(), y, right(), y, 0.6);
    };
    draw_head();
    for (std::size_t r = 0; r < laid.size(); ++r) {
        if (room() < group_height[r]) new_page(), draw_head();
        double x = left();
        for (std::size_t k = 0; k < laid[r].cells.size(); ++k) {
            double baseline = y + pad + 8;
            for (const std::string& l : laid[r].cells[k])
                text({kBody.size, columns[k].bold, 0}, x, baseline, l), baseline += leading;
            x += columns[k].width * stretch;
        }
        y += laid[r].height;
        // No rule between rows that belong together.
        if (!laid[r].goes_on) line(left(), y, right(), y, 0.25, 0.4);
    }
    y += 6;
}

namespace {
constexpr double kBoxPad = 8, kBoxLeading = 11.2, kBoxIndent = 14, kBoxGutter = 16, kBoxTitle = 14;
}

// Two columns of as nearly equal height as whole sentences allow.
Document::BoxLayout Document::lay_box(const std::vector<std::string>& sentences) const {
    BoxLayout box;
    box.column = (width() - 2 * kBoxPad - kBoxGutter) / 2;
    double whole = 0;
    std::vector<double> heights;
    for (const std::string& s : sentences) {
        box.lines.push_back(wrapped(kBody, s, box.column - kBoxIndent));
        heights.push_back(1.5 + kBoxLeading * static_cast<double>(box.lines.back().size()));
        whole += heights.back();
    }
    double left = 0;
    box.first_right = sentences.size();
    double tallest = whole;
    for (std::size_t k = 0; k < heights.size(); ++k) {
        left += heights[k];
        if (std::max(left, whole - left) < tallest) tallest = std::max(left, whole - left), box.first_right = k + 1;
    }
    box.height = tallest + 2 * kBoxPad + kBoxTitle;
    return box;
}

double Document::numbered_box_height(const std::vector<std::string>& sentences) const { return lay_box(sentences).height; }

void Document::numbered_box(const std::string& title, const std::vector<std::string>& sentences) {
    const BoxLayout box = lay_box(sentences);
    if (y > top()) y += 8;
    reserve(box.height);
    cairo_rectangle(cairo_, left(), y, width(), box.height);
    cairo_set_source_rgb(cairo_, 0, 0, 0);
    cairo_set_line_width(cairo_, 0.8);
    cairo_stroke(cairo_);
    text(kHeading, left() + kBoxPad, y + kBoxPad + 8, title);
    const double first = y + kBoxPad + 8 + kBoxTitle + 1;
    double x = left() + kBoxPad, baseline = first;
    for (std::size_t k = 0; k < box.lines.size(); ++k) {
        if (k == box.first_right) x += box.column + kBoxGutter, baseline = first;
        text(kBody, x, baseline, fmt::format("{}", k + 1));
        for (const std::string& l : box.lines[k]) text(kBody, x + kBoxIndent, baseline, l), baseline += kBoxLeading;
        baseline += 1.5;
    }
    y += box.height + 4;
}

void Document::line(double x0, double y0, double x1, double y1, double thickness, double grey) const {
    cairo_new_path(cairo_);
    cairo_move_to(cairo_, x0, y0);
    cairo_line_to(cairo_, x1, y1);
    cairo_set_source_rgb(cairo_, grey, grey, grey);
    cairo_set_line_width(cairo_, thickness);
    cairo_stroke(cairo_);
}

void Document::cutting_line(double x0, double y0, double width, double height) const {
    cairo_save(cairo_);
    const double dash[] = {3, 3};
    cairo_set_dash(cairo_, dash, 2, 0);
    cairo_set_line_width(cairo_, 0.4);
    cairo_set_source_rgb(cairo_, 0.4, 0.4, 0.4);
    cairo_rectangle(cairo_, x0, y0, width, height);
    cairo_stroke(cairo_);
    cairo_restore(cairo_);
}

std::string Document::finish() {
    cairo_show_page(cairo_);
    cairo_status_t state = cairo_status(cairo_);
    cairo_surface_finish(surface_);
    if (state == CAIRO_STATUS_SUCCESS) state = cairo_surface_status(surface_);
    if (state != CAIRO_STATUS_SUCCESS)
        throw Error(fmt::format("the sheet could not be drawn: {}", cairo_status_to_string(state)));
    return std::move(*bytes_);
}

}  // namespace brae
