// A small file dialog of our own: folders and files, a path to type, Enter to choose.
#pragma once

#include "app/session/session.h"

#include <filesystem>
#include <string>
#include <vector>

namespace brae::app {

class FileBrowser {
public:
    // Shows the dialog while the session has a wish. Call inside a frame, once. scale: of the theme.
    void draw(Session& session, float scale);
    // Where it opens the next time; the working directory at first.
    void set_folder(const std::filesystem::path& folder);

private:
    struct Row { std::string name; bool folder = false; std::uintmax_t bytes = 0; };
    void read_folder();
    bool listed(const std::filesystem::path& file) const;
    std::filesystem::path folder_;
    std::vector<Row> rows_;
    std::string problem_, name_, path_text_;
    std::vector<std::string> endings_;
    bool shown_ = false, replace_asked_ = false;
};

// Endings that the program can open, in lower case with the dot.
bool can_open(const std::filesystem::path& file);

}  // namespace brae::app
