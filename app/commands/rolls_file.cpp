#include "app/commands/rolls_file.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace brae::app {

namespace {

constexpr std::array kColumns{"start_x", "start_y", "toward_x", "toward_y", "bearing_deg", "finish_x", "finish_y", "launch_mps",
                              "group", "finish_sigma_m", "direction_sigma_deg", "launch_sigma_mps"};

class RollsReader {
public:
    RollsReader(const std::filesystem::path& file, const Frame& frame, bool map) : file_(file), frame_(frame), map_(map) {}

    std::vector<RolledBall> go() {
        const MappedFile mapped(file_);
        LineReader lines(mapped.bytes());
        std::string_view line;
        std::vector<RolledBall> out;
        while (lines.next(line)) {
            const std::string_view text = trimmed(line);
            if (text.empty() || text.front() == '#') continue;
            number_ = lines.number();
            if (names_.empty()) take_names(text);
            else out.push_back(roll_of(text));
        }
        if (names_.empty()) throw Error(fmt::format("{} is empty; a first line of column names such as start_x,start_y is wanted", file_.string()));
        if (out.empty()) throw Error(fmt::format("{} holds no rolls; a line for each ball is wanted", file_.string()));
        return out;
    }

private:
    [[noreturn]] void refuse(const std::string& what) const { throw Error(fmt::format("{}, line {}: {}", file_.string(), number_, what)); }
    bool has(const char* name) const { return std::find(names_.begin(), names_.end(), name) != names_.end(); }

    void take_names(std::string_view text) {
        separator_ = text.find(';') != std::string_view::npos ? ';' : text.find('\t') != std::string_view::npos ? '\t' : ',';
        for (const std::string& field : fields_of(text, separator_)) names_.push_back(lower_case(field));
        for (const std::string& name : names_) {
            if (std::find(kColumns.begin(), kColumns.end(), name) == kColumns.end())
                refuse(fmt::format("found a column {}; start_x, start_y, finish_x, finish_y, and toward_x, toward_y or bearing_deg are wanted, "
                                   "others are named in brae speed --help", quote(name)));
            if (std::count(names_.begin(), names_.end(), name) > 1) refuse(fmt::format("found the column {} twice, once is wanted", name));
        }
        for (const char* name : {"start_x", "start_y", "finish_x", "finish_y"})
            if (!has(name)) refuse(fmt::format("found no column {}, which every roll needs", name));
        if (has("toward_x") != has("toward_y") || has("toward_x") == has("bearing_deg"))
            refuse("found no start line: either both of toward_x and toward_y, or bearing_deg, is wanted");
    }

    // A field as a number; none where it is empty or the column is missing.
    std::optional<double> number(const char* name) const {
        const auto at = std::find(names_.begin(), names_.end(), name);
        if (at == names_.end()) return std::nullopt;
        const std::string_view field = fields_[static_cast<std::size_t>(at - names_.begin())];
        if (field.empty()) return std::nullopt;
        if (std::string_view(name) == "launch_mps" && lower_case(field) == "ramp") return kRampReleaseMps;
        std::optional<double> value = parse_number(field);
        if (!value && separator_ == ';') value = parse_number(field, true);
        if (!value || !std::isfinite(*value)) refuse(fmt::format("found {} in {}, a number is wanted", quote(field), name));
        return value;
    }
    Vec2 point(const char* x, const char* y) const {
        const auto px = number(x), py = number(y);
        if (!px || !py) refuse(fmt::format("found nothing in {}, a number is wanted", px ? y : x));
        return map_ ? frame_.from_map({*px, *py}) : Vec2{*px, *py};
    }

    RolledBall roll_of(std::string_view text) {
        fields_ = fields_of(text, separator_);
        if (fields_.size() != names_.size()) refuse(fmt::format("found {} fields, {} as in the first line are wanted", fields_.size(), names_.size()));
        RolledBall roll;
        roll.start = point("start_x", "start_y");
        roll.finish = point("finish_x", "finish_y");
        if (has("toward_x")) {
            roll.toward = point("toward_x", "toward_y");
        } else {
            const auto bearing = number("bearing_deg");
            if (!bearing) refuse("found nothing in bearing_deg, a number is wanted");
            roll.toward = roll.start + direction_of_bearing(*bearing);
        }
        roll.launch_mps = number("launch_mps");
        if (const auto group = number("group")) {
            if (roll.launch_mps) refuse("found a launch speed and a group; a group is for rolls whose launch speed is unknown");
            if (!(*group >= 0 && *group <= 199 && *group == std::floor(*group))) refuse(fmt::format("found {:g} in group, a whole number from 0 to 199 is wanted", *group));
            roll.launch_group = static_cast<int>(*group);
        }
        if (const auto s = number("finish_sigma_m")) roll.finish_sigma_m = *s;
        if (const auto s = number("direction_sigma_deg")) roll.direction_sigma_rad = radians(*s);
        // A ramp lets balls go alike but for a little, also one whose push is not known.
        const auto launch = std::find(names_.begin(), names_.end(), "launch_mps");
        const bool ramp = launch != names_.end() && lower_case(fields_[static_cast<std::size_t>(launch - names_.begin())]) == "ramp";
        if (const auto s = number("launch_sigma_mps")) roll.launch_sigma_mps = *s;
        else if (ramp || roll.launch_group >= 0) roll.launch_sigma_mps = kRampSpreadRel * kRampReleaseMps;
        return roll;
    }

    const std::filesystem::path& file_;
    const Frame& frame_;
    bool map_;
    char separator_ = ',';
    std::size_t number_ = 0;
    std::vector<std::string> names_;
    std::vector<std::string> fields_;
};

}  // namespace

std::vector<RolledBall> read_rolls(const std::filesystem::path& file, const Frame& frame, bool map) {
    return RollsReader(file, frame, map).go();
}

}  // namespace brae::app
