#include "app/panels/view_marks.h"

#include "app/panels/theme.h"
#include "app/panels/view_removed.h"
#include "app/scene/colour_scale.h"
#include "core/base/constants.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstring>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

ImU32 colour32(const Colour& c, float alpha = 1) { return ImGui::ColorConvertFloat4ToU32({c.r, c.g, c.b, c.a * alpha}); }

std::optional<ImVec2> place(const MarksInput& in, Vec3 p) {
    if (!in.scene.surface) return std::nullopt;
    const auto at = in.camera.project({p.x, p.y, (p.z - in.scene.surface->z_ref) * in.camera.exaggeration()}, in.view);
    if (!at || !std::isfinite(at->x) || !std::isfinite(at->y) || std::abs(at->x) > 1e5 || std::abs(at->y) > 1e5) return std::nullopt;
    return ImVec2(static_cast<float>(at->x), static_cast<float>(at->y));
}

ImFont* font_of(const Label& label) {
    return label.number ? kit::small_number_font() : label.plate ? kit::font(0) : kit::small_font();
}
float size_of(const Label& label) { return font_of(label)->FontSize; }
// Text on whole pixels is sharp.
ImVec2 whole(ImVec2 p) { return {std::round(p.x), std::round(p.y)}; }

void draw_marker(ImDrawList& list, ImVec2 c, plugin::MarkerShape shape, const Colour& colour, float r, float scale) {
    using S = plugin::MarkerShape;
    const ImU32 ink = colour32(colour), rim = IM_COL32(255, 255, 255, 235);
    const float w = 1.5f * scale;
    const auto polygon = [&](std::initializer_list<ImVec2> corners) {
        std::vector<ImVec2> p;
        for (ImVec2 d : corners) p.push_back({c.x + d.x * r, c.y + d.y * r});
        list.AddConvexPolyFilled(p.data(), static_cast<int>(p.size()), ink);
        list.AddPolyline(p.data(), static_cast<int>(p.size()), rim, ImDrawFlags_Closed, w);
    };
    switch (shape) {
        case S::dot: list.AddCircleFilled(c, r, ink); list.AddCircle(c, r + 0.5f * w, rim, 0, w); break;
        case S::ring: list.AddCircle(c, r, rim, 0, 3.2f * w); list.AddCircle(c, r, ink, 0, 1.4f * w); break;
        case S::square: polygon({{-0.9f, -0.9f}, {0.9f, -0.9f}, {0.9f, 0.9f}, {-0.9f, 0.9f}}); break;
        case S::diamond: polygon({{0, -1.15f}, {1.15f, 0}, {0, 1.15f}, {-1.15f, 0}}); break;
        case S::triangle: polygon({{0, -1.1f}, {1, 0.8f}, {-1, 0.8f}}); break;
        case S::cross:
        case S::plus:
            for (int pass = 0; pass < 2; ++pass)
                for (int k = 0; k < 2; ++k) {
                    const ImVec2 d = shape == S::cross ? (k ? ImVec2(0.8f * r, -0.8f * r) : ImVec2(0.8f * r, 0.8f * r))
                                                       : (k ? ImVec2(r, 0) : ImVec2(0, r));
                    list.AddLine({c.x - d.x, c.y - d.y}, {c.x + d.x, c.y + d.y}, pass ? ink : rim, pass ? 1.3f * w : 3.2f * w);
                }
            break;
    }
}

// Ball and hole are a pixel or two at a distance: a thin ring says where the ball is, a short pin-point where the hole
// is. Both go as the eye comes near enough to see the things themselves.
void draw_finders(ImDrawList& list, const MarksInput& in) {
    const auto reach = [&](Vec3 p, double radius) {
        const Vec3 d{p.x, p.y, (p.z - in.scene.surface->z_ref) * in.camera.exaggeration()};
        return static_cast<float>(radius / in.camera.metres_per_pixel(d, in.view));
    };
    if (in.scene.hole)
        if (const auto c = place(in, in.scene.hole->p)) {
            const float r = reach(in.scene.hole->p, kHoleRadius), gap = std::max(r, 3 * in.scale) + 4 * in.scale;
            if (r < 22 * in.scale) {
                if (r < 3 * in.scale) list.AddCircleFilled(*c, 3 * in.scale, IM_COL32(14, 16, 18, 255));
                const float top = c->y - gap - 20 * in.scale;
                list.AddLine({c->x, c->y - gap}, {c->x, top}, IM_COL32(255, 255, 255, 220), 3.6f * in.scale);
                list.AddLine({c->x, c->y - gap}, {c->x, top}, kInk, 1.5f * in.scale);
                list.AddCircleFilled({c->x, top - 3 * in.scale}, 4.6f * in.scale, IM_COL32(255, 255, 255, 230));
                list.AddCircleFilled({c->x, top - 3 * in.scale}, 3.4f * in.scale, kInk);
            }
        }
    if (in.scene.ball) {
        Vec3 p = in.scene.ball->p;
        if (const auto c = place(in, p)) {
            const float r = reach(p, kBallRadius);
            if (r < 9 * in.scale) {
                if (r < 2.5f * in.scale) {
                    list.AddCircleFilled(*c, 3.4f * in.scale, IM_COL32(40, 46, 50, 255));
                    list.AddCircleFilled(*c, 2.6f * in.scale, IM_COL32(255, 255, 255, 255));
                }
                list.AddCircle(*c, 9 * in.scale, IM_COL32(255, 255, 255, 210), 40, 3.4f * in.scale);
                list.AddCircle(*c, 9 * in.scale, kInk, 40, 1.4f * in.scale);
            }
        }
    }
}

