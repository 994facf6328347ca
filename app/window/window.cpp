#include "app/window/window.h"

#include "app/panels/theme.h"
#include "app/panels/workbench.h"
#include "app/plugin_host/loader.h"
#include "app/render/headless.h"
#include "app/render/renderer.h"
#include "app/session/session.h"
#include "app/window/input_script.h"
#include "core/base/error.h"

#include <epoxy/gl.h>
// After epoxy, which brings the declarations of GL.
#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <imgui.h>
#include <memory>
#include <sstream>
#include <unistd.h>

namespace brae::app {
namespace {

// Seconds since the process was started, from the kernel's own note of it (10 ms fine).
double seconds_since_start() {
    std::ifstream in("/proc/self/stat");
    std::string text;
    std::getline(in, text);
    std::istringstream rest(text.substr(std::min(text.rfind(')') + 2, text.size())));
    std::string word;
    for (int k = 3; k <= 22; ++k) rest >> word;  // field 22: start time in ticks since boot
    timespec now{};
    clock_gettime(CLOCK_BOOTTIME, &now);
    const double started = std::strtod(word.c_str(), nullptr) / static_cast<double>(sysconf(_SC_CLK_TCK));
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec) - started;
}

std::filesystem::path settings_file() {
    const char* config = std::getenv("XDG_CONFIG_HOME");
    const char* home = std::getenv("HOME");
    if (config && *config == '/') return std::filesystem::path(config) / "brae" / "plugins.txt";
    if (home && *home == '/') return std::filesystem::path(home) / ".config" / "brae" / "plugins.txt";
    return {};
}

// GLFW, the window and both ImGui backends, taken down in the right order.
class Screen {
public:
    Screen(int width, int height, bool scaled) {
        glfwSetErrorCallback([](int, const char* text) { last_error() = text; });
        if (!glfwInit()) throw Error("no window can be opened here: " + last_error() + "; `brae picture` draws without a display");
        glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
        glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
        glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
        glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
        glfwWindowHint(GLFW_SCALE_TO_MONITOR, scaled ? GLFW_TRUE : GLFW_FALSE);
        window = glfwCreateWindow(width, height, "brae", nullptr, nullptr);
        if (!window) {
            const std::string why = last_error();
            glfwTerminate();
            throw Error("the window cannot be opened: " + why + "; OpenGL 3.3 is wanted");
        }
        glfwMakeContextCurrent(window);
        glfwSwapInterval(1);
        float x = 1, y = 1;
        glfwGetWindowContentScale(window, &x, &y);
        scale = std::clamp(std::max(x, y), 1.0f, 4.0f);
    }
    void start_imgui() {
        ImGui::CreateContext();
        ImGui::GetIO().IniFilename = nullptr;
        load_fonts(scale);
        apply_theme(scale);
        ImGui_ImplGlfw_InitForOpenGL(window, true);
        ImGui_ImplOpenGL3_Init("#version 330 core");
        imgui = true;
    }
    ~Screen() {
        if (imgui) {
            ImGui_ImplOpenGL3_Shutdown();
            ImGui_ImplGlfw_Shutdown();
            ImGui::DestroyContext();
        }
        glfwDestroyWindow(window);
        glfwTerminate();
    }
    Screen(const Screen&) = delete;
    Screen& operator=(const Screen&) = delete;

    GLFWwindow* window = nullptr;
    float scale = 1;
    bool imgui = false;

private:
    static std::string& last_error() {
        static std::string text = "no reason given";
        return text;
    }
};

// Where the time of a frame goes: the work of session and panels, by this thread's own clock (what others run beside it does not
// count), and the whole of it until the picture is handed over.
struct FrameClock {
    static double cpu() {
        timespec t{};
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
        return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
    }
    std::chrono::steady_clock::time_point began = std::chrono::steady_clock::now();
    double cpu_began = cpu(), work_s = 0;
    void worked() { work_s = cpu() - cpu_began; }
    double whole_s() const { return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(); }
};
struct LongestFrame {
    double work_s = 0, whole_s = 0;
    void add(const FrameClock& clock) {
        work_s = std::max(work_s, clock.work_s);
        whole_s = std::max(whole_s, clock.whole_s());
    }
    void tell(const char* when) const {
        std::fprintf(stderr, "brae: longest frame %s: %.1f ms of work, %.1f ms with its drawing\n", when, 1000 * work_s, 1000 * whole_s);
    }
};

// What GLFW's callbacks reach.
struct Hooks { Session& session; Workbench& workbench; };

}  // namespace

