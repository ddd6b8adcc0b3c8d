// A second telling of the rules of the state: slow, without SQL, from the entries alone. Where the
// state folds, this looks back from the end.
#pragma once

#include <map>
#include <set>

#include "book/kinds.h"
#include "domain/code.h"
#include "shop.h"

namespace shop {

class Telling {
 public:
  explicit Telling(const Book& book) {
    book.each_entry([&](const book::Entry& e) { entries_.push_back(e); });
    for (const book::Entry& e : entries_) bodies_.push_back(Json::parse(e.body));
  }

  std::int64_t count() const { return static_cast<std::int64_t>(entries_.size()); }
  const std::string& kind(std::int64_t n) const { return entries_[n - 1].kind; }
  bool is_struck(std::int64_t n) const {
    for (std::int64_t s = n + 1; s <= count(); ++s)
      if (kind(s) == "strike" && target(s) == n && !is_struck(s)) return true;
    return false;
  }
  std::int64_t target(std::int64_t n) const { return bodies_[n - 1].integer("entry"); }
  // The correction that counts; 0: none.
  std::int64_t correction(std::int64_t n) const {
    for (std::int64_t c = count(); c > n; --c)
      if (kind(c) == "correction" && target(c) == n && !is_struck(c)) return c;
    return 0;
  }
  Json body(std::int64_t n) const {
    const std::int64_t c = correction(n);
    return c ? bodies_[c - 1].at("body") : bodies_[n - 1];
  }
  Instant happened(std::int64_t n) const {
    const std::int64_t c = correction(n);
    const auto moved = c ? bodies_[c - 1].maybe_text("happened_at") : std::nullopt;
    return moved ? time(*moved) : entries_[n - 1].happened.at;
  }
  template <typename Use>
  void each(const std::string& wanted, Use use) const {
    for (std::int64_t n = 1; n <= count(); ++n)
      if (kind(n) == wanted && !is_struck(n)) use(n, body(n));
  }

  std::set<std::int64_t> open_rags() const {
    std::set<std::int64_t> out;
    each("coat", [&](std::int64_t n, const Json& b) {
      if (b.flag("rags")) out.insert(n);
    });
    each("rags-done", [&](std::int64_t, const Json& b) {
      for (const std::int64_t coat : b.integers("coats")) out.erase(coat);
    });
    return out;
  }

  struct Piece {
    std::optional<std::int64_t> signed_off, given, scrapped, turn;
    bool operator==(const Piece&) const = default;
  };
  std::map<std::string, Piece> pieces() const {
    std::map<std::string, Piece> out;
    each("batch", [&](std::int64_t, const Json& b) {
      for (int i = 1; i <= b.integer("pieces"); ++i) out[code(b, i)] = piece(code(b, i));
    });
    return out;
  }

  // What is wrong with a piece that is there, and stays so: entry, piece, what.
  using Wrong = std::tuple<std::int64_t, std::string, std::string>;
  std::set<Wrong> open_wrongs() const {
    static const std::map<std::string, std::string> lists{
        {"sign_off", "sign-off"}, {"card", "card"}, {"left", "gift"}};
    static const std::map<std::string, std::string> settled_by{
        {"sign-off", "sign-off"}, {"card", "card"}, {"gift", "take-back"}};
    const auto there = pieces();
    std::set<Wrong> out;
    for (std::int64_t n = 1; n <= count(); ++n) {
      const Json* rows = bodies_[n - 1].find("affected");
      if (!rows || is_struck(n)) continue;
      for (const Json& row : rows->items())
        for (const auto& [list, first] : lists)
          for (const std::int64_t i : row.integers(list)) {
            const std::string piece = code(row, i);
            std::string what = there.contains(piece) ? first : "";
            for (std::int64_t d = n + 1; d <= count() && !what.empty(); ++d) {
              static const std::set<std::string> settling{"scrap",     "sign-off", "card",
                                                          "take-back", "dealt",    "give"};
              if (!settling.contains(kind(d)) || !names_piece(d, piece)) continue;
              if (kind(d) == "scrap" || kind(d) == settled_by.at(what) ||
                  (kind(d) == "dealt" && body(d).integer("entry") == n))
                what.clear();
              else if (kind(d) == "give" && what == "card")
                what = "gift";  // the wrong card has left with the board
            }
            if (!what.empty()) out.insert({n, piece, what});
          }
    }
    return out;
  }

