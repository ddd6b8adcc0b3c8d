// Random lives of a shop, compared at every step with a second telling of the rules.
#include <random>

#include "telling.h"

using namespace shop;

namespace {

class Life {
 public:
  explicit Life(unsigned seed) : random_(seed), person_(shop_.keep("Robin Example")) {
    shop_.write("worker", Worker{2, person_.id, seal(person_), false}.body());
    shop_.write("wood", wood("W1").body());
    shop_.write("tin", tin("F1", "finish").body());
    begin_batch();
  }

  void act() {
    static const std::vector<void (Life::*)()> acts{
        &Life::stock,     &Life::mix_some,   &Life::begin_batch, &Life::coat_some, &Life::coat_some,
        &Life::coat_some, &Life::settle,     &Life::sign,        &Life::sign,      &Life::sign,
        &Life::give,      &Life::scrap_some, &Life::split_off,   &Life::take_back, &Life::print,
        &Life::deal,      &Life::correct,    &Life::correct,     &Life::correct,   &Life::correct,
        &Life::correct,   &Life::strike,     &Life::strike,      &Life::strike,    &Life::strike};
    (this->*acts[below(acts.size())])();
  }

  void compare() {
    Book& book = shop_.book();
    const Telling told(book);
    std::map<std::string, Telling::Piece> pieces;
    std::set<std::string> open;
    for (const std::string& code : ids_of_class(book, "batch"))
      for (const book::PieceState& piece : pieces_of(book, code)) {
        pieces[piece.code] = {piece.signed_off, piece.given, piece.scrapped, piece.turn};
        if (piece.here()) open.insert(code);
      }
    CHECK((pieces == told.pieces()));
    std::set<Telling::Wrong> wrongs;
    for (const book::OpenWrong& wrong : open_wrongs(book))
      wrongs.insert({wrong.entry, wrong.piece, wrong.what});
    CHECK((wrongs == told.open_wrongs()));
    const auto batches = open_batches(book);
    CHECK(std::set<std::string>(batches.begin(), batches.end()) == open);
    std::set<std::int64_t> rags;
    for (const auto& [entry, batch] : all_open_rags(book)) rags.insert(entry);
    CHECK(rags == told.open_rags());
    for (std::int64_t n = 1; n <= told.count(); ++n) {
      const auto now = effective_entry(book, n).value();
      CHECK(now.struck_by.has_value() == told.is_struck(n));
      CHECK(now.body == told.body(n));
      if (!now.struck_by)
        for (const char* list : {"wood", "finish"})
          for (const std::string& part : now.body.texts(list))
            CHECK_FALSE(class_of(book, part).empty());
      if (now.entry.kind == "coat" && !now.struck_by) {
        CHECK(class_of(book, now.body.text("batch")) == "batch");
        CHECK(class_of(book, now.body.at("drawn").items()[0].text("tin")) == "finish");
      }
      if (now.entry.kind == "mix" && !now.struck_by)
        CHECK(class_of(book, now.body.at("drawn").items()[0].text("tin")) == "finish");
    }
    CHECK(problems_of(book) == std::vector<std::string>{});
  }

  int refused() const { return refused_; }
  int amended() const { return amended_; }

 private:
  std::size_t below(std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_);
  }
  template <typename T>
  const T& one_of(const std::vector<T>& values) {
    return values[below(values.size())];
  }

  void stock() {
    const std::string kind = below(2) ? "tin" : "wood", prefix = kind == "tin" ? "F" : "W";
    const std::string id = prefix + std::to_string(next_number(shop_.book(), prefix));
    CHECK(seen_.insert(id).second);  // never given out before
    shop_.write(kind, kind == "tin" ? tin(id, "finish").body() : wood(id).body());
  }

  // Out of one tin or mix: what it was made of cannot come out of it.
  void mix_some() {
    if (!stocked()) return;
    const std::string id = "F" + std::to_string(next_number(shop_.book(), "F"));
    CHECK(seen_.insert(id).second);
    shop_.write("mix", mix(id, "finish", {one_of(ids_of_class(shop_.book(), "finish"))}).body());
  }

  Json any_batch(const std::string& code) {
    const auto woods = ids_of_class(shop_.book(), "wood"),
               tins = ids_of_class(shop_.book(), "finish");
    return batch(code, 1 + int(below(4)), {one_of(woods)}, {one_of(tins)}).body();
  }

  bool stocked() {
    return !ids_of_class(shop_.book(), "wood").empty() &&
           !ids_of_class(shop_.book(), "finish").empty();
  }

  void begin_batch() {
    if (!stocked()) return;
    const std::string code = BatchCode{26, int(next_number(shop_.book(), "26-"))}.text();
    CHECK(seen_.insert(code).second);
    shop_.write("batch", any_batch(code));
  }

  // A batch and some of its pieces; nothing where there is none.
  std::pair<std::string, std::vector<int>> some() {
    const auto codes = ids_of_class(shop_.book(), "batch");
    if (codes.empty() || !stocked()) return {};
    std::pair<std::string, std::vector<int>> out{one_of(codes), {}};
    for (const auto& piece : pieces_of(shop_.book(), out.first))
      if (below(2)) out.second.push_back(piece.number);
    return out;
  }