// A round step with four to seven ticks over the span.
double tick_step(double span) {
    const double decade = std::pow(10.0, std::floor(std::log10(span / 4)));
    for (double step : {1.0, 2.0, 5.0})
        if (span / (step * decade) <= 7) return step * decade;
    return 10 * decade;
}

// Title, colours and ticks of one scale, from (x, y) down.
void draw_colours(ImDrawList& list, const MarksInput& in, float x, float y, float width) {
    const float s = in.scale;
    ImFont* text = kit::small_font();
    ImFont* digits = kit::small_number_font();
    const plugin::ColourScale& scale = in.scene.raster ? in.scene.raster->scale : in.scene.slope_scale;
    // Fields in metres are read in feet where the window says so.
    const bool feet = in.units == plugin::Units::feet && scale.unit == "m";
    const double unit = feet ? kFoot : 1;
    const std::string title = scale.unit.empty() ? scale.title : scale.title + ", " + (feet ? "ft" : scale.unit);
    list.AddText(text, text->FontSize, {x, y}, kInk, title.c_str());
    y = std::round(y + text->FontSize + 5 * s);
    const float bar = std::round(9 * s);
    constexpr int kParts = 96;
    for (int k = 0; k < kParts; ++k) {
        const float a = x + width * static_cast<float>(k) / kParts, b = x + width * static_cast<float>(k + 1) / kParts;
        list.AddRectFilled({a, y}, {std::min(b + 0.5f, x + width), y + bar}, colour32(colour_at(scale.name, (k + 0.5) / kParts, scale.reversed)));
    }
    list.AddRect({x, y}, {x + width, y + bar}, IM_COL32(60, 66, 70, 110));
    y += bar + 4 * s;

    const double low = scale.low / unit, high = scale.high / unit, span = high - low;
    if (!(span > 0) || !std::isfinite(span)) return;
    const bool circle = scale.name == plugin::ScaleName::cet_cbc1;
    // A scale with a middle has its ends among its ticks.
    const bool middle = low < 0 && low == -high;
    const double step = circle ? 90 : middle ? (scale.beyond ? high : high / 2) : tick_step(span);
    const int places = std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 6);
    for (double v = std::ceil(low / step - 1e-9) * step; v <= high + 1e-9 * span; v += step) {
        char number[32];
        std::snprintf(number, sizeof number, "%.*f", places, std::abs(v) < 1e-9 * span ? 0.0 : v);
        // Steeper ground than the scale's end has the end's colour.
        std::string words = number;
        const bool last = v > high - 1e-9 * span;
        if (middle && scale.beyond && (last || v < low + 1e-9 * span)) words = (last ? "over " : "under ") + words;
        else if (last && (in.scene.raster ? scale.beyond : in.scene.surface->steeper)) words += "+";
        // Directions by their names.
        if (circle) words = std::array{"N", "E", "S", "W", "N"}[static_cast<std::size_t>(std::lround(v / 90)) % 5];
        const float at = x + width * static_cast<float>((v - low) / span);
        const ImVec2 size = digits->CalcTextSizeA(digits->FontSize, FLT_MAX, 0, words.c_str());
        list.AddLine({at, y - 4 * s}, {at, y - 1 * s}, kQuietInk);
        list.AddText(digits, digits->FontSize, whole({std::clamp(at - size.x / 2, x - 2 * s, x + width - size.x + 4 * s), y}), kQuietInk, words.c_str());
    }
}

