#include "app/render/renderer.h"

#include "app/render/gl_program.h"
#include "app/render/shaders.h"
#include "app/scene/colour_scale.h"
#include "core/base/constants.h"
#include "core/base/error.h"

#include <cmath>
#include <cstddef>
#include <map>
#include <vector>

namespace brae::app::render {
namespace {

// Background of the view and inks of the side wall, in sRGB.
constexpr float kBackground[3] = {0.945f, 0.949f, 0.945f};
constexpr float kWallTop[3] = {0.74f, 0.755f, 0.745f}, kWallBottom[3] = {0.865f, 0.872f, 0.866f};
constexpr float kPlain[3] = {0.80f, 0.835f, 0.795f};
constexpr float kGroundLift = 2e-4f;   // of clip depth: lines before the ground they lie on

struct LinePiece { float a[3], b[3], colour[4], shape[4]; };
struct FillVertex { float p[3], colour[4]; };

float dash_kind(plugin::Dash dash) { return static_cast<float>(static_cast<int>(dash)); }

// Cuts lines into pieces; lengths along dashed lines are those on the screen now.
void cut(const Line& line, double z_ref, const Camera& camera, const Viewport& view, float scale,
         std::vector<LinePiece>& out) {
    const double exaggeration = camera.exaggeration();
    const bool dashed = line.stroke.dash != plugin::Dash::solid;
    double total = 0;
    if (line.taper != 1)
        for (std::size_t k = 1; k < line.points.size(); ++k)
            total += std::hypot(line.points[k].x - line.points[k - 1].x, line.points[k].y - line.points[k - 1].y);
    double along_m = 0, along_px = 0;
    const Colour& c = line.stroke.colour;
    for (std::size_t k = 1; k < line.points.size(); ++k) {
        const Vec3 &a = line.points[k - 1], &b = line.points[k];
        const auto width = [&](double m) {
            const double t = total > 0 ? m / total : 0;
            return static_cast<float>(scale * line.stroke.width_px * (1 + t * (line.taper - 1)));
        };
        const double step_m = std::hypot(b.x - a.x, b.y - a.y);
        LinePiece piece{{static_cast<float>(a.x), static_cast<float>(a.y), static_cast<float>(a.z - z_ref)},
                        {static_cast<float>(b.x), static_cast<float>(b.y), static_cast<float>(b.z - z_ref)},
                        {c.r, c.g, c.b, c.a},
                        {width(along_m), width(along_m + step_m), static_cast<float>(along_px),
                         dash_kind(line.stroke.dash)}};
        along_m += step_m;
        if (dashed) {
            const auto pa = camera.project({a.x, a.y, (a.z - z_ref) * exaggeration}, view);
            const auto pb = camera.project({b.x, b.y, (b.z - z_ref) * exaggeration}, view);
            if (pa && pb) along_px += std::hypot(pb->x - pa->x, pb->y - pa->y);
        }
        out.push_back(piece);
    }
}

}  // namespace

struct Renderer::Parts {
    GlProgram ground{"ground", kGroundVertex, kGroundFragment};
    GlProgram wall{"wall", kGroundVertex, kWallFragment};
    GlProgram line{"line", kLineVertex, kLineFragment};
    GlProgram fill{"fill", kFillVertex, kFillFragment};
    GlProgram sign{"sign", kSignVertex, kSignFragment};
    GlMesh ground_mesh, wall_mesh, line_mesh, fill_mesh, sign_mesh;
    std::shared_ptr<const SurfaceMesh> uploaded;
    std::map<const void*, std::unique_ptr<GlMesh>> still;          // contours and such, by their data
    std::vector<std::shared_ptr<const std::vector<Line>>> still_kept;
    GLuint scale_texture = 0, field_texture = 0;
    std::shared_ptr<const Raster> field_uploaded;
    bool field_smooth = true;

