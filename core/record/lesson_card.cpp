#include "core/record/lesson_card.h"

#include "core/base/error.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <initializer_list>
#include <utility>

namespace brae {

namespace {

constexpr std::size_t kMostPutts = 1000;
constexpr std::array kColumns{"station", "outcome", "phase", "own_read_m", "own_read_cm", "own_read_in", "own_read_sigma_m", "aim", "aim_sigma_deg", "gate", "strike", "marker_seen",
                              "stop_x_m", "stop_y_m", "beyond_m", "right_m", "beyond_ft", "right_ft", "stop_source", "stop_sigma_m", "at", "note", "undone", "id"};

bool known(const std::string& name) { return std::find(kColumns.begin(), kColumns.end(), name) != kColumns.end(); }

class PuttReader {
public:
    PuttReader(const std::vector<CardField>& fields, const StoredLesson& lesson, const std::string& where, bool comma)
        : fields_(fields), lesson_(lesson), where_(where), comma_(comma) {}

    StoredPutt go() const {
        for (std::size_t k = 0; k < fields_.size(); ++k)
            for (std::size_t m = 0; m < k; ++m)
                if (fields_[m].first == fields_[k].first) refuse(fmt::format("found {} twice, once is wanted", fields_[k].first));
        for (const CardField& f : fields_)
            if (!known(f.first)) refuse(fmt::format("found a column {}; station, outcome and others of the lesson card are wanted", quote(f.first)));
        StoredPutt out;
        SeenPutt& p = out.seen;
        p.station = station();
        const auto outcome = word<PuttOutcome>("outcome", kOutcomeWords, kOutcomeCodes);
        if (!outcome) refuse("found no outcome, one of holed, passed-high, passed-low, passed-left, passed-right, short, lip-out, off-green, missed is wanted");
        p.outcome = *outcome;
        p.phase = word<PuttPhase>("phase", kPhaseWords, kPhaseCodes);
        p.own_read_m = length_of({{"own_read_m", 1.0}, {"own_read_cm", 0.01}, {"own_read_in", kInch}});
        if (const auto v = number("own_read_sigma_m")) p.own_read_sigma_m = *v;
        p.aim = word<SeenAim>("aim", kAimWords, kAimCodes);
        if (const auto v = number("aim_sigma_deg")) p.aim_sigma_deg = *v;
        p.gate = word<GateSide>("gate", kGateWords, kGateCodes);
        p.strike = word<StrikePlace>("strike", kStrikeWords, kStrikeCodes);
        if (const std::string seen = lower_case(text("marker_seen")); !seen.empty()) {
            if (seen != "yes" && seen != "no" && seen != "y" && seen != "n") refuse(fmt::format("found {} in marker_seen, yes or no is wanted", quote(seen)));
            p.marker_seen = seen[0] == 'y';
        }
        p.stop = stop(p.station);
        check_stop(p);
        if (p.stop && p.outcome == PuttOutcome::holed) refuse("found a place of rest of a holed putt, none is wanted");
        out.at = text("at"), out.note = text("note");
        return out;
    }

private:
    [[noreturn]] void refuse(const std::string& what) const { throw usage_error(where_ + ": " + what); }
    std::string text(const char* name) const {
        for (const CardField& f : fields_)
            if (f.first == name) return f.second;
        return {};
    }
    std::optional<double> number(const char* name) const {
        const std::string t = text(name);
        if (t.empty()) return std::nullopt;
        std::optional<double> v = parse_number(t);
        if (!v && comma_) v = parse_number(t, true);
        if (!v || !std::isfinite(*v)) refuse(fmt::format("found {} in {}, a number is wanted", quote(t), name));
        return v;
    }
    // A length that may be told in one of several units.
    std::optional<double> length_of(std::initializer_list<std::pair<const char*, double>> columns) const {
        std::optional<double> out;
        const char* first = nullptr;
        for (const auto& [name, metres] : columns) {
            const auto v = number(name);
            if (v && first) refuse(fmt::format("found both {} and {}, one is wanted", first, name));
            if (v) out = *v * metres, first = name;
        }
        return out;
    }
    // A word, the card's own code for it, or letters with which only one begins.
    template <class Value, class Words>
    std::optional<Value> word(const char* name, const Words& words, const Words& codes) const {
        const std::string t = lower_case(text(name));
        if (t.empty()) return std::nullopt;
        for (std::size_t k = 0; k < codes.size(); ++k)
            if (t == codes[k]) return static_cast<Value>(k);
        std::optional<Value> found;
        std::string all;
        bool several = false;
        for (std::size_t k = 0; k < words.size(); ++k) {
            if (t == words[k]) return static_cast<Value>(k);
            all += (all.empty() ? "" : ", ") + std::string(words[k]);
            if (!std::string(words[k]).starts_with(t)) continue;
            several = several || found;
            found = static_cast<Value>(k);
        }
        if (!found || several) refuse(fmt::format("found {} in {}, one of {} is wanted", quote(text(name)), name, all));
        return found;
    }
    // A ball that is short rests before the hole, on its way or a little off it; none rolls any distance.
    void check_stop(const SeenPutt& p) const {
        if (!p.stop) return;
        const LessonStation& s = lesson_.stations[static_cast<std::size_t>(p.station)].place;
        const Vec2 along = unit(s.hole - s.ball);
        const double length = distance(s.hole, s.ball), beyond = dot(p.stop->p - s.hole, along);
        const bool was_short = p.outcome == PuttOutcome::short_of;
        if (was_short && beyond > kHoleRadius) refuse(fmt::format("found a putt that was short and rests {:.2f} m beyond the hole, a place before it is wanted", beyond));
        if (was_short && beyond < -length - kHoleRadius)
            refuse(fmt::format("found a putt that was short and rests {:.1f} m behind its own ball spot, a place before the hole is wanted", -beyond - length));
        if (distance(p.stop->p, s.hole) > farthest_stop_m(s))
            refuse(fmt::format("found a place of rest {:.0f} m from the hole, at most {:.0f} m is wanted for this putt of {:.1f} m", distance(p.stop->p, s.hole), farthest_stop_m(s), length));
    }
    int station() const {
        const std::string t = text("station");
        std::string all;
        for (std::size_t k = 0; k < lesson_.stations.size(); ++k) {
            if (lower_case(lesson_.stations[k].place.label) == lower_case(t)) return static_cast<int>(k);
            all += (all.empty() ? "" : ", ") + lesson_.stations[k].place.label;
        }
        refuse(t.empty() ? "found no station, one of " + all + " is wanted" : fmt::format("found the station {}, one of {} is wanted", quote(t), all));
    }
    std::optional<StopPlace> stop(int at) const {
        const auto x = number("stop_x_m"), y = number("stop_y_m"), sigma = number("stop_sigma_m");
        const auto beyond = length_of({{"beyond_m", 1.0}, {"beyond_ft", kFoot}}), right = length_of({{"right_m", 1.0}, {"right_ft", kFoot}});
        const auto source = word<StopSource>("stop_source", kStopWords, kStopCodes);
        if (x.has_value() != y.has_value()) refuse(fmt::format("found {} without {}, both are wanted", x ? "stop_x_m" : "stop_y_m", x ? "stop_y_m" : "stop_x_m"));
        if (beyond.has_value() != right.has_value())
            refuse(fmt::format("found how far {} and not how far {}, both are wanted: beyond_m and right_m, or beyond_ft and right_ft",
                               beyond ? "beyond the hole" : "to its right", beyond ? "to its right" : "beyond the hole"));
        if (x && beyond) refuse("found the place of rest twice, by stop_x_m and by how far beyond the hole; one is wanted");
        if (!x && !beyond) {
            if (source || sigma) refuse("found how the place of rest was taken and no place, stop_x_m and stop_y_m or beyond_m and right_m are wanted");
            return std::nullopt;
        }
        StopPlace out;
        if (x) out.p = {*x, *y};
        else {
            const LessonStation& s = lesson_.stations[static_cast<std::size_t>(at)].place;
            const Vec2 along = unit(s.hole - s.ball);
            out.p = s.hole + *beyond * along + *right * right_of(along);
        }
        out.source = source;
        out.sigma_m = sigma;
        return out;
    }

