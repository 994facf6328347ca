#include "plugins/practice_stations/putt_entry.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/solve/hole_line.h"
#include "core/survey/text_file.h"
#include "core/teach/side_doubt.h"
#include "plugins/api/panel_kit.h"

#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace brae::practice_stations {

namespace {

namespace kit = plugin::kit;
using plugin::ToolKey;

constexpr std::size_t kLongestNumber = 6;
constexpr double kWidestReadM = 5;          // beyond it a key was missed
constexpr double kClickedReadSigmaM = 0.03; // a point shown on a screen; typed: the file's own 0.02. Own choices

}  // namespace

std::string side_text(double offset_m, plugin::Units units) {
    if (std::abs(offset_m) < 0.0005) return "straight";
    return kit::offset(std::abs(offset_m), units) + (offset_m > 0 ? " right" : " left");
}

void PuttEntry::set_lesson(std::vector<StoredLessonStation> stations) {
    stations_ = std::move(stations);
    last_read_.resize(stations_.size());
    if (seen_.station >= static_cast<int>(stations_.size())) seen_.station = 0;
    if (!seen_.phase) seen_.phase = PuttPhase::own_read;
}

void PuttEntry::clear_putt() {
    const int station = seen_.station;
    const auto phase = seen_.phase;
    seen_ = {};
    seen_.station = station;
    seen_.phase = phase;
    outcome_.reset();
    typing_ = TypedFor::nothing;
    typed_.clear();
    beyond_m_.reset(), right_m_.reset();
    cups_ = usually_cups_;
    digits_.clear();
}

void PuttEntry::go_to(int station, std::optional<PuttPhase> phase) {
    if (stations_.empty()) return;
    const int count = static_cast<int>(stations_.size());
    seen_.station = ((station % count) + count) % count;
    if (phase) seen_.phase = phase;
    clear_putt();
    message_.clear();
    step_ = own_line() ? EntryStep::read : EntryStep::putt;
}

void PuttEntry::saved() {
    // A putt that is told whole is done; of a miss without a place, that may still come.
    const PuttOutcome o = *outcome_;
    const bool done = seen_.stop || o == PuttOutcome::holed;
    if (done) {
        // What was said about it stays to be read.
        const std::string said = message_;
        const bool place = seen_.stop.has_value();
        next();
        message_ = said;
        moved_on_ = place;
        return;
    }
    step_ = EntryStep::place;
}

void PuttEntry::in_doubt(const SeenPutt& saved, PuttOutcome likelier) {
    const auto phase = seen_.phase;
    seen_ = saved;
    if (!seen_.phase) seen_.phase = phase;
    outcome_ = saved.outcome;
    likelier_ = likelier;
    step_ = EntryStep::doubt;
}

void PuttEntry::set_read(double offset_m, double sigma_m) {
    seen_.own_read_m = offset_m;
    seen_.own_read_sigma_m = sigma_m;
    last_read_[static_cast<std::size_t>(seen_.station)] = offset_m;
    typing_ = TypedFor::nothing;
    typed_.clear();
    message_.clear();
    step_ = EntryStep::putt;
}

EntryDo PuttEntry::repeat_read() {
    if (step_ != EntryStep::read) return say("the read is repeated before the putt; Backspace goes back to it");
    const auto& last = last_read_[static_cast<std::size_t>(seen_.station)];
    if (!last) return say("no read was told at this station yet; click it, or type how far and press \u2190 or \u2192");
    set_read(*last, 0.02);
    return EntryDo::shown;
}

std::optional<double> PuttEntry::typed_number() const {
    if (typed_.empty()) return std::nullopt;
    return parse_number(typed_);
}

const char* PuttEntry::typed_unit() const {
    if (typing_ == TypedFor::paces) return "paces";
    if (typing_ == TypedFor::read && cups_) return "hole widths";
    return units_ == plugin::Units::metric ? "cm" : "in";
}

