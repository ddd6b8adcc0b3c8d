#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/contents.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

Json texts(const std::vector<engine::Sentence>& sentences) {
  Json out = Json::array();
  for (const engine::Sentence& said : sentences) out.push(said.text);
  return out;
}

Json row_of(const engine::Answer& answer) {
  Json because = Json::array();
  for (const engine::Because& reason : answer.because)
    because.push(Json::object().set("entry", reason.entry).set("text", reason.text));
  Json row = Json::object();
  row.set("piece", answer.piece).set("about", answer.about).set("result", answer.result);
  row.set("because", std::move(because)).set("missing", texts(answer.missing));
  return row.set("notes", texts(answer.notes));
}

void print(Call& call, const engine::Answer& answer) {
  call.say(fmt::format("{}, {}: {}", answer.piece, allergen_name(answer.about), answer.result));
  for (const engine::Because& reason : answer.because)
    call.say_list(reason.entry ? fmt::format("  entry {:<4}", reason.entry) : "  by nature ",
                  reason.text);
  for (const engine::Sentence& missing : answer.missing)
    call.say_list("  missing   ", missing.text);
  if (answer.result == engine::none_recorded)
    call.say_list("  note      ", "None recorded does not mean free from.");
}

// What holds for several answers is said once, after them.
void print_notes(Call& call, const std::vector<engine::Answer>& answers) {
  std::vector<std::string> said;
  for (const engine::Answer& answer : answers)
    for (const engine::Sentence& note : answer.notes) {
      if (std::find(said.begin(), said.end(), note.text) != said.end()) continue;
      said.push_back(note.text);
      call.say_list("Note:", note.text);
    }
}

}  // namespace

int answer(Call& call) {
  std::string code;
  std::vector<std::string> about;
  call.word("PIECE", code, "code of a piece, or of a batch");
  call.id_list(
      "--about", about,
      "an allergen or substance (see 'trencher allergens'), finish, glue, other, wood, contents, "
      "animal-material");
  call.parse();
  call.need(code, "PIECE", "Which piece");
  std::vector<std::string> topics{"finish", "glue", "other", "wood", "contents", "animal-material"};
  for (std::string& id : ids_of(reference::allergens())) topics.push_back(std::move(id));
  call.need(about, "--about", "About what", topics);
  about = known_values(about, "Topic", topics);
  const Pieces pieces = need_pieces(call, code);
  const BatchView view = view_batch(call, pieces.batch);
  const std::vector<Allergen> allergens(reference::allergens().begin(),
                                        reference::allergens().end());
  std::vector<engine::PieceContents> asked;
  if (pieces.whole_batch && !is_divided(view)) {
    asked.push_back(contents_of(call, view, 0, pieces.batch));
  } else {
    for (const book::PieceState& piece : book::pieces_of(call.book(), pieces.batch))
      if (names_piece(pieces.numbers, piece.number) && !(pieces.whole_batch && piece.scrapped))
        asked.push_back(contents_of(call, view, piece.number, piece.code));
  }
  std::vector<engine::Answer> answers;
  for (const engine::PieceContents& contents : asked)
    for (const std::string& topic : about)
      answers.push_back(engine::answer(contents, topic, allergens));
  if (call.json()) {
    Json out = Json::array();
    for (const engine::Answer& given : answers) out.push(row_of(given));
    return call.done(out);
  }
  for (const engine::Answer& given : answers) print(call, given);
  print_notes(call, answers);
  return 0;
}

}  // namespace trencher::commands