// The legend: one strip along the lower edge, or a block where the view is narrow.
void draw_legend(ImDrawList& list, const MarksInput& in) {
    const float s = in.scale, pad = 12 * s, bar_w = 190 * s, sample = 30 * s, gap = 9 * s;
    ImFont* text = kit::small_font();
    const float t = text->FontSize, row_h = t + 6 * s;
    enum class Sample { line, fall, plain, path, start, other, removed };
    struct Row { std::string words; Sample sample; RemovalReason reason = kept; };
    std::vector<Row> rows;
    if (in.scene.ways > 0) {
        rows.push_back({"path of the ball", Sample::path});
        rows.push_back({"start line to the aim", Sample::start});
        if (in.scene.ways > 1) rows.push_back({"another way to hole it", Sample::other});
    }
    if (in.contour_interval_m > 0)
        rows.push_back({"contours every " + (in.units == plugin::Units::metric ? kit::number("%.0f", 100 * in.contour_interval_m, "cm")
                                                                              : kit::number("%.1f", in.contour_interval_m / kInch, "in")), Sample::line});
    if (in.fall_lines) rows.push_back({"fall lines, thicker downhill", Sample::fall});
    if (in.scene.raster_gaps) rows.push_back({"plain: no putt from there at this pace", Sample::plain});
    if (in.scene.removed)
        for (std::size_t k = 1; k < kRemovalReasons; ++k)
            if (in.scene.removed_reasons[k] && in.scene.removed->counts[k] > 0) {
                const auto reason = static_cast<RemovalReason>(k);
                rows.push_back({std::string("removed: ") + to_text(reason), Sample::removed, reason});
            }
    const bool colours = in.scene.raster || in.scene.shade_slope;
    if (!colours && rows.empty()) return;

    // Sizes first, then the plate.
    const float colours_h = t + 5 * s + 9 * s + 4 * s + kit::small_number_font()->FontSize;
    float words_w = 0;
    for (const Row& r : rows) words_w = std::max(words_w, text->CalcTextSizeA(t, FLT_MAX, 0, r.words.c_str()).x);
    const float rows_w = rows.empty() ? 0 : sample + gap + words_w, rows_h = rows.empty() ? 0 : static_cast<float>(rows.size()) * row_h - 6 * s;
    const bool wide = static_cast<float>(in.view.width) > bar_w + rows_w + 260 * s;
    const float between = colours && !rows.empty() ? (wide ? 26 * s : 10 * s) : 0;
    const float w = 2 * pad + (wide ? (colours ? bar_w : 0) + between + rows_w : std::max(colours ? bar_w : 0, rows_w));
    const float h = 2 * pad - 2 * s + (wide ? std::max(colours ? colours_h : 0, rows_h) : (colours ? colours_h : 0) + between + rows_h);
    const float x = std::round(static_cast<float>(in.view.x) + 16 * s);
    const float y = std::round(static_cast<float>(in.view.y + in.view.height) - 14 * s - h);
    list.AddRectFilled({x, y}, {x + w, y + h}, kPlate, 6 * s);
    list.AddRect({x, y}, {x + w, y + h}, kHairline, 6 * s);

    if (colours) draw_colours(list, in, x + pad, y + pad - 2 * s, bar_w);
    const float rx = std::round(x + pad + (wide && colours ? bar_w + between : 0));
    float ry = y + pad - 1 * s + (wide ? (colours ? std::max(0.0f, (colours_h - rows_h) / 2) : 0) : (colours ? colours_h + between : 0));
    for (const Row& r : rows) {
        const float mid = std::round(ry + t * 0.55f) + 0.5f;
        // The samples of the read's lines repeat what the scene draws.
        const auto dashes = [&](float on, float off, ImU32 ink, float thick) {
            for (float a = 0; a < sample; a += on + off) list.AddLine({rx + a, mid}, {rx + std::min(a + on, sample), mid}, ink, thick * s);
        };
        if (r.sample == Sample::removed) draw_removed_sign(list, {rx + sample / 2, mid}, r.reason, 4.5f * s);
        else if (r.sample == Sample::path) list.AddLine({rx, mid}, {rx + sample, mid}, IM_COL32(13, 18, 26, 255), 2.6f * s);
        else if (r.sample == Sample::start) dashes(6 * s, 4 * s, colour32(plugin::ink::blue), 1.8f);
        else if (r.sample == Sample::other) {
            dashes(8 * s, 8 * s, kQuietInk, 1.3f);
            for (float a = 11.5f * s; a < sample; a += 16 * s) list.AddLine({rx + a, mid}, {rx + a + 1.5f * s, mid}, kQuietInk, 1.3f * s);
        } else if (r.sample == Sample::fall)  // dashes that grow downhill
            for (int k = 0; k < 4; ++k) {
                const float a = rx + static_cast<float>(k) * 8 * s;
                list.AddLine({a, mid}, {a + 5.5f * s, mid}, kQuietInk, (0.8f + 0.5f * static_cast<float>(k)) * s);
            }
        else if (r.sample == Sample::plain) {
            list.AddRectFilled({rx, mid - 4 * s}, {rx + sample, mid + 4 * s}, IM_COL32(204, 213, 203, 255));
            list.AddRect({rx, mid - 4 * s}, {rx + sample, mid + 4 * s}, IM_COL32(60, 66, 70, 110));
        } else list.AddLine({rx, mid}, {rx + sample, mid}, kQuietInk, 1.1f * s);
        list.AddText(text, t, whole({rx + sample + gap, ry}), kQuietInk, r.words.c_str());
        ry += row_h;
    }
}

