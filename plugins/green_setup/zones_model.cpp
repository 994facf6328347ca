#include "plugins/green_setup/zones_model.h"

#include "core/base/error.h"
#include "core/survey/ring.h"
#include "core/terrain/new_outline.h"
#include "plugins/green_setup/outline_model.h"
#include "plugins/green_setup/typed.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae::green_setup {

namespace {

constexpr double kSmallestZoneM2 = 0.05;
constexpr std::size_t kLongestName = 40;

// Do ring and green share ground? Looked at every 20 cm along both.
bool touches(const std::vector<Vec2>& ring, const Outline& outline) {
    const auto along = [](const std::vector<Vec2>& sides, const auto& inside) {
        for (std::size_t k = 0; k < sides.size(); ++k) {
            const Vec2 a = sides[k], b = sides[(k + 1) % sides.size()];
            const int steps = static_cast<int>(std::min(distance(a, b) / 0.2, 5000.0)) + 1;
            for (int s = 0; s < steps; ++s)
                if (inside(a + (static_cast<double>(s) / steps) * (b - a))) return true;
        }
        return false;
    };
    return along(ring, [&](Vec2 p) { return outline.contains(p); }) || along(outline.ring(), [&](Vec2 p) { return side_of_ring(ring, p) >= 0; });
}

}  // namespace

const std::vector<Zone>& ZonesModel::zones() const {
    static const std::vector<Zone> none;
    return now().green ? now().green->zones : none;
}

std::optional<std::size_t> ZonesModel::selected() const {
    return selected_ && *selected_ < zones().size() && zones()[*selected_].name == selected_name_ ? selected_ : std::nullopt;
}

std::string ZonesModel::free_name() const {
    for (int n = 1;; ++n) {
        const std::string name = fmt::format("Zone {}", n);
        if (std::none_of(zones().begin(), zones().end(), [&](const Zone& z) { return z.name == name; })) return name;
    }
}

void ZonesModel::select(std::optional<std::size_t> zone) {
    leave();
    selected_ = zone && *zone < zones().size() ? zone : std::nullopt;
    selected_name_ = selected_ ? zones()[*selected_].name : "";
    form_ = {};
    services_.document.redraw();
    if (!selected_) return;
    const Zone& z = zones()[*selected_];
    form_.name = z.name;
    form_.until = z.until;
    const auto kind = std::find_if(kZoneKinds.begin(), kZoneKinds.end(), [&](const ZoneKind& k) { return k.name == z.kind; });
    form_.kind = kind == kZoneKinds.end() ? -1 : static_cast<int>(kind - kZoneKinds.begin());
}

void ZonesModel::take_tool() {
    if (now().green && editor_.busy()) services_.tools.take(ring_tool(services_, editor_, [this] { store(); }));
}

void ZonesModel::draw_new() {
    if (!now().green) return;
    select(std::nullopt);
    form_.name = free_name();
    editor_.draw_new();
    take_tool();
}

void ZonesModel::shape_selected() {
    const auto at = selected();
    if (!at) return;
    message_.clear();
    editor_.shape(zones()[*at].ring);
    take_tool();
}

void ZonesModel::leave() {
    if (editor_.busy()) services_.tools.put_down();
    editor_.stop();
    message_.clear();
}

void ZonesModel::use_typed(const std::string& text) {
    if (now().green && editor_.busy()) message_ = put_typed(editor_, text, now().green->terrain->frame);
}

