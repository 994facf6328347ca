#include "core/teach/baseline.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr std::size_t kMostRows = 10'000;

enum class Measure { angle, strike, speed, distance };
struct Field {
    const char* name;
    Measure measure;
    std::optional<double> BaselinePutt::*value;
    const char* words;         // that a header may use, besides the name; blanks between
};
constexpr Field kFields[] = {
    {"aim", Measure::angle, &BaselinePutt::aim_deg, "aim faceaim faceataddress aimangle"},
    {"face", Measure::angle, &BaselinePutt::face_deg, "face faceatimpact faceangle impactface"},
    {"path", Measure::angle, &BaselinePutt::path_deg, "path pathangle clubpath putterpath"},
    {"start", Measure::angle, &BaselinePutt::start_deg, "start startline startdirection direction launchdirection"},
    {"strike", Measure::strike, &BaselinePutt::strike_mm, "strike impactpoint strikelocation toeheel"},
    {"speed", Measure::speed, &BaselinePutt::ball_speed_mps, "speed ballspeed"},
    {"distance", Measure::distance, &BaselinePutt::distance_m, "distance length puttlength"}};

const char* wanted_units(Measure m) {
    switch (m) {
        case Measure::angle: return "deg or rad";
        case Measure::strike: return "mm, cm, m or in";
        case Measure::speed: return "mps, mph, kmh or fps";
        case Measure::distance: break;
    }
    return "m or ft";
}

// What one of a unit is in the field's own unit (degrees, mm, m/s, m).
std::optional<double> factor(Measure m, const std::string& unit) {
    const auto is = [&](std::initializer_list<const char*> names) { return std::find(names.begin(), names.end(), unit) != names.end(); };
    switch (m) {
        case Measure::angle:
            if (is({"deg", "degree", "degrees", "°"})) return 1.0;
            if (is({"rad", "radians"})) return degrees(1);
            break;
        case Measure::strike:
            if (is({"mm"})) return 1.0;
            if (is({"cm"})) return 10.0;
            if (is({"m"})) return 1000.0;
            if (is({"in", "inch", "inches"})) return 1000 * kInch;
            break;
        case Measure::speed:
            if (is({"mps", "m/s"})) return 1.0;
            if (is({"mph"})) return 5280 * kFoot / 3600;
            if (is({"kmh", "km/h", "kph"})) return 1 / 3.6;
            if (is({"fps", "ft/s"})) return kFoot;
            break;
        case Measure::distance:
            if (is({"m", "metres", "meters"})) return 1.0;
            if (is({"ft", "feet"})) return kFoot;
            break;
    }
    return std::nullopt;
}

// Letters and figures alone, lower case.
std::string plain(std::string_view text) {
    std::string out;
    for (char c : lower_case(text))
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) out += c;
    return out;
}

// "Ball speed (mph)" and "aim_deg" in name and unit; the unit may be empty.
void name_and_unit(std::string_view header, std::string& name, std::string& unit) {
    name = std::string(trimmed(header));
    unit.clear();
    const std::size_t open = name.find_last_of("([");
    if (open != std::string::npos && open > 0) {
        const std::size_t close = name.find_first_of(")]", open);
        if (close != std::string::npos) {
            unit = lower_case(trimmed(std::string_view(name).substr(open + 1, close - open - 1)));
            name = std::string(trimmed(std::string_view(name).substr(0, open)));
            return;
        }
    }
    const std::size_t bar = name.rfind('_');
    if (bar == std::string::npos || bar == 0) return;
    const std::string tail = lower_case(std::string_view(name).substr(bar + 1));
    for (Measure m : {Measure::angle, Measure::strike, Measure::speed, Measure::distance})
        if (factor(m, tail)) {
            unit = tail;
            name.resize(bar);
            return;
        }
}

class BaselineReader {
public:
    BaselineReader(const std::filesystem::path& file, const BaselineColumns& columns) : file_(file), columns_(columns) {
        for (const auto& choices : {columns.column, columns.unit})
            for (const auto& [name, what] : choices)
                if (std::none_of(std::begin(kFields), std::end(kFields), [&, n = name](const Field& f) { return n == f.name; }))
                    throw usage_error(fmt::format("found a field {}; aim, face, path, start, strike, speed or distance are wanted", quote(name)));
    }

