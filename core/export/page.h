// Paper, type and tables of the printed sheets: a PDF built in memory through Cairo. Lengths in points (1/72 in).
#pragma once

#include "core/export/sheets.h"

#include <memory>
#include <string>
#include <vector>

typedef struct _cairo cairo_t;
typedef struct _cairo_surface cairo_surface_t;

namespace brae {

inline constexpr double kPointsPerMm = 72.0 / 25.4;

// A size in points, a weight, and how black.
struct TextStyle {
    double size = 8.5;
    bool bold = false;
    double grey = 0;      // 0 black, 1 white
};
inline constexpr TextStyle kBody{8.5, false, 0};
inline constexpr TextStyle kSmall{7.5, false, 0.25};
inline constexpr TextStyle kHeading{10, true, 0};

enum class Align { left, centre, right };

struct TableColumn { std::string title; double width = 0; bool bold = false; };

// The part of the paper that blocks are put on: inside the margins, below the head, above the foot.
struct PageBox { double left = 0, top = 0, right = 0, bottom = 0; };
PageBox page_box(Paper paper);

// The running head and foot of every page.
struct PageFrame {
    std::string title;                    // "Practice stations"
    std::string subtitle;                 // the green's name
    std::vector<std::string> facts;       // two short lines at the right
    std::string foot_left, foot_right;
    std::string fact_of_first_page{};     // below them on the first page only, such as the scale of its plan
};

// Draws from top to bottom and begins pages as they fill. The same drawing run twice gives the page count first.
class Document {
public:
    // total_pages = 0 on the counting run.
    Document(Paper paper, PageFrame frame, int total_pages);
    ~Document();
    Document(const Document&) = delete;
    Document& operator=(const Document&) = delete;

    cairo_t* cairo() const { return cairo_; }
    int pages() const { return pages_; }
    // The page inside the margins, below the head and above the foot.
    double left() const { return box_.left; }
    double right() const { return box_.right; }
    double top() const { return box_.top; }
    double bottom() const { return box_.bottom; }
    double width() const { return right() - left(); }

    double y = 0;                         // where the next block begins
    double room() const { return bottom() - y; }
    void new_page();
    void reserve(double height);          // begins a page where the rest of this one is too short

    // Text. Broken UTF-8 and control characters are replaced, so nothing a file holds can stop a sheet.
    double text_width(const TextStyle& style, const std::string& text) const;
    void text(const TextStyle& style, double x, double baseline, const std::string& text,
              Align align = Align::left) const;
    // The same on a white edge, for labels over lines.
    void text_on_white(const TextStyle& style, double x, double baseline, const std::string& text,
                       Align align = Align::left) const;
    // Cut with an ellipsis where it is wider than `width`.
    std::string fitted(const TextStyle& style, const std::string& text, double width) const;
    // Lines of at most `width`; what does not fit into `most` lines ends in an ellipsis.
    std::vector<std::string> wrapped(const TextStyle& style, const std::string& text, double width,
                                     std::size_t most = 100) const;

    // Blocks at y over the whole width; they move y on.
    // A heading is not left behind by what follows: `keep` is the height that has to fit under it.
    void heading(const std::string& text, double keep = 44);
    void paragraph(const std::string& text);
    // A heading (where `title` is not empty) that stays with its table. Cells may hold line breaks. The head of the table is
    // repeated on each page. In a row with fewer cells than columns the last cell runs on to the right; a row whose first
    // cell is empty belongs to the one above, and no page break parts them.
    void table(const std::string& title, const std::vector<TableColumn>& columns,
               const std::vector<std::vector<std::string>>& rows);
    // A framed box with a title and numbered sentences in two columns.
    double numbered_box_height(const std::vector<std::string>& sentences) const;
    void numbered_box(const std::string& title, const std::vector<std::string>& sentences);

    void line(double x0, double y0, double x1, double y1, double thickness, double grey = 0) const;
    void cutting_line(double x0, double y0, double width, double height) const;   // dashes round a card

    // Ends the document; the bytes of the PDF. Throws Error where Cairo failed.
    std::string finish();

private:
    struct BoxLayout {
        std::vector<std::vector<std::string>> lines;   // of each sentence
        std::size_t first_right = 0;                   // the sentence that begins the right column
        double column = 0, height = 0;
    };
    BoxLayout lay_box(const std::vector<std::string>& sentences) const;
    void furniture();
    PageFrame frame_;
    int total_ = 0, pages_ = 0;
    PageBox box_;
    std::unique_ptr<std::string> bytes_;
    cairo_surface_t* surface_ = nullptr;
    cairo_t* cairo_ = nullptr;
};

}  // namespace brae
