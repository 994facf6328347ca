#include "plugins/green_setup/zones_model.h"

#include "core/base/error.h"
#include "plugins/green_setup/outline_model.h"
#include "plugins/green_setup/typed.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae::green_setup {

const std::vector<Zone>& ZonesModel::zones() const {
    static const std::vector<Zone> none;
    return now().green ? now().green->zones : none;
}

std::optional<std::size_t> ZonesModel::selected() const {
    return selected_ && *selected_ < zones().size() && zones()[*selected_].name == selected_name_ ? selected_ : std::nullopt;
}

std::string ZonesModel::kind() const {
    if (form_.kind >= 0 && form_.kind < static_cast<int>(kZoneKinds.size())) return kZoneKinds[static_cast<std::size_t>(form_.kind)].name;
    const auto at = selected();
    return at ? zones()[*at].kind : "";
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
    form_.name = free_zone_name(zones());
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
    fault_ = zone_fault(now().green->terrain->outline, kind(), ring);
    return fault_;
}

bool ZonesModel::on_green() const {
    const ZoneKind* known = zone_kind(kind());
    return !known || known->on_green;
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
        Zone zone = at ? zones()[*at] : Zone{};
        zone.name = form_.name.empty() ? free_zone_name(zones()) : form_.name;
        zone.kind = kind();
        zone.until = on_green() ? day_from(form_.until) : "";
        if (editor_.busy()) zone.ring = editor_.ring();
        std::vector<Zone> changed = with_zone(*now().green, zone, at);
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