    void upload_surface(const std::shared_ptr<const SurfaceMesh>& mesh);
    void upload_field(const plugin::OverlayRaster& raster);
    void upload_scale(plugin::ScaleName name, bool reversed);
    void line_layout() const;
    void draw_pieces(const GlMesh& mesh, bool casing, float casing_px, float scale);
};

void Renderer::Parts::upload_surface(const std::shared_ptr<const SurfaceMesh>& mesh) {
    if (mesh == uploaded) return;
    uploaded = mesh;
    still.clear();
    still_kept.clear();
    const auto layout = [] {
        using V = SurfaceMesh::Vertex;
        glEnableVertexAttribArray(0);
        glVertexAttribPointer(0, 3, GL_FLOAT, GL_FALSE, sizeof(V), reinterpret_cast<void*>(offsetof(V, x)));
        glEnableVertexAttribArray(1);
        glVertexAttribPointer(1, 2, GL_FLOAT, GL_FALSE, sizeof(V), reinterpret_cast<void*>(offsetof(V, hx)));
        glEnableVertexAttribArray(2);
        glVertexAttribPointer(2, 1, GL_FLOAT, GL_FALSE, sizeof(V), reinterpret_cast<void*>(offsetof(V, edge)));
    };
    const auto bytes = [](const auto& v) { return static_cast<GLsizeiptr>(v.size() * sizeof v[0]); };
    glBindVertexArray(ground_mesh.vao);
    glBindBuffer(GL_ARRAY_BUFFER, ground_mesh.vbo);
    glBufferData(GL_ARRAY_BUFFER, bytes(mesh->vertices), mesh->vertices.data(), GL_STATIC_DRAW);
    glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, ground_mesh.ibo);
    glBufferData(GL_ELEMENT_ARRAY_BUFFER, bytes(mesh->indices), mesh->indices.data(), GL_STATIC_DRAW);
    ground_mesh.count = static_cast<GLsizei>(mesh->indices.size());
    layout();
    glBindVertexArray(wall_mesh.vao);
    glBindBuffer(GL_ARRAY_BUFFER, wall_mesh.vbo);
    glBufferData(GL_ARRAY_BUFFER, bytes(mesh->skirt), mesh->skirt.data(), GL_STATIC_DRAW);
    wall_mesh.count = static_cast<GLsizei>(mesh->skirt.size());
    layout();
    glBindVertexArray(0);
}

void Renderer::Parts::upload_scale(plugin::ScaleName name, bool reversed) {
    glBindTexture(GL_TEXTURE_2D, scale_texture);
    const auto table = colour_table(name, reversed);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, 256, 1, 0, GL_RGBA, GL_UNSIGNED_BYTE, table.data());
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
}

void Renderer::Parts::upload_field(const plugin::OverlayRaster& raster) {
    glBindTexture(GL_TEXTURE_2D, field_texture);
    if (field_uploaded == raster.values && field_smooth == raster.smooth) return;
    field_uploaded = raster.values;
    field_smooth = raster.smooth;
    // Value times presence, and presence: so that smoothing next to a gap stays right.
    std::vector<float> texels;
    texels.reserve(2 * raster.values->values.size());
    for (double v : raster.values->values) {
        const bool there = std::isfinite(v);
        texels.push_back(there ? static_cast<float>(v) : 0.0f);
        texels.push_back(there ? 1.0f : 0.0f);
    }
    glPixelStorei(GL_UNPACK_ALIGNMENT, 4);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RG32F, raster.values->columns, raster.values->rows, 0, GL_RG, GL_FLOAT, texels.data());
    const GLint filter = raster.smooth ? GL_LINEAR : GL_NEAREST;
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, filter);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, filter);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
}

void Renderer::Parts::line_layout() const {
    using P = LinePiece;
    const std::size_t at[4] = {offsetof(P, a), offsetof(P, b), offsetof(P, colour), offsetof(P, shape)};
    for (GLuint k = 0; k < 4; ++k) {
        glEnableVertexAttribArray(k);
        glVertexAttribPointer(k, k < 2 ? 3 : 4, GL_FLOAT, GL_FALSE, sizeof(P), reinterpret_cast<void*>(at[k]));
        glVertexAttribDivisor(k, 1);
    }
}

