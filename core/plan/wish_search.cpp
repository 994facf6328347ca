#include "core/plan/wish_search.h"

#include "core/base/segment.h"
#include "core/base/units.h"
#include "core/plan/quick_chance.h"
#include "core/solve/holing_region.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <limits>
#include <map>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr int kBearings = 72;                 // of the lattice: every 5 degrees
constexpr double kRingStepM = 0.25;           // between its rings, more where a wish spans many
constexpr int kMostRings = 9;                 // of one wish
constexpr std::size_t kShortlist = 18;        // spots of a wish that the choice is made among
constexpr std::size_t kChanceShortlist = 12;  // and where the chance of each takes some hundred balls
constexpr int kChanceBearings = 2;            // where every so manieth bearing is near enough to its neighbour
constexpr double kShortlistApartM = 1.0;
constexpr double kLineClearM = 0.6;           // of a ball from another's line to the hole
constexpr long kMostNodes = 200000;
constexpr double kUnmet = 100, kInLine = 1;    // cost of a wish left open; of two balls on one line
constexpr double kCrowd = 0.05, kFarM = 3;    // and of two that are nearer than this
constexpr double kSamePuttRad = 0.05;         // a polished launch within this of the read's is the same putt
constexpr double kQuickChanceError = 0.02;    // see quick_chance.h
constexpr double kPathToDistance = 1.4;       // paths are longer than the straight line, on a practice putt by less than this

double pace_of(const StationWish& w, const StationRequest& request) { return w.past_m.value_or(request.past_m); }

struct Spot {
    SpotRead read;
    double distance_m = 0, cost = 0;
};

PuttSide side_of(double offset_m) {
    if (std::abs(offset_m) <= kStraightAimM) return PuttSide::straight;
    return offset_m > 0 ? PuttSide::right_to_left : PuttSide::left_to_right;
}

std::vector<double> rings_of(const Span& span) {
    const double width = span.high - span.low;
    const int steps = std::clamp(static_cast<int>(std::ceil(width / kRingStepM - 1e-9)), 0, kMostRings - 1);
    std::vector<double> out;
    for (int k = 0; k <= steps; ++k) out.push_back(steps == 0 ? span.middle() : span.low + width * k / steps);
    return out;
}

// Spots of a ring are looked at once, by distance, and read once, by pace; only those that somebody wants.
class Rings {
public:
    Rings(const TerrainModel& terrain, const StationRequest& request) : terrain_(terrain), request_(request) {}

    const std::vector<SpotRead>& room(double metres) {
        const auto [place, fresh] = room_.try_emplace(metres);
        if (fresh)
            for (int k = 0; k < kBearings; ++k) place->second.push_back(room_at(terrain_, request_, metres, 2 * kPi * k / kBearings));
        return place->second;
    }
    // The ring with the reads of the wanted spots that have room; others are there without reads, and not good.
    const std::vector<SpotRead>& at(const SpotReader& reader, double past_m, double metres, const std::vector<char>& wanted) {
        const auto [place, fresh] = read_.try_emplace({past_m, metres});
        if (fresh) {
            place->second.spots = room(metres);
            place->second.known.assign(kBearings, false);
            for (SpotRead& s : place->second.spots)
                if (s.good()) s.fault = SpotFault::no_read;
        }
        Ring& ring = place->second;
        const std::vector<SpotRead>& bare = room(metres);
        tbb::parallel_for(std::size_t{0}, bare.size(), [&](std::size_t k) {
            if (!wanted[k] || ring.known[k] || !bare[k].good()) return;
            SpotRead s = bare[k];
            reader.read(s);
            ring.spots[k] = s;
            ring.known[k] = true;
        });
        return ring.spots;
    }

private:
    struct Ring { std::vector<SpotRead> spots; std::vector<char> known; };
    const TerrainModel& terrain_;
    const StationRequest& request_;
    std::map<double, std::vector<SpotRead>> room_;
    std::map<std::pair<double, double>, Ring> read_;
};

const std::vector<char>& all_wanted() {
    static const std::vector<char> all(kBearings, true);
    return all;
}

