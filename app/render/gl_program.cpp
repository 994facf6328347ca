#include "app/render/gl_program.h"

#include "core/base/error.h"

namespace brae::app::render {
namespace {

GLuint compile(const char* name, GLenum kind, const std::string& source) {
    const GLuint shader = glCreateShader(kind);
    const char* text = source.c_str();
    glShaderSource(shader, 1, &text, nullptr);
    glCompileShader(shader);
    GLint good = 0;
    glGetShaderiv(shader, GL_COMPILE_STATUS, &good);
    if (!good) {
        char log[2048] = "";
        glGetShaderInfoLog(shader, sizeof log, nullptr, log);
        glDeleteShader(shader);
        throw Error(std::string("the graphics driver refuses the shader '") + name + "': " + log);
    }
    return shader;
}

}  // namespace

GlProgram::GlProgram(const char* name, const std::string& vertex, const std::string& fragment) {
    const GLuint v = compile(name, GL_VERTEX_SHADER, vertex), f = compile(name, GL_FRAGMENT_SHADER, fragment);
    id_ = glCreateProgram();
    glAttachShader(id_, v);
    glAttachShader(id_, f);
    glLinkProgram(id_);
    glDeleteShader(v);
    glDeleteShader(f);
    GLint good = 0;
    glGetProgramiv(id_, GL_LINK_STATUS, &good);
    if (!good) {
        char log[2048] = "";
        glGetProgramInfoLog(id_, sizeof log, nullptr, log);
        glDeleteProgram(id_);
        throw Error(std::string("the graphics driver cannot link the shader '") + name + "': " + log);
    }
}

GlProgram::~GlProgram() { glDeleteProgram(id_); }

GlMesh::GlMesh() {
    glGenVertexArrays(1, &vao);
    glGenBuffers(1, &vbo);
    glGenBuffers(1, &ibo);
}

GlMesh::~GlMesh() {
    glDeleteVertexArrays(1, &vao);
    glDeleteBuffers(1, &vbo);
    glDeleteBuffers(1, &ibo);
}

}  // namespace brae::app::render
