#include "core/record/geopackage.h"

#include "core/base/error.h"

#include <bit>
#include <cmath>
#include <cstring>
#include <fmt/format.h>
#include <limits>
#include <sqlite3.h>

namespace brae {

static_assert(std::endian::native == std::endian::little, "the files are little-endian and written as they lie");

Database::Database(const std::filesystem::path& file, Access access) : file_(file) {
    const int flags = access == Access::read ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    if (sqlite3_open_v2(file.c_str(), &db_, flags | SQLITE_OPEN_NOMUTEX, nullptr) != SQLITE_OK) {
        const std::string why = db_ != nullptr ? sqlite3_errmsg(db_) : "no memory";
        sqlite3_close(db_);
        throw Error(fmt::format("cannot open {}: {}", file.string(), why));
    }
    sqlite3_extended_result_codes(db_, 1);
    sqlite3_busy_timeout(db_, 2000);
    // Files come from strangers: no functions out of their schema, no writes to the schema itself.
    sqlite3_db_config(db_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(db_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    if (access == Access::write) {
        try {
            run("PRAGMA synchronous=FULL");
            run("PRAGMA journal_mode=DELETE");
        } catch (...) {
            sqlite3_close(db_);
            throw;
        }
    }
}

void Database::wait_at_most(int ms) { sqlite3_busy_timeout(db_, ms); }

Database::~Database() { sqlite3_close(db_); }

void Database::fail() const {
    const std::string name = file_.string();
    switch (sqlite3_errcode(db_) & 0xff) {
        case SQLITE_FULL: throw Error(fmt::format("cannot write {}: the disk is full", name));
        case SQLITE_READONLY: throw Error(fmt::format("cannot write {}: it is read-only", name));
        case SQLITE_BUSY:
        case SQLITE_LOCKED: throw Error(fmt::format("{} is in use by another program; close it there first", name));
        case SQLITE_CORRUPT: throw Error(fmt::format("{} is damaged: {}", name, sqlite3_errmsg(db_)));
        case SQLITE_NOTADB: throw Error(fmt::format("{} is not a GeoPackage; a green file is wanted", name));
        default: throw Error(fmt::format("{}: {}", name, sqlite3_errmsg(db_)));
    }
}

void Database::run(const std::string& sql) {
    if (sqlite3_exec(db_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) fail();
}

bool Database::has_table(const std::string& name) {
    Statement find(*this, "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?");
    return find.put(name).row();
}

bool Database::sound() {
    Statement check(*this, "PRAGMA quick_check(1)");
    return check.row() && check.text() == "ok";
}

Transaction::~Transaction() {
    if (!done_) sqlite3_exec(db_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

Statement::Statement(Database& db, const std::string& sql) : db_(db) {
    if (sqlite3_prepare_v2(db.handle(), sql.c_str(), -1, &statement_, nullptr) != SQLITE_OK) db.fail();
}

Statement::~Statement() { sqlite3_finalize(statement_); }

Statement& Statement::put(double value) {
    if (!std::isfinite(value))
        throw Error(fmt::format("{}: a value to be stored is not a number (value {} of its row)", db_.file().string(), bound_ + 1));
    if (sqlite3_bind_double(statement_, ++bound_, value) != SQLITE_OK) db_.fail();
    return *this;
}

Statement& Statement::put(std::int64_t value) {
    if (sqlite3_bind_int64(statement_, ++bound_, value) != SQLITE_OK) db_.fail();
    return *this;
}

Statement& Statement::put(const std::string& value) {
    if (sqlite3_bind_text64(statement_, ++bound_, value.data(), value.size(), SQLITE_TRANSIENT, SQLITE_UTF8) !=
        SQLITE_OK)
        db_.fail();
    return *this;
}

Statement& Statement::put(const Bytes& value) {
    // A null pointer would store NULL; an empty blob is wanted.
    const void* data = value.empty() ? static_cast<const void*>("") : value.data();
    if (sqlite3_bind_blob64(statement_, ++bound_, data, value.size(), SQLITE_TRANSIENT) != SQLITE_OK) db_.fail();
    return *this;
}

Statement& Statement::put_null() {
    if (sqlite3_bind_null(statement_, ++bound_) != SQLITE_OK) db_.fail();
    return *this;
}

void Statement::go() {
    if (sqlite3_step(statement_) != SQLITE_DONE) db_.fail();
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
    bound_ = 0;
}

bool Statement::row() {
    column_ = 0;
    const int result = sqlite3_step(statement_);
    if (result == SQLITE_ROW) return true;
    if (result != SQLITE_DONE) db_.fail();
    return false;
}

int Statement::next_column() {
    if (column_ >= sqlite3_column_count(statement_)) damaged("another column");
    return column_++;
}

void Statement::damaged(const char* wanted) const {
    const char* name = sqlite3_column_name(statement_, column_ > 0 ? column_ - 1 : 0);
    throw Error(fmt::format("{} is damaged: the column '{}' does not hold {}", db_.file().string(),
                            name != nullptr ? name : "", wanted));
}

double Statement::number() {
    const int i = next_column();
    const int type = sqlite3_column_type(statement_, i);
    if (type != SQLITE_FLOAT && type != SQLITE_INTEGER) damaged("a number");
    const double value = sqlite3_column_double(statement_, i);
    if (!std::isfinite(value)) damaged("a finite number");
    return value;
}

double Statement::number_or_nan() {
    if (column_ < sqlite3_column_count(statement_) && sqlite3_column_type(statement_, column_) == SQLITE_NULL) {
        ++column_;
        return std::numeric_limits<double>::quiet_NaN();
    }
    return number();
}

std::int64_t Statement::integer() {
    const int i = next_column();
    if (sqlite3_column_type(statement_, i) != SQLITE_INTEGER) damaged("a whole number");
    return sqlite3_column_int64(statement_, i);
}

std::string Statement::text() {
    const int i = next_column();
    // A GIS may write NULL where nothing was typed.
    if (sqlite3_column_type(statement_, i) == SQLITE_NULL) return {};
    if (sqlite3_column_type(statement_, i) != SQLITE_TEXT) damaged("text");
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, i));
    if (text == nullptr) damaged("text");
    return {text, static_cast<std::size_t>(sqlite3_column_bytes(statement_, i))};
}

Bytes Statement::bytes() {
    const int i = next_column();
    if (sqlite3_column_type(statement_, i) != SQLITE_BLOB) damaged("bytes");
    const auto* data = static_cast<const unsigned char*>(sqlite3_column_blob(statement_, i));
    const int size = sqlite3_column_bytes(statement_, i);
    return size > 0 && data != nullptr ? Bytes(data, data + size) : Bytes();
}

namespace {

template <class T>
void append(Bytes& out, const T& value) {
    const std::size_t at = out.size();
    out.resize(at + sizeof value);
    std::memcpy(out.data() + at, &value, sizeof value);
}

// "GP", version 0, flags: little-endian, no envelope, not empty (GeoPackage 1.3, clause 2.1.3).
Bytes geometry_header(std::int32_t srs, std::uint32_t kind) {
    Bytes out{'G', 'P', 0, 1};
    append(out, srs);
    append(out, std::uint8_t{1});
    append(out, kind);
    return out;
}

}  // namespace

Bytes bytes_of(const std::vector<double>& values) {
    Bytes out(values.size() * sizeof(double));
    if (!values.empty()) std::memcpy(out.data(), values.data(), out.size());
    return out;
}

Bytes bytes_of(const std::vector<Vec2>& points) {
    Bytes out;
    out.reserve(points.size() * 16);
    for (const Vec2& p : points) { append(out, p.x); append(out, p.y); }
    return out;
}

std::optional<std::vector<double>> doubles_of(const Bytes& bytes) {
    if (bytes.size() % sizeof(double) != 0) return std::nullopt;
    std::vector<double> out(bytes.size() / sizeof(double));
    if (!out.empty()) std::memcpy(out.data(), bytes.data(), bytes.size());
    return out;
}

std::optional<std::vector<Vec2>> points_of(const Bytes& bytes) {
    const auto values = doubles_of(bytes);
    if (!values || values->size() % 2 != 0) return std::nullopt;
    std::vector<Vec2> out;
    out.reserve(values->size() / 2);
    for (std::size_t k = 0; k < values->size(); k += 2) {
        if (!std::isfinite((*values)[k]) || !std::isfinite((*values)[k + 1])) return std::nullopt;
        out.push_back({(*values)[k], (*values)[k + 1]});
    }
    return out;
}

std::string checksum(const Bytes& bytes) {
    std::uint64_t hash = 0xcbf29ce484222325ULL;
    for (unsigned char b : bytes) hash = (hash ^ b) * 0x100000001b3ULL;
    return fmt::format("{:016x}", hash);
}

Bytes point_geometry(Vec2 p, std::int32_t srs) {
    Bytes out = geometry_header(srs, 1);
    append(out, p.x);
    append(out, p.y);
    return out;
}

Bytes line_geometry(const std::vector<Vec2>& points, std::int32_t srs) {
    Bytes out = geometry_header(srs, 2);
    append(out, static_cast<std::uint32_t>(points.size()));
    for (const Vec2& p : points) {
        append(out, p.x);
        append(out, p.y);
    }
    return out;
}

Bytes polygon_geometry(const std::vector<Vec2>& ring, const std::vector<std::vector<Vec2>>& holes, std::int32_t srs) {
    Bytes out = geometry_header(srs, 3);
    append(out, static_cast<std::uint32_t>(1 + holes.size()));
    const auto append_ring = [&](const std::vector<Vec2>& r) {
        append(out, static_cast<std::uint32_t>(r.size() + 1));
        for (std::size_t k = 0; k <= r.size(); ++k) {
            append(out, r[k % r.size()].x);
            append(out, r[k % r.size()].y);
        }
    };
    append_ring(ring);
    for (const auto& hole : holes) append_ring(hole);
    return out;
}

}  // namespace brae