    const std::vector<CardField>& fields_;
    const StoredLesson& lesson_;
    const std::string& where_;
    bool comma_;
};

}  // namespace

StoredPutt putt_of_fields(const std::vector<CardField>& fields, const StoredLesson& lesson, const std::string& where, bool decimal_comma) {
    return PuttReader(fields, lesson, where, decimal_comma).go();
}

std::vector<CardField> fields_with(const StoredPutt& putt, const StoredLesson& lesson, const std::vector<CardField>& over) {
    const SeenPutt& p = putt.seen;
    std::vector<CardField> out{{"station", lesson.stations[static_cast<std::size_t>(p.station)].place.label}, {"outcome", kOutcomeWords[static_cast<std::size_t>(p.outcome)]}};
    const auto word = [&](const char* name, const auto& words, const auto& v) {
        if (v) out.push_back({name, words[static_cast<std::size_t>(*v)]});
    };
    const auto number = [&](const char* name, double v) { out.push_back({name, fmt::format("{}", v)}); };
    word("phase", kPhaseWords, p.phase);
    if (p.own_read_m) number("own_read_m", *p.own_read_m), number("own_read_sigma_m", p.own_read_sigma_m);
    word("aim", kAimWords, p.aim);
    if (p.aim) number("aim_sigma_deg", p.aim_sigma_deg);
    word("gate", kGateWords, p.gate);
    word("strike", kStrikeWords, p.strike);
    if (p.marker_seen) out.push_back({"marker_seen", *p.marker_seen ? "yes" : "no"});
    if (p.stop) {
        number("stop_x_m", p.stop->p.x), number("stop_y_m", p.stop->p.y);
        word("stop_source", kStopWords, p.stop->source);
        if (p.stop->sigma_m) number("stop_sigma_m", *p.stop->sigma_m);
    }
    if (!putt.at.empty()) out.push_back({"at", putt.at});
    if (!putt.note.empty()) out.push_back({"note", putt.note});

    // What is told anew, and what it takes the place of.
    const auto told = [&](const std::string& name) { return std::any_of(over.begin(), over.end(), [&](const CardField& f) { return f.first == name; }); };
    const bool beyond = told("beyond_m") || told("beyond_ft"), right = told("right_m") || told("right_ft");
    const bool place = told("stop_x_m") || told("stop_y_m") || beyond || right;
    const bool holed = std::any_of(over.begin(), over.end(), [](const CardField& f) { return f.first == "outcome" && (lower_case(f.second) == kOutcomeWords[0] || lower_case(f.second) == kOutcomeCodes[0]); });
    std::erase_if(out, [&](const CardField& f) {
        if (f.first.starts_with("stop_") && (place || holed)) return true;
        if (f.first == "own_read_m" && (told("own_read_cm") || told("own_read_in"))) return true;
        return told(f.first);
    });
    // Of a kept place one coordinate alone may be put right; the other one and how it was taken stay.
    const auto given = [&](const std::string& name) { return std::any_of(over.begin(), over.end(), [&](const CardField& f) { return f.first == name && !f.second.empty(); }); };
    const bool x = told("stop_x_m"), y = told("stop_y_m");
    bool completed = false;
    if (p.stop && !holed && !told("station") && !x && !y && beyond != right && (given("beyond_m") || given("beyond_ft") || given("right_m") || given("right_ft"))) {
        const LessonStation& s = lesson.stations[static_cast<std::size_t>(p.station)].place;
        const Vec2 along = unit(s.hole - s.ball), from = p.stop->p - s.hole;
        number(beyond ? "right_m" : "beyond_m", dot(from, beyond ? right_of(along) : along));
        completed = true;
    } else if (p.stop && !holed && x != y && !beyond && !right && (given("stop_x_m") || given("stop_y_m"))) {
        number(x ? "stop_y_m" : "stop_x_m", x ? p.stop->p.y : p.stop->p.x);
        completed = true;
    }
    if (completed && !told("stop_source")) word("stop_source", kStopWords, p.stop->source);
    if (completed && !told("stop_sigma_m") && p.stop->sigma_m) number("stop_sigma_m", *p.stop->sigma_m);
    out.insert(out.end(), over.begin(), over.end());
    return out;
}

std::vector<StoredPutt> read_lesson_card(const std::filesystem::path& file, const StoredLesson& lesson) {
    const MappedFile mapped(file);
    LineReader lines(mapped.bytes());
    std::string_view line;
    std::vector<std::string> names;
    std::vector<StoredPutt> out;
    char separator = ',';
    while (lines.next(line)) {
        const std::string_view text = trimmed(line);
        if (text.empty() || text.front() == '#') continue;
        const std::string where = fmt::format("{}, line {}", file.string(), lines.number());
        if (names.empty()) {
            separator = text.find(';') != text.npos ? ';' : text.find('\t') != text.npos ? '\t' : ',';
            names = fields_of(text, separator);
            for (std::string& n : names) {
                n = lower_case(n);
                if (!known(n)) throw usage_error(fmt::format("{}: found a column {}; station, outcome and others of the lesson card are wanted", where, quote(n)));
                if (std::count(names.begin(), names.end(), n) > 1) throw usage_error(fmt::format("{}: found the column {} twice, once is wanted", where, quote(n)));
            }
            for (const char* must : {"station", "outcome"})
                if (std::find(names.begin(), names.end(), must) == names.end()) throw usage_error(fmt::format("{}: found no column {}, which every putt needs", where, must));
            continue;
        }
        const std::vector<std::string> values = fields_of(text, separator);
        if (values.size() > names.size()) throw usage_error(fmt::format("{}: found {} fields, {} are named in the first line", where, values.size(), names.size()));
        if (out.size() == kMostPutts) throw usage_error(fmt::format("{}: found more than {} putts", where, kMostPutts));
        std::vector<CardField> fields;
        for (std::size_t k = 0; k < values.size(); ++k) fields.push_back({names[k], values[k]});
        // An exported lesson holds the putts that were taken back; they stay taken back.
        if (std::any_of(fields.begin(), fields.end(), [](const CardField& f) { return f.first == "undone" && lower_case(f.second) == "yes"; })) continue;
        out.push_back(putt_of_fields(fields, lesson, where, separator == ';'));
    }
    if (out.empty()) throw usage_error(fmt::format("{} holds no putts; a first line of column names with station and outcome, then a line for each putt is wanted", file.string()));
    return out;
}

}  // namespace brae
