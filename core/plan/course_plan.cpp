#include "core/plan/course_plan.h"

#include "core/base/error.h"
#include "core/plan/integer_program.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <limits>

namespace brae {

namespace {

// What a breach of each soft rule costs, against scores of 0 to 1 a green and day. Own choices.
constexpr double kNoHole = 20, kRowOfThree = 1.0, kThirdOff = 0.4, kDifficultyOff = 0.4, kSideOff = 0.2, kThirdOfGreen = 0.15;
constexpr double kWear = 0.6, kNearAgain = 0.25;

// Places that stand too near for one another, in groups of which a plan may use one at a time: each pair is in a group.
std::vector<std::vector<int>> groups_within(const std::vector<CourseCandidate>& c, double metres) {
    const int n = static_cast<int>(c.size());
    const auto near = [&](int a, int b) { return a != b && distance(c[a].p, c[b].p) < metres; };
    std::vector<std::vector<char>> covered(n, std::vector<char>(n, 0));
    std::vector<std::vector<int>> out;
    const auto add = [&](std::vector<int> group) {
        // Grown by whatever is near to all of it.
        for (int k = 0; k < n; ++k)
            if (std::find(group.begin(), group.end(), k) == group.end() &&
                std::all_of(group.begin(), group.end(), [&](int g) { return near(g, k); }))
                group.push_back(k);
        for (int a : group)
            for (int b : group) covered[a][b] = 1;
        out.push_back(std::move(group));
    };
    for (int a = 0; a < n; ++a)
        for (int b = a + 1; b < n; ++b)
            if (near(a, b) && !covered[a][b]) add({a, b});
    for (int a = 0; a < n; ++a)
        if (!covered[a][a]) add({a});
    return out;
}

bool is_skipped(const CourseGreen& green, int day) { return std::find(green.skipped.begin(), green.skipped.end(), day) != green.skipped.end(); }

// The last day on which a hole cut on `day` is sure to be in use: it stays over the skipped days that follow.
int stays_to(const CourseGreen& green, int day) {
    while (is_skipped(green, day + 1)) ++day;
    return day;
}

// Is a place open on a day, by its zone and by the holes before the plan?
bool open_on(const CourseGreen& green, const CourseCandidate& c, int day, const CourseRules& rules) {
    if (day < c.from_day) return false;
    for (const PastHole& h : green.past) {
        const int ago = h.days_before + day;
        const double away = distance(h.p, c.p);
        if ((ago <= rules.apart_days && away < rules.apart_m) || (ago <= rules.healing_days && away < rules.plug_m)) return false;
    }
    return true;
}

bool clash(const CourseGreen& green, int a, int day_a, int b, int day_b, const CourseRules& rules) {
    const int apart = std::max(day_a, day_b) - stays_to(green, std::min(day_a, day_b));
    const double away = distance(green.candidates[a].p, green.candidates[b].p);
    return (apart <= rules.apart_days && away < rules.apart_m) || (apart <= rules.healing_days && away < rules.plug_m);
}

void check(const std::vector<CourseGreen>& greens, int days) {
    if (days < 1 || days > 14) throw usage_error(fmt::format("a plan of {} days was asked for; 1 to 14 are wanted", days));
    for (const CourseGreen& g : greens) {
        std::vector<char> taken(days, 0);
        for (const PickByHand& h : g.by_hand) {
            if (h.day < 0 || h.day >= days || h.candidate < 0 || h.candidate >= static_cast<int>(g.candidates.size()))
                throw usage_error(fmt::format("green {}: a hole set by hand for day {} is no place of this plan", g.name, h.day + 1));
            if (is_skipped(g, h.day)) throw usage_error(fmt::format("green {}: a hole is set by hand for day {}, on which none is cut", g.name, h.day + 1));
            if (taken[h.day]++) throw usage_error(fmt::format("green {}: two holes are set by hand for day {}", g.name, h.day + 1));
        }
    }
}

// Deterministic first plan: day by day the place that costs least now. Also the peer of the search in the tests.
std::vector<std::vector<int>> greedy(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules,
                                     const std::vector<std::vector<int>>& thirds) {
    std::vector<std::vector<int>> picks(greens.size(), std::vector<int>(days, -1));
    for (std::size_t g = 0; g < greens.size(); ++g)
        for (const PickByHand& h : greens[g].by_hand) picks[g][h.day] = h.candidate;
    for (int d = 0; d < days; ++d) {
        std::array<int, 3> along{}, hard{};
        for (std::size_t g = 0; g < greens.size(); ++g) {
            const CourseGreen& green = greens[g];
            if (picks[g][d] < 0 && !is_skipped(green, d)) {
                double least = std::numeric_limits<double>::infinity();
                for (int c = 0; c < static_cast<int>(green.candidates.size()); ++c) {
                    const CourseCandidate& place = green.candidates[c];
                    if (!open_on(green, place, d, rules)) continue;
                    bool clear = true;
                    for (int other = 0; other < days && clear; ++other)
                        if (other != d && picks[g][other] >= 0) clear = !clash(green, c, d, picks[g][other], other, rules);
                    if (!clear) continue;
                    double cost = 1 - place.score + kWear * place.wear;
                    if (green.counts) cost += 0.2 * along[place.along] + 0.2 * hard[thirds[g][c]];
                    if (cost < least - 1e-12) least = cost, picks[g][d] = c;
                }
            }
            if (green.counts && picks[g][d] >= 0) ++along[green.candidates[picks[g][d]].along], ++hard[thirds[g][picks[g][d]]];
        }
    }
    return picks;
}

// Why a green has no hole on some days of a plan, by the cause of each.
std::string days_without(const CourseGreen& green, const std::vector<int>& picks, const CourseRules& rules) {
    const int days = static_cast<int>(picks.size());
    int closed = 0, near = 0, first_open = days;
    for (const CourseCandidate& c : green.candidates) first_open = std::min(first_open, c.from_day);
    for (int d = 0; d < days; ++d)
        if (picks[d] < 0 && !is_skipped(green, d)) ++(d < first_open ? closed : near);
    if (closed + near == 0) return {};
    if (green.candidates.empty()) return fmt::format("on {} of {} days there is no hole, as it has no fair place", closed, days);
    std::string out;
    if (closed > 0) out = fmt::format("on {} of {} days every fair place lies in a zone that is closed", closed, days);
    if (near > 0)
        out += fmt::format("{}on {} of {} days no fair place keeps {:.1f} m from the holes of the last {} days and {:.1f} m from unhealed plugs", out.empty() ? "" : "; ", near, days,
                           rules.apart_m, rules.apart_days, rules.plug_m);
    return out;
}

// Which thirds of a green a plan leaves out, and why; empty where none, or where fewer than three holes were placed.
std::string thirds_left_out(const CourseGreen& green, const std::vector<int>& picks, const CourseRules& rules) {
    std::array<int, 3> used{}, there{}, open{};
    for (const int c : picks)
        if (c >= 0) ++used[green.candidates[c].along];
    if (used[0] + used[1] + used[2] < 3) return {};
    for (const CourseCandidate& c : green.candidates) {
        ++there[c.along];
        bool any = false;
        for (int d = 0; d < static_cast<int>(picks.size()) && !any; ++d) any = open_on(green, c, d, rules);
        open[c.along] += any;
    }
    constexpr const char* kNames[3] = {"front", "middle", "back"};
    std::string out;
    for (int third = 0; third < 3; ++third) {
        if (used[third] > 0) continue;
        const std::string why = there[third] == 0  ? "no fair place lies there"
                                : open[third] == 0 ? fmt::format("its {} fair places are closed, or too near to earlier holes, on every day", there[third])
                                                   : fmt::format("its {} fair places are worse, more worn, or too near to the other days' holes", there[third]);
        out += fmt::format("{}the {} third gets no hole: {}", out.empty() ? "" : "; ", kNames[third], why);
    }
    return out.empty() ? out : fmt::format("green {}: {}", green.name, out);
}

// The program and where its variables are.
class CourseProgram {
public:
    CourseProgram(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules) : greens_(greens), days_(days), rules_(rules) {
        thirds_ = difficulty_thirds(greens);
        choices();
        distances();
        balance();
        over_days();
    }
    IntegerProgram program;