// Length on the ground at the target of the view, and where north is.
void draw_bar_and_north(ImDrawList& list, const MarksInput& in) {
    const float s = in.scale;
    const float right = static_cast<float>(in.view.x + in.view.width) - 22 * s;
    const float bottom = static_cast<float>(in.view.y + in.view.height) - 22 * s;
    ImFont* digits = kit::small_number_font();
    const float size = digits->FontSize;
    if (in.camera.parallel()) {
        const double mpp = in.camera.metres_per_pixel(in.camera.target(), in.view);
        const double unit = in.units == plugin::Units::metric ? 1.0 : kFoot;
        double length = 1;
        for (double step : {0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0})
            if (step * unit / mpp < 150 * s) length = step;
        const float w = static_cast<float>(length * unit / mpp);
        list.AddRectFilled({right - w - 8 * s, bottom - size - 10 * s}, {right + 8 * s, bottom + 6 * s}, kPlate, 4 * s);
        const std::string words = kit::number(length < 1 ? "%.1f" : "%.0f", length, in.units == plugin::Units::metric ? "m" : "ft");
        list.AddLine({right - w, bottom}, {right, bottom}, kInk, 1.5f * s);
        for (float x : {right - w, right}) list.AddLine({x, bottom - 4 * s}, {x, bottom + 1 * s}, kInk, 1.5f * s);
        const ImVec2 box = digits->CalcTextSizeA(size, FLT_MAX, 0, words.c_str());
        list.AddText(digits, size, whole({right - w / 2 - box.x / 2, bottom - box.y - 5 * s}), kInk, words.c_str());
    } else {
        const std::string words = in.camera.exaggeration() == 1 ? "true height"
                                                                : "height x " + kit::number("%.1f", in.camera.exaggeration());
        ImFont* text = kit::small_font();
        const float t = text->FontSize;
        const ImVec2 box = text->CalcTextSizeA(t, FLT_MAX, 0, words.c_str());
        list.AddRectFilled({right - box.x - 7 * s, bottom - box.y}, {right + 7 * s, bottom + 8 * s}, kPlate, 4 * s);
        list.AddText(text, t, whole({right - box.x, bottom - box.y + 4 * s}), kQuietInk, words.c_str());
    }
    // North: a needle turned against the view's bearing.
    const ImVec2 c{right - 16 * s, static_cast<float>(in.view.y) + 42 * s};
    const float a = -static_cast<float>(in.camera.yaw());
    const ImVec2 n{std::sin(a), -std::cos(a)}, e{-n.y, n.x};
    const float r = 12 * s;
    list.AddCircleFilled(c, 31 * s, kPlate, 48);
    const ImVec2 tip{c.x + n.x * r, c.y + n.y * r}, tail{c.x - n.x * r * 0.7f, c.y - n.y * r * 0.7f};
    list.AddTriangleFilled(tip, {tail.x + e.x * r * 0.5f, tail.y + e.y * r * 0.5f}, {tail.x - e.x * r * 0.5f, tail.y - e.y * r * 0.5f}, kInk);
    ImFont* strong = kit::strong_font();
    const float z = strong->FontSize;
    const ImVec2 box = strong->CalcTextSizeA(z, FLT_MAX, 0, "N");
    list.AddText(strong, z, whole({c.x + n.x * r * 1.8f - box.x / 2, c.y + n.y * r * 1.8f - box.y / 2}), kInk, "N");
}

}  // namespace