int run_window(const WindowOptions& options) {
    // The size asked for.
    int width = 0, height = 0;
    char end = 0;
    if (std::sscanf(options.size.c_str(), "%dx%d%c", &width, &height, &end) != 2 || width < 320 || height < 240 || width > 8192 || height > 8192)
        throw usage_error("the window size is \"" + options.size + "\"; WIDTHxHEIGHT from 320x240 to 8192x8192 is wanted");
    InputScript script;
    if (!options.input_script.empty()) script = InputScript::read(options.input_script);
    const bool by_itself = options.frames > 0 || !options.screenshot.empty();
    const bool timing = options.timing || std::getenv("BRAE_TIMING");

    // The green is read while the window opens.
    Session session(by_itself ? std::filesystem::path() : settings_file());
    if (!options.file.empty()) session.open(options.file);
    Screen screen(width, height, options.size == WindowOptions{}.size);
    Workbench workbench(session);
    Hooks hooks{session, workbench};
    glfwSetWindowUserPointer(screen.window, &hooks);
    glfwSetDropCallback(screen.window, [](GLFWwindow* w, int count, const char** files) {
        if (count > 0) static_cast<Hooks*>(glfwGetWindowUserPointer(w))->session.open(files[0]);
    });
    glfwSetWindowRefreshCallback(screen.window, [](GLFWwindow* w) { static_cast<Hooks*>(glfwGetWindowUserPointer(w))->workbench.settle(); });
    screen.start_imgui();
    session.set_wake([] { glfwPostEmptyEvent(); });
    auto renderer = std::make_unique<render::Renderer>();
    session.host.load(plugin_files(plugin_folders()));
    if (!options.file.empty()) workbench.browser().set_folder(std::filesystem::absolute(options.file).parent_path());

    int drawn = 0;
    double first_frame_s = -1;
    LongestFrame opening, open;
    std::string failure;
    while (!glfwWindowShouldClose(screen.window)) {
        // Rest until something happens; a text field keeps its cursor blinking.
        const bool playing = script.given() && !script.done();
        if (workbench.wants_frame() || playing) glfwPollEvents();
        else if (by_itself) glfwWaitEventsTimeout(0.02);
        else if (ImGui::GetIO().WantTextInput) glfwWaitEventsTimeout(0.5);
        else glfwWaitEvents();
        if (!workbench.wants_frame()) workbench.settle();
        int fw = 0, fh = 0;
        glfwGetFramebufferSize(screen.window, &fw, &fh);
        if (fw < 1 || fh < 1) { glfwWaitEventsTimeout(0.1); continue; }

        FrameClock clock;
        // Panels and input, then the scene, then the panels' pixels over it.
        ImGui_ImplOpenGL3_NewFrame();
        ImGui_ImplGlfw_NewFrame();
        script.apply(ImGui::GetIO(), session.background.busy());
        ImGui::NewFrame();
        const bool was_open = session.has_green();
        workbench.frame(screen.scale);
        clock.worked();
        ImGui::Render();
        renderer->draw(workbench.scene(), session.camera, workbench.view(), fw, fh, screen.scale);
        glViewport(0, 0, fw, fh);
        ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
        ++drawn;
        if (!session.message.empty()) failure = session.message;

        // Ends by itself once everything that was asked for is seen.
        const bool idle = !session.background.busy() && !session.opening() && !workbench.wants_frame();
        const bool over = by_itself && drawn >= options.frames && (!script.given() || script.done()) && idle;
        if (over && !options.screenshot.empty()) render::write_png(render::read_pixels(fw, fh), options.screenshot);
        // The first frames make textures and shaders; what is measured is how long the user waits after that.
        if (drawn > 5) (was_open ? open : opening).add(clock);
        glfwSwapBuffers(screen.window);
        if (first_frame_s < 0 && (options.file.empty() || session.has_green())) {
            glFinish();
            first_frame_s = seconds_since_start();
            if (timing) std::fprintf(stderr, "brae: first drawn frame %.2f s after the start of the program\n", first_frame_s);
        }
        if (over) break;
    }
    if (timing) {
        opening.tell("while no green was open");
        open.tell("with a green");
    }
    if (timing) std::fprintf(stderr, "brae: %d frames drawn, %llu reads solved\n", drawn, static_cast<unsigned long long>(session.reads.solved()));
    session.set_wake({});
    if (by_itself && !options.file.empty() && !session.has_green()) {
        std::fprintf(stderr, "brae: %s\n", failure.empty() ? "the file was not opened" : failure.c_str());
        return 1;
    }
    return 0;
}

}  // namespace brae::app
