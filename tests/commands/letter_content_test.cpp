// A letter out of a whole book.
#include "commands/letter_content.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "../book/shop.h"
#include "commands/contents.h"
#include "letter_contents.h"

using namespace trencher;
using namespace trencher::commands;
using Catch::Contains;

namespace {

// Two boards oiled with walnut oil, twice, and two with something else; the oil's tin was
// corrected.
struct Oiled : shop::Stocked {
  Oiled() {
    Tin oil = shop::tin("F2", "finish");
    oil.kind = "walnut-oil";
    oil.name = "Kitchen oil";
    oil.contains = {"tree-nut-walnut"};
    const std::int64_t entry = write("tin", oil.body());
    write(shop::coat("26-001", "F2", {1, 2}));
    write("coat", shop::coat("26-001", "F2", {1, 2}).body(), time("2026-01-07T08:00:00Z"));
    write(shop::coat("26-001", "F1", {3, 4}));
    oil.lot = "L-8";
    correct(entry, oil.body());
  }
  static Instant time(std::string_view iso) { return shop::time(iso); }
};

struct Asked {
  explicit Asked(const std::filesystem::path& book)
      : call("answer", "x", Access::read, {"--book", book.string()},
             {Oiled::time("2026-02-01T08:00:00Z"), in, out, err}) {
    call.parse();
  }
  paper::LetterContent letter(const std::vector<std::string>& about, std::string_view language) {
    const BatchView view = view_batch(call, "26-001");
    std::vector<AnsweredBoards> boards;
    for (const book::PieceState& piece : book::pieces_of(call.book(), "26-001")) {
      AnsweredBoards one{{piece.code}, {piece.number}, {}};
      const auto contents = contents_of(call, view, piece.number, piece.code);
      for (const std::string& topic : about)
        one.answers.push_back(engine::answer(contents, topic, all_allergens()));
      boards.push_back(std::move(one));
    }
    return letter_content(call, view, together(std::move(boards)), language);
  }
  std::istringstream in;
  std::ostringstream out, err;
  Call call;
};

std::string flat(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

}  // namespace

TEST_CASE("a letter about a batch tells its boards apart and rests on the whole book") {
  Oiled shop;
  Asked asked(shop.file());
  const paper::LetterContent letter = asked.letter({"tree-nut", "finish"}, "de");
  REQUIRE(letter.groups.size() == 2);
  CHECK(letter.groups[0].codes.size() == 2);
  CHECK(letter.groups[0].topics[0].about == "Schalenfrüchte");
  CHECK(letter.groups[0].topics[0].result == "contains");
  CHECK(letter.groups[0].topics[1].result == "listed");
  CHECK(letter.groups[1].topics[0].result == "not-known");
  CHECK(letter.use == "Schneidebrett");
  CHECK(letter.woods == "Zuckerahorn");
  CHECK(letter.finished_on == "7. Januar 2026");
  CHECK(letter.date == "1. Februar 2026");
  CHECK(letter.maker == "Example Bench");
  CHECK(letter.position == shop.book().entry_count());
  CHECK(letter.last_hash == shop.book().last_hash());
  REQUIRE(letter.corrected.size() == 1);
  const std::string text = flat(paper::letter_text(letter));
  CHECK_THAT(text, Contains("Schneidebrett, 400 × 250 × 22 mm. Holz: Zuckerahorn. Letzter Auftrag: "
                            "7. Januar 2026."));
  CHECK_THAT(text, Contains("Schalenfrüchte: enthalten. - Kitchen oil (Walnussöl) enthält von "
                            "Natur aus Walnüsse."));
  CHECK_THAT(text,
             Contains("Behandelt mit Kitchen oil (Walnussöl): 5. Januar 2026 und 7. Januar 2026."));
  CHECK_THAT(text, Contains("Schalenfrüchte: nicht bekannt. - Keine Unterlage sagt, ob Example "
                            "finish Schalenfrüchte enthält."));
  CHECK_THAT(text, Contains("Ein Eintrag vom 5. Januar 2026, auf dem dies beruht, wurde später (am "
                            "5. Januar 2026) berichtigt"));
  CHECK_THAT(text, !Contains("None") && !Contains("walnut") && !Contains("{{"));
}

TEST_CASE("in a letter each coat, receipt and missing paper stands once") {
  Oiled shop;
  Asked asked(shop.file());
  const std::string text = flat(paper::letter_text(asked.letter({"milk", "egg", "finish"}, "en")));
  const auto count = [&](const std::string& what) {
    std::size_t out = 0;
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; ++at) ++out;
    return out;
  };
  CHECK(count("Coated with Kitchen oil (walnut oil)") == 1);
  CHECK(count("Kitchen oil (walnut oil) came to us") == 1);
  CHECK(count("What else our shared rags, brushes and bench touch: that is for us") ==
        2);                                       // groups
  CHECK(count("we have not written down") == 2);  // what milk and egg have in common
  CHECK(count("A statement on milk and egg, or a complete ingredient list") == 2);
  CHECK(count("Milk and egg: on each of these lists") == 1);
  CHECK(count("A maker’s record is no medical advice") == 1);
}

TEST_CASE("boards with the same answers go together, in the order of the first") {
  const auto boards = [](const char* code, int number, const char* result) {
    engine::Answer answer;
    answer.about = "milk";
    answer.result = result;
    return AnsweredBoards{{code}, {number}, {answer}};
  };
  const auto groups = together({boards("a", 1, engine::not_known), boards("b", 2, engine::contains),
                                boards("c", 3, engine::not_known)});
  REQUIRE(groups.size() == 2);
  CHECK(groups[0].codes == std::vector<std::string>{"a", "c"});
  CHECK(groups[0].pieces == std::vector<int>{1, 3});
  CHECK(groups[1].codes == std::vector<std::string>{"b"});
}

TEST_CASE("a notice names a board and a tin in its language") {
  Oiled shop;
  Asked asked(shop.file());
  const BatchView view = view_batch(asked.call, "26-001");
  CHECK(board_in_words(asked.call, view, "es") ==
        "tabla de cortar, 400 × 250 × 22 mm, arce azucarero");
}