    std::vector<std::vector<int>> picks_of(const std::vector<double>& x) const {
        std::vector<std::vector<int>> out(greens_.size(), std::vector<int>(days_, -1));
        for (std::size_t g = 0; g < greens_.size(); ++g)
            for (int d = 0; d < days_; ++d)
                for (std::size_t c = 0; c < greens_[g].candidates.size(); ++c)
                    if (at(g, d, c) >= 0 && x[at(g, d, c)] > 0.5) out[g][d] = static_cast<int>(c);
        return out;
    }
    // Values of all variables for a plan: each slack as small as its row allows.
    std::vector<double> start_from(const std::vector<std::vector<int>>& picks) const {
        std::vector<double> x(program.variables(), 0);
        for (std::size_t g = 0; g < greens_.size(); ++g)
            for (int d = 0; d < days_; ++d) {
                const int pick = picks[g][d];
                if (pick >= 0 && at(g, d, pick) >= 0) x[at(g, d, pick)] = 1;
                else x[none_[g][d]] = 1;
            }
        for (const SlackRow& r : slack_rows_) {
            double sum = 0;
            for (const auto& [v, f] : r.terms) sum += f * x[v];
            if (r.over >= 0) x[r.over] = std::max(0.0, sum - r.high);
            if (r.under >= 0) x[r.under] = std::max(0.0, r.low - sum);
        }
        return x;
    }
    std::vector<std::vector<int>> thirds_;

private:
    using Terms = std::vector<std::pair<int, double>>;
    struct SlackRow { Terms terms; double low, high; int over, under; double price; };

