// The little of SQLite and GeoPackage (OGC 12-128r18) that the green file needs: statements, geometry blobs, doubles.
#pragma once

#include "core/base/vec.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

struct sqlite3;
struct sqlite3_stmt;

namespace brae {

using Bytes = std::vector<unsigned char>;

// One open database. Every failure is an Error with one sentence that names the file.
class Database {
public:
    enum class Access { read, write };
    // The file must exist. Writing sets synchronous=FULL and journal_mode=DELETE.
    Database(const std::filesystem::path& file, Access access);
    ~Database();
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;

    void run(const std::string& sql);
    bool has_table(const std::string& name);
    // PRAGMA quick_check: whether the pages hang together.
    bool sound();
    // How long a call waits for a lock that another program holds: 2 s unless told otherwise.
    void wait_at_most(int ms);
    sqlite3* handle() const { return db_; }
    const std::filesystem::path& file() const { return file_; }
    [[noreturn]] void fail() const;

private:
    std::filesystem::path file_;
    sqlite3* db_ = nullptr;
};

// BEGIN IMMEDIATE ... COMMIT; rolls back when it is left without commit().
class Transaction {
public:
    explicit Transaction(Database& db) : db_(db) { db_.run("BEGIN IMMEDIATE"); }
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    void commit() { db_.run("COMMIT"); done_ = true; }

private:
    Database& db_;
    bool done_ = false;
};

// A prepared statement. Values are bound in order by put(); columns are read in order by the getters, which throw Error
// ("damaged") where the type or a value does not fit.
class Statement {
public:
    Statement(Database& db, const std::string& sql);
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    Statement& put(double value);              // throws Error where it is not finite
    Statement& put(std::int64_t value);
    Statement& put(int value) { return put(static_cast<std::int64_t>(value)); }
    Statement& put(bool value) { return put(static_cast<std::int64_t>(value)); }
    Statement& put(const std::string& value);
    Statement& put(const char* value) { return put(std::string(value)); }
    Statement& put(const Bytes& value);
    Statement& put_null();
    // Runs an INSERT, UPDATE or DELETE and makes it ready for the next row.
    void go();

    // The next row of a SELECT.
    bool row();
    double number();
    double number_or_nan();                    // NaN for NULL
    std::int64_t integer();
    bool truth() { return integer() != 0; }
    std::string text();
    Bytes bytes();

private:
    int next_column();
    [[noreturn]] void damaged(const char* wanted) const;
    Database& db_;
    sqlite3_stmt* statement_ = nullptr;
    int bound_ = 0, column_ = 0;
};

// Doubles as little-endian IEEE 754 bytes, bit for bit.
Bytes bytes_of(const std::vector<double>& values);
Bytes bytes_of(const std::vector<Vec2>& points);   // x, y, x, y, ...
std::optional<std::vector<double>> doubles_of(const Bytes& bytes);
std::optional<std::vector<Vec2>> points_of(const Bytes& bytes);
// FNV-1a, 64 bits (Fowler, Noll, Vo), as sixteen hexadecimal digits: tells a flipped bit.
std::string checksum(const Bytes& bytes);

// GeoPackage geometries: the "GP" header without envelope, then well-known binary, both little-endian.
Bytes point_geometry(Vec2 p, std::int32_t srs);
Bytes line_geometry(const std::vector<Vec2>& points, std::int32_t srs);
// The outer ring and the holes in it; closes the rings.
Bytes polygon_geometry(const std::vector<Vec2>& ring, const std::vector<std::vector<Vec2>>& holes, std::int32_t srs);

}  // namespace brae