// What of a ring a wish can use before any read is known: slope and tier.
struct Bare {
    double metres = 0;
    std::vector<char> fits;           // by bearing
};

// The spots of a wish with room and a steady read: the lattice, and between its spots those with the wished break.
struct Lattice {
    std::vector<Spot> good;
    std::size_t no_read = 0, shaky = 0;
};

Lattice lattice_of(const SpotReader& reader, const StationRequest& request, const StationWish& wish, const std::vector<Bare>& bare, Rings& rings) {
    Lattice out;
    for (const Bare& b : bare) {
        // Where a break is wished for, neighbours of what fits are read too, to interpolate between.
        const bool interpolated = wish.side == PuttSide::straight || wish.break_m;
        std::vector<char> wanted = b.fits;
        for (int k = 0; k < kBearings && interpolated; ++k)
            if (b.fits[static_cast<std::size_t>(k)])
                for (const int n : {k, (k + 1) % kBearings, (k + kBearings - 1) % kBearings}) wanted[static_cast<std::size_t>(n)] = true;
        const auto& ring = rings.at(reader, pace_of(wish, request), b.metres, wanted);
        for (std::size_t k = 0; k < ring.size(); ++k) {
            if (!b.fits[k]) continue;
            out.no_read += ring[k].fault == SpotFault::no_read, out.shaky += ring[k].fault == SpotFault::shaky;
            if (ring[k].good()) out.good.push_back({ring[k], b.metres});
        }
        // Narrow wishes fall between the spots.
        std::vector<double> sizes;
        if (wish.side == PuttSide::straight) sizes = {0};
        else if (wish.break_m) sizes = {wish.break_m->middle(), -wish.break_m->middle()};
        for (const double offset : sizes) {
            const auto rough = where_offset_is(ring, request.hole, b.metres, offset);
            std::vector<SpotRead> exact(rough.size());
            tbb::parallel_for(std::size_t{0}, rough.size(), [&](std::size_t k) { exact[k] = reader.refine(rough[k], b.metres, offset); });
            for (const SpotRead& s : exact)
                if (s.good()) out.good.push_back({s, b.metres});
        }
    }
    return out;
}

// Keeps the spots that a test holds for; false, with the sentence, where none is left.
bool keep(std::vector<Spot>& spots, const std::function<double(const Spot&)>& value, const Span& span, const char* what,
          double scale, const char* unit, int digits, std::string& against) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (const Spot& s : spots) low = std::min(low, value(s)), high = std::max(high, value(s));
    const std::size_t before = spots.size();
    std::erase_if(spots, [&](const Spot& s) { return !span.holds(value(s)); });
    if (!spots.empty()) return true;
    // As many places as keep what there is apart from what is wanted.
    const auto meet = [&](double is, double wanted) { return fmt::format("{:.{}f}", scale * is, digits) == fmt::format("{:.{}f}", scale * wanted, digits); };
    while (digits < 4 && (meet(high, span.low) || meet(low, span.high))) ++digits;
    against = fmt::format("none of {} spots has {} of {:.{}f} to {:.{}f} {}; they have {:.{}f} to {:.{}f}", before, what, scale * span.low, digits,
                          scale * span.high, digits, unit, scale * low, digits, scale * high, digits);
    return false;
}

// Best first, and apart from one another.
std::vector<Spot> shortlist(std::vector<Spot> spots, std::size_t most, double apart_m = kShortlistApartM) {
    std::stable_sort(spots.begin(), spots.end(), [](const Spot& a, const Spot& b) { return a.cost < b.cost; });
    std::vector<Spot> out;
    for (const Spot& s : spots) {
        if (out.size() == most) break;
        if (std::all_of(out.begin(), out.end(), [&](const Spot& t) { return distance(t.read.ball, s.read.ball) >= apart_m; }))
            out.push_back(s);
    }
    return out;
}

