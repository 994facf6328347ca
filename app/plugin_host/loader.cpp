#include "app/plugin_host/loader.h"

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <dlfcn.h>
#include <set>
#include <sstream>

namespace brae::app {
namespace fs = std::filesystem;

LoadedPlugin load_plugin(const fs::path& file) {
    LoadedPlugin out{file, nullptr, {}};
    void* library = dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL);
    if (!library) {
        const char* why = dlerror();
        out.refused = std::string("the file cannot be opened as a plugin: ") + (why ? why : "unknown reason");
        return out;
    }
    auto* symbol = dlsym(library, BRAE_PLUGIN_SYMBOL);
    if (!symbol) {
        out.refused = "the file has no symbol " BRAE_PLUGIN_SYMBOL "; it is no plugin of this program";
        return out;
    }

    // The entry is plain data; the two first members are readable whatever its version.
    const BraePluginEntry* entry = nullptr;
    try {
        entry = reinterpret_cast<BraePluginEntryFunction>(symbol)();
    } catch (...) {
        out.refused = "its entry function threw an exception";
        return out;
    }
    if (!entry) out.refused = "its entry function returned nothing";
    else if (entry->abi != BRAE_PLUGIN_ABI)
        out.refused = "it was built for plugin interface " + std::to_string(entry->abi) + "; this program has " +
                      std::to_string(BRAE_PLUGIN_ABI);
    else if (entry->struct_size != sizeof(BraePluginEntry))
        out.refused = "its entry has " + std::to_string(entry->struct_size) + " bytes; " +
                      std::to_string(sizeof(BraePluginEntry)) + " are wanted";
    else if (!entry->build_id || std::strcmp(entry->build_id, BRAE_BUILD_ID) != 0)
        out.refused = std::string("it was built with \"") + (entry->build_id ? entry->build_id : "") +
                      "\"; this program with \"" BRAE_BUILD_ID "\"";
    else if (!entry->imgui_version || std::strcmp(entry->imgui_version, IMGUI_VERSION) != 0)
        out.refused = std::string("it was built for ImGui ") + (entry->imgui_version ? entry->imgui_version : "?") +
                      "; this program has " IMGUI_VERSION;
    else if (!entry->id || !*entry->id || !entry->title || !entry->version || !entry->create || !entry->destroy)
        out.refused = "its entry lacks an id, a title, a version or a function";
    if (out.refused.empty()) out.entry = entry;
    return out;
}

std::vector<fs::path> plugin_folders() {
    std::vector<fs::path> out;
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    if (!error) out.push_back(program.parent_path().parent_path() / "lib" / "brae" / "plugins");
    if (const char* path = std::getenv("BRAE_PLUGIN_PATH")) {
        std::istringstream parts(path);
        for (std::string part; std::getline(parts, part, ':');)
            if (!part.empty() && fs::path(part).is_absolute()) out.emplace_back(part);
    }
    return out;
}

std::vector<fs::path> plugin_files(const std::vector<fs::path>& folders) {
    std::vector<fs::path> out;
    std::set<std::string> names;
    for (const fs::path& folder : folders) {
        std::vector<fs::path> here;
        std::error_code error;
        for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error))
            if (it->path().extension() == ".so") here.push_back(it->path());
        std::sort(here.begin(), here.end());
        for (const fs::path& file : here)
            if (names.insert(file.filename().string()).second) out.push_back(file);
    }
    return out;
}

}  // namespace brae::app
