// Drawing on the green without a graphics library: shapes in local metres, draped over the surface by the host.
#pragma once

#include "core/base/vec.h"
#include "core/terrain/elevation_model.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::plugin {

// Colour in sRGB, 0 to 1, not premultiplied.
struct Colour { float r = 0, g = 0, b = 0, a = 1; };

// The program's inks. Lines of different meaning are told apart by dash and label first and by ink second, so that a
// picture still reads in grey and for colour-blind eyes.
namespace ink {
inline constexpr Colour dark{0.13f, 0.15f, 0.17f, 1};      // text, main lines
inline constexpr Colour quiet{0.42f, 0.45f, 0.48f, 1};     // helpers, second lines
inline constexpr Colour blue{0.00f, 0.27f, 0.55f, 1};      // what the plugin is about
inline constexpr Colour violet{0.45f, 0.20f, 0.48f, 1};    // a second subject
inline constexpr Colour white{1, 1, 1, 1};
}  // namespace ink

enum class Dash { solid, dashed, dotted, dash_dot };

struct Stroke {
    Colour colour = ink::dark;
    float width_px = 1.5f;          // at scale 1
    Dash dash = Dash::solid;
};

// Small signs of fixed size on the screen.
enum class MarkerShape { dot, ring, cross, plus, square, diamond, triangle };

enum class TextAnchor { right, left, above, below, centre };

// A published perceptually even, colour-blind-safe scale over [low, high]; values beyond take the end's colour.
// The last two are for a field with a middle (blue, white, ochre) and for directions (the ends meet).
enum class ScaleName { cividis, viridis, davos, lapaz, cet_cbd1, cet_cbc1 };
struct ColourScale {
    ScaleName name = ScaleName::cividis;
    double low = 0, high = 1;
    std::string title;              // over the legend: "Hole positions: margin"
    std::string unit;               // "%", "m", "" for none
    bool reversed = false;
    bool beyond = false;            // some values lie beyond the ends: the legend says so
};

// A field over the green. NaN cells are not drawn. It replaces the slope shading and its legend while the
// plugin's tab is in front; from another tab it is left out.
struct OverlayRaster {
    std::shared_ptr<const Raster> values;   // a new pointer means a new picture: keep it between frames
    ColourScale scale;
    float opacity = 1;                      // over the plain surface
    bool smooth = true;                     // false: cells are seen as cells
};

// Points outside the green are drawn at the height of its nearest edge. Shapes with a number that is not finite are
// left out. A label stands beside the shape, in the ink of its stroke, and gives way to others on collision.
class OverlayCanvas {
public:
    virtual ~OverlayCanvas() = default;

    virtual void polyline(const std::vector<Vec2>& points, const Stroke& stroke, const std::string& label = {}) = 0;
    // A ring, closed by the host, lightly filled (alpha of `fill` 0: not filled).
    virtual void polygon(const std::vector<Vec2>& ring, const Colour& fill, const Stroke& stroke,
                         const std::string& label = {}) = 0;
    // A filled disc and a circle, radius in metres on the ground.
    virtual void disc(Vec2 centre, double radius_m, const Colour& fill) = 0;
    virtual void circle(Vec2 centre, double radius_m, const Stroke& stroke, const std::string& label = {}) = 0;
    // A sign of size_px (at scale 1) that faces the reader.
    virtual void marker(Vec2 p, MarkerShape shape, const Colour& colour, float size_px = 9,
                        const std::string& label = {}) = 0;
    virtual void text(Vec2 p, const std::string& text, TextAnchor anchor = TextAnchor::right,
                      const Colour& colour = ink::dark) = 0;
    virtual void raster(const OverlayRaster& raster) = 0;
};

}  // namespace brae::plugin