void Renderer::Parts::draw_pieces(const GlMesh& mesh, bool casing, float casing_px, float scale) {
    if (mesh.count == 0) return;
    glBindVertexArray(mesh.vao);
    glUniform1f(line.at("grow"), casing ? casing_px * scale : 0.0f);
    glUniform4f(line.at("tint"), 1, 1, 1, casing ? 0.75f : 0.0f);
    glDrawArraysInstanced(GL_TRIANGLE_STRIP, 0, 4, mesh.count);
}

Renderer::Renderer() {
    if (epoxy_gl_version() < 33)
        throw Error("the graphics driver offers OpenGL " + std::to_string(epoxy_gl_version() / 10) + "." +
                    std::to_string(epoxy_gl_version() % 10) + "; 3.3 or newer is wanted");
    parts_ = std::make_unique<Parts>();
    glGenTextures(1, &parts_->scale_texture);
    glGenTextures(1, &parts_->field_texture);
}

Renderer::~Renderer() {
    glDeleteTextures(1, &parts_->scale_texture);
    glDeleteTextures(1, &parts_->field_texture);
}

void Renderer::draw(const Scene& scene, const Camera& camera, const Viewport& view, int width, int height, float scale) {
    Parts& gl = *parts_;

    // Background, then only the part of the window that is the view.
    glDisable(GL_SCISSOR_TEST);
    glViewport(0, 0, width, height);
    glClearColor(kBackground[0], kBackground[1], kBackground[2], 1);
    glDepthMask(GL_TRUE);
    glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
    if (!scene.surface || view.width < 8 || view.height < 8) return;
    const auto vx = static_cast<GLint>(view.x), vy = static_cast<GLint>(height - view.y - view.height);
    const auto vw = static_cast<GLsizei>(view.width), vh = static_cast<GLsizei>(view.height);
    glViewport(vx, vy, vw, vh);
    glEnable(GL_SCISSOR_TEST);
    glScissor(vx, vy, vw, vh);
    glEnable(GL_DEPTH_TEST);
    glDepthFunc(GL_LEQUAL);
    glDisable(GL_CULL_FACE);
    glEnable(GL_BLEND);
    glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);

    gl.upload_surface(scene.surface);
    const auto clip = camera.clip_from_display(view);
    const float exaggeration = static_cast<float>(camera.exaggeration());
    const double z_ref = scene.surface->z_ref;

    // Side wall.
    gl.wall.use();
    glUniformMatrix4fv(gl.wall.at("clip"), 1, GL_FALSE, clip.data());
    glUniform1f(gl.wall.at("exaggeration"), exaggeration);
    glUniform3fv(gl.wall.at("wall_top"), 1, kWallTop);
    glUniform3fv(gl.wall.at("wall_bottom"), 1, kWallBottom);
    glBindVertexArray(gl.wall_mesh.vao);
    if (!camera.parallel()) glDrawArrays(GL_TRIANGLE_STRIP, 0, gl.wall_mesh.count);

    // Ground.
    gl.ground.use();
    glActiveTexture(GL_TEXTURE1);
    if (scene.raster) gl.upload_field(*scene.raster);
    glActiveTexture(GL_TEXTURE0);
    const plugin::ColourScale& colours = scene.raster ? scene.raster->scale : scene.slope_scale;
    gl.upload_scale(colours.name, colours.reversed);
    glUniform1i(gl.ground.at("scale"), 0);
    glUniform1i(gl.ground.at("field"), 1);
    glUniformMatrix4fv(gl.ground.at("clip"), 1, GL_FALSE, clip.data());
    glUniform1f(gl.ground.at("exaggeration"), exaggeration);
    glUniform1f(gl.ground.at("slope_top"),
                scene.shade_slope && !scene.raster ? static_cast<float>(scene.surface->slope_top) : 0.0f);
    glUniform3fv(gl.ground.at("plain"), 1, kPlain);
    glUniform1f(gl.ground.at("relief"), scene.shade_slope || scene.raster ? 0.30f : 0.9f);
    glUniform1f(gl.ground.at("relief_factor"), 6.0f);
    glUniform1f(gl.ground.at("field_opacity"), scene.raster ? scene.raster->opacity : 0.0f);
    if (scene.raster) {
        const Raster& r = *scene.raster->values;
        glUniform4f(gl.ground.at("field_box"), static_cast<float>(r.x0), static_cast<float>(r.y0),
                    static_cast<float>(1 / (r.columns * r.cell)), static_cast<float>(1 / (r.rows * r.cell)));
        const double span = colours.high - colours.low;
        glUniform2f(gl.ground.at("field_range"), static_cast<float>(colours.low),
                    static_cast<float>(span != 0 ? 1 / span : 0));
    }
    glBindVertexArray(gl.ground_mesh.vao);
    glDrawElements(GL_TRIANGLES, gl.ground_mesh.count, GL_UNSIGNED_INT, nullptr);

    // Areas on the ground.
    glDepthMask(GL_FALSE);
    std::vector<FillVertex> fills;
    for (const Fill& fill : scene.fills)
        for (const Vec3& p : fill.triangles)
            fills.push_back({{static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z - z_ref)},
                             {fill.colour.r, fill.colour.g, fill.colour.b, fill.colour.a}});
    if (!fills.empty()) {
        gl.fill.use();
        glUniformMatrix4fv(gl.fill.at("clip"), 1, GL_FALSE, clip.data());
        glUniform1f(gl.fill.at("exaggeration"), exaggeration);
        glUniform1f(gl.fill.at("lift"), kGroundLift);
        glBindVertexArray(gl.fill_mesh.vao);
        glBindBuffer(GL_ARRAY_BUFFER, gl.fill_mesh.vbo);
        glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(fills.size() * sizeof fills[0]), fills.data(), GL_STREAM_DRAW);
        glEnableVertexAttribArray(0);
        glVertexAttribPointer(0, 3, GL_FLOAT, GL_FALSE, sizeof(FillVertex), nullptr);
        glEnableVertexAttribArray(1);
        glVertexAttribPointer(1, 4, GL_FLOAT, GL_FALSE, sizeof(FillVertex), reinterpret_cast<void*>(offsetof(FillVertex, colour)));
        glDrawArrays(GL_TRIANGLES, 0, static_cast<GLsizei>(fills.size()));
    }

    // Lines that stay: cut once where they are solid, each frame where dashes follow the screen.
    gl.line.use();
    glUniformMatrix4fv(gl.line.at("clip"), 1, GL_FALSE, clip.data());
    glUniform1f(gl.line.at("exaggeration"), exaggeration);
    glUniform2f(gl.line.at("view_px"), static_cast<float>(view.width), static_cast<float>(view.height));
    glUniform1f(gl.line.at("lift"), kGroundLift * 1.5f);
    glUniform1f(gl.line.at("dash_scale"), scale);
    std::vector<LinePiece> pieces;
    const auto draw_now = [&](bool casing, float casing_px) {
        glBindVertexArray(gl.line_mesh.vao);
        glBindBuffer(GL_ARRAY_BUFFER, gl.line_mesh.vbo);
        glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(pieces.size() * sizeof(LinePiece)), pieces.data(), GL_STREAM_DRAW);
        gl.line_layout();
        gl.line_mesh.count = static_cast<GLsizei>(pieces.size());
        gl.draw_pieces(gl.line_mesh, casing, casing_px, scale);
    };
    for (const auto* set : {&scene.fall_lines, &scene.contours, &scene.outline}) {
        if (!*set || (*set)->empty()) continue;
        if ((*set)->front().stroke.dash != plugin::Dash::solid) {
            pieces.clear();
            for (const Line& l : **set) cut(l, z_ref, camera, view, scale, pieces);
            draw_now(false, 0);
            continue;
        }
        auto& mesh = gl.still[set->get()];
        if (!mesh) {
            pieces.clear();
            for (const Line& l : **set) cut(l, z_ref, camera, view, scale, pieces);
            mesh = std::make_unique<GlMesh>();
            gl.still_kept.push_back(*set);
            glBindVertexArray(mesh->vao);
            glBindBuffer(GL_ARRAY_BUFFER, mesh->vbo);
            glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(pieces.size() * sizeof(LinePiece)), pieces.data(), GL_STATIC_DRAW);
            gl.line_layout();
            mesh->count = static_cast<GLsizei>(pieces.size());
        }
        gl.draw_pieces(*mesh, false, 0, scale);
    }

    // The other lines, each with its casing under it.
    for (const Line& l : scene.lines) {
        pieces.clear();
        cut(l, z_ref, camera, view, scale, pieces);
        if (pieces.empty()) continue;
        if (!l.on_ground) glDisable(GL_DEPTH_TEST);
        if (l.casing_px > 0) draw_now(true, l.casing_px);
        draw_now(false, 0);
        if (!l.on_ground) glEnable(GL_DEPTH_TEST);
    }

    // Hole, then ball, to scale. The hole lies in the ground's plane as it is displayed.
    gl.sign.use();
    glBindVertexArray(gl.sign_mesh.vao);
    const auto to_clip = [&](double x, double y, double z, float* out) {
        for (int r = 0; r < 4; ++r)
            out[r] = static_cast<float>(clip[static_cast<std::size_t>(r)] * x + clip[static_cast<std::size_t>(4 + r)] * y +
                                        clip[static_cast<std::size_t>(8 + r)] * z + clip[static_cast<std::size_t>(12 + r)]);
    };
    const auto sign = [&](bool ball, const float corners[16]) {
        glUniform4fv(gl.sign.at("corners"), 4, corners);
        glUniform1i(gl.sign.at("ball"), ball ? 1 : 0);
        glUniform1f(gl.sign.at("extent"), 1.15f);
        glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
    };
    if (scene.hole) {
        const Vec3& p = scene.hole->p;
        const Vec3& n = scene.hole->normal;
        const double reach = 1.15 * kHoleRadius, gx = -n.x / n.z, gy = -n.y / n.z;
        float corners[16];
        for (int k = 0; k < 4; ++k) {
            const double dx = reach * (k & 1 ? 1 : -1), dy = reach * (k & 2 ? 1 : -1);
            to_clip(p.x + dx, p.y + dy, (p.z - z_ref + gx * dx + gy * dy) * exaggeration, corners + 4 * k);
            corners[4 * k + 2] -= 2.5f * kGroundLift * corners[4 * k + 3];
        }
        sign(false, corners);
    }
    if (scene.ball) {
        const Vec3& p = scene.ball->p;
        const double z = (p.z - z_ref) * exaggeration + kBallRadius;
        const double mpp = camera.metres_per_pixel({p.x, p.y, z}, view);
        float centre[4];
        to_clip(p.x, p.y, z, centre);
        if (centre[3] > 0.02f || camera.parallel()) {
            const double px = 1.15 * kBallRadius / mpp;
            float corners[16];
            for (int k = 0; k < 4; ++k) {
                corners[4 * k] = centre[0] + static_cast<float>((k & 1 ? 1 : -1) * px / (view.width / 2)) * centre[3];
                corners[4 * k + 1] = centre[1] + static_cast<float>((k & 2 ? 1 : -1) * px / (view.height / 2)) * centre[3];
                corners[4 * k + 2] = centre[2] - 3 * kGroundLift * centre[3];
                corners[4 * k + 3] = centre[3];
            }
            sign(true, corners);
        }
    }
    glBindVertexArray(0);
    glDepthMask(GL_TRUE);
    glDisable(GL_SCISSOR_TEST);
}

}  // namespace brae::app::render
