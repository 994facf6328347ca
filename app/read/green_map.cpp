#include "app/read/green_map.h"

#include "app/scene/colour_scale.h"
#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <atomic>
#include <cmath>

namespace brae::app {

namespace {

constexpr double kSpacing = 0.25;   // m between ball spots
constexpr int kFiner = 4;           // cells of a direction's picture for one of the map, each way

// The cells beside the green, so that its edge is coloured up to the outline, which cuts through cells: f(cell, neighbours
// with a value) for each that has some. Spots on the green without a read are none of them.
template <typename F>
void for_each_at_the_edge(const Raster& values, const Raster& solutions, F&& f) {
    const auto index = [&](int i, int j) { return static_cast<std::size_t>(j) * static_cast<std::size_t>(values.columns) + static_cast<std::size_t>(i); };
    std::vector<std::size_t> beside;
    for (int j = 0; j < values.rows; ++j)
        for (int i = 0; i < values.columns; ++i) {
            if (std::isfinite(solutions.values[index(i, j)])) continue;
            beside.clear();
            for (int b = std::max(0, j - 1); b <= std::min(values.rows - 1, j + 1); ++b)
                for (int a = std::max(0, i - 1); a <= std::min(values.columns - 1, i + 1); ++a)
                    if (std::isfinite(values.values[index(a, b)])) beside.push_back(index(a, b));
            if (!beside.empty()) f(index(i, j), beside);
        }
}

// A copy in another unit, up to the edge of the green.
std::shared_ptr<Raster> scaled(const Raster& from, const Raster& solutions, double unit) {
    auto out = std::make_shared<Raster>(from);
    for_each_at_the_edge(from, solutions, [&](std::size_t cell, const std::vector<std::size_t>& beside) {
        double sum = 0;
        for (std::size_t k : beside) sum += from.values[k];
        out->values[cell] = sum / static_cast<double>(beside.size());
    });
    for (double& v : out->values) v /= unit;
    return out;
}

// The size that 85 of 100 cells are within, since a few far spots would make the rest pale; whether any is beyond a limit.
double usual_top(const Raster& r) {
    std::vector<double> sizes;
    for (double v : r.values)
        if (std::isfinite(v)) sizes.push_back(std::abs(v));
    if (sizes.empty()) return 1;
    const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(0.85 * static_cast<double>(sizes.size() - 1));
    std::nth_element(sizes.begin(), at, sizes.end());
    return *at;
}
bool beyond(const Raster& r, double top) {
    return std::any_of(r.values.begin(), r.values.end(), [&](double v) { return std::abs(v) > top * (1 + 1e-9); });
}

// Bearings between spots, by their directions: north does not lie between 350 and 10 degrees by way of south.
std::shared_ptr<Raster> finer_bearings(const Raster& from, const Raster& solutions) {
    auto out = std::make_shared<Raster>(from);
    out->columns *= kFiner;
    out->rows *= kFiner;
    out->cell /= kFiner;
    out->values.assign(static_cast<std::size_t>(out->columns) * static_cast<std::size_t>(out->rows), std::nan(""));
    std::vector<Vec2> directions(from.values.size());
    for (std::size_t k = 0; k < directions.size(); ++k)
        if (std::isfinite(from.values[k])) directions[k] = direction_of_bearing(from.values[k]);
    const std::vector<Vec2> read = directions;
    for_each_at_the_edge(from, solutions, [&](std::size_t cell, const std::vector<std::size_t>& beside) {
        for (std::size_t k : beside) directions[cell] = directions[cell] + read[k] / static_cast<double>(beside.size());
    });
    for (int row = 0; row < out->rows; ++row) {
        const double y = (row + 0.5) / kFiner - 0.5;
        const int j = std::clamp(static_cast<int>(std::floor(y)), 0, std::max(0, from.rows - 2));
        const double fy = std::clamp(y - j, 0.0, 1.0);
        for (int column = 0; column < out->columns; ++column) {
            const std::size_t own = static_cast<std::size_t>(row / kFiner) * static_cast<std::size_t>(from.columns) + static_cast<std::size_t>(column / kFiner);
            if (norm(directions[own]) < 1e-6) continue;
            const double x = (column + 0.5) / kFiner - 0.5;
            const int i = std::clamp(static_cast<int>(std::floor(x)), 0, std::max(0, from.columns - 2));
            const double fx = std::clamp(x - i, 0.0, 1.0);
            // Spots without a read have no direction and no say.
            Vec2 sum;
            for (int b = 0; b < 2; ++b)
                for (int a = 0; a < 2; ++a) {
                    const int ii = std::min(i + a, from.columns - 1), jj = std::min(j + b, from.rows - 1);
                    const double w = (a ? fx : 1 - fx) * (b ? fy : 1 - fy);
                    sum = sum + w * directions[static_cast<std::size_t>(jj) * static_cast<std::size_t>(from.columns) + static_cast<std::size_t>(ii)];
                }
            out->values[static_cast<std::size_t>(row) * static_cast<std::size_t>(out->columns) + static_cast<std::size_t>(column)] =
                bearing_deg(norm(sum) > 1e-6 ? sum : directions[own]);
        }
    }
    return out;
}

}  // namespace

plugin::OverlayRaster read_map_picture(const GreenReads& reads, GroundColour what, plugin::Units units, const plugin::OverlayRaster* before) {
    const bool metric = units == plugin::Units::metric;
    plugin::OverlayRaster out;
    out.opacity = 1;
    if (what == GroundColour::entry) {
        out.values = finer_bearings(reads.entry_bearing_deg, reads.solutions);
        out.smooth = false;
        out.scale = {plugin::ScaleName::cet_cbc1, 0, 360, "Entry direction", "\u00b0", false, false};
        return out;
    }
    if (what == GroundColour::launch) {
        out.values = scaled(reads.launch_mps, reads.solutions, metric ? 1 : kFoot);
        out.scale = {plugin::ScaleName::davos, 0, 1, "Launch speed, rolling", metric ? "m/s" : "ft/s", true, false};
    } else if (what == GroundColour::break_size) {
        out.values = scaled(reads.break_m, reads.solutions, metric ? 0.01 : kInch);
        out.scale = {plugin::ScaleName::davos, 0, 1, "Break", metric ? "cm" : "in", true, false};
    } else {
        out.values = scaled(reads.aim_offset_m, reads.solutions, metric ? 0.01 : kInch);
        out.scale = {plugin::ScaleName::cet_cbd1, -1, 1, "Aim, + is right of the hole", metric ? "cm" : "in", false, false};
    }

    // A round end of the scale, that of the picture before where it is not far off.
    const double top = usual_top(*out.values);
    const bool keep = before && before->scale.title == out.scale.title && before->scale.unit == out.scale.unit && top <= before->scale.high &&
                      top > 0.5 * before->scale.high;
    out.scale.high = keep ? before->scale.high : round_top(std::max(top, metric ? 0.1 : 0.04));
    if (what == GroundColour::aim_offset) out.scale.low = -out.scale.high;
    out.scale.beyond = beyond(*out.values, out.scale.high);
    return out;
}

// Readers keep a memory of their own, so that each is used by one job at a time.
struct GreenMapKeeper::Readers {
    std::shared_ptr<const TerrainModel> terrain;
    std::unique_ptr<GreenReader> quick, full;
    std::atomic<bool> quick_busy{false}, full_busy{false};
};

struct GreenMapKeeper::Maps { GreenReads reads; };

bool GreenMapKeeper::gaps() const { return maps_ && maps_->reads.solved < maps_->reads.spots; }

bool GreenMapKeeper::Question::same(const Question& other) const {
    return terrain == other.terrain && read.hole == other.read.hole && read.green_speed_ft == other.read.green_speed_ft &&
           read.past_m == other.read.past_m;
}

void GreenMapKeeper::update(const DocumentValue& now, GroundColour wanted, plugin::Units units) {
    if (!is_read_map(wanted) || !now.green || !now.hole) {
        if (asked_) {
            cancel(false);
            cancel(true);
        }
        asked_.reset();
        shown_.reset();
        maps_.reset();
        raster_.reset();
        drawn_maps_ = nullptr;
        refusal_.clear();
        return;
    }
    const Question question{now.green->terrain, {*now.hole, now.green_speed_ft, now.past_m}};
    if (!readers_ || readers_->terrain != question.terrain) {
        // Work on another green goes on with its own readers until it notices.
        cancel(false);
        cancel(true);
        readers_ = std::make_shared<Readers>();
        readers_->terrain = question.terrain;
        shown_.reset();
        maps_.reset();
        raster_.reset();
        drawn_maps_ = nullptr;
    }
    if (!asked_ || !asked_->same(question)) {
        cancel(true);
        asked_ = question;
        failed_ = false;
    }

    // One job of a kind at a time, and none before its forerunner was taken in; when it ends a frame follows, and with it
    // the next question.
    if (!failed_) {
        if (!current()) {
            if (!quick_awaited_ && !readers_->quick_busy) start(question, false);
        } else if (!shown_full_ && !full_awaited_ && !readers_->full_busy) {
            start(question, true);
        }
    }
    draw(wanted, units);
}

void GreenMapKeeper::cancel(bool full) {
    background_.cancel(full ? "map-full" : "map");
    (full ? full_awaited_ : quick_awaited_) = false;
}

void GreenMapKeeper::start(const Question& question, bool full) {
    (full ? full_awaited_ : quick_awaited_) = true;
    // The reader is free again when the work is let go of, also where it was cancelled before it began.
    (full ? readers_->full_busy : readers_->quick_busy) = true;
    const std::shared_ptr<void> release(nullptr, [keep = readers_, full](void*) { (full ? keep->full_busy : keep->quick_busy) = false; });
    background_.start(
        full ? "map-full" : "map", "", !full,
        [this, question, full, release, keep = readers_](Progress& progress) -> Background::TakeIn {
            std::unique_ptr<GreenReader>& reader = full ? keep->full : keep->quick;
            const TerrainModel& terrain = *keep->terrain;
            if (!reader) reader = std::make_unique<GreenReader>(*terrain.surface, terrain.outline, GreenReadOptions{kSpacing, full});
            auto maps = std::make_shared<Maps>();
            maps->reads = reader->read(question.read, progress);
            return [this, question, full, keep, maps] {
                (full ? full_awaited_ : quick_awaited_) = false;
                if (keep != readers_ || !asked_) return;
                // An older hole's map is still better than one of a hole before it.
                maps_ = maps;
                shown_ = question;
                shown_full_ = full;
                refusal_ = maps->reads.why_none;
                ++taken_in_;
            };
        },
        [this, question, full](const std::string& sentence) {
            (full ? full_awaited_ : quick_awaited_) = false;
            if (!asked_ || !asked_->same(question)) return;
            failed_ = true;
            refusal_ = sentence;
            maps_.reset();
            shown_.reset();
            raster_.reset();
            drawn_maps_ = nullptr;
        });
}

void GreenMapKeeper::draw(GroundColour wanted, plugin::Units units) {
    if (!maps_ || (drawn_maps_ == maps_.get() && drawn_ == wanted && drawn_units_ == units)) return;
    raster_ = read_map_picture(maps_->reads, wanted, units, raster_ ? &*raster_ : nullptr);
    drawn_maps_ = maps_.get();
    drawn_ = wanted;
    drawn_units_ = units;
}

}  // namespace brae::app