 private:
  static std::string code(const Json& of_batch, std::int64_t piece) {
    return PieceCode{*parse_batch_code(of_batch.text("batch")), static_cast<int>(piece)}.text();
  }
  // Whether an entry that counts names the piece, which was there by then.
  bool names_piece(std::int64_t n, const std::string& piece) const {
    return !is_struck(n) && among(body(n), piece) && begun(piece.substr(0, 6)) < n;
  }
  std::int64_t begun(const std::string& batch) const {
    std::int64_t out = 0;
    each("batch", [&](std::int64_t n, const Json& b) {
      if (b.text("batch") == batch) out = n;
    });
    return out;
  }
  static bool among(const Json& said, const std::string& piece) {
    for (const std::int64_t i : said.integers("pieces"))
      if (code(said, i) == piece) return true;
    return false;
  }
  // The last entry of a kind that names the piece; 0: none.
  std::int64_t last(const std::string& wanted, const std::string& piece) const {
    for (std::int64_t n = count(); n > 0; --n)
      if (kind(n) == wanted && names_piece(n, piece)) return n;
    return 0;
  }

  Piece piece(const std::string& piece) const {
    const auto or_none = [](std::int64_t n) {
      return n ? std::optional(n) : std::optional<std::int64_t>();
    };
    const std::int64_t sign_off = last("sign-off", piece), give = last("give", piece),
                       split = last("split", piece), back = last("take-back", piece),
                       scrap = last("scrap", piece);
    return {or_none(falls(sign_off, piece) ? 0 : sign_off), or_none(back > give ? 0 : give),
            or_none(scrap), or_none(std::max(split, back))};
  }

  // Whether something after a sign-off did away with it.
  bool falls(std::int64_t sign_off, const std::string& piece) const {
    for (const char* end : {"scrap", "split", "take-back"})
      if (last(end, piece) > sign_off) return true;
    for (std::int64_t e = sign_off + 1; e <= count() && sign_off; ++e) {
      if (is_struck(e)) continue;
      if (kind(e) == "coat" && happened(e) < happened(sign_off) && puts_on(body(e), piece))
        return true;
      if (book::is_amendment(kind(e)) && reopens(e, sign_off, piece)) return true;
    }
    return false;
  }
  static bool puts_on(const Json& step, const std::string& piece) {
    return step.text("batch") == piece.substr(0, 6) &&
           (step.integers("pieces").empty() || among(step, piece));
  }

  // Does amendment `a` take its ground from a sign-off of the piece made by entry `s`?
  bool reopens(std::int64_t a, std::int64_t s, const std::string& piece) const {
    const std::string batch = piece.substr(0, 6);
    std::int64_t n = target(a);
    if (book::is_amendment(kind(n))) {
      if (s < n) return false;
      while (book::is_amendment(kind(n))) n = target(n);
    }
    const std::string& what = kind(n);
    if (what == "tin" || what == "wood" || what == "mix")
      return using_it(bodies_[n - 1].text(what == "wood" ? "lot" : "tin"), a).contains(batch);
    const bool of_pieces = book::is_step(what) || book::is_turn(what);
    if (!of_pieces && what != "batch") return false;
    bool of_batch = false, of_piece = !of_pieces;
    for (const Json& said : versions(n)) {
      of_batch = of_batch || said.text("batch") == batch;
      of_piece = of_piece || said.integers("pieces").empty() || among(said, piece);
    }
    return of_batch && of_piece;
  }
  // What an entry has ever said.
  std::vector<Json> versions(std::int64_t n) const {
    std::vector<Json> out{bodies_[n - 1]};
    for (std::int64_t c = n + 1; c <= count(); ++c)
      if (kind(c) == "correction" && target(c) == n) out.push_back(bodies_[c - 1].at("body"));
    return out;
  }

  // Batches that use a tin or a wood, in their plan, in a step, by a split or by way of a mix, by
  // the entries before `end`.
  std::set<std::string> using_it(const std::string& id, std::int64_t end) const {
    std::set<std::string> out;
    for (std::int64_t n = 1; n < end; ++n) {
      if (is_struck(n)) continue;
      const Json said = body(n);
      bool uses = false;
      for (const char* list : {"wood", "finish"})
        for (const std::string& part : said.texts(list)) uses = uses || part == id;
      if (const Json* drawn = said.find("drawn"))
        for (const Json& part : drawn->items()) uses = uses || part.text("tin") == id;
      if (!uses) continue;
      if (kind(n) == "mix")
        out.merge(using_it(said.text("tin"), end));
      else
        out.insert(said.text("batch"));
    }
    return out;
  }

  std::vector<book::Entry> entries_;
  std::vector<Json> bodies_;
};

}  // namespace shop