// Digits, a point and what the arrows make of them.
EntryDo PuttEntry::typed_key(ToolKey key) {
    const bool read = typing_ == TypedFor::read;
    if (key == ToolKey::backspace) {
        if (typed_.empty()) typing_ = TypedFor::nothing, beyond_m_.reset(), right_m_.reset();
        else typed_.pop_back();
        if (read && typed_.empty()) typing_ = TypedFor::nothing;
        message_.clear();
        return EntryDo::shown;
    }
    const std::optional<double> typed = typed_number();
    const bool number = typed.has_value();
    const double value = typed.value_or(0);
    if (!typed_.empty() && !number) return say(fmt::format("'{}' is no number; one such as 40 or 12.5 is wanted", typed_));
    const double unit = typing_ == TypedFor::paces ? pace_m_ : read && cups_ ? 2 * kHoleRadius : units_ == plugin::Units::metric ? 0.01 : kInch;

    if (read) {
        if (key == ToolKey::enter && number && value == 0) return set_read(0, 0.02), EntryDo::shown;
        if (key == ToolKey::enter) return say(fmt::format("to which side is it aimed? \u2190 left or \u2192 right of the hole makes {} {} the read", typed_, typed_unit()));
        if (key != ToolKey::left && key != ToolKey::right) return say("\u2190 or \u2192 says to which side of the hole it is aimed");
        if (!number) return say("a number first, then \u2190 or \u2192");
        const double metres = value * unit;
        if (metres > kWidestReadM) return say(fmt::format("{} {} are {:.1f} m; at most {:.0f} m are taken as a read", typed_, typed_unit(), metres, kWidestReadM));
        set_read(key == ToolKey::right ? metres : -metres, 0.02);
        return EntryDo::shown;
    }

    // A place by tape or paces: past or short of the hole, then left or right of it.
    if (key == ToolKey::up || key == ToolKey::down || key == ToolKey::left || key == ToolKey::right) {
        if (!number) return say("a number first, then \u2191 past the hole or \u2193 short of it, and \u2190 or \u2192 beside the line");
        const double metres = value * unit;
        if (const double most = farthest_stop_m(at().place); metres > most)
            return say(fmt::format("{} {} are {}; at most {} are taken of this putt", typed_, typed_unit(), kit::distance(metres, units_), kit::distance(most, units_)));
        if (key == ToolKey::up) beyond_m_ = metres;
        if (key == ToolKey::down) beyond_m_ = -metres;
        if (key == ToolKey::left) right_m_ = -metres;
        if (key == ToolKey::right) right_m_ = metres;
        typed_.clear();
        message_.clear();
        if (!beyond_m_ || !right_m_) return EntryDo::shown;
    } else if (key == ToolKey::enter) {
        if (number) return say(fmt::format("which way are the {} {}? \u2191 past the hole, \u2193 short of it, \u2190 or \u2192 beside the line", typed_, typed_unit()));
        if (!beyond_m_ && !right_m_) return typing_ = TypedFor::nothing, say("no place was measured");
    } else {
        return EntryDo::shown;
    }
    // What was not told of the two lies on the line.
    const HoleLine line(at().place.ball, at().place.hole);
    StopPlace stop;
    stop.p = line.hole + beyond_m_.value_or(0) * line.along + right_m_.value_or(0) * line.right;
    stop.source = typing_ == TypedFor::paces ? StopSource::paces : StopSource::tape;
    seen_.stop = stop;
    typing_ = TypedFor::nothing;
    typed_.clear();
    beyond_m_.reset(), right_m_.reset();
    return place_told();
}

EntryDo PuttEntry::place_told() {
    message_.clear();
    return step_ == EntryStep::place ? EntryDo::put_right : EntryDo::shown;
}

// "60" and then an arrow reads as a place whose M was forgotten: a zero after a digit, or two digits of one row.
bool PuttEntry::looks_like_a_place() const {
    if (digits_.size() < 2) return false;
    const char a = digits_[digits_.size() - 2], b = digits_.back();
    return a != '0' && (b == '0' || (a - '1') / 3 == (b - '1') / 3);
}

EntryDo PuttEntry::key(ToolKey key, bool shift) {
    if (stations_.empty()) return EntryDo::nothing;
    const bool place = looks_like_a_place();
    const std::string digits = std::exchange(digits_, {});
    const bool arrow = key == ToolKey::up || key == ToolKey::down || key == ToolKey::left || key == ToolKey::right;
    const bool plain = typing_ == TypedFor::nothing && (step_ == EntryStep::putt || step_ == EntryStep::place);
    const EntryDo what = key_pressed(key, shift);
    if (place && arrow && plain)
        say(fmt::format("taken as details {} and how it ended; if {} was a place by tape, Ctrl+Z takes the putt back, and a place begins with M", digits, digits));
    return what;
}

