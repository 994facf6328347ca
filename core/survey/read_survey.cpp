// The one way from files to a Survey; long because each step of it is short and they share what is known of the files.
#include "core/survey/read_survey.h"

#include "core/base/calendar.h"
#include "core/base/constants.h"
#include "core/base/parts.h"
#include "core/survey/choose_frame.h"
#include "core/survey/file_kind.h"
#include "core/survey/point_codes.h"
#include "core/survey/point_grid.h"
#include "core/survey/raw_survey.h"
#include "core/survey/read_las.h"
#include "core/survey/read_obj.h"
#include "core/survey/read_outline.h"
#include "core/survey/read_pcd.h"
#include "core/survey/read_ply.h"
#include "core/survey/read_raster.h"
#include "core/survey/read_text.h"
#include "core/survey/read_vector.h"
#include "core/survey/ring.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <atomic>
#include <bit>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <tbb/blocked_range.h>
#include <tbb/parallel_reduce.h>

namespace brae {

namespace {

constexpr std::size_t kFewestPoints = 10;
// Files of one green whose boxes are further apart than this are not of one green.
constexpr double kFarApartM = 500;

// `clip` is given where it can be used at once: the file's coordinates are the survey's.
RawSurvey read_file(const std::filesystem::path& path, const std::optional<Box>& clip, Progress& progress) {
    switch (kind_of_file(path)) {
        case FileKind::ply: return read_ply(path, progress);
        case FileKind::pcd: return read_pcd(path, progress);
        case FileKind::raster: return read_raster(path, progress);
        case FileKind::las: return read_las(path, progress, clip);
        case FileKind::obj: return read_obj(path, progress);
        case FileKind::vector: return read_vector(path, progress);
        case FileKind::text: break;
    }
    return read_text(path, progress, clip);
}

// No system has coordinates this large, in any unit; sums of their squares would be lost further down.
constexpr double kLargestCoordinate = 1e9;

void require_places_on_earth(const RawSurvey& raw, const Progress& progress) {
    const auto judge = [&](const Vec3& p) {
        for (const double v : {p.x, p.y, p.z})
            if (!(std::abs(v) <= kLargestCoordinate))
                throw Error(fmt::format("'{}' holds the coordinate {:g}; numbers up to {:g} are wanted", raw.path.string(), v, kLargestCoordinate));
    };
    std::atomic<bool> good = true;
    for_parts(raw.points.size(), raw.points.size() / 65536 + 1, progress, [&](std::size_t, std::size_t begin, std::size_t end) {
        for (std::size_t k = begin; k < end; ++k) {
            const Vec3& p = raw.points[k];
            if (!(std::max({std::abs(p.x), std::abs(p.y), std::abs(p.z)}) <= kLargestCoordinate)) good = false;
        }
    });
    // The first of them is named.
    if (!good)
        for (const Vec3& p : raw.points) judge(p);
    for (const RawLevel& level : raw.levels) judge(level.p);
}

RawSurvey read_one(const std::filesystem::path& path, const std::optional<Box>& clip, Progress& progress) {
    RawSurvey raw = read_file(path, clip, progress);
    require_places_on_earth(raw, progress);
    // What programs for pictures write: another axis up. What any program may have done: 64-bit numbers made of 32-bit ones.
    const FileKind kind = kind_of_file(path);
    if (kind == FileKind::obj || kind == FileKind::ply || kind == FileKind::pcd) turn_y_up(raw);
    if (kind != FileKind::raster && kind != FileKind::las) warn_of_hidden_steps(raw);
    return raw;
}

std::optional<double> unit_option(const std::string& text, const char* option) {
    if (text.empty()) return std::nullopt;
    if (const auto metres = metres_in_unit(text)) return metres;
    throw usage_error(fmt::format("{} is {}; wanted is m, ft or us-ft", option, quote(text)));
}

// Calls f for every position of a file, points and levels alike.
template <class F>
void for_each_position(RawSurvey& raw, F f) {
    for (Vec3& p : raw.points) f(p);
    for (RawLevel& level : raw.levels) f(level.p);
}

struct Extent {
    Box box{INFINITY, INFINITY, -INFINITY, -INFINITY};
    double lowest = INFINITY, highest = -INFINITY;
    void add(Vec3 p) {
        box.x0 = std::min(box.x0, p.x);
        box.x1 = std::max(box.x1, p.x);
        box.y0 = std::min(box.y0, p.y);
        box.y1 = std::max(box.y1, p.y);
        lowest = std::min(lowest, p.z);
        highest = std::max(highest, p.z);
    }
    bool empty() const { return lowest > highest; }
};

Extent extent_of(RawSurvey& raw) {
    Extent extent = tbb::parallel_reduce(
        tbb::blocked_range<std::size_t>(0, raw.points.size(), 65536), Extent{},
        [&](const tbb::blocked_range<std::size_t>& range, Extent own) {
            for (std::size_t k = range.begin(); k < range.end(); ++k) own.add(raw.points[k]);
            return own;
        },
        [](Extent a, const Extent& b) {
            if (b.empty()) return a;
            a.add({b.box.x0, b.box.y0, b.lowest});
            a.add({b.box.x1, b.box.y1, b.highest});
            return a;
        });
    for (const RawLevel& level : raw.levels)
        if (!level.beyond) extent.add(level.p);
    // A raster's data reach to the edges of its cells.
    if (raw.kind == RawSurvey::Kind::raster && !extent.empty()) {
        const double dx = (std::abs(raw.cell_column.x) + std::abs(raw.cell_row.x)) / 2;
        const double dy = (std::abs(raw.cell_column.y) + std::abs(raw.cell_row.y)) / 2;
        extent.box = {extent.box.x0 - dx, extent.box.y0 - dy, extent.box.x1 + dx, extent.box.y1 + dy};
    }
    return extent;
}

// A file named twice, by whatever path, would count twice.
void require_different_files(const std::vector<std::filesystem::path>& files) {
    for (std::size_t i = 0; i < files.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) {
            std::error_code unreadable;
            if (std::filesystem::equivalent(files[k], files[i], unreadable) && !unreadable)
                throw usage_error(files[k] == files[i]
                                      ? fmt::format("'{}' is named twice; each survey file once is wanted", files[i].string())
                                      : fmt::format("'{}' and '{}' are the same file; each survey file once is wanted",
                                                    files[k].string(), files[i].string()));
        }
}

// The same for every order of a file's points, and different for different ones but for a chance of one in 2^64.
std::uint64_t fingerprint(RawSurvey& raw) {
    std::uint64_t sum = 0;
    for_each_position(raw, [&](const Vec3& p) {
        std::uint64_t h = 0x9e3779b97f4a7c15ULL;
        // Splitmix64 (Steele, Lea and Flood 2014) over the bits of each number.
        for (const double v : {p.x, p.y, p.z}) {
            h += std::bit_cast<std::uint64_t>(v + 0.0);
            h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9ULL;
            h = (h ^ (h >> 27)) * 0x94d049bb133111ebULL;
            h ^= h >> 31;
        }
        sum += h;
    });
    return sum;
}

void warn_of_copies(std::vector<RawSurvey>& raws, std::vector<std::string>& warnings) {
    if (raws.size() < 2) return;
    std::vector<std::uint64_t> prints;
    for (RawSurvey& raw : raws) prints.push_back(fingerprint(raw));
    for (std::size_t i = 0; i < raws.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (prints[i] == prints[k] && raws[i].rows > 0 && raws[i].points.size() == raws[k].points.size() &&
                raws[i].levels.size() == raws[k].levels.size())
                warnings.push_back(fmt::format("'{}' and '{}' hold the same points, so each point counts twice; give one of them",
                                               raws[k].path.string(), raws[i].path.string()));
}

// The oldest day of any file counts: that on which points were taken, else that on which the file was written.
void date_survey(const std::vector<RawSurvey>& raws, SurveyFacts& facts) {
    if (!facts.date.empty()) return;
    for (const RawSurvey& raw : raws) {
        const std::string& day = raw.date.empty() ? raw.written : raw.date;
        if (day.empty() || (!facts.date.empty() && facts.date <= day)) continue;
        facts.date = day;
        facts.date_of_file = raw.date.empty();
    }
}

// The system of the survey: the option's, else that of the first file that has one.
SystemInfo survey_system(const std::vector<RawSurvey>& files, const ReadOptions& options) {
    if (!options.crs.empty()) return parse_system(options.crs, "--crs");
    SystemInfo unit_only;
    for (const RawSurvey& raw : files)
        if (!raw.crs.empty()) {
            SystemInfo system = parse_system(raw.crs, raw.path.string());
            if (!system.wkt.empty()) return system;
            unit_only = system;
        }
    return unit_only;
}

// Brings one file to the survey's map units and heights in metres.
void unify(RawSurvey& raw, const SystemInfo& system, const ReadOptions& options, bool alone, std::vector<std::string>& warnings) {
    const std::string name = raw.path.string();
    const auto unit = unit_option(options.units, "--units"), height_unit = unit_option(options.height_units, "--height-units");
    SystemInfo own;
    try {
        if (!raw.crs.empty()) own = parse_system(raw.crs, name);
    } catch (const Error& problem) {
        // With --crs the file's own is not needed.
        if (options.crs.empty()) throw;
        warnings.push_back(fmt::format("{}; --crs is taken", problem.what()));
    }

    if (!options.crs.empty() && !own.wkt.empty() && own.wkt != system.wkt && own.name != system.name)
        warnings.push_back(fmt::format("'{}' says {}, --crs says {}; --crs is taken and nothing is converted", name, own.name, system.name));

    // Heights: the option, the file itself, its vertical system, else the unit of the plan.
    double height = 1;
    if (height_unit) height = *height_unit;
    else if (unit) height = *unit;
    else if (raw.metres_per_height) height = *raw.metres_per_height;
    else if (own.metres_per_height) height = *own.metres_per_height;
    else if (options.crs.size() && system.metres_per_height) height = *system.metres_per_height;
    else {
        const SystemInfo& plan = own.wkt.empty() ? system : own;
        height = raw.metres_per_unit ? *raw.metres_per_unit : plan.geographic ? 1.0 : plan.metres_per_unit;
        if (raw.names_units && plan.wkt.empty())
            warnings.push_back(fmt::format("'{}' names no coordinate system and no unit; metres are taken (--units or "
                                           "--crs say otherwise)", name));
        else if (height != 1 || raw.names_units)
            warnings.push_back(fmt::format("'{}' does not say the unit of its heights; that of its plan, {:.6g} m, is taken "
                                           "(--height-units says otherwise)", name, height));
    }

    // A file of another system is converted point by point.
    if (options.crs.empty() && !own.wkt.empty() && own.wkt != system.wkt) {
        const Transformer transformer(own.wkt, system.wkt);
        for_each_position(raw, [&](Vec3& p) {
            const Vec2 q = transformer.forward({p.x, p.y});
            p.x = q.x;
            p.y = q.y;
        });
        warnings.push_back(fmt::format("'{}' is in {} and was converted to {}", name, own.name, system.name));
    } else if (own.wkt.empty() && !system.wkt.empty() && options.crs.empty() && !alone) {
        warnings.push_back(fmt::format("'{}' names no coordinate system; it is taken to be in {} like the rest", name, system.name));
    }

    // Plan units that differ from the system's, as when a metric system was written in feet.
    const auto plan_unit = unit ? unit : raw.metres_per_unit;
    if (plan_unit && !system.wkt.empty() && !system.geographic && *plan_unit != system.metres_per_unit) {
        const double factor = *plan_unit / system.metres_per_unit;
        for_each_position(raw, [&](Vec3& p) {
            p.x *= factor;
            p.y *= factor;
        });
        raw.cell_column = factor * raw.cell_column;
        raw.cell_row = factor * raw.cell_row;
        warnings.push_back(fmt::format("'{}' counts in units of {:.6g} m where {} counts in {:.6g} m; it was converted", name, *plan_unit,
                                       system.name, system.metres_per_unit));
    }
    if (height != 1) for_each_position(raw, [&](Vec3& p) { p.z *= height; });
}

// Puts the points of a file behind those of the survey; classes and strips are kept wherever one file tells them.
void add_points(RawSurvey& raw, Survey& survey) {
    const std::size_t before = survey.points.size();
    const auto append = [&](std::vector<std::uint16_t>& all, std::vector<std::uint16_t>& own, std::uint16_t none) {
        if (all.empty() && own.empty()) return;
        all.resize(before, none);
        own.resize(raw.points.size(), none);
        if (before == 0) all = std::move(own);
        else all.insert(all.end(), own.begin(), own.end());
    };
    append(survey.classes, raw.classes, kNoClass);
    append(survey.strips, raw.strips, 0);
    if (before == 0) survey.points = std::move(raw.points);
    else survey.points.insert(survey.points.end(), raw.points.begin(), raw.points.end());
}

// Drops what lies outside the box; returns how many points for the turf are left.
std::size_t clip_to(const Box& clip, RawSurvey& raw) {
    // Classes and strips go with their points.
    std::size_t kept = 0;
    for (std::size_t k = 0; k < raw.points.size(); ++k) {
        if (!clip.contains({raw.points[k].x, raw.points[k].y})) continue;
        raw.points[kept] = raw.points[k];
        if (!raw.classes.empty()) raw.classes[kept] = raw.classes[k];
        if (!raw.strips.empty()) raw.strips[kept] = raw.strips[k];
        ++kept;
    }
    raw.points.resize(kept);
    if (!raw.classes.empty()) raw.classes.resize(kept);
    if (!raw.strips.empty()) raw.strips.resize(kept);
    std::erase_if(raw.levels, [&](RawLevel& level) {
        const CodeMeaning meaning = meaning_of_code(level.code);
        if (meaning == CodeMeaning::mark || meaning == CodeMeaning::hole) return false;
        level.beyond = !clip.contains({level.p.x, level.p.y});
        kept += level.beyond ? 0 : 1;
        return level.beyond && meaning != CodeMeaning::edge;
    });
    return kept;
}

// The outline and its gaps cut to the box, which may lie turned in local metres.
void clip_outline(const Box& clip, Survey& survey) {
    std::vector<Vec2> box;
    for (const Vec2 corner : {Vec2{clip.x0, clip.y0}, Vec2{clip.x1, clip.y0}, Vec2{clip.x1, clip.y1}, Vec2{clip.x0, clip.y1}})
        box.push_back(survey.frame.from_map(corner));
    const Outline whole = *survey.outline;
    const auto within = [&](Vec2 p) { return clip.contains(survey.frame.to_map(p)); };
    if (std::all_of(whole.ring().begin(), whole.ring().end(), within)) return;
    const auto ring = part_inside(whole.ring(), box);
    if (ring && ring->empty()) {
        survey.outline.reset();
        survey.warnings.push_back("no part of the outline lies inside the clip box; the boundary of the data is used");
        return;
    }
    std::vector<std::vector<Vec2>> cut_outs;
    bool simple = ring.has_value();
    for (const auto& inner : whole.cut_outs()) {
        const auto part = part_inside(inner, box);
        simple = simple && part;
        if (part && !part->empty()) cut_outs.push_back(*part);
    }
    try {
        if (simple) {
            survey.outline = Outline(*ring, whole.source()).with_cut_outs(cut_outs);
            survey.warnings.push_back("the outline reaches beyond the clip box; it was cut to it");
            return;
        }
    } catch (const Error&) {
        // Too small or no ring any more: told below.
    }
    survey.warnings.push_back("the outline reaches beyond the clip box, and its part inside is not one simple ring; it is left whole");
}

// A wall, a line or a handful of points at one place is no green.
void require_surface(const Survey& survey, const std::string& name, const Progress& progress) {
    if (survey.points.size() < kFewestPoints)
        throw Error(fmt::format("{} gives {} points on the turf; at least {} are wanted", name, survey.points.size(), kFewestPoints));
    // Of very many points some say the same.
    const std::size_t every = survey.points.size() / 200'000 + 1;
    double n = 0, mx = 0, my = 0, xx = 0, xy = 0, yy = 0;
    for (std::size_t k = 0; k < survey.points.size(); k += every) {
        if (static_cast<std::size_t>(n) % kPointsBetweenLooks == 0) progress.check();
        const Vec3& p = survey.points[k];
        ++n;
        const double dx = p.x - mx, dy = p.y - my;
        mx += dx / n;
        my += dy / n;
        xx += dx * (p.x - mx);
        xy += dx * (p.y - my);
        yy += dy * (p.y - my);
    }
    // The smaller spread of the plan, as a standard deviation.
    const double half = (xx + yy) / 2, root = std::hypot((xx - yy) / 2, xy);
    const double narrow = std::sqrt(std::max(0.0, half - root) / n), wide = std::sqrt((half + root) / n);
    if (narrow < 0.2)
        throw Error(fmt::format("{} is not a surface: its points spread by {:.2f} m across and {:.2f} m along one line; points all "
                                "over a green are wanted", name, narrow, wide));
    // Of very many heights some say the same.
    std::vector<double> z;
    for (std::size_t k = 0; k < survey.points.size(); k += every) z.push_back(survey.points[k].z);
    const auto at = [&](double q) {
        const auto k = static_cast<std::ptrdiff_t>(q * static_cast<double>(z.size() - 1));
        std::nth_element(z.begin(), z.begin() + k, z.end());
        return z[static_cast<std::size_t>(k)];
    };
    const double relief = at(0.9) - at(0.1);
    if (relief > 4 * wide)
        throw Error(fmt::format("{} is not a surface: its heights span {:.1f} m over a plan of {:.1f} m; check the order of its columns "
                                "and the unit of its heights", name, relief, 4 * wide));
}

}  // namespace

Survey read_survey(const std::vector<std::filesystem::path>& files, const ReadOptions& options, Progress& progress) {
    if (files.empty()) throw usage_error("no survey file was named; at least one is wanted");
    require_different_files(files);
    Survey survey;
    survey.method = options.method;
    survey.facts.height_of_cut_m = options.height_of_cut_m;
    if (!options.date.empty()) survey.facts.date = checked_day(options.date, "--date");
    if (!survey.facts.date.empty() && survey.facts.date > today()) throw usage_error(fmt::format("--date: found {}, which lies ahead of today, {}", options.date, today()));
    if (!options.top_dressed.empty()) survey.facts.top_dressed = checked_day(options.top_dressed, "--top-dressed");
    if (options.height_of_cut_m && !(*options.height_of_cut_m > 0.0005 && *options.height_of_cut_m < 0.05))
        throw usage_error(fmt::format("--height-of-cut is {:g} mm; 0.5 to 50 mm is wanted", 1000 * *options.height_of_cut_m));

    // Read every file as it is.
    std::vector<RawSurvey> raws;
    const bool one_system = files.size() == 1 && options.crs.empty() && options.units.empty();
    for (const auto& path : files) {
        raws.push_back(read_one(path, one_system ? options.clip : std::nullopt, progress));
        survey.files.push_back(path.string());
        survey.points_read += raws.back().rows;
    }
    const std::string all_names = files.size() == 1 ? "'" + files[0].string() + "'" : fmt::format("the survey of {} files", files.size());

    warn_of_copies(raws, survey.warnings);
    date_survey(raws, survey.facts);
    // What the days of the survey itself say; its age counts where somebody looks at it.
    for (std::string& warning : age_warnings(survey.facts, "")) survey.warnings.push_back(std::move(warning));

    // One system and one unit for all.
    const SystemInfo named = survey_system(raws, options);
    SystemInfo system = named;
    if (system.wkt.empty()) {
        if (const auto unit = unit_option(options.units, "--units")) system.metres_per_unit = *unit;
        else if (raws.front().metres_per_unit) system.metres_per_unit = *raws.front().metres_per_unit;
    }
    for (RawSurvey& raw : raws) {
        for (const std::string& warning : raw.warnings) survey.warnings.push_back(warning);
        unify(raw, system, options, raws.size() == 1, survey.warnings);
    }

    // Metres where nobody says otherwise, but never silently.
    if (system.wkt.empty() && options.units.empty() && std::none_of(raws.begin(), raws.end(), [](const RawSurvey& raw) {
            return raw.metres_per_unit || raw.names_units || !raw.crs.empty();
        }))
        survey.warnings.push_back(fmt::format("{} no coordinate system and no unit; metres are taken (--units or --crs say "
                                              "otherwise)", raws.size() == 1 ? all_names + " names" : "the files name"));

    // Cut to the box that was asked for; marks and the hole stay, and a ring of edge points is cut once it is made.
    if (options.clip) {
        std::size_t kept = 0;
        for (RawSurvey& raw : raws) kept += clip_to(*options.clip, raw);
        if (kept == 0) throw Error(fmt::format("no point of {} lies inside the clip box", all_names));
    }

    // The frame follows from the kept data, those that carry heights of the turf first.
    const bool has_mass = std::any_of(raws.begin(), raws.end(), [](const RawSurvey& r) { return r.kind != RawSurvey::Kind::levels; });
    Extent extent;
    for (RawSurvey& raw : raws) {
        if (has_mass && raw.kind == RawSurvey::Kind::levels) continue;
        const Extent own = extent_of(raw);
        if (own.empty()) continue;
        extent.add({own.box.x0, own.box.y0, own.lowest});
        extent.add({own.box.x1, own.box.y1, own.highest});
    }
    if (extent.empty())
        throw Error(fmt::format("{} gives no points; at least {} are wanted", all_names, kFewestPoints));
    survey.frame = Frame(options.frame ? keep_frame(*options.frame, extent.box, system)
                                       : choose_frame(extent.box, system, extent.lowest, survey.warnings));
    const FrameSpec& spec = survey.frame.spec();

    // Everything into local metres.
    Extent local;
    for (RawSurvey& raw : raws) {
        // Conversions between systems take one caller at a time.
        progress.step(1.0, "placing points");
        const std::size_t looks = raw.points.size() / (kPointsBetweenLooks / 4) + 1;
        const auto place = [&](std::size_t, std::size_t begin, std::size_t end) {
            const std::span<Vec3> part = std::span<Vec3>(raw.points).subspan(begin, end - begin);
            survey.frame.from_map(part);
            for (Vec3& p : part) p.z -= spec.origin_height_m;
        };
        if (!spec.local_tm) for_parts(raw.points.size(), looks, progress, place);
        else
            for (std::size_t from = 0; from < raw.points.size(); from += kPointsBetweenLooks / 4) {
                progress.check();
                place(0, from, std::min(raw.points.size(), from + kPointsBetweenLooks / 4));
            }
        std::vector<Vec3> positions;
        for (const RawLevel& level : raw.levels) positions.push_back(level.p);
        survey.frame.from_map(std::span<Vec3>(positions));
        for (std::size_t i = 0; i < positions.size(); ++i) raw.levels[i].p = {positions[i].x, positions[i].y, positions[i].z - spec.origin_height_m};
    }
    progress.step(1.0, "sorting points");

    // Files must lie together before they become one survey.
    for (RawSurvey& raw : raws) {
        const Extent own = extent_of(raw);
        if (own.empty()) continue;
        if (!local.empty() && gap_between(own.box, local.box) > kFarApartM)
            throw Error(fmt::format("'{}' lies {:.0f} m from '{}'; files of one survey must be of one green and in one system",
                                    raw.path.string(), gap_between(own.box, local.box), raws.front().path.string()));
        local.add({own.box.x0, own.box.y0, own.lowest});
        local.add({own.box.x1, own.box.y1, own.highest});
    }

    // Clouds and rasters are the turf; a list of levels beside them gives marks, edge and tiers, its heights only where it
    // stands alone, since two instruments differ by more than the noise of either.
    std::size_t beside = 0;
    std::size_t rasters = 0;
    std::vector<RawLevel> levels;
    for (RawSurvey& raw : raws) {
        if (raw.kind == RawSurvey::Kind::levels) {
            std::move(raw.levels.begin(), raw.levels.end(), std::back_inserter(levels));
            continue;
        }
        add_points(raw, survey);
        if (raw.kind == RawSurvey::Kind::raster) {
            ++rasters;
            const Vec2 middle{(extent.box.x0 + extent.box.x1) / 2, (extent.box.y0 + extent.box.y1) / 2};
            const Vec2 a = survey.frame.from_map(middle);
            const double area = std::abs(cross(survey.frame.from_map(middle + raw.cell_column) - a, survey.frame.from_map(middle + raw.cell_row) - a));
            survey.grid_spacing_m = std::sqrt(area);
        }
        raw = RawSurvey{};
    }
    if (rasters > 0 && (rasters > 1 || rasters < static_cast<std::size_t>(std::count_if(raws.begin(), raws.end(), [](const RawSurvey& r) {
                                           return r.kind != RawSurvey::Kind::levels;
                                       })))) {
        survey.grid_spacing_m.reset();
        survey.warnings.push_back("several clouds or rasters were put together; they are treated as one cloud");
    }
    if (has_mass)
        beside = static_cast<std::size_t>(std::count_if(levels.begin(), levels.end(), [](const RawLevel& l) {
            return meaning_of_code(l.code) == CodeMeaning::ground;
        }));
    if (!levels.empty()) sort_levels(levels, !has_mass, survey);
    if (beside > 0)
        survey.warnings.push_back(fmt::format("the heights are those of the cloud or raster; {} plain level{} beside it {} compared with the surface and not fitted",
                                              beside, beside == 1 ? "" : "s", beside == 1 ? "was" : "were"));
    if (survey.method == SurveyMethod::unknown && survey.grid_spacing_m) survey.method = SurveyMethod::grid;
    survey.facts.method = survey.method;
    require_surface(survey, all_names, progress);

    // A ring from a file says more than one from codes.
    if (options.outline) survey.outline = read_outline(*options.outline, survey.frame, local.box, survey.warnings);
    if (options.clip && survey.outline) clip_outline(*options.clip, survey);
    return survey;
}

}  // namespace brae
