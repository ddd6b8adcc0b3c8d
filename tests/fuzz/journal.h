// An export taken apart and put together again, with hashes, numbers, seals and trailer that fit:
// what somebody who knows the format could hand over. For fuzz_journal alone.
#pragma once

#include <functional>
#include <map>
#include <random>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.h"
#include "domain/json.h"
#include "domain/text.h"

namespace fuzz {

using trencher::Json;
// Changes a text in place, as libFuzzer would.
using ChangeText = std::function<std::string(const std::string&)>;

class Journal {
 public:
  // Lines that are no JSON are left out.
  explicit Journal(std::string_view text) {
    while (!text.empty()) {
      const auto end = std::min(text.find('\n'), text.size());
      take(text.substr(0, end));
      text.remove_prefix(std::min(end + 1, text.size()));
    }
  }

  bool empty() const { return entries_.empty(); }

  // Changes one thing: an entry's body, kind or times, or which entries there are.
  void change(std::mt19937& random, const ChangeText& change_text) {
    const auto below = [&](std::size_t limit) { return random() % limit; };
    const std::size_t at = below(entries_.size());
    Entry& entry = entries_[at];
    switch (below(10)) {
      case 0:
        if (entries_.size() > 1) entries_.erase(entries_.begin() + static_cast<std::ptrdiff_t>(at));
        break;
      case 1:
        if (entries_.size() < most_entries)
          entries_.insert(
              entries_.begin() + static_cast<std::ptrdiff_t>(below(entries_.size() + 1)),
              Entry(entry));
        break;
      case 2:
        std::swap(entry, entries_[below(entries_.size())]);
        break;
      case 3:
        entry.body = change_text(entry.body);
        break;
      case 4:
        change_head(entry, random, change_text);
        break;
      default:
        change_body(entry, random, change_text);
    }
  }

  std::string text() {
    std::string out;
    std::string previous = trencher::book::first_previous_hash(book_);
    std::int64_t number = 0;
    for (Entry& entry : entries_) {
      entry.number = ++number;
      reseal(entry);
      entry.hash = previous = trencher::book::entry_hash(previous, entry);
      Json line = Json::object();
      line.set("number", entry.number).set("happened_at", trencher::iso(entry.happened.at));
      line.set("happened_offset", entry.happened.offset_minutes)
          .set("written_at", trencher::iso(entry.written_at));
      line.set("written_by", entry.written_by).set("kind", entry.kind);
      line.set("kind_version", entry.kind_version).set("body", entry.body).set("hash", entry.hash);
      out += line.text() + '\n';
    }
    for (const auto& [id, row] : persons_) out += Json::object().set("person", row).text() + '\n';
    for (const Json& row : files_) out += Json::object().set("file", row).text() + '\n';
    Json trailer = Json::object();
    trailer.set("book", book_).set("entries", number).set("persons", persons_.size());
    trailer.set("files", files_.size()).set("last_hash", previous);
    return out + Json::object().set("trailer", trailer).text() + '\n';
  }

  // The entries of another journal take the place of those from somewhere on.
  void go_on_as(const Journal& other, std::mt19937& random) {
    entries_.resize(random() % entries_.size() + 1);
    const std::size_t from = random() % other.entries_.size();
    for (std::size_t i = from; i < other.entries_.size() && entries_.size() < most_entries; ++i)
      entries_.push_back(other.entries_[i]);
    persons_.insert(other.persons_.begin(), other.persons_.end());
  }

 private:
  using Entry = trencher::book::Entry;
  static constexpr std::size_t most_entries = 60;

  void take(std::string_view line) {
    try {
      const Json json = Json::parse(line);
      if (const Json* person = json.find("person")) {
        persons_[person->text("id")] = *person;
      } else if (const Json* file = json.find("file")) {
        files_.push_back(*file);
      } else if (const Json* trailer = json.find("trailer")) {
        book_ = trailer->text("book");
      } else if (entries_.size() < most_entries) {
        entries_.push_back({0,
                            {trencher::instant_from_iso(json.text("happened_at")),
                             static_cast<int>(json.integer("happened_offset"))},
                            trencher::instant_from_iso(json.text("written_at")),
                            json.integer("written_by"),
                            json.text("kind"),
                            json.integer("kind_version"),
                            json.text("body"),
                            {}});
      }
    } catch (const trencher::Error&) {
    }
  }