// The chance of the request's player from a spot; negative where the putt has no answer.
double chance_from(const TerrainModel& terrain, const StationRequest& request, double past_m, const SpotRead& spot) {
    const PuttQuestion question{spot.ball, request.hole, request.green_speed_ft, past_m};
    const PuttGround ground = putt_ground(*terrain.surface, terrain.outline, question);
    const auto meant = polish_forward(ground, spot.launch, 1e-7);
    if (meant && std::abs(std::remainder(meant->angle - spot.launch.angle, 2 * kPi)) < kSamePuttRad) return quick_chance(ground, *meant, request.player.errors());
    PuttOptions options;
    options.window = options.path = false;
    options.green_speed_sigma_ft = 0;
    const PuttAnswer answer = solve_putt(*terrain.surface, terrain.outline, question, options);
    return answer.solutions.empty() ? -1 : quick_chance(ground, launch_of(answer.solutions.front()), request.player.errors());
}

// The chance falls with the distance, so a few halvings find where to look; then the spots near there are asked.
std::vector<Spot> of_chance(const TerrainModel& terrain, const StationRequest& request, const StationWish& wish, std::vector<Spot> spots,
                            Progress& progress, std::string& against) {
    const double past_m = pace_of(wish, request);
    std::stable_sort(spots.begin(), spots.end(), [](const Spot& a, const Spot& b) { return a.distance_m < b.distance_m; });
    double least = 1, most = 0;
    // The quick chance keeps so far from the ends of the wish.
    const double margin = std::min(kQuickChanceError, 0.25 * (wish.chance->high - wish.chance->low));
    const auto ask = [&](const Spot& s) {
        progress.step(0.45, "chances to hole");
        const double c = chance_from(terrain, request, past_m, s.read);
        if (c >= 0) least = std::min(least, c), most = std::max(most, c);
        return c;
    };
    std::size_t low = 0, high = spots.size() - 1;
    while (high - low > 1) {
        const std::size_t mid = (low + high) / 2;
        (ask(spots[mid]) > wish.chance->middle() ? low : high) = mid;
    }
    const double metres = spots[low].distance_m;
    for (Spot& s : spots) s.cost = s.read.unrest() + 2 * std::abs(s.distance_m - metres);
    std::vector<Spot> few = shortlist(spots, 3 * kChanceShortlist, kBetweenBallsM), out;
    for (std::size_t begin = 0; begin < few.size() && out.size() < kChanceShortlist; begin += 4) {
        progress.step(0.5, "chances to hole");
        const std::size_t end = std::min(few.size(), begin + 4);
        std::vector<double> chances(end - begin);
        tbb::parallel_for(begin, end, [&](std::size_t k) { chances[k - begin] = chance_from(terrain, request, past_m, few[k].read); });
        for (std::size_t k = begin; k < end; ++k) {
            const double c = chances[k - begin];
            if (c >= 0) least = std::min(least, c), most = std::max(most, c);
            if (c >= wish.chance->low + margin && c <= wish.chance->high - margin) out.push_back(few[k]);
        }
    }
    if (out.empty())
        against = fmt::format("no spot that was tried has a chance of {:.0f} to {:.0f} % for this player; they have {:.0f} to {:.0f} %",
                              100 * wish.chance->low, 100 * wish.chance->high, 100 * least, 100 * most);
    return out;
}

double price(const Spot& s, const StationWish& wish) {
    // Steady first; then the middle of what was asked for.
    return s.read.unrest() + 0.05 * std::abs(s.distance_m - wish.distance_m.middle());
}

// Spots elsewhere with the break of those that an earlier wish may take, of nearly their length.
std::vector<Spot> like_these(const std::vector<Spot>& originals, const SpotReader& reader, const StationRequest& request,
                             const StationWish& wish, Rings& rings) {
    std::vector<Spot> out;
    for (const Spot& first : originals)
        for (const double metres : rings_of(wish.distance_m)) {
            if (std::abs(metres - first.distance_m) > kLikeDistanceM) continue;
            for (const SpotRead& s : where_offset_is(rings.at(reader, pace_of(wish, request), metres, all_wanted()), request.hole, metres, first.read.offset_m))
                if (distance(s.ball, first.read.ball) >= kLikeApartM) {
                    out.push_back({s, metres});
                    out.back().cost = price(out.back(), wish);
                }
        }
    return out;
}

