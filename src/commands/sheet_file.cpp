#include "commands/sheet_file.h"

#include <algorithm>

#include "commands/people.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// The member of that name; of a list, the item at that place.
const Json* part_of(const Json* value, std::string_view name) {
  if (!value) return nullptr;
  if (value->is_object()) return value->find(name);
  const auto place = static_cast<std::size_t>(name.front() - '0');
  if (!value->is_array() || place >= value->items().size()) return nullptr;
  return &value->items()[place];
}

const Json* member_of(const Json& body, const Json* item, std::string_view path) {
  const Json* out = &body;
  if (path.starts_with('*')) {
    out = item;
    path.remove_prefix(1);
  }
  while (!path.empty()) {
    const std::size_t end = std::min(path.find('.'), path.size());
    out = part_of(out, path.substr(0, end));
    path.remove_prefix(std::min(end + 1, path.size()));
  }
  return out;
}

std::string joined(const Json& list, std::string_view between) {
  std::vector<std::string> parts;
  for (const Json& part : list.items())
    parts.push_back(part.is_text() ? part.as_text() : part.canonical());
  return join(parts, between);
}

std::string usual_figures(const Json& label) {
  std::vector<std::string> names;
  for (const auto& [name, figure] : label.members())
    if (figure.is_object() && figure.maybe_text("from") == "usual") names.push_back(name);
  return join(names, " ");
}

// What another program put there in a form that is not ours is written as JSON.
bool fits(Form form, const Json& value) {
  switch (form) {
    case Form::text:
    case Form::person:
      return value.is_text();
    case Form::texts:
    case Form::lines:
    case Form::pieces:
      return value.is_array();
    case Form::number:
    case Form::thousand:
    case Form::tenth:
    case Form::seconds:
      return value.is_integer();
    case Form::yes:
      return value.is_boolean();
    case Form::usual:
      return value.is_object();
    case Form::json:
      break;
  }
  return false;
}

void write_cell(Call& call, Form form, const Json* value, exchange::SheetRow& row) {
  if (!value && form == Form::pieces)
    row.text("all");
  else if (!value)
    row.blank();
  else if (!fits(form, *value))
    row.json(value->canonical());
  else if (form == Form::text)
    row.text(value->as_text());
  else if (form == Form::person)
    row.text(person_name(call.book(), value->as_text()));
  else if (form == Form::texts || form == Form::pieces)
    row.text(joined(*value, " "));
  else if (form == Form::lines)
    row.text(joined(*value, "; "));
  else if (form == Form::number)
    row.number(value->as_integer());
  else if (form == Form::thousand)
    row.scaled(value->as_integer(), 3);
  else if (form == Form::tenth)
    row.scaled(value->as_integer(), 1);
  else if (form == Form::yes)
    row.text(value->as_boolean() ? "yes" : "no");
  else if (form == Form::seconds)
    row.text(iso(call.zone().moment(Instant(Seconds(value->as_integer())))));
  else
    row.text(usual_figures(*value));
}

// What no column of the sheet shows.
void write_more(const EntrySheet& sheet, const Json& body, exchange::SheetRow& row) {
  Json more = Json::object();
  for (const auto& [name, value] : body.members()) {
    const bool has_column =
        name == "note" || name == "because" || name == sheet.rows ||
        std::any_of(sheet.columns.begin(), sheet.columns.end(),
                    [&name = name](const SheetColumn& column) {
                      return column.member.substr(0, column.member.find('.')) == name;
                    });
    if (!has_column) more.set(name, value);
  }
  if (more.members().empty())
    row.blank();
  else
    row.json(more.canonical());
}

}  // namespace

std::vector<PlainColumn> columns_before(const EntrySheet& sheet) {
  std::vector<PlainColumn> out{{"entry", "number of the entry in journal.csv"}};
  if (sheet.kinds.size() > 1) out.push_back({"kind", "kind of the entry"});
  out.insert(out.end(), {{"day", "local day on which it happened"},
                         {"happened", "the moment, local time with its offset from UTC"},
                         {"written", "when it was entered, by the workshop's clock"},
                         {"by", "number of the worker who wrote it"}});
  return out;
}

const std::vector<PlainColumn>& columns_behind() {
  static const std::vector<PlainColumn> out{
      {"standing", "counts; corrected: as corrected; struck: counts no more"},
      {"amended_by", "the entry that corrected or struck it"},
      {"note", "remark of whoever wrote it"},
      {"because", "why a stop was passed by"},
      {"more", "what has no column here, as JSON"}};
  return out;
}

void write_head(const EntrySheet& sheet, SheetFile& file) {
  for (const PlainColumn& column : columns_before(sheet)) file.row().text(column.name);
  for (const SheetColumn& column : sheet.columns) file.row().text(column.name);
  for (const PlainColumn& column : columns_behind()) file.row().text(column.name);
  file.end_row();
}

void write_entry(Call& call, const EntrySheet& sheet, const book::Effective& of, SheetFile& file) {
  exchange::SheetRow& row = file.row();
  const auto write = [&](const Json* item) {
    row.number(of.entry.number);
    if (sheet.kinds.size() > 1) row.text(of.entry.kind);
    row.text(iso(local_day(of.happened))).text(iso(of.happened));
    row.text(iso(call.zone().moment(of.entry.written_at))).number(of.entry.written_by);
    for (const SheetColumn& column : sheet.columns)
      write_cell(call, column.form, member_of(of.body, item, column.member), row);
    row.text(of.struck_by ? "struck" : of.corrected_by ? "corrected" : "counts");
    if (const auto by = of.struck_by ? of.struck_by : of.corrected_by)
      row.number(*by);
    else
      row.blank();
    write_cell(call, Form::text, of.body.find("note"), row);
    write_cell(call, Form::text, of.body.find("because"), row);
    write_more(sheet, of.body, row);
    file.end_row();
  };
  const Json* items = sheet.rows.empty() ? nullptr : of.body.find(sheet.rows);
  if (!items || !items->is_array() || items->items().empty()) return write(nullptr);
  for (const Json& item : items->items()) write(&item);
}

}  // namespace trencher::commands
