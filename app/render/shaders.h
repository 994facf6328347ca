// GLSL 3.30 sources. Edges and lines are smoothed in the fragment shaders, so no multisampling is needed.
#pragma once

namespace brae::app::render {

// Ground and its side wall. edge: signed distance to the outline on the ground, 1..0 down the wall.
inline constexpr const char* kGroundVertex = R"(#version 330 core
layout(location = 0) in vec3 position;   // x, y, height over the lowest point, m
layout(location = 1) in vec2 gradient;
layout(location = 2) in float edge;
uniform mat4 clip;
uniform float exaggeration;
out vec2 v_gradient;
out float v_edge;
out vec2 v_xy;
void main() {
    v_gradient = gradient;
    v_edge = edge;
    v_xy = position.xy;
    gl_Position = clip * vec4(position.xy, position.z * exaggeration, 1.0);
}
)";

inline constexpr const char* kGroundFragment = R"(#version 330 core
in vec2 v_gradient;
in float v_edge;
in vec2 v_xy;
uniform sampler2D scale;            // colours of the slope scale
uniform sampler2D field;            // a plugin's raster, values in scale units, alpha = there is a value
uniform vec4 field_box;             // x0, y0, 1/width, 1/height
uniform vec2 field_range;           // low, 1/(high - low)
uniform float field_opacity;        // 0: no field
uniform float slope_top;            // ratio at the end of the scale; 0: plain ground
uniform vec3 plain;
uniform float relief;               // how much the soft shading counts
uniform float relief_factor;        // exaggeration of the normal for shading
out vec4 colour;
void main() {
    // The outline cuts the ground where the signed distance passes zero, over one pixel.
    float cover = clamp(v_edge / max(fwidth(v_edge), 1e-6) + 0.5, 0.0, 1.0);
    if (cover <= 0.01) discard;
    vec3 base = plain;
    if (slope_top > 0.0)
        base = texture(scale, vec2((clamp(length(v_gradient) / slope_top, 0.0, 1.0) * 255.0 + 0.5) / 256.0, 0.5)).rgb;
    if (field_opacity > 0.0) {
        vec2 uv = (v_xy - field_box.xy) * field_box.zw;
        vec2 value = texture(field, uv).rg;
        bool inside = all(greaterThanEqual(uv, vec2(0.0))) && all(lessThanEqual(uv, vec2(1.0)));
        if (inside && value.g > 0.5) {
            float t = clamp((value.r / value.g - field_range.x) * field_range.y, 0.0, 1.0);
            base = mix(base, texture(scale, vec2((t * 255.0 + 0.5) / 256.0, 0.5)).rgb, field_opacity);
        }
    }
    // Soft light from the north-west, gentle enough to leave the scale readable.
    vec3 n = normalize(vec3(-v_gradient * relief_factor, 1.0));
    float light = dot(n, normalize(vec3(-0.55, 0.55, 0.9)));
    float flat_light = 0.9 / sqrt(0.55 * 0.55 * 2.0 + 0.81);
    base *= clamp(1.0 + relief * (light - flat_light), 0.6, 1.15);
    colour = vec4(min(base, vec3(1.0)), cover);
}
)";

inline constexpr const char* kWallFragment = R"(#version 330 core
in vec2 v_gradient;                 // outward normal on the wall
in float v_edge;
in vec2 v_xy;
uniform vec3 wall_top, wall_bottom;
out vec4 colour;
void main() {
    float side = dot(normalize(v_gradient), normalize(vec2(-0.55, 0.55)));
    colour = vec4(mix(wall_bottom, wall_top, v_edge) * (0.96 + 0.05 * side), 1.0);
}
)";

// Line pieces as quads: one instance a piece, four corners; smoothed by the distance from the middle line.
inline constexpr const char* kLineVertex = R"(#version 330 core
layout(location = 0) in vec3 a;          // display height not yet exaggerated
layout(location = 1) in vec3 b;
layout(location = 2) in vec4 colour;
layout(location = 3) in vec4 shape;      // width px at a, width px at b, length px before a, dash kind
uniform mat4 clip;
uniform float exaggeration;
uniform vec2 view_px;
uniform float lift;                      // toward the eye, in clip depth
uniform float grow;                      // px added to the width: casing
uniform float dash_scale;
out vec4 v_colour;
out vec2 v_at;                           // px along from a, px across
flat out float v_length;
out float v_half;
flat out vec2 v_dash;                    // px before a, kind
void main() {
    vec4 ca = clip * vec4(a.xy, a.z * exaggeration, 1.0);
    vec4 cb = clip * vec4(b.xy, b.z * exaggeration, 1.0);
    // Pieces that reach behind the eye are cut at a plane before it.
    const float near = 0.02;
    if (ca.w < near && cb.w < near) { gl_Position = vec4(2.0, 2.0, 2.0, 1.0); v_colour = vec4(0); v_at = vec2(0); v_length = 0.0; v_half = 1.0; v_dash = vec2(0); return; }
    if (ca.w < near) ca = mix(ca, cb, (near - ca.w) / (cb.w - ca.w));
    if (cb.w < near) cb = mix(cb, ca, (near - cb.w) / (ca.w - cb.w));
    vec2 pa = ca.xy / ca.w * view_px * 0.5, pb = cb.xy / cb.w * view_px * 0.5;
    vec2 d = pb - pa;
    float len = length(d);
    d = len > 1e-4 ? d / len : vec2(1.0, 0.0);
    vec2 n = vec2(-d.y, d.x);
    bool at_b = (gl_VertexID & 1) == 1;
    float side = (gl_VertexID & 2) == 2 ? 1.0 : -1.0;
    float half_width = 0.5 * (at_b ? shape.y : shape.x) + grow;
    float reach = half_width + 1.0;
    vec2 p = (at_b ? pb + d * reach : pa - d * reach) + n * side * reach;
    vec4 c = at_b ? cb : ca;
    gl_Position = vec4(p / (view_px * 0.5) * c.w, c.z - lift * c.w, c.w);
    v_colour = colour;
    v_at = vec2(at_b ? len + reach : -reach, side * reach);
    v_length = len;
    v_half = half_width;
    v_dash = vec2(shape.z, shape.w);
}
)";

