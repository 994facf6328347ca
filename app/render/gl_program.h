// A linked shader program that says which line failed. Needs a current context.
#pragma once

#include <epoxy/gl.h>

#include <string>

namespace brae::app::render {

class GlProgram {
public:
    // Throws Error with the driver's text when the sources do not compile.
    GlProgram(const char* name, const std::string& vertex, const std::string& fragment);
    ~GlProgram();
    GlProgram(const GlProgram&) = delete;
    GlProgram& operator=(const GlProgram&) = delete;

    void use() const { glUseProgram(id_); }
    GLint at(const char* uniform) const { return glGetUniformLocation(id_, uniform); }

private:
    GLuint id_ = 0;
};

// A vertex array with one vertex buffer and, where wanted, one index buffer.
struct GlMesh {
    GLuint vao = 0, vbo = 0, ibo = 0;
    GLsizei count = 0;
    GlMesh();
    ~GlMesh();
    GlMesh(const GlMesh&) = delete;
    GlMesh& operator=(const GlMesh&) = delete;
};

}  // namespace brae::app::render