// What meets a wish, or a sentence on what stands against it.
std::vector<Spot> options_for(ReadersByPace& readers, const TerrainModel& terrain, const StationRequest& request, const StationWish& wish,
                              Rings& rings, Progress& progress, std::string& against) {
    // What the ground alone decides comes first: a read costs more than all of it. Chances hardly change over 10 degrees.
    const int every = wish.chance ? kChanceBearings : 1;
    std::size_t asked = 0, edge = 0, zone = 0, other_hole = 0;
    std::vector<Bare> bare;
    std::vector<Spot> spots;
    for (const double metres : rings_of(wish.distance_m)) {
        Bare& b = bare.emplace_back();
        b.metres = metres;
        const std::vector<SpotRead>& room = rings.room(metres);
        for (std::size_t k = 0; k < room.size(); ++k) {
            const SpotRead& s = room[k];
            b.fits.push_back(false);
            if (k % static_cast<std::size_t>(every) != 0) continue;
            ++asked;
            edge += s.fault == SpotFault::edge, zone += s.fault == SpotFault::zone, other_hole += s.fault == SpotFault::other_hole;
            b.fits.back() = s.good();
            if (s.good()) spots.push_back({s, metres});
        }
    }
    if (spots.empty()) {
        against = fmt::format("of {} spots {:.1f} to {:.1f} m from the hole {} are off the green or within {:.1f} m of its edge, {} in a closed zone and {} within {:.0f} m of another hole",
                              asked, wish.distance_m.low, wish.distance_m.high, edge, kStanceM, zone, other_hole, kOtherHoleM);
        return {};
    }
    if (wish.slope_along &&
        !keep(spots, [](const Spot& s) { return s.read.slope_along; }, *wish.slope_along, "a slope", 100, "% (uphill positive)", 1, against))
        return {};
    if (wish.over_tier) {
        const std::size_t before = spots.size();
        std::erase_if(spots, [&](const Spot& s) { return !climbs_tier(*terrain.surface, s.read.ball, request.hole); });
        if (spots.empty()) {
            against = fmt::format("none of {} spots has a tier between it and the hole", before);
            return {};
        }
    }
    for (Bare& b : bare) {
        const auto& room = rings.room(b.metres);
        for (std::size_t k = 0; k < room.size(); ++k)
            if (b.fits[k]) b.fits[k] = std::any_of(spots.begin(), spots.end(), [&](const Spot& s) { return s.distance_m == b.metres && s.read.bearing == room[k].bearing; });
    }

    const std::size_t with_ground = spots.size();

    // Then the reads; spots between those of the lattice are asked for slope and tier themselves.
    Lattice lattice = lattice_of(readers.of(pace_of(wish, request)), request, wish, bare, rings);
    spots = std::move(lattice.good);
    if (wish.slope_along) std::erase_if(spots, [&](const Spot& s) { return !wish.slope_along->holds(s.read.slope_along); });
    if (wish.over_tier) std::erase_if(spots, [&](const Spot& s) { return !climbs_tier(*terrain.surface, s.read.ball, request.hole); });
    if (spots.empty()) {
        against = fmt::format("of {} spots {:.1f} to {:.1f} m from the hole {} have room{}, and of these {} have no putt that can be aimed, and on {} half a foot of green speed "
                              "changes the break too much", asked, wish.distance_m.low, wish.distance_m.high, with_ground,
                              wish.over_tier ? " and a tier before the hole" : wish.slope_along ? " and the slope" : "", lattice.no_read, lattice.shaky);
        return {};
    }
    if (wish.side) {
        const std::size_t before = spots.size();
        std::erase_if(spots, [&](const Spot& s) { return side_of(s.read.offset_m) != *wish.side; });
        if (spots.empty()) {
            against = fmt::format("none of {} spots has a {} putt", before, to_text(*wish.side));
            return {};
        }
    }
    if (wish.break_m && wish.side != PuttSide::straight &&
        !keep(spots, [](const Spot& s) { return std::abs(s.read.offset_m); }, *wish.break_m, "a break", 100, "cm", 0, against))
        return {};
    for (Spot& s : spots) s.cost = price(s, wish);
    if (wish.chance) spots = of_chance(terrain, request, wish, std::move(spots), progress, against);
    return shortlist(std::move(spots), kShortlist);
}

