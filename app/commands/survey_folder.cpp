#include "app/commands/survey_folder.h"

#include "app/commands/terminal.h"
#include "core/base/error.h"
#include "core/survey/file_kind.h"
#include "core/survey/import_memory.h"

#include <algorithm>
#include <atomic>
#include <cctype>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <nlohmann/json.hpp>
#include <poll.h>
#include <set>
#include <spawn.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

extern char** environ;

namespace brae::app {
namespace {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

// The files of one green, and what is said of it afterwards.
struct Task {
    std::string name;
    std::vector<std::string> files;
    std::string outline;
    std::string out;
    ordered_json answer;   // of the import
    std::string error;     // empty where it was done
};

// A line that holds three numbers or more, whatever stands between them.
bool has_levels(const fs::path& file) {
    std::ifstream in(file);
    std::string line;
    for (int k = 0; k < 50 && std::getline(in, line); ++k) {
        int numbers = 0;
        for (std::size_t at = 0; at < line.size(); ++at)
            if (std::isdigit(static_cast<unsigned char>(line[at])) && (at == 0 || !std::isalnum(static_cast<unsigned char>(line[at - 1])))) {
                ++numbers;
                while (at + 1 < line.size() && (std::isdigit(static_cast<unsigned char>(line[at + 1])) || line[at + 1] == '.')) ++at;
            }
        if (numbers >= 3) return true;
    }
    return false;
}

bool is_survey(const fs::path& file) {
    std::error_code code;
    if (!fs::is_regular_file(file, code) || file.filename().string().starts_with('.')) return false;
    // Any text could be levels; in a folder only what is named like levels or points is taken for them.
    static const std::set<std::string> kTexts{".xyz", ".xyzn", ".xyzrgb", ".pts", ".csv", ".tsv", ".asc"};
    try {
        if (kind_of_file(file) != FileKind::text || kTexts.contains(file.extension().string())) return true;
        return (file.extension() == ".txt" || file.extension() == ".dat") && has_levels(file);
    } catch (const Error&) {
        return false;
    }
}

std::vector<fs::path> sorted(const fs::path& folder) {
    std::vector<fs::path> out;
    for (const auto& entry : fs::directory_iterator(folder)) out.push_back(entry.path());
    std::sort(out.begin(), out.end());
    return out;
}

// A folder inside is one green of several files; a survey that lies alone is one too. A file named outline is its edge.
std::vector<Task> tasks_of(const fs::path& folder, const fs::path& out) {
    std::vector<Task> tasks;
    for (const fs::path& entry : sorted(folder)) {
        Task t;
        std::error_code code;
        if (fs::is_directory(entry, code)) {
            t.name = entry.filename().string();
            for (const fs::path& file : sorted(entry)) {
                if (!is_survey(file)) continue;
                if (file.stem() == "outline") t.outline = file.string();
                else t.files.push_back(file.string());
            }
            if (t.files.empty()) continue;
        } else if (is_survey(entry) && entry.extension() != ".gpkg" && entry.stem() != "outline") {
            t.name = entry.stem().string();
            t.files = {entry.string()};
        } else {
            continue;
        }
        t.out = (out / (t.name + ".gpkg")).string();
        tasks.push_back(std::move(t));
    }
    return tasks;
}

// The command line of one green's import: the options of the whole, and its own files.
std::vector<std::string> words_of(const SurveyArguments& a, const Task& t) {
    std::vector<std::string> words{"brae", "survey"};
    words.insert(words.end(), t.files.begin(), t.files.end());
    const auto add = [&](const char* option, const std::string& value) {
        if (!value.empty()) words.insert(words.end(), {option, value});
    };
    add("--out", t.out);
    add("--name", t.name);
    add("--outline", t.outline);
    add("--crs", a.crs);
    add("--units", a.units);
    add("--height-units", a.height_units);
    add("--method", a.method);
    add("--date", a.date);
    add("--top-dressed", a.top_dressed);
    if (a.cell_m > 0) add("--cell", fmt::format("{}", a.cell_m));
    if (a.height_of_cut_mm > 0) add("--height-of-cut", fmt::format("{}", a.height_of_cut_mm));
    for (const std::string& word : a.put_back) add("--put-back", word);
    if (a.replace) words.push_back("--replace");
    words.push_back("--json");
    return words;
}

// Runs this program again for one green: a process of its own, so that whatever happens to it stays its own.
// Ends the process, and returns false, as soon as the work is cancelled.
bool run_one(const SurveyArguments& a, Task& t, const std::atomic<bool>& stopped) {
    int pipe_ends[2];
    if (pipe2(pipe_ends, O_CLOEXEC) != 0) {
        t.error = fmt::format("no pipe: {}", std::strerror(errno));
        return true;
    }
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, pipe_ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    const std::vector<std::string> words = words_of(a, t);
    std::vector<char*> arguments;
    for (const std::string& w : words) arguments.push_back(const_cast<char*>(w.c_str()));
    arguments.push_back(nullptr);
    pid_t child = 0;
    const int fault = posix_spawn(&child, "/proc/self/exe", &actions, nullptr, arguments.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    close(pipe_ends[1]);
    if (fault != 0) {
        close(pipe_ends[0]);
        t.error = fmt::format("the import could not be started: {}", std::strerror(fault));
        return true;
    }

    // What it says, until it ends.
    std::string said;
    char block[4096];
    for (;;) {
        if (stopped) kill(child, SIGINT);
        pollfd wait{pipe_ends[0], POLLIN, 0};
        if (poll(&wait, 1, 100) == 0) continue;
        const ssize_t got = read(pipe_ends[0], block, sizeof block);
        if (got > 0) said.append(block, static_cast<std::size_t>(got));
        else if (got == 0 || errno != EINTR) break;
    }
    close(pipe_ends[0]);
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) {}
    if (stopped) return false;
    const auto answer = ordered_json::parse(said, nullptr, false);
    if (answer.is_object() && answer.contains("error")) t.error = answer["error"].get<std::string>();
    else if (WIFSIGNALED(status)) t.error = fmt::format("the import was ended by signal {}", WTERMSIG(status));
    else if (!answer.is_object() || status != 0) t.error = "the import ended without an answer";
    else t.answer = answer;
    return true;
}

}  // namespace

int run_survey_folder(const SurveyArguments& a) {
    const fs::path folder = a.files.front(), out = a.out;
    if (!a.name.empty() || !a.outline.empty() || !a.clip.empty() || !a.put_back_boxes.empty() || !a.remove_again.empty())
        throw usage_error("--name, --outline, --clip, --put-back-box and --remove-again belong to one green; in a folder each green has its own name and outline file");
    if (a.out.empty()) throw usage_error("--out is required: the folder for the greens");
    if (out.extension() == ".gpkg")
        throw usage_error(fmt::format("--out: found '{}'; for a folder of surveys a folder is wanted", a.out));
    std::vector<Task> tasks = tasks_of(folder, out);
    if (tasks.empty()) throw Error(fmt::format("{} holds no survey", folder.string()));
    for (std::size_t k = 1; k < tasks.size(); ++k)
        if (tasks[k].name == tasks[k - 1].name)
            throw Error(fmt::format("{} holds two surveys that would both be {}", folder.string(), tasks[k].out));
    std::error_code fault;
    fs::create_directories(out, fault);
    if (fault) throw Error(fmt::format("--out: the folder {} cannot be made: {}", a.out, fault.message()));

    // As many at a time as there are cores, at most four, and no more than fit into three quarters of the memory that is free.
    TerminalProgress terminal;
    MemoryGate gate(available_memory() / 4 * 3);
    const unsigned workers = std::clamp(std::thread::hardware_concurrency(), 1u, 4u);
    std::atomic<std::size_t> next = 0, done = 0;
    std::atomic<bool> stopped = false;
    {
        std::vector<std::jthread> threads;
        for (unsigned w = 0; w < workers; ++w)
            threads.emplace_back([&] {
                for (std::size_t k = next++; k < tasks.size() && !stopped; k = next++) {
                    const std::uint64_t share = memory_of_import(tasks[k].files);
                    if (!gate.enter(k, share)) return;
                    const bool ran = run_one(a, tasks[k], stopped);
                    gate.leave(share);
                    if (ran) ++done;
                }
            });
        // This thread draws the bar and hears Ctrl-C.
        while (done < tasks.size() && !stopped) {
            try {
                terminal.progress().step(static_cast<double>(done) / static_cast<double>(tasks.size()),
                                         fmt::format("{} of {} greens", done.load(), tasks.size()));
            } catch (...) {
                stopped = true;
                gate.close();
                threads.clear();
                throw;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
        }
    }
    terminal.finish();

    // The summary, in the order of the folder.
    const auto failed = std::count_if(tasks.begin(), tasks.end(), [](const Task& t) { return !t.error.empty(); });
    if (a.json) {
        ordered_json greens = ordered_json::array();
        for (const Task& t : tasks) {
            ordered_json row{{"name", t.name}};
            if (t.error.empty()) {
                row["file"] = t.out;
                row.update(t.answer);
            } else {
                row["error"] = t.error;
            }
            greens.push_back(row);
        }
        print_json({{"greens", greens}, {"done", tasks.size() - static_cast<std::size_t>(failed)}, {"failed", failed}});
        return failed == 0 ? 0 : 1;
    }
    for (const Task& t : tasks) {
        if (!t.error.empty()) {
            fmt::print("{:<20} failed: {}\n", t.name, t.error);
            continue;
        }
        fmt::print("{:<20} {:6.0f} m2, slope {:.1f} %, good for {}; {}\n", t.name, t.answer.value("area_m2", 0.0), t.answer.value("slope_median_pct", 0.0),
                   t.answer.contains("quality") ? t.answer["quality"].value("verdict", "") : "", t.out);
    }
    fmt::print("{} of {} greens written to {}\n", tasks.size() - static_cast<std::size_t>(failed), tasks.size(), a.out);
    return failed == 0 ? 0 : 1;
}

}  // namespace brae::app