    std::vector<BaselinePutt> go() {
        const MappedFile mapped(file_);
        LineReader lines(mapped.bytes());
        std::string_view line;
        std::vector<BaselinePutt> out;
        bool first = true;
        while (lines.next(line)) {
            const std::string_view text = trimmed(line);
            if (text.empty() || text.front() == '#') continue;
            number_ = lines.number();
            if (first) {
                separator_ = text.find(';') != text.npos ? ';' : text.find('\t') != text.npos ? '\t' : ',';
                first = false;
                if (take_header(fields_of(text, separator_))) continue;
            }
            if (out.size() == kMostRows) refuse(fmt::format("found more than {} putts, a baseline of 5 to some hundred is wanted", kMostRows));
            out.push_back(putt_of(fields_of(text, separator_)));
        }
        if (out.empty()) throw Error(fmt::format("{} holds no putts; a line for each measured putt is wanted", file_.string()));
        return out;
    }

private:
    struct Chosen { const Field* field; std::size_t column; double factor; };

    [[noreturn]] void refuse(const std::string& what) const { throw Error(fmt::format("{}, line {}: {}", file_.string(), number_, what)); }

    // Finds the columns; true where this line names them and holds no putt.
    bool take_header(const std::vector<std::string>& fields) {
        const bool numbers = std::all_of(fields.begin(), fields.end(), [&](std::string_view f) { return f.empty() || number(f); });
        std::vector<std::string> names(fields.size()), units(fields.size());
        if (!numbers)
            for (std::size_t k = 0; k < fields.size(); ++k) name_and_unit(fields[k], names[k], units[k]);
        for (const Field& f : kFields) {
            const auto choice = columns_.column.find(f.name);
            std::optional<std::size_t> at;
            if (choice != columns_.column.end()) {
                if (choice->second.empty()) continue;
                for (std::size_t k = 0; k < names.size() && !at; ++k)
                    if (!numbers && (plain(names[k]) == plain(choice->second) || trimmed(fields[k]) == trimmed(choice->second))) at = k;
                const auto n = parse_number(choice->second);
                if (!at && n && *n >= 1 && *n <= static_cast<double>(fields.size()) && *n == std::floor(*n)) at = static_cast<std::size_t>(*n) - 1;
                if (!at)
                    refuse(fmt::format("found no column {} for {}; {} columns are there, a name from the first line or a number from 1 is wanted",
                                       quote(choice->second), f.name, fields.size()));
            } else if (columns_.column.empty() && !numbers) {
                const std::string words = fmt::format(" {} ", f.words);
                for (std::size_t k = 0; k < names.size() && !at; ++k)
                    if (!plain(names[k]).empty() && words.find(" " + plain(names[k]) + " ") != std::string::npos) at = k;
            }
            if (!at) continue;
            std::string unit = units[*at];
            if (const auto told = columns_.unit.find(f.name); told != columns_.unit.end()) unit = lower_case(told->second);
            if (unit.empty()) unit = f.measure == Measure::angle ? "deg" : f.measure == Measure::strike ? "mm" : f.measure == Measure::speed ? "mps" : "m";
            const auto by = factor(f.measure, unit);
            if (!by) refuse(fmt::format("found the unit {} for {}; {} are wanted", quote(unit), f.name, wanted_units(f.measure)));
            chosen_.push_back({&f, *at, *by});
        }
        if (chosen_.empty())
            refuse("found no column that is known; name at least one of aim, face, path, start, strike, speed and distance, by its header or its number");
        return !numbers;
    }

    std::optional<double> number(std::string_view text) const {
        std::optional<double> v = brae::parse_number(text);
        if (!v && separator_ == ';') v = brae::parse_number(text, true);
        return v && std::isfinite(*v) ? v : std::nullopt;
    }