inline constexpr const char* kLineFragment = R"(#version 330 core
in vec4 v_colour;
in vec2 v_at;
flat in float v_length;
in float v_half;
flat in vec2 v_dash;
uniform vec4 tint;                   // alpha > 0: this colour instead (casing)
uniform float dash_scale;
out vec4 colour;
void main() {
    // Round ends.
    float past = max(max(-v_at.x, v_at.x - v_length), 0.0);
    float from_line = length(vec2(past, v_at.y));
    float cover = clamp(v_half - from_line + 0.5, 0.0, 1.0);
    // Dashes by the length along the whole line.
    float s = (v_dash.x + clamp(v_at.x, 0.0, v_length)) / dash_scale;
    float on = 1.0;
    if (v_dash.y == 1.0) on = clamp(5.0 - abs(mod(s, 14.0) - 5.0) + 0.5, 0.0, 1.0);
    if (v_dash.y == 2.0) on = clamp(1.0 - abs(mod(s, 6.0) - 1.0) + 0.5, 0.0, 1.0);
    if (v_dash.y == 3.0) { float m = mod(s, 18.0); on = clamp(max(5.0 - abs(m - 5.0), 1.0 - abs(m - 14.0)) + 0.5, 0.0, 1.0); }
    vec4 c = tint.a > 0.0 ? vec4(tint.rgb, tint.a * v_colour.a) : v_colour;
    float alpha = c.a * cover * on;
    if (alpha < 0.004) discard;
    colour = vec4(c.rgb, alpha);
}
)";

// Flat areas on the ground.
inline constexpr const char* kFillVertex = R"(#version 330 core
layout(location = 0) in vec3 position;
layout(location = 1) in vec4 colour;
uniform mat4 clip;
uniform float exaggeration;
uniform float lift;
out vec4 v_colour;
void main() {
    v_colour = colour;
    gl_Position = clip * vec4(position.xy, position.z * exaggeration, 1.0);
    gl_Position.z -= lift * gl_Position.w;
}
)";
inline constexpr const char* kFillFragment = R"(#version 330 core
in vec4 v_colour;
out vec4 colour;
void main() { colour = v_colour; }
)";

// The ball as a disc that faces the eye, shaded as a sphere, and the hole as a disc on the ground with a thin rim.
inline constexpr const char* kSignVertex = R"(#version 330 core
uniform vec4 corners[4];             // clip space
out vec2 v_uv;
void main() {
    v_uv = vec2((gl_VertexID & 1) == 1 ? 1.0 : -1.0, (gl_VertexID & 2) == 2 ? 1.0 : -1.0);
    gl_Position = corners[gl_VertexID];
}
)";
inline constexpr const char* kSignFragment = R"(#version 330 core
in vec2 v_uv;
uniform int ball;
uniform float extent;                // uv 1 is this many radii
out vec4 colour;
void main() {
    float r = length(v_uv) * extent;
    float pixel = fwidth(r);
    float cover = clamp((1.0 - r) / pixel + 0.5, 0.0, 1.0);
    if (cover < 0.01) discard;
    if (ball == 1) {
        vec3 n = vec3(v_uv * extent, sqrt(max(0.0, 1.0 - r * r)));
        float light = 0.72 + 0.28 * max(0.0, dot(n, normalize(vec3(-0.5, 0.7, 0.6))));
        float rim = smoothstep(1.0 - 1.6 * pixel - 0.08, 1.0, r);
        colour = vec4(mix(vec3(light), vec3(0.35), 0.55 * rim), cover);
    } else {
        // Dark inside, a thin white rim at the edge of the cup.
        float rim = clamp((r - 0.86) / pixel + 0.5, 0.0, 1.0);
        vec3 inside = vec3(0.055, 0.06, 0.065) + 0.05 * clamp(v_uv.y * extent, 0.0, 1.0);
        colour = vec4(mix(inside, vec3(0.97), rim), cover);
    }
}
)";

}  // namespace brae::app::render
