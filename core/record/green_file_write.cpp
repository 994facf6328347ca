#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/record/edit_lock.h"
#include "core/record/green_file.h"
#include "core/record/green_tables.h"
#include "core/record/migration.h"

#include <charconv>
#include <fmt/format.h>
#include <fstream>
#include <memory>
#include <system_error>

namespace brae {
namespace fs = std::filesystem;
namespace {

std::string meta(Database& db, const char* key) {
    Statement find(db, "SELECT value FROM brae_meta WHERE key = ?");
    if (!find.put(key).row()) throw Error(fmt::format("{} is damaged: brae_meta has no '{}'", db.file().string(), key));
    return find.text();
}

int whole(Database& db, const char* key) {
    const std::string text = meta(db, key);
    int value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (code != std::errc() || end != text.data() + text.size())
        throw Error(fmt::format("{} is damaged: '{}' in brae_meta is '{}', not a whole number", db.file().string(), key,
                                text));
    return value;
}

// Keeps other programs from writing to the old file while a new one takes its place, and rolls back what a killed
// program left unfinished there: its journal would otherwise be played into the new file.
class OldFile {
public:
    OldFile(const fs::path& file, std::optional<int> over_revision) {
        std::error_code code;
        if (!fs::is_regular_file(file, code)) return;
        char magic[16] = {};
        std::ifstream(file, std::ios::binary).read(magic, sizeof magic);
        if (std::string(magic, 15) != "SQLite format 3") return;
        db_ = std::make_unique<Database>(file, Database::Access::write);
        db_->run("BEGIN EXCLUSIVE");
        db_->has_table("brae_meta");
        refuse_where_locked(*db_);
        if (over_revision && db_->has_table("brae_meta"))
            if (const int revision = whole(*db_, "revision"); revision != *over_revision)
                throw Error(fmt::format("{} has changed meanwhile: it is at revision {} and was at {}; do it once more", file.string(), revision,
                                        *over_revision));
    }
    // The lock that this process holds goes on in the file that takes the old one's place.
    void pass_lock_to(Database& fresh) const {
        if (db_ && holds_edit_lock(*db_)) write_edit_lock(fresh);
    }

private:
    std::unique_ptr<Database> db_;
};

}  // namespace

void write_green_file(const Green& green, const fs::path& file, Progress& progress, std::optional<int> over_revision) {
    check_storable(green);
    FileFrame frame = file_frame(green.terrain->frame.spec());
    PartFile part(file);
    const OldFile old(file, over_revision);

    // The coverages make the GeoPackage; GDAL wants no file there.
    progress.step(0.05, "writing the elevation");
    fs::remove(part.part());
    on_part(part.part(), file, [&] { write_coverages(*green.terrain, frame, part.part()); });

    // Everything else in one transaction.
    progress.step(0.5, "writing the tables");
    on_part(part.part(), file, [&] {
        Database db(part.part(), Database::Access::write);
        Transaction transaction(db);
        Statement srs(db, "SELECT srs_id FROM gpkg_contents WHERE table_name = 'elevation'");
        if (!srs.row()) throw Error(fmt::format("cannot write {}: the elevation was not stored", file.string()));
        frame.srs = static_cast<std::int32_t>(srs.integer());
        create_tables(db, frame);
        write_surface(db, *green.terrain, frame);
        write_vectors(db, green, frame);
        write_survey(db, green, frame);
        write_meta(db, green);
        old.pass_lock_to(db);
        progress.step(0.8, "writing the tables");
        transaction.commit();
    });
    {
        Database db(part.part(), Database::Access::read);
        if (!db.sound()) throw Error(fmt::format("cannot write {}: what was written does not read back", file.string()));
    }
    progress.step(0.95, "putting the file in place");
    part.commit();
}

void check_green(const Green& green) { check_storable(green); }

void update_green_file(const Green& green, const fs::path& file) {
    check_storable(green);
    std::error_code code;
    if (!fs::is_regular_file(file, code)) throw Error(fmt::format("cannot find the green file {}", file.string()));
    refuse_symlink(file);
    Database db(file, Database::Access::write);
    Transaction transaction(db);
    refuse_where_locked(db);

    // Only the next state of the same green may go in.
    if (!db.has_table("brae_meta"))
        throw Error(fmt::format("{} is not a green file: it has no table brae_meta", file.string()));
    const int schema = whole(db, "schema");
    if (schema > kGreenSchema || schema < 1)
        throw Error(fmt::format("{} has green-file schema {}; this program writes schema {}", file.string(), schema,
                                kGreenSchema));
    if (const std::string id = meta(db, "id"); id != green.id)
        throw Error(fmt::format("{} holds another green (id {}, not {})", file.string(), id, green.id));
    if (const int revision = whole(db, "revision"); revision > green.revision - 1)
        throw Error(fmt::format("{} has changed meanwhile: it is at revision {}, and revision {} was to be written; "
                                "open it again", file.string(), revision, green.revision));
    if (const int surface = whole(db, "surface_revision"); surface != green.surface_revision)
        throw Error(fmt::format("{} holds surface revision {}, not {}; a new surface needs a new file", file.string(),
                                surface, green.surface_revision));

    FileFrame frame = file_frame(green.terrain->frame.spec());
    {
        Statement srs(db, "SELECT srs_id FROM gpkg_contents WHERE table_name = 'holes'");
        if (!srs.row()) throw Error(fmt::format("{} is damaged: its holes are not listed", file.string()));
        frame.srs = static_cast<std::int32_t>(srs.integer());
    }
    migrate_green_file(db, schema, frame);
    renew_outline(db, *green.terrain, frame);
    write_vectors(db, green, frame);
    write_meta(db, green);
    // A sign of life for those who wait for the lock.
    if (holds_edit_lock(db)) write_edit_lock(db);
    transaction.commit();
}

}  // namespace brae