EntryDo PuttEntry::key_pressed(ToolKey key, bool shift) {
    const bool moved_on = std::exchange(moved_on_, false);
    if (key == ToolKey::undo) return EntryDo::undo;
    if (key == ToolKey::redo) return EntryDo::redo;
    if (step_ == EntryStep::doubt) {
        if (key != ToolKey::enter) return say("1 takes the other word, 2 drops the place, Enter leaves both as they are");
        next();
        return EntryDo::shown;
    }
    if (typing_ != TypedFor::nothing && key == ToolKey::escape) {
        typing_ = TypedFor::nothing;
        typed_.clear();
        beyond_m_.reset(), right_m_.reset();
        return EntryDo::shown;
    }
    if (typing_ != TypedFor::nothing && key != ToolKey::tab) return typed_key(key);
    switch (key) {
        case ToolKey::tab: go_to(seen_.station + (shift ? -1 : 1)); return EntryDo::shown;
        case ToolKey::enter:
            if (step_ == EntryStep::read) {
                // The Enter that was meant for the putt before does not cost this one its read.
                if (moved_on) return say("the putt before is saved with its place; now the own read, or Enter once more to go on without");
                step_ = EntryStep::putt;
                return say("the read of this putt is not told: read and start line will not come apart");
            }
            if (step_ == EntryStep::place) return EntryDo::next;
            return say("an outcome ends the putt: H, S, X, I, O or an arrow");
        case ToolKey::backspace:
        case ToolKey::remove:
            // The last thing that was told goes first.
            message_.clear();
            if (step_ == EntryStep::place) return say("the putt is saved; Ctrl+Z takes it back, another outcome puts it right");
            if (seen_.stop) seen_.stop.reset();
            else if (seen_.aim || seen_.gate || seen_.strike || seen_.marker_seen) seen_.aim.reset(), seen_.gate.reset(), seen_.strike.reset(), seen_.marker_seen.reset();
            else if (own_line() && step_ == EntryStep::putt) seen_.own_read_m.reset(), step_ = EntryStep::read;
            return EntryDo::shown;
        case ToolKey::up: return outcome(PuttOutcome::passed_high);
        case ToolKey::down: return outcome(PuttOutcome::passed_low);
        case ToolKey::left: return outcome(PuttOutcome::passed_left);
        case ToolKey::right: return outcome(PuttOutcome::passed_right);
        default: return EntryDo::nothing;
    }
}

EntryDo PuttEntry::outcome(PuttOutcome what) {
    if (stations_.empty()) return EntryDo::nothing;
    if (step_ == EntryStep::doubt) return say("1 takes the other word, 2 drops the place, Enter leaves both as they are");
    if (step_ == EntryStep::read) return say("the own read first: click it, or type how far and press \u2190 or \u2192; Enter goes on without");
    message_.clear();
    if (what == PuttOutcome::holed && seen_.stop) {
        seen_.stop.reset();
        message_ = "a holed putt has no place of rest; the one that was told is left out";
    }
    outcome_ = what;
    seen_.outcome = what;
    typing_ = TypedFor::nothing;
    typed_.clear();
    return step_ == EntryStep::place ? EntryDo::put_right : EntryDo::save;
}

// 1-3 gate, 4-6 aim, 7-9 strike, 0 the marker; the same key again takes it back.
EntryDo PuttEntry::detail(int digit) {
    message_.clear();
    const auto toggle = [](auto& value, auto next) {
        if (value == next) value.reset();
        else value = next;
    };
    if (digit == 0) {
        if (!seen_.marker_seen) seen_.marker_seen = true;
        else if (*seen_.marker_seen) seen_.marker_seen = false;
        else seen_.marker_seen.reset();
    } else if (digit <= 3) {
        toggle(seen_.gate, static_cast<GateSide>(digit - 1));
    } else if (digit <= 6) {
        toggle(seen_.aim, static_cast<SeenAim>(digit - 4));
    } else {
        toggle(seen_.strike, static_cast<StrikePlace>(digit - 7));
    }
    return step_ == EntryStep::place ? EntryDo::put_right : EntryDo::shown;
}

EntryDo PuttEntry::letter(char c) {
    if (stations_.empty()) return EntryDo::nothing;
    moved_on_ = false;
    const bool digit = c >= '0' && c <= '9', point = c == '.' || c == ',';
    if (step_ == EntryStep::doubt) {
        if (c == '1') {
            outcome_ = likelier_;
            seen_.outcome = likelier_;
            return EntryDo::put_right;
        }
        if (c == '2') {
            seen_.stop.reset();
            return EntryDo::put_right;
        }
        return say("1 takes the other word, 2 drops the place, Enter leaves both as they are");
    }

    // Numbers.
    if (step_ == EntryStep::read && typing_ == TypedFor::nothing && (digit || point)) typing_ = TypedFor::read;
    if (typing_ != TypedFor::nothing && (digit || point)) {
        if (typed_.size() >= kLongestNumber) return say("that is more digits than a length beside a hole has; Backspace takes one back");
        if (point && typed_.find('.') != std::string::npos) return say("there is a point already");
        typed_ += point ? '.' : c;
        message_.clear();
        return EntryDo::shown;
    }
    if (digit) return digits_ += c, detail(c - '0');
    digits_.clear();

    switch (c) {
        case 'H': return outcome(PuttOutcome::holed);
        case 'S': return outcome(PuttOutcome::short_of);
        case 'X': return outcome(PuttOutcome::missed);
        case 'I': return outcome(PuttOutcome::lip_out);
        case 'O': return outcome(PuttOutcome::off_green);
        case 'M':
        case 'P':
            if (step_ == EntryStep::read) return say("a place is measured once the ball is hit; the own read first, or Enter");
            if (outcome_ == PuttOutcome::holed) return say("a holed putt has no place of rest");
            typing_ = c == 'M' ? TypedFor::tape : TypedFor::paces;
            typed_.clear();
            beyond_m_.reset(), right_m_.reset();
            message_.clear();
            return EntryDo::shown;
        case 'C':
            if (step_ != EntryStep::read) return say("hole widths are for the read, before the putt");
            cups_ = !cups_;
            message_.clear();
            return EntryDo::shown;
        case 'R': return repeat_read();
        case 'L': {
            constexpr PuttPhase order[] = {PuttPhase::own_read, PuttPhase::marker, PuttPhase::mark, PuttPhase::retest};
            go_to(seen_.station, order[(static_cast<int>(phase()) + 1) % 4]);
            return EntryDo::shown;
        }
        case 'N': return EntryDo::suggested;
        case 'F':
        case 'T':
        case 'V': return EntryDo::nothing;   // the views stay the program's own
        default: break;
    }
    return say(fmt::format("the key {} says nothing here; {}", c,
                           step_ == EntryStep::read ? "a number with \u2190 or \u2192, a click, R, C, L, N or Tab is wanted" : "H, S, X, I, O, an arrow or a digit is wanted"));
}