double from_line(Vec2 p, Vec2 ball, Vec2 hole) { return distance(p, nearest_on_segment(p, ball, hole)); }

// One spot a wish, by branch and bound: a wish may stay open at a price that nothing else reaches.
struct Chooser {
    const std::vector<std::vector<Spot>>& options;
    const std::vector<StationWish>& wishes;
    Vec2 hole;
    std::vector<const Spot*> taken, best;
    double least = std::numeric_limits<double>::infinity();
    long nodes = 0;
    std::vector<double> rest;      // the least that the wishes from k on can cost

    Chooser(const std::vector<std::vector<Spot>>& options_, const std::vector<StationWish>& wishes_, Vec2 hole_)
        : options(options_), wishes(wishes_), hole(hole_), rest(options_.size() + 1, 0) {
        for (std::size_t k = options.size(); k-- > 0;) rest[k] = rest[k + 1] + (options[k].empty() ? kUnmet : options[k].front().cost);
    }
    bool in_line(const Spot& a, const Spot& b) const {
        return from_line(a.read.ball, b.read.ball, hole) < kLineClearM || from_line(b.read.ball, a.read.ball, hole) < kLineClearM;
    }
    bool alike(const Spot& first, const Spot& second) const {
        const double a = first.read.offset_m, b = second.read.offset_m;
        return side_of(a) == side_of(b) && std::abs(a - b) <= std::max(kLikeBreakM, kLikeBreakShare * std::abs(a)) &&
               std::abs(first.distance_m - second.distance_m) <= kLikeDistanceM && distance(first.read.ball, second.read.ball) >= kLikeApartM;
    }
    void go(std::size_t k, double cost) {
        if (++nodes > kMostNodes || cost + rest[k] >= least) return;
        if (k == options.size()) {
            least = cost;
            best = taken;
            return;
        }
        for (const Spot& s : options[k]) {
            double more = s.cost;
            bool fits = true;
            for (std::size_t i = 0; i < k && fits; ++i) {
                if (!taken[i]) continue;
                fits = distance(taken[i]->read.ball, s.read.ball) >= kBetweenBallsM;
                if (in_line(*taken[i], s)) more += kInLine;
                more += kCrowd * std::max(0.0, 1 - distance(taken[i]->read.ball, s.read.ball) / kFarM);
            }
            if (fits && wishes[k].like) fits = taken[*wishes[k].like] && alike(*taken[*wishes[k].like], s);
            if (!fits) continue;
            taken.push_back(&s);
            go(k + 1, cost + more);
            taken.pop_back();
        }
        taken.push_back(nullptr);
        go(k + 1, cost + kUnmet);
        taken.pop_back();
    }
};

// "station 2 (steep)", "stations 1, 2 and 3 (over the tier)": wishes with one note are named in one breath.
std::string names_of(const std::vector<StationWish>& wishes, const std::vector<std::size_t>& which) {
    const bool alike = std::all_of(which.begin(), which.end(), [&](std::size_t k) { return wishes[k].note == wishes[which.front()].note; });
    const auto noted = [&](std::size_t k) { return wishes[k].note.empty() ? std::string() : " (" + wishes[k].note + ")"; };
    std::string out;
    for (std::size_t i = 0; i < which.size(); ++i)
        out += (i == 0 ? "" : i + 1 == which.size() ? " and " : ", ") + std::to_string(which[i] + 1) + (alike ? "" : noted(which[i]));
    return (which.size() == 1 ? "station " : "stations ") + out + (alike ? noted(which.front()) : "");
}

}  // namespace

ReadersByPace::ReadersByPace(const TerrainModel& terrain, const StationRequest& request, const std::vector<StationWish>& wishes,
                             Progress& progress)
    : terrain_(terrain), request_(request), progress_(progress) {
    double farthest = 0;
    for (const StationWish& w : wishes) farthest = std::max(farthest, w.distance_m.high);
    longest_path_m_ = kPathToDistance * farthest + 1;
}

const SpotReader& ReadersByPace::of(double past_m) {
    const auto known = std::find_if(readers_.begin(), readers_.end(), [&](const auto& r) { return r.first == past_m; });
    if (known != readers_.end()) return *known->second;
    return *readers_.emplace_back(past_m, std::make_unique<SpotReader>(terrain_, request_, past_m, progress_, longest_path_m_)).second;
}