  // What the body says of a person fits the vault, else it would go no further than that.
  void reseal(Entry& entry) const {
    try {
      Json body = Json::parse(entry.body);
      const auto person = body.maybe_text("person");
      if (!person || !persons_.contains(*person)) return;
      const Json& row = persons_.at(*person);
      body.set("seal", trencher::book::seal(
                           {*person, row.text("salt"), row.text("name"), row.text("contact")}));
      entry.body = body.canonical();
    } catch (const std::exception&) {
    }
  }

  void change_head(Entry& entry, std::mt19937& random, const ChangeText& change_text) {
    switch (random() % 6) {
      case 0:
        entry.kind = entries_[random() % entries_.size()].kind;
        break;
      case 1:
        entry.kind = change_text(entry.kind);
        break;
      case 2:
        entry.kind_version = static_cast<std::int64_t>(random() % 5);
        break;
      case 3:
        entry.happened.at = trencher::Instant(
            trencher::Seconds(static_cast<std::int64_t>(random()) * (random() % 3 ? 1 : 50) -
                              (std::int64_t{1} << 32)));
        break;
      case 4:
        entry.happened.offset_minutes = static_cast<int>(number(random));
        break;
      default:
        entry.written_by = number(random);
    }
  }

  static std::int64_t number(std::mt19937& random) {
    static constexpr std::int64_t odd[] = {0,
                                           1,
                                           -1,
                                           2,
                                           999,
                                           1000,
                                           86400,
                                           1000000000,
                                           1LL << 31,
                                           1LL << 40,
                                           -40000,
                                           1440,
                                           1LL << 52,
                                           (1LL << 53) - 1,
                                           -(1LL << 53) + 1};
    return random() % 3 ? odd[random() % std::size(odd)]
                        : static_cast<std::int64_t>(random() % 400);
  }

  void change_body(Entry& entry, std::mt19937& random, const ChangeText& change_text) {
    try {
      const Json body = Json::parse(entry.body);
      std::size_t left = random() % count(body);
      entry.body = changed(body, left, "", random, change_text).canonical();
    } catch (const std::exception&) {
      entry.body = change_text(entry.body);
    }
  }

  static std::size_t count(const Json& json) {
    std::size_t out = 1;
    if (json.is_object())
      for (const auto& [name, value] : json.members()) out += count(value);
    if (json.is_array())
      for (const Json& item : json.items()) out += count(item);
    return out;
  }

  // Copies, but for the node that is `left` nodes away.
  Json changed(const Json& json, std::size_t& left, std::string_view name, std::mt19937& random,
               const ChangeText& change_text) {
    if (left-- == 0) return other_value(json, name, random, change_text);
    if (json.is_object()) {
      Json out = Json::object();
      for (const auto& [member, value] : json.members())
        out.set(member, changed(value, left, member, random, change_text));
      return out;
    }
    if (!json.is_array()) return json;
    Json out = Json::array();
    for (const Json& item : json.items()) {
      Json next = changed(item, left, name, random, change_text);
      if (next.is_null()) continue;  // taken out
      if (random() % 40 == 0) out.push(next);
      out.push(std::move(next));
    }
    return out;
  }

  Json other_value(const Json& json, std::string_view name, std::mt19937& random,
                   const ChangeText& change_text) {
    switch (random() % 6) {
      case 0:
        return {};  // taken out
      case 1:
        return from_elsewhere(name, random).value_or(json);
      case 2:
        if (json.is_object()) return with_another(json, random);
        break;
      case 3:
        return Json(number(random));
      default:
        break;
    }
    if (json.is_text()) return Json(change_text(json.as_text()));
    if (json.is_integer()) return Json(random() % 2 ? number(random) : json.as_integer() + 1);
    if (json.is_boolean()) return Json(!json.as_boolean());
    return json.is_array() ? Json::array() : Json::object();
  }

  // The value of a member of that name in another entry.
  std::optional<Json> from_elsewhere(std::string_view name, std::mt19937& random) const {
    const Json body = Json::parse(entries_[random() % entries_.size()].body);
    const Json* found = body.find(name);
    return found ? std::optional(*found) : std::nullopt;
  }

  // With a member of another entry.
  Json with_another(Json json, std::mt19937& random) const {
    const Json body = Json::parse(entries_[random() % entries_.size()].body);
    if (body.is_object() && !body.members().empty()) {
      const auto& [name, value] = body.members()[random() % body.members().size()];
      json.set(name, value);
    }
    return json;
  }

  std::vector<Entry> entries_;
  std::map<std::string, Json> persons_;
  std::vector<Json> files_;
  std::string book_ = "00";
};

}  // namespace fuzz