EntryDo PuttEntry::click(Vec2 p) {
    if (stations_.empty() || step_ == EntryStep::doubt) return EntryDo::nothing;
    const HoleLine line(at().place.ball, at().place.hole);
    if (step_ == EntryStep::read) {
        // Where the line from the ball over this point passes the hole.
        const Vec2 to = p - at().place.ball;
        const double ahead = dot(to, line.along), side = dot(to, line.right), away = distance(at().place.ball, at().place.hole);
        if (ahead < 0.2 || std::abs(side) > 1.5 * ahead) return say("the read is a point ahead of the ball, on the line where the player aims");
        const double offset = side / ahead * away;
        if (std::abs(offset) > kWidestReadM) return say(fmt::format("that aims {:.1f} m beside the hole; at most {:.0f} m are taken as a read", std::abs(offset), kWidestReadM));
        set_read(offset, kClickedReadSigmaM);
        return EntryDo::shown;
    }
    if (outcome_ == PuttOutcome::holed) return EntryDo::nothing;
    if (const double most = farthest_stop_m(at().place); distance(p, at().place.hole) > most)
        return say(fmt::format("that is {} from the hole; at most {} are taken of this putt", kit::distance(distance(p, at().place.hole), units_), kit::distance(most, units_)));
    seen_.stop = StopPlace{p, StopSource::click, {}};
    typing_ = TypedFor::nothing;
    typed_.clear();
    return place_told();
}

std::string PuttEntry::asks() const {
    if (stations_.empty()) return "This lesson has no stations.";
    if (typing_ == TypedFor::read) return "\u2190 or \u2192: aimed left or right of the hole by so much.";
    if (typing_ != TypedFor::nothing) {
        if (!beyond_m_ && !right_m_) return "How far, then \u2191 past the hole or \u2193 short; then \u2190 or \u2192 beside the line.";
        return beyond_m_ ? "How far beside the line, then \u2190 or \u2192; Enter: on it." : "How far, then \u2191 past the hole or \u2193 short; Enter: level with it.";
    }
    switch (step_) {
        case EntryStep::read: return "The player's own read: click where the ball is started to, or type how far from the hole's centre.";
        case EntryStep::putt: return seen_.stop ? "How did it end?" : "Click where it stopped (if it did), then how it ended.";
        case EntryStep::place: return "Click where it stopped, or Enter for the next putt.";
        case EntryStep::doubt: return fmt::format("1: {}.  2: the place is wrong.  Enter: as it is.", plain_words(likelier_));
    }
    return {};
}

std::string PuttEntry::read_text() const { return seen_.own_read_m ? side_text(*seen_.own_read_m, units_) : std::string(); }

std::string PuttEntry::stop_text() const {
    const auto part = [&](double metres) { return kit::distance(std::abs(metres), units_); };
    if (typing_ == TypedFor::tape || typing_ == TypedFor::paces) {
        std::string out = beyond_m_ ? part(*beyond_m_) + (*beyond_m_ < 0 ? " short" : " past") : std::string();
        if (right_m_) out += (out.empty() ? "" : ", ") + part(*right_m_) + (*right_m_ < 0 ? " left" : " right");
        return out;
    }
    if (!seen_.stop) return {};
    const HoleLine line(at().place.ball, at().place.hole);
    const double beyond = line.beyond(seen_.stop->p), right = line.offset(seen_.stop->p);
    return part(beyond) + (beyond < 0 ? " short, " : " past, ") + part(right) + (right < 0 ? " left" : " right");
}

}  // namespace brae::practice_stations
