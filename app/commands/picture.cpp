// brae picture: the scene as a PNG, with no display.
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "app/render/picture.h"
#include "core/record/green_queries.h"
#include "core/roll/green_speed.h"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

int run_picture(const PictureArguments& a) {
    const auto cross = a.size.find('x');
    if (cross == std::string::npos)
        throw usage_error(fmt::format("--size: found '{}', WIDTHxHEIGHT in pixels such as 1280x800 is wanted", a.size));
    const auto pixels = [&](const std::string& text) {
        const double n = parse_number(text, "--size");
        if (!(n >= 200 && n <= 8192))
            throw usage_error(fmt::format("--size: found '{}', 200 to 8192 pixels each way are wanted", a.size));
        return static_cast<int>(n);
    };
    PictureOptions options;
    options.width = pixels(a.size.substr(0, cross));
    options.height = pixels(a.size.substr(cross + 1));

    check_output(a.out, {a.green}, ".png");
    if (a.speed_ft) level_deceleration(*a.speed_ft);  // refuses a speed that no green has
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    if (const auto view = view_of_words(a.view)) options.view = *view;
    // In the order of GroundColour.
    const std::vector<std::string> grounds{"plain", "slope", "aim", "break", "launch", "entry"};
    options.choice.ground = static_cast<GroundColour>(std::find(grounds.begin(), grounds.end(), a.ground) - grounds.begin());
    options.exaggeration = a.exaggeration;
    options.green_speed_ft = a.speed_ft || !green.speeds.empty() ? speed_of_day(green, a.speed_ft).speed_ft : 10;
    options.past_m = a.past_m;
    if (!a.ball.empty()) options.ball = parse_point(a.ball, "--ball", green.terrain->frame);
    if (!a.hole.empty() || green.todays_hole()) options.hole = parse_hole(a.hole, green);
    render_picture(green, options, a.out, terminal.progress());
    terminal.finish();
    if (a.json)
        print_json({{"file", a.out}, {"width", options.width}, {"height", options.height}});
    else
        fmt::print("written {}, {} x {} pixels\n", a.out, options.width, options.height);
    return 0;
}

}  // namespace brae::app
