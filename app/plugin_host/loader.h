// Opens one plugin file and compares its entry with the program before anything in it is called.
#pragma once

#include "plugins/api/abi.h"

#include <filesystem>
#include <string>
#include <vector>

namespace brae::app {

// What came of one file. The library stays mapped until the program ends, since exceptions, texts and functions that
// came from it may be held for longer than the plugin itself.
struct LoadedPlugin {
    std::filesystem::path file;
    const BraePluginEntry* entry = nullptr;  // null when refused
    std::string refused;                     // one sentence, else empty
};

// dlopen with RTLD_NOW | RTLD_LOCAL. Never throws. Reads abi and struct size first, then build id and ImGui version.
LoadedPlugin load_plugin(const std::filesystem::path& file);

// Folders that are searched, in order: the program's own (../lib/brae/plugins beside the executable), then those of
// BRAE_PLUGIN_PATH (colon-separated, absolute ones only). Never the working directory.
std::vector<std::filesystem::path> plugin_folders();

// Every *.so of the folders, by folder and then by name; of files with the same name the first.
std::vector<std::filesystem::path> plugin_files(const std::vector<std::filesystem::path>& folders);

}  // namespace brae::app
