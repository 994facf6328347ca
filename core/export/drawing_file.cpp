#include "core/export/drawing_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/record/green_tables.h"
#include "core/survey/gdal_support.h"
#include "core/terrain/slope.h"

#include <atomic>
#include <cpl_vsi.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>

namespace brae {
namespace {

// A file of GDAL's that lies in memory and goes with this.
struct MemoryFile {
    const std::string name = [] {
        static std::atomic<unsigned> count{0};
        return fmt::format("/vsimem/brae-drawing-{}.dxf", ++count);
    }();
    MemoryFile() = default;
    ~MemoryFile() { VSIUnlink(name.c_str()); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    std::string content() const {
        vsi_l_offset size = 0;
        const GByte* bytes = VSIGetMemFileBuffer(name.c_str(), &size, FALSE);
        return bytes != nullptr ? std::string(reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size)) : std::string();
    }
};

// Features go into the one layer that the driver has; their own layer is an attribute.
class Drawing {
public:
    Drawing(OGRLayer* layer, const FileFrame& frame, double datum) : layer_(layer), frame_(frame), datum_(datum) {}

    void line(const char* on, const std::vector<Vec3>& points, bool closed) {
        OGRLineString shape;
        for (const Vec3& p : points) add(shape, p);
        if (closed && !points.empty()) add(shape, points.front());
        put(on, shape, "");
    }
    void point(const char* on, Vec3 p, const std::string& text) {
        const Vec2 q = frame_.to_file({p.x, p.y});
        const OGRPoint shape(q.x, q.y, p.z + datum_);
        put(on, shape, "");
        // The driver writes text as a label of a point.
        if (!text.empty()) put(on, shape, fmt::format("LABEL(f:\"Arial\",t:\"{}\",s:0.4g)", quoted(text)));
    }
    bool failed() const { return failed_; }

private:
    static std::string quoted(const std::string& text) {
        std::string out;
        for (char c : text) {
            if (c == '"' || c == '\\') out += '\\';
            if (static_cast<unsigned char>(c) >= 0x20) out += c;
        }
        return out;
    }
    void add(OGRLineString& shape, const Vec3& p) const {
        const Vec2 q = frame_.to_file({p.x, p.y});
        shape.addPoint(q.x, q.y, p.z + datum_);
    }
    void put(const char* on, const OGRGeometry& shape, const std::string& style) {
        const std::unique_ptr<OGRFeature, void (*)(OGRFeature*)> feature(OGRFeature::CreateFeature(layer_->GetLayerDefn()),
                                                                         &OGRFeature::DestroyFeature);
        feature->SetField("Layer", on);
        if (!style.empty()) feature->SetStyleString(style.c_str());
        feature->SetGeometry(&shape);
        if (layer_->CreateFeature(feature.get()) != OGRERR_NONE) failed_ = true;
    }
    OGRLayer* layer_;
    const FileFrame& frame_;
    double datum_;
    bool failed_ = false;
};

}  // namespace

void write_drawing(const Green& green, double interval, const std::filesystem::path& file, Progress& progress) {
    if (!(interval >= 0.005 && interval <= 10))
        throw usage_error(fmt::format("contours every {} m were asked for; 0.005 to 10 m is wanted", interval));
    const TerrainModel& terrain = *green.terrain;
    const auto lifted = [&](Vec2 p) { return Vec3{p.x, p.y, terrain.surface->height(p.x, p.y)}; };
    const auto raised = [&](const std::vector<Vec2>& line) {
        std::vector<Vec3> out;
        for (const Vec2& p : line) out.push_back(lifted(p));
        return out;
    };
    const std::vector<ContourLine> lines = contours(terrain, interval, progress);

    register_survey_drivers();
    RegisterOGRDXF();
    const QuietGdal quiet;
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("DXF");
    if (driver == nullptr) throw Error(fmt::format("cannot write {}: this GDAL has no DXF driver", file.string()));
    // Drawn in memory: on a disk that is full the driver of GDAL 3.6 may end the program when it closes its file.
    const MemoryFile drawn;
    std::unique_ptr<GDALDataset> out(driver->Create(drawn.name.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
    OGRLayer* layer = out ? out->CreateLayer("entities") : nullptr;
    if (layer == nullptr) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));

    // Each kind of thing on its own layer.
    const FileFrame frame = file_frame(terrain.frame.spec());
    Drawing drawing(layer, frame, terrain.frame.spec().origin_height_m);
    drawing.line("OUTLINE", raised(terrain.outline.ring()), true);
    for (const auto& gap : terrain.outline.gaps()) drawing.line("OUTLINE", raised(gap), true);
    for (const ContourLine& c : lines) {
        std::vector<Vec3> points;
        for (const Vec2& p : c.points) points.push_back({p.x, p.y, c.height});
        drawing.line("CONTOUR", points, c.closed);
    }
    for (const ReferenceMark& m : green.marks) drawing.point("MARK", m.p, m.name);
    for (const StoredHole& h : green.holes) drawing.point("HOLE", lifted(h.p), h.today ? "today" : h.name);
    for (const StoredStation& s : green.stations) {
        drawing.point("STATION_BALL", lifted(s.station.ball), s.station.label);
        if (s.station.wants_marker()) drawing.point("STATION_MARKER", lifted(s.station.marker), s.station.label);
        drawing.line("STATION_LINE", {lifted(s.station.ball), lifted(s.station.marker)}, false);
    }
    out.reset();
    if (drawing.failed() || quiet.failed()) throw Error(fmt::format("cannot write {}: {}", file.string(), quiet.why()));
    write_file_safely(file, drawn.content());
}

}  // namespace brae