std::string ZonesModel::fault() {
    const auto& ring = editor_.ring();
    if (!now().green || !editor_.busy() || ring.size() < 3) return {};
    if (judged_version_ == editor_.version() && judged_on_green_ == on_green()) return fault_;
    judged_version_ = editor_.version();
    judged_on_green_ = on_green();
    fault_.clear();
    if (const auto sides = first_crossing(ring)) {
        fault_ = fmt::format("the zone crosses itself where the sides after its corners {} and {} meet, near ({}); move or take away one of them", sides->first + 1,
                             sides->second + 1, text_of(ring[sides->second]));
    } else if (const double area = std::abs(signed_area(ring)); area < kSmallestZoneM2 || area > kLargestGreenM2) {
        fault_ = fmt::format("the zone encloses {:.2f} m\u00b2; between {:.2f} and {:.0f} is wanted", area, kSmallestZoneM2, kLargestGreenM2);
    } else if (const Outline& outline = now().green->terrain->outline; touches(ring, outline)) {
        return fault_;
    } else if (!on_green()) {
        // The nearest of its sides to the edge.
        double away = 1e9;
        for (std::size_t k = 0; k < ring.size(); ++k)
            for (int s = 0; s < 20; ++s) away = std::min(away, -outline.signed_distance(ring[k] + (s / 20.0) * (ring[(k + 1) % ring.size()] - ring[k])));
        if (away > kFarthestBesideM)
            fault_ = fmt::format("the {} lies {:.0f} m from the edge of the green; at most {:.0f} m are wanted", kZoneKinds[static_cast<std::size_t>(form_.kind)].name, away, kFarthestBesideM);
    } else {
        fault_ = fmt::format("the zone lies wholly outside the green, round ({}); a part of the green is wanted", text_of(ring_centroid(ring)));
    }
    return fault_;
}

bool ZonesModel::on_green() const {
    return form_.kind < 0 || form_.kind >= static_cast<int>(kZoneKinds.size()) || kZoneKinds[static_cast<std::size_t>(form_.kind)].on_green;
}

void ZonesModel::propose(std::vector<Zone> changed, const std::string& sentence, const std::string& done) {
    plugin::GreenEdit edit;
    edit.ask = false;
    edit.sentence = sentence;
    edit.zones = std::move(changed);
    edit.answered = [this, done](bool kept) {
        if (!kept) return;
        select(std::nullopt);
        message_ = done;
    };
    services_.edits.propose(std::move(edit));
}

void ZonesModel::store() {
    if (!now().green) return;
    const auto at = selected();
    if (!at && !editor_.busy()) return;
    try {
        if (editor_.mode() == RingEditor::Mode::drawing && !editor_.close())
            throw Error(fmt::format("the zone has {} corners; at least 3 are wanted", editor_.ring().size()));
        if (const std::string wrong = fault(); !wrong.empty()) throw Error(wrong);
        std::vector<Zone> changed = zones();
        Zone zone = at ? changed[*at] : Zone{};
        zone.name = form_.name.empty() ? free_name() : form_.name;
        if (zone.name.size() > kLongestName) throw Error(fmt::format("the name of the zone has {} letters; at most {} are wanted", zone.name.size(), kLongestName));
        for (std::size_t k = 0; k < changed.size(); ++k)
            if (k != at && changed[k].name == zone.name) throw Error(fmt::format("there is a zone '{}' already; another name is wanted", zone.name));
        if (form_.kind >= 0 && form_.kind < static_cast<int>(kZoneKinds.size())) zone.kind = kZoneKinds[static_cast<std::size_t>(form_.kind)].name;
        zone.until = on_green() ? day_from(form_.until) : "";   // what is dug in stays
        if (editor_.busy()) zone.ring = editor_.ring();
        if (at) changed[*at] = zone;
        else changed.push_back(zone);
        propose(std::move(changed), fmt::format("Keep the zone '{}'?", zone.name), fmt::format("The zone '{}' is kept with the green.", zone.name));
    } catch (const Error& e) {
        message_ = e.what();
    }
}

void ZonesModel::remove_selected() {
    const auto at = selected();
    if (!at) return;
    std::vector<Zone> changed = zones();
    const std::string name = changed[*at].name;
    changed.erase(changed.begin() + static_cast<std::ptrdiff_t>(*at));
    propose(std::move(changed), fmt::format("Take the zone '{}' away?", name), fmt::format("The zone '{}' is gone. Undo brings it back.", name));
}

void ZonesModel::clear() {
    editor_.stop();
    selected_.reset();
    selected_name_.clear();
    form_ = {};
    message_.clear();
}

}  // namespace brae::green_setup
