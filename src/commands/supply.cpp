#include "commands/supply.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Small letters: ASCII, Latin-1 and Latin Extended-A, Greek and Cyrillic, as far as a supplier's
// name is likely to go. Every kind of blank becomes U+0020.
char16_t folded(char16_t c) {
  if (c == 0x00A0 || c == 0x202F || (c >= 0x2000 && c <= 0x200B) || c == 0x3000) return u' ';
  if ((c >= 'A' && c <= 'Z') || (c >= 0x00C0 && c <= 0x00DE && c != 0x00D7) ||
      (c >= 0x0391 && c <= 0x03A9) || (c >= 0x0410 && c <= 0x042F))
    return static_cast<char16_t>(c + 32);
  if (c == 0x0178) return 0x00FF;
  if (c == 0x1E9E) return 0x00DF;
  const bool odd_is_small = (c >= 0x0100 && c <= 0x0137) || (c >= 0x014A && c <= 0x0177);
  const bool even_is_small = (c >= 0x0139 && c <= 0x0148) || (c >= 0x0179 && c <= 0x017E);
  if ((odd_is_small && c % 2 == 0) || (even_is_small && c % 2 == 1))
    return static_cast<char16_t>(c + 1);
  return c;
}

// Case and runs of blanks out of the way.
std::u16string plain(const std::string& text) {
  std::u16string out;
  for (const char16_t c : to_utf16(text)) {
    const char16_t small = folded(c);
    if (small == u' ' && (out.empty() || out.back() == u' ')) continue;
    out += small;
  }
  if (out.ends_with(u' ')) out.pop_back();
  return out;
}

// Letters and digits alone.
std::u16string bare(const std::string& text) {
  std::u16string out;
  for (const char16_t c : plain(text))
    if (c > 0x7F || (c >= u'0' && c <= u'9') || (c >= u'a' && c <= u'z')) out += c;
  return out;
}

// One byte for each letter, so that a slip counts once.
std::string bytes_of(const std::u16string& text) {
  std::string out;
  for (const char16_t c : text)
    out += c < 0x80 ? static_cast<char>(c) : static_cast<char>(0x80 + c % 0x80);
  return out;
}

std::u16string without_lookalikes(std::u16string lot) {
  for (char16_t& c : lot) {
    if (c == u'o') c = u'0';
    if (c == u'i' || c == u'l') c = u'1';
  }
  return lot;
}

bool lots_alike(const std::string& a, const std::string& b) {
  const std::u16string x = without_lookalikes(bare(a)), y = without_lookalikes(bare(b));
  if (x.empty() || y.empty()) return false;
  return x == y ||
         (std::max(x.size(), y.size()) > 1 && edit_distance(bytes_of(x), bytes_of(y)) <= 1);
}

bool suppliers_alike(const std::string& a, const std::string& b) {
  constexpr std::size_t shortest = 3;  // below it a beginning says little
  const std::u16string x = bare(a), y = bare(b);
  if (x.empty() || y.empty()) return x == y;
  if (x == y) return true;
  if (std::min(x.size(), y.size()) >= shortest && (x.starts_with(y) || y.starts_with(x)))
    return true;
  const std::size_t slips = std::max(x.size(), y.size()) < 6 ? 1 : 2;
  return std::min(x.size(), y.size()) >= shortest &&
         edit_distance(bytes_of(x), bytes_of(y)) <= slips;
}

}  // namespace

void need_material(Call& call, const std::string& id) {
  std::vector<std::string> known;
  for (const char* of : {"finish", "glue", "other", "wood"})
    for (std::string& one : book::ids_of_class(call.book(), of)) known.push_back(std::move(one));
  Call::check_known(id, "Tin or wood lot", known, from_receive);
}

std::vector<Supply> supplies(Call& call) {
  std::vector<Supply> out;
  for (const char* stock : {"finish", "glue", "other"})
    for (const std::string& id : book::ids_of_class(call.book(), stock))
      if (const auto tin = book::find_tin(call.book(), id); tin && tin->kind != mix_kind)
        out.push_back({id, tin->name, tin->supplier, tin->lot});
  for (const std::string& id : book::ids_of_class(call.book(), "wood"))
    if (const auto lot = book::find_wood(call.book(), id))
      out.push_back({id, lot->common_name, lot->supplier, lot->lot});
  return out;
}

std::string supply_words(const Supply& supply) {
  return fmt::format("{} {}, from {}, lot {}", supply.id, supply.name, supply.supplier, supply.lot);
}

bool same_supply(const Supply& a, const Supply& b) {
  return plain(a.supplier) == plain(b.supplier) && plain(a.lot) == plain(b.lot);
}

bool looks_alike(const Supply& a, const Supply& b) {
  if (same_supply(a, b)) return false;
  const bool same_lot = bare(a.lot) == bare(b.lot) && !bare(a.lot).empty();
  return same_lot || (suppliers_alike(a.supplier, b.supplier) && lots_alike(a.lot, b.lot));
}

SupplySearch find_supplies(Call& call, const std::string& supplier, const std::string& lot) {
  const Supply wanted{"", "", supplier, lot};
  SupplySearch out;
  for (Supply& supply : supplies(call)) {
    if (same_supply(supply, wanted))
      out.same.push_back(std::move(supply));
    else if (looks_alike(supply, wanted))
      out.alike.push_back(std::move(supply));
  }
  return out;
}

void SupplyOptions::declare(Call& call) {
  call.option("--supplier", "NAME", supplier, "with --lot, in place of ids: all of that lot");
  call.option("--lot", "TEXT", lot, "the supplier's lot");
}

void SupplyOptions::check(const std::vector<std::string>& ids) {
  if (supplier.empty() != lot.empty())
    throw Error::request("--supplier and --lot go together: a lot number alone is not one lot.");
  if (!given()) return;
  if (!ids.empty())
    throw Error::request("--supplier and --lot stand in place of ids, not beside them.");
  supplier = checked_text(supplier, "--supplier", longest_name);
  lot = checked_text(lot, "--lot", longest_name);
}

SupplySearch SupplyOptions::need(Call& call) const {
  SupplySearch found = find_supplies(call, supplier, lot);
  if (found.same.empty())
    throw Error::request(
        fmt::format("Nothing from '{}' of lot '{}' has come in.{}", supplier, lot,
                    found.alike.empty()
                        ? ""
                        : fmt::format(" What looks alike: {}.", words_of_supplies(found.alike))));
  return found;
}

std::vector<std::string> ids_of_supplies(const std::vector<Supply>& found) {
  std::vector<std::string> out;
  for (const Supply& supply : found) out.push_back(supply.id);
  return out;
}

std::string words_of_supplies(const std::vector<Supply>& found) {
  std::vector<std::string> out;
  for (const Supply& supply : found) out.push_back(supply_words(supply));
  return join(out, "; ");
}

}  // namespace trencher::commands