    int at(std::size_t g, int d, std::size_t c) const { return x_[g][static_cast<std::size_t>(d) * greens_[g].candidates.size() + c]; }

    double choice_cost(std::size_t g, int c) const { return 1 - greens_[g].candidates[c].score + kWear * greens_[g].candidates[c].wear; }
    void choices() {
        for (const CourseGreen& green : greens_) {
            x_.emplace_back(), none_.emplace_back();
            std::vector<int> by_hand(days_, -1);
            for (const PickByHand& h : green.by_hand) by_hand[h.day] = h.candidate;
            for (int d = 0; d < days_; ++d) {
                Terms one;
                for (int c = 0; c < static_cast<int>(green.candidates.size()); ++c) {
                    const CourseCandidate& place = green.candidates[c];
                    // A place by hand stands whatever the rules say; on its day there is no other.
                    const bool open = is_skipped(green, d) ? false : by_hand[d] >= 0 ? by_hand[d] == c : open_on(green, place, d, rules_) && clear_of_hands(green, c, d);
                    x_.back().push_back(open ? program.add_choice(choice_cost(x_.size() - 1, c)) : -1);
                    if (open) one.emplace_back(x_.back().back(), 1);
                }
                none_.back().push_back(program.add_choice(is_skipped(green, d) ? 0 : kNoHole));
                one.emplace_back(none_.back().back(), 1);
                program.add_row(one, 1, 1);
            }
        }
    }
    bool clear_of_hands(const CourseGreen& green, int c, int d) const {
        return std::all_of(green.by_hand.begin(), green.by_hand.end(),
                           [&](const PickByHand& h) { return h.day == d || !clash(green, c, d, h.candidate, h.day, rules_); });
    }

