#include "app/panels/file_browser.h"

#include "app/panels/theme.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <imgui.h>
#include <imgui_internal.h>
#include <imgui_stdlib.h>

namespace brae::app {
namespace fs = std::filesystem;
namespace kit = plugin::kit;

namespace {

std::string ending_of(const fs::path& file) {
    std::string ending = file.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return std::tolower(c); });
    return ending;
}

}  // namespace

bool can_open(const fs::path& file) {
    const std::string ending = ending_of(file);
    constexpr std::array endings{".gpkg", ".ply", ".pcd", ".xyz", ".xyzn", ".xyzrgb", ".pts", ".csv", ".txt", ".tif", ".tiff", ".asc"};
    return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

// Of the kind that is asked for.
bool FileBrowser::listed(const fs::path& file) const {
    return endings_.empty() ? can_open(file) : std::find(endings_.begin(), endings_.end(), ending_of(file)) != endings_.end();
}

void FileBrowser::set_folder(const fs::path& folder) {
    std::error_code error;
    const fs::path clean = fs::weakly_canonical(folder.empty() ? fs::current_path(error) : folder, error);
    folder_ = error ? folder : clean;
    path_text_ = folder_.string();
    read_folder();
}

void FileBrowser::read_folder() {
    rows_.clear();
    problem_.clear();
    std::error_code error;
    for (fs::directory_iterator it(folder_, fs::directory_options::skip_permission_denied, error), end; !error && it != end; it.increment(error)) {
        const std::string name = it->path().filename().string();
        if (name.empty() || name.front() == '.') continue;
        std::error_code ignored;
        const bool folder = it->is_directory(ignored);
        if (!folder && !listed(it->path())) continue;
        rows_.push_back({name, folder, folder ? 0 : it->file_size(ignored)});
    }
    if (error) problem_ = folder_.string() + " cannot be read: " + error.message();
    std::sort(rows_.begin(), rows_.end(), [](const Row& a, const Row& b) { return a.folder != b.folder ? a.folder : a.name < b.name; });
}

void FileBrowser::draw(Session& session, float scale) {
    if (!session.file_wish) return;
    FileWish& wish = *session.file_wish;
    const char* id = "##files";
    const bool appears = !shown_;
    if (!shown_) {
        endings_ = wish.endings;
        if (wish.saving && !wish.extension.empty()) endings_ = {"." + wish.extension};
        if (folder_.empty()) set_folder({});
        else read_folder();
        name_ = wish.name;
        replace_asked_ = false;
        ImGui::OpenPopup(id);
        shown_ = true;
    }
    const ImVec2 size{620 * scale, 470 * scale};
    ImGui::SetNextWindowSize(size);
    ImGui::SetNextWindowPos(ImGui::GetMainViewport()->GetCenter(), ImGuiCond_Always, {0.5f, 0.5f});
    bool close = false;
    fs::path chosen;
    if (ImGui::BeginPopupModal(id, nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) {
        kit::heading(wish.title.c_str());

        // Folder: up, and a path to type.
        if (ImGui::Button("Up") && folder_.has_parent_path()) set_folder(folder_.parent_path());
        ImGui::SameLine();
        ImGui::SetNextItemWidth(-1);
        if (ImGui::InputText("##path", &path_text_, ImGuiInputTextFlags_EnterReturnsTrue)) {
            std::error_code ignored;
            if (fs::is_regular_file(path_text_, ignored) && !wish.saving) chosen = path_text_;
            else set_folder(path_text_);
        }

        // Rows.
        const float foot = (wish.saving ? 2 : 1) * ImGui::GetFrameHeightWithSpacing() + 10 * scale;
        ImGui::BeginChild("##rows", {0, -foot}, true, ImGuiWindowFlags_NavFlattened);
        if (!problem_.empty()) kit::remark(problem_);
        else if (rows_.empty()) kit::remark("No folders and no files of a kind that can be opened here.");
        fs::path into;
        // By keys the first file is at hand, and Enter opens it. A click only chooses, as it may be the first of two.
        const auto first = std::find_if(rows_.begin(), rows_.end(), [](const Row& r) { return !r.folder; });
        const bool by_mouse = ImGui::IsMouseDown(0) || ImGui::IsMouseReleased(0);
        for (const Row& row : rows_) {
            const std::string words = row.folder ? row.name + "/" : row.name;
            const bool pressed = ImGui::Selectable(words.c_str(), row.name == name_, ImGuiSelectableFlags_DontClosePopups | ImGuiSelectableFlags_AllowDoubleClick);
            if (appears && !wish.saving && first != rows_.end() && &row == &*first) {
                ImGui::SetItemDefaultFocus();
                ImGui::GetCurrentContext()->NavDisableHighlight = false;   // else the first key would only show the mark
            }
            if (pressed) {
                if (row.folder) into = folder_ / row.name;
                else {
                    name_ = row.name;
                    if ((ImGui::IsMouseDoubleClicked(0) || !by_mouse) && !wish.saving) chosen = folder_ / row.name;
                }
            }
            if (!row.folder) {
                const double kb = static_cast<double>(row.bytes) / 1000;
                const std::string bytes = kb < 1000 ? kit::number("%.0f", kb, "kB") : kit::number("%.1f", kb / 1000, "MB");
                ImGui::PushFont(kit::number_font());
                ImGui::SameLine(ImGui::GetContentRegionMax().x - ImGui::CalcTextSize(bytes.c_str()).x);
                ImGui::TextDisabled("%s", bytes.c_str());
                ImGui::PopFont();
            }
        }
        ImGui::EndChild();
        if (!into.empty()) set_folder(into);

        // Name and the two buttons, at the right edge.
        bool enter = false;
        if (wish.saving) {
            ImGui::SetNextItemWidth(-1);
            if (appears) ImGui::SetKeyboardFocusHere();
            const std::string before = name_;
            enter = ImGui::InputText("##name", &name_, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll) && !name_.empty();
            if (name_ != before) replace_asked_ = false;
        }
        const char* yes = wish.saving ? (replace_asked_ ? "Replace it" : "Save") : "Open";
        if (replace_asked_) {
            ImGui::AlignTextToFramePadding();
            ImGui::TextUnformatted("A file of this name exists.");
            ImGui::SameLine();
        }
        const float width = 104 * scale;
        ImGui::SetCursorPosX(ImGui::GetContentRegionMax().x - 2 * width - ImGui::GetStyle().ItemSpacing.x);
        if (ImGui::Button("Cancel", {width, 0}) || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) close = true;
        ImGui::SameLine();
        ImGui::BeginDisabled(name_.empty());
        if (ImGui::Button(yes, {width, 0}) || enter) {
            fs::path file = folder_ / name_;
            if (wish.saving && !wish.extension.empty() && file.extension() != "." + wish.extension) file += "." + wish.extension;
            std::error_code ignored;
            if (wish.saving && fs::exists(file, ignored) && !replace_asked_) replace_asked_ = true;
            else chosen = file;
        }
        ImGui::EndDisabled();
        if (!chosen.empty() || close) ImGui::CloseCurrentPopup();
        ImGui::EndPopup();
    } else {
        close = true;  // closed from outside
    }
    if (!chosen.empty() || close) {
        const auto act = wish.chosen;
        session.file_wish.reset();
        shown_ = false;
        if (!chosen.empty() && act) {
            folder_ = chosen.parent_path();
            path_text_ = folder_.string();
            act(chosen);
        }
    }
}

}  // namespace brae::app
