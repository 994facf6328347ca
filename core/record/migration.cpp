#include "core/record/migration.h"

#include <fmt/format.h>

namespace brae {
namespace {

// Every column that came after schema 1, in the order in which they came.
struct AddedColumn {
    int since;
    const char *table, *name, *type;
    const char* fallback;   // an SQL literal
};
constexpr AddedColumn kAdded[] = {
    {2, "stations", "lesson", "TEXT", "''"},   // the name of the station's lesson
    {5, "holes", "as_cut", "BOOLEAN", "0"},    // told afterwards where it was, with the speed of that day
    {5, "holes", "speed_ft", "DOUBLE", "NULL"},
    {5, "holes", "remark", "TEXT", "''"},
    {6, "holes", "by_plan", "BOOLEAN", "0"},   // chosen by a plan; older files have theirs as set by people
    {6, "outline_gaps", "cut_out", "BOOLEAN", "0"}};   // no green whatever the data

const AddedColumn* added(const std::string& table, const std::string& name) {
    for (const AddedColumn& c : kAdded)
        if (table == c.table && name == c.name) return &c;
    return nullptr;
}

}  // namespace

std::string columns_of_schema(const std::string& table, const std::string& columns, int schema) {
    std::string out;
    for (std::size_t at = 0; at < columns.size();) {
        const std::size_t end = std::min(columns.find(", ", at), columns.size());
        const std::string name = columns.substr(at, end - at);
        const AddedColumn* column = added(table, name);
        out += (out.empty() ? "" : ", ") + (column != nullptr && schema < column->since ? std::string(column->fallback) : name);
        at = end + 2;
    }
    return out;
}

void migrate_green_file(Database& db, int from, const FileFrame& frame) {
    // Tables first: a column may belong to one of them.
    if (from < kGreenSchema) create_tables(db, frame, from);
    for (const AddedColumn& c : kAdded)
        if (from < c.since)
            db.run(fmt::format("ALTER TABLE {} ADD COLUMN {} {} DEFAULT {}", c.table, c.name, c.type, c.fallback));
}

}  // namespace brae