    BaselinePutt putt_of(const std::vector<std::string>& fields) const {
        BaselinePutt out;
        for (const Chosen& c : chosen_) {
            if (c.column >= fields.size()) refuse(fmt::format("found {} fields, {} in column {} is wanted", fields.size(), c.field->name, c.column + 1));
            if (fields[c.column].empty()) continue;
            const auto v = number(fields[c.column]);
            if (!v) refuse(fmt::format("found {} in {}, a number is wanted", quote(fields[c.column]), c.field->name));
            double value = *v * c.factor;
            const auto in = [&](double low, double high, const char* unit) {
                if (!(value >= low && value <= high)) refuse(fmt::format("found {:g} {} in {}, {:g} to {:g} are wanted", value, unit, c.field->name, low, high));
            };
            switch (c.field->measure) {
                case Measure::angle:
                    in(-45, 45, "degrees");
                    if (columns_.left_is_positive) value = -value;
                    break;
                case Measure::strike: in(-80, 80, "mm"); break;
                case Measure::speed: in(0.05, 20, "m/s"); break;
                case Measure::distance: in(0.1, 50, "m"); break;
            }
            out.*(c.field->value) = value;
        }
        return out;
    }

    std::filesystem::path file_;
    const BaselineColumns& columns_;
    std::vector<Chosen> chosen_;
    std::size_t number_ = 0;
    char separator_ = ',';
};

template <class Get>
BaselineMean mean_of(const std::vector<BaselinePutt>& putts, Get get) {
    BaselineMean out;
    double square = 0;
    for (const BaselinePutt& p : putts)
        if (const std::optional<double> v = get(p)) ++out.n, out.mean += *v;
    if (out.n == 0) return out;
    out.mean /= out.n;
    for (const BaselinePutt& p : putts)
        if (const std::optional<double> v = get(p)) square += (*v - out.mean) * (*v - out.mean);
    out.sd = out.n > 1 ? std::sqrt(square / (out.n - 1)) : 0;
    return out;
}

std::optional<double> stroke_of(const BaselinePutt& p) {
    return p.start_deg && p.aim_deg ? std::optional(*p.start_deg - *p.aim_deg) : std::nullopt;
}

}  // namespace

std::vector<BaselinePutt> read_baseline(const std::filesystem::path& file, const BaselineColumns& columns) {
    return BaselineReader(file, columns).go();
}

BaselineSummary summarise(const std::vector<BaselinePutt>& putts) {
    return {mean_of(putts, [](const auto& p) { return p.aim_deg; }),   mean_of(putts, [](const auto& p) { return p.face_deg; }),
            mean_of(putts, [](const auto& p) { return p.path_deg; }),  mean_of(putts, [](const auto& p) { return p.start_deg; }),
            mean_of(putts, stroke_of),                                 mean_of(putts, [](const auto& p) { return p.strike_mm; }),
            mean_of(putts, [](const auto& p) { return p.ball_speed_mps; })};
}

PlayerPrior prior_with_baseline(const PlayerPrior& prior, const std::vector<BaselinePutt>& putts) {
    constexpr double kBiasCarries = 0.5 * kPi / 180, kSpreadCarries = 0.3;
    PlayerPrior out = prior;
    const auto update = [](FigurePrior& f, double seen, double var) {
        const double v = f.sd * f.sd, k = v / (v + var);
        f.mean += k * (seen - f.mean);
        f.sd = std::sqrt(v * (1 - k));
    };
    const auto take = [&](const BaselineMean& m, PlayerFigure bias, PlayerFigure spread) {
        if (m.n == 0) return;
        // The mean's error by the spread that was likely before; that of ln sd is 1 / (2 (n - 1)) of variance.
        const double sd = std::exp(out.figure[spread].mean), seen_sd = radians(m.sd);
        update(out.figure[bias], radians(m.mean), std::pow(std::max(sd, seen_sd), 2) / m.n + kBiasCarries * kBiasCarries);
        if (m.n > 2 && seen_sd > 0) update(out.figure[spread], std::log(seen_sd), 1.0 / (2 * (m.n - 1)) + kSpreadCarries * kSpreadCarries);
    };
    const BaselineSummary s = summarise(putts);
    take(s.aim, kAimBias, kAimSpread);
    take(s.aim_to_start, kStrokeBias, kStrokeSpread);
    return out;
}

}  // namespace brae