  Json any_coat(const std::string& code, const std::vector<int>& pieces) {
    return coat(code, one_of(ids_of_class(shop_.book(), "finish")), pieces, below(2) == 1).body();
  }

  // Some are entered late.
  Instant any_time() { return shop_.tick() - Seconds(below(2) ? 0 : 3600 * below(30)); }

  void coat_some() {
    const auto [code, pieces] = some();
    if (!code.empty()) shop_.write("coat", any_coat(code, pieces), any_time());
  }
  void settle() {
    const auto open = all_open_rags(shop_.book());
    if (open.empty()) return;
    const auto& [coat, code] = one_of(open);
    shop_.write("rags-done", RagsDone{code, {coat}}.body());
  }
  void sign() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("sign-off", sign_off(code, pieces).body(), any_time());
  }
  void give() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("give", gift(code, pieces, person_).body());
  }

  void scrap_some() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("scrap", scrap(code, pieces).body());
  }
  Json any_split(const std::string& code, const std::vector<int>& pieces) {
    return split(code, pieces, {one_of(ids_of_class(shop_.book(), "finish"))}).body();
  }
  void split_off() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("split", any_split(code, pieces));
  }
  void take_back() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("take-back", shop::take_back(code, pieces).body());
  }
  void print() {
    const auto [code, pieces] = some();
    if (!pieces.empty()) shop_.write("card", card(code, pieces).body());
  }
  void deal() {
    const auto open = open_wrongs(shop_.book());
    if (open.empty()) return;
    const book::OpenWrong& wrong = one_of(open);
    const auto piece = find_piece(shop_.book(), wrong.piece);
    if (!piece) return;
    shop_.write("dealt", dealt(wrong.entry, piece->batch, {piece->number}).body());
  }

  // Any but those of the workshop, its workers and its garage.
  std::int64_t any_entry() {
    return 5 + std::int64_t(below(std::size_t(shop_.book().entry_count()) - 4));
  }

  void correct() {
    const std::int64_t n = any_entry();
    const auto now = effective_entry(shop_.book(), n);
    if (!now || now->struck_by || !stocked()) return;
    const std::string& kind = now->entry.kind;
    Json body = now->body;
    const auto [code, pieces] = some();
    if (kind == "batch")
      body = any_batch(body.text("batch"));
    else if (kind == "coat" && !code.empty())
      body = any_coat(code, pieces);
    else if (kind == "give" && !pieces.empty())
      body = gift(code, pieces, person_).body();
    else if (kind == "split" && !pieces.empty())
      body = any_split(code, pieces);
    else if (kind == "take-back" && !pieces.empty())
      body = shop::take_back(code, pieces).body();
    else if (kind == "scrap" && !pieces.empty())
      body = scrap(code, pieces).body();
    else if (kind == "sign-off" && !pieces.empty())
      body = sign_off(code, pieces).body();
    else if (kind != "tin" && kind != "wood" && kind != "mix")
      return;
    amend(n, &body);
  }
  void strike() {
    const std::int64_t n = any_entry();
    const auto now = effective_entry(shop_.book(), n);
    if (now && !now->struck_by) amend(n, nullptr);
  }
  // As a command does it: refused where an id would vanish.
  void amend(std::int64_t n, const Json* body) {
    if (!would_vanish(shop_.book(), n, body).empty()) {
      ++refused_;
      return;
    }
    ++amended_;
    Json whole = Json::object().set("entry", n).set("why", "a slip").set("affected", made_wrong());
    if (!body) {
      shop_.write("strike", whole);
      return;
    }
    whole.set("body", *body);
    if (below(3) == 0)  // and it happened at another time
      whole.set("happened_at", iso(any_time())).set("happened_offset", std::int64_t{60});
    shop_.write("correction", whole);
  }
  // For any pieces: what an amendment may claim that it made wrong.
  Json made_wrong() {
    const auto [code, pieces] = some();
    if (pieces.empty()) return {};
    MadeWrong out;
    out.batch = code;
    for (auto* list : {&out.sign_off, &out.card, &out.left})
      if (below(2)) *list = pieces;
    return Json::array().push(out.json());
  }

  std::mt19937 random_;
  Shop shop_;
  book::Person person_;
  std::set<std::string> seen_;
  int refused_ = 0, amended_ = 0;
};

}  // namespace

TEST_CASE("lives: after every act the state is what the entries say and the book is whole") {
  int refused = 0, amended = 0;
  for (unsigned seed = 1; seed <= 10; ++seed) {
    INFO("seed " << seed);
    Life life(seed);
    for (int i = 0; i < 90; ++i) {
      life.act();
      life.compare();
    }
    refused += life.refused();
    amended += life.amended();
  }
  CHECK(amended > 100);  // the lives were as wild as they were meant to be
  CHECK(refused > 20);
}