    // Of a group that stands together one place in any run of days; hands' own clashes are left to the hands.
    void distances() {
        for (std::size_t g = 0; g < greens_.size(); ++g) {
            windows(g, groups_within(greens_[g].candidates, rules_.apart_m), rules_.apart_days + 1);
            if (rules_.healing_days > rules_.apart_days || rules_.plug_m > rules_.apart_m)
                windows(g, groups_within(greens_[g].candidates, rules_.plug_m), rules_.healing_days + 1);
            // Ground used again within the plan, later than the rule asks, wears all the same.
            if (days_ > rules_.apart_days + 1)
                for (const auto& group : groups_within(greens_[g].candidates, rules_.apart_m)) {
                    const Terms terms = group_terms(g, group, 0, days_);
                    if (terms.size() > 1) soft(terms, -1e30, 1, kNearAgain);
                }
        }
    }
    Terms group_terms(std::size_t g, const std::vector<int>& group, int from, int to) const {
        Terms terms;
        for (int d = from; d < to; ++d)
            for (int c : group)
                if (at(g, d, c) >= 0) terms.emplace_back(at(g, d, c), 1);
        return terms;
    }
    void windows(std::size_t g, const std::vector<std::vector<int>>& groups, int length) {
        const auto is_hand = [&](int d, int c) {
            return std::any_of(greens_[g].by_hand.begin(), greens_[g].by_hand.end(), [&](const PickByHand& h) { return h.day == d && h.candidate == c; });
        };
        for (const auto& group : groups)
            for (int from = 0, to = 0; from == 0 || to < days_; ++from) {
                // A hole that stays is in use for longer.
                to = std::min(days_, stays_to(greens_[g], from) + length);
                Terms terms;
                int hands = 0;
                for (int d = from; d < to; ++d)
                    for (int c : group)
                        if (at(g, d, c) >= 0) terms.emplace_back(at(g, d, c), 1), hands += is_hand(d, c);
                if (terms.size() > 1) program.add_row(terms, -1e30, std::max(1, hands));
            }
    }

    // Low to high, at a price for each unit outside.
    void soft(const Terms& terms, double low, double high, double price) {
        SlackRow r{terms, low, high, -1, -1, price};
        Terms with = terms;
        if (high < 1e29) with.emplace_back(r.over = program.add_slack(price), -1);
        if (low > -1e29) with.emplace_back(r.under = program.add_slack(price), 1);
        program.add_row(with, low, high);
        slack_rows_.push_back(std::move(r));
    }
    Terms terms_where(int d, const std::function<bool(std::size_t, std::size_t)>& holds) const {
        Terms terms;
        for (std::size_t g = 0; g < greens_.size(); ++g)
            for (std::size_t c = 0; c < greens_[g].candidates.size(); ++c)
                if (greens_[g].counts && at(g, d, c) >= 0 && holds(g, c)) terms.emplace_back(at(g, d, c), 1);
        return terms;
    }
    void balance() {
        if (counted() < 3) return;
        std::vector<std::size_t> order;
        for (std::size_t g = 0; g < greens_.size(); ++g)
            if (greens_[g].counts) order.push_back(g);
        for (int d = 0; d < days_; ++d) {
            const auto played = std::count_if(greens_.begin(), greens_.end(), [&](const CourseGreen& g) { return g.counts && !is_skipped(g, d); });
            const double low = std::floor(static_cast<double>(played) / 3), high = std::ceil(static_cast<double>(played) / 3);
            for (int third = 0; third < 3; ++third) {
                soft(terms_where(d, [&](std::size_t g, std::size_t c) { return greens_[g].candidates[c].along == third; }), low, high, kThirdOff);
                soft(terms_where(d, [&](std::size_t g, std::size_t c) { return thirds_[g][c] == third; }), low, high, kDifficultyOff);
            }
            Terms sides;
            for (int side : {0, 2})
                for (auto [v, one] : terms_where(d, [&](std::size_t g, std::size_t c) { return greens_[g].candidates[c].across == side; }))
                    sides.emplace_back(v, side == 0 ? 1.0 : -1.0);
            soft(sides, -1, 1, kSideOff);
            // No three alike in a row.
            for (std::size_t k = 0; k + 2 < order.size(); ++k)
                for (int third = 0; third < 3; ++third)
                    soft(terms_where(d, [&](std::size_t g, std::size_t c) {
                             return (g == order[k] || g == order[k + 1] || g == order[k + 2]) && thirds_[g][c] == third;
                         }), -1e30, 2, kRowOfThree);
        }
    }
    void over_days() {
        const double price = counted() < 3 ? kThirdOff : kThirdOfGreen;
        for (std::size_t g = 0; g < greens_.size(); ++g) {
            const double days = days_ - static_cast<double>(greens_[g].skipped.size());
            for (int third = 0; third < 3; ++third) {
                Terms terms;
                for (int d = 0; d < days_; ++d)
                    for (std::size_t c = 0; c < greens_[g].candidates.size(); ++c)
                        if (at(g, d, c) >= 0 && greens_[g].candidates[c].along == third) terms.emplace_back(at(g, d, c), 1);
                if (terms.size() > 1) soft(terms, std::floor(days / 3), std::ceil(days / 3), price);
            }
        }
    }
    long counted() const { return std::count_if(greens_.begin(), greens_.end(), [](const CourseGreen& g) { return g.counts; }); }