Choice choose_by_wishes(ReadersByPace& readers, const TerrainModel& terrain, const StationRequest& request,
                        const std::vector<StationWish>& wishes, Progress& progress) {
    // Wishes that ask the same of a spot share their options.
    std::vector<std::vector<Spot>> options(wishes.size());
    std::vector<std::string> against(wishes.size());
    const auto same = [&](const StationWish& a, const StationWish& b) {
        const auto equal = [](const std::optional<Span>& x, const std::optional<Span>& y) {
            return x.has_value() == y.has_value() && (!x || (x->low == y->low && x->high == y->high));
        };
        return equal(a.distance_m, b.distance_m) && equal(a.break_m, b.break_m) && a.side == b.side && equal(a.slope_along, b.slope_along) &&
               a.over_tier == b.over_tier && equal(a.chance, b.chance) && pace_of(a, request) == pace_of(b, request);
    };
    Rings rings(terrain, request);
    for (std::size_t k = 0; k < wishes.size(); ++k) {
        progress.step(0.3 + 0.25 * static_cast<double>(k) / static_cast<double>(wishes.size()), "spots for each station");
        if (wishes[k].like) {
            options[k] = like_these(options[*wishes[k].like], readers.of(pace_of(wishes[k], request)), request, wishes[k], rings);
            std::stable_sort(options[k].begin(), options[k].end(), [](const Spot& a, const Spot& b) { return a.cost < b.cost; });
            continue;
        }
        std::size_t other = 0;
        while (other < k && !same(wishes[other], wishes[k])) ++other;
        if (other < k) options[k] = options[other], against[k] = against[other];
        else options[k] = options_for(readers, terrain, request, wishes[k], rings, progress, against[k]);
    }

    Chooser chooser(options, wishes, request.hole);
    chooser.go(0, 0);

    // Of wishes that ask the same the first ones are those that are met.
    const auto repeated = [&](std::size_t k) { return std::any_of(wishes.begin(), wishes.end(), [&](const StationWish& w) { return w.like == k; }); };
    if (chooser.best.size() == wishes.size())
        for (std::size_t k = 0; k < wishes.size(); ++k)
            for (std::size_t m = k + 1; m < wishes.size() && !chooser.best[k]; ++m)
                if (chooser.best[m] && !wishes[k].like && !wishes[m].like && same(wishes[k], wishes[m]) && !repeated(k) && !repeated(m))
                    std::swap(chooser.best[k], chooser.best[m]);

    Choice choice;
    std::vector<std::size_t> place(wishes.size());
    std::vector<std::size_t> open;
    for (std::size_t k = 0; k < wishes.size(); ++k) {
        if (const Spot* s = k < chooser.best.size() ? chooser.best[k] : nullptr) {
            std::string note = wishes[k].note;
            for (std::size_t i = 0; i < k; ++i)
                if (chooser.best[i] && chooser.in_line(*chooser.best[i], *s)) {
                    note += fmt::format("{}on the line of another station: one player at a time", note.empty() ? "" : "; ");
                    break;
                }
            place[k] = choice.spots.size();
            choice.spots.push_back({s->read.ball, pace_of(wishes[k], request), note});
            if (wishes[k].like) choice.spots.back().like = place[*wishes[k].like];
            continue;
        }
        open.push_back(k);
        if (against[k].empty())
            against[k] = wishes[k].like ? fmt::format("no spot is like that of station {} and clear of the others", *wishes[k].like + 1)
                                        : "each spot for it stands in the way of another station";
    }

    // Wishes that fail alike are named together.
    while (!open.empty()) {
        const std::string why = against[open.front()];
        std::vector<std::size_t> together;
        for (std::size_t k : open)
            if (against[k] == why) together.push_back(k);
        std::erase_if(open, [&](std::size_t k) { return against[k] == why; });
        choice.missing += fmt::format("{}{}: {}", choice.missing.empty() ? "" : "; ", names_of(wishes, together), why);
    }
    return choice;
}

}  // namespace brae