std::vector<PlacedLabel> place_labels(const MarksInput& in) {
    // Higher priority first; a label that would cover one already placed tries other sides, then stays away.
    std::vector<const Label*> order;
    for (const Label& l : in.scene.labels) order.push_back(&l);
    std::stable_sort(order.begin(), order.end(), [](auto* a, auto* b) { return a->priority > b->priority; });
    std::vector<PlacedLabel> out;
    const float x0 = static_cast<float>(in.view.x), y0 = static_cast<float>(in.view.y);
    const float x1 = x0 + static_cast<float>(in.view.width), y1 = y0 + static_cast<float>(in.view.height);
    // Ball and hole with their rings are obstacles.
    std::vector<std::pair<ImVec2, ImVec2>> obstacles;
    const auto keep_out = [&](Vec3 p, float up) {
        if (const auto c = place(in, p)) obstacles.push_back({{c->x - 9 * in.scale, c->y - up * in.scale}, {c->x + 9 * in.scale, c->y + 9 * in.scale}});
    };
    if (in.scene.ball) keep_out(in.scene.ball->p, 9);
    if (in.scene.hole) keep_out(in.scene.hole->p, 30);
    for (const Label* label : order) {
        const auto c = place(in, label->p);
        if (!c) continue;
        const ImVec2 size = font_of(*label)->CalcTextSizeA(size_of(*label), FLT_MAX, 0, label->text.c_str());
        const float gap = label->gap_px * in.scale;
        using A = plugin::TextAnchor;
        const auto corner = [&](A anchor) {
            switch (anchor) {
                case A::right: return ImVec2(c->x + gap, c->y - size.y / 2);
                case A::left: return ImVec2(c->x - gap - size.x, c->y - size.y / 2);
                case A::above: return ImVec2(c->x - size.x / 2, c->y - gap - size.y);
                case A::below: return ImVec2(c->x - size.x / 2, c->y + gap);
                case A::centre: break;
            }
            return ImVec2(c->x - size.x / 2, c->y - size.y / 2);
        };
        std::vector<A> tries{label->anchor};
        if (label->anchor != A::centre)
            for (A a : {A::right, A::left, A::above, A::below})
                if (a != label->anchor) tries.push_back(a);
        // The aim's words are needed: where every side is taken they may stand over ball or hole.
        if (label->priority >= 9) tries.push_back(label->anchor);
        for (std::size_t attempt = 0; attempt < tries.size(); ++attempt) {
            const A a = tries[attempt];
            const bool last = label->priority >= 9 && attempt + 1 == tries.size();
            const ImVec2 low = whole(corner(a)), high{low.x + size.x, low.y + size.y};
            const float m = 3 * in.scale;
            if (low.x < x0 + m || low.y < y0 + m || high.x > x1 - m || high.y > y1 - m) continue;
            const bool clash = std::any_of(out.begin(), out.end(), [&](const PlacedLabel& o) {
                return low.x - m < o.high.x && high.x + m > o.low.x && low.y - m < o.high.y && high.y + m > o.low.y;
            });
            const bool covers = std::any_of(obstacles.begin(), obstacles.end(), [&](const auto& o) {
                return low.x < o.second.x && high.x > o.first.x && low.y < o.second.y && high.y > o.first.y;
            });
            if (clash || (covers && !last)) continue;
            out.push_back({low, high, label});
            break;
        }
    }
    return out;
}

void draw_view_marks(ImDrawList& list, const MarksInput& in) {
    if (!in.scene.surface) return;
    const ImVec2 low(static_cast<float>(in.view.x), static_cast<float>(in.view.y));
    list.PushClipRect(low, {low.x + static_cast<float>(in.view.width), low.y + static_cast<float>(in.view.height)}, true);

    draw_finders(list, in);
    for (const Marker& m : in.scene.markers)
        if (const auto c = place(in, m.p)) draw_marker(list, *c, m.shape, m.colour, 0.5f * m.size_px * in.scale, in.scale);
    for (const PlacedLabel& l : place_labels(in)) {
        ImFont* font = font_of(*l.label);
        const float size = size_of(*l.label), s = in.scale;
        if (l.label->plate) {
            list.AddRectFilled({l.low.x - 6 * s, l.low.y - 3 * s}, {l.high.x + 6 * s, l.high.y + 3 * s}, kPlate, 4 * s);
        } else {
            // A small plate, so that the text reads on any ground.
            list.AddRectFilled({l.low.x - 3 * s, l.low.y - 1 * s}, {l.high.x + 3 * s, l.high.y + 1 * s}, IM_COL32(252, 252, 250, 205), 3 * s);
        }
        list.AddText(font, size, l.low, colour32(l.label->colour), l.label->text.c_str());
    }
    draw_legend(list, in);
    draw_bar_and_north(list, in);
    list.PopClipRect();
}

}  // namespace brae::app