    const std::vector<CourseGreen>& greens_;
    int days_;
    CourseRules rules_;
    std::vector<std::vector<int>> x_, none_;
    std::vector<SlackRow> slack_rows_;
};

}  // namespace

std::vector<std::vector<int>> difficulty_thirds(const std::vector<CourseGreen>& greens) {
    // Ranks over the candidates that count; ties by order, so that thirds are equal in size.
    struct Entry { double difficulty; std::size_t g, c; };
    std::vector<Entry> all;
    std::vector<std::vector<int>> out;
    for (std::size_t g = 0; g < greens.size(); ++g) {
        out.emplace_back(greens[g].candidates.size(), 1);
        for (std::size_t c = 0; c < greens[g].candidates.size(); ++c)
            if (greens[g].counts) all.push_back({greens[g].candidates[c].difficulty, g, c});
    }
    std::stable_sort(all.begin(), all.end(), [](const Entry& a, const Entry& b) { return a.difficulty < b.difficulty; });
    for (std::size_t k = 0; k < all.size(); ++k) out[all[k].g][all[k].c] = static_cast<int>(3 * k / all.size());
    return out;
}

std::vector<int> diverse(const std::vector<CourseCandidate>& candidates, int most) {
    const int n = static_cast<int>(candidates.size());
    std::vector<int> out;
    std::vector<double> away(n, std::numeric_limits<double>::infinity());
    while (static_cast<int>(out.size()) < std::min(most, n)) {
        int best = -1;
        double worth = -1;
        for (int k = 0; k < n; ++k) {
            if (std::find(out.begin(), out.end(), k) != out.end()) continue;
            const double w = candidates[k].score + 0.2 * std::min(away[k], 6.0);
            if (w > worth) worth = w, best = k;
        }
        out.push_back(best);
        for (int k = 0; k < n; ++k) away[k] = std::min(away[k], distance(candidates[k].p, candidates[best].p));
    }
    std::sort(out.begin(), out.end());
    return out;
}

CoursePlan plan_course(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules, Progress& progress) {
    check(greens, days);
    CoursePlan plan;
    if (greens.empty()) return plan;
    CourseProgram course(greens, days, rules);
    IntegerOptions options;
    options.gap = rules.gap;
    options.most_nodes = rules.most_nodes;
    options.start = course.start_from(greedy(greens, days, rules, course.thirds_));
    const IntegerAnswer answer = solve(course.program, options, progress);
    if (answer.x.empty()) throw Error("no plan was found; a shorter plan or wider limits are wanted");
    plan.picks = course.picks_of(answer.x);
    plan.gap = answer.gap();
    plan.nodes = answer.nodes;

    // What could not be kept.
    for (std::size_t g = 0; g < greens.size(); ++g) {
        plan.without.push_back(days_without(greens[g], plan.picks[g], rules));
        for (std::size_t a = 0; a < greens[g].by_hand.size(); ++a)
            for (std::size_t b = a + 1; b < greens[g].by_hand.size(); ++b) {
                const PickByHand &x = greens[g].by_hand[a], &y = greens[g].by_hand[b];
                if (clash(greens[g], x.candidate, x.day, y.candidate, y.day, rules))
                    plan.remarks.push_back(fmt::format("green {}: the holes set by hand for days {} and {} are {:.1f} m apart", greens[g].name, x.day + 1, y.day + 1,
                                                       distance(greens[g].candidates[x.candidate].p, greens[g].candidates[y.candidate].p)));
            }
        for (const PickByHand& h : greens[g].by_hand)
            if (!open_on(greens[g], greens[g].candidates[h.candidate], h.day, rules))
                plan.remarks.push_back(fmt::format("green {}: the hole set by hand for day {} lies too near to an earlier hole or on closed ground", greens[g].name,
                                                   h.day + 1));
    }
    for (std::size_t g = 0; g < greens.size(); ++g)
        if (std::string words = thirds_left_out(greens[g], plan.picks[g], rules); !words.empty()) plan.remarks.push_back(std::move(words));
    const CourseWorth worth = judge_course(greens, plan.picks, rules);
    if (worth.rows_of_three > 0)
        plan.remarks.push_back(fmt::format("{} times three holes in a row are alike in difficulty", worth.rows_of_three));
    progress.step(1, "done");
    return plan;
}

CourseWorth judge_course(const std::vector<CourseGreen>& greens, const std::vector<std::vector<int>>& picks, const CourseRules& rules) {
    CourseWorth out;
    const auto thirds = difficulty_thirds(greens);
    const int days = picks.empty() ? 0 : static_cast<int>(picks.front().size());
    int holes = 0;
    for (std::size_t g = 0; g < greens.size(); ++g)
        for (int d = 0; d < days; ++d) {
            const int c = picks[g][d];
            if (c < 0) {
                out.broken += !is_skipped(greens[g], d);
                continue;
            }
            ++holes;
            const CourseCandidate& place = greens[g].candidates[c];
            out.score += place.score;
            out.wear += place.wear;
            out.broken += !open_on(greens[g], place, d, rules);
            bool again = false;
            for (int e = 0; e < d; ++e) {
                if (picks[g][e] < 0) continue;
                out.broken += clash(greens[g], c, d, picks[g][e], e, rules);
                again = again || distance(place.p, greens[g].candidates[picks[g][e]].p) < rules.apart_m;
            }
            out.wear += again;
        }
    if (holes > 0) out.score /= holes, out.wear /= holes;

    for (int d = 0; d < days; ++d) {
        std::array<double, 3> along{}, hard{}, across{};
        double counted = 0;
        std::vector<int> row;
        for (std::size_t g = 0; g < greens.size(); ++g) {
            const int c = picks[g][d];
            if (!greens[g].counts || c < 0) continue;
            ++counted, ++along[greens[g].candidates[c].along], ++across[greens[g].candidates[c].across], ++hard[thirds[g][c]];
            row.push_back(thirds[g][c]);
        }
        for (int k = 0; k < 3; ++k) {
            out.third_off += std::abs(along[k] - counted / 3) / days;
            out.difficulty_off += std::abs(hard[k] - counted / 3) / days;
        }
        out.side_off += std::abs(across[0] - across[2]) / days;
        for (std::size_t k = 0; k + 2 < row.size(); ++k) out.rows_of_three += row[k] == row[k + 1] && row[k] == row[k + 2];
    }
    return out;
}

}  // namespace brae
