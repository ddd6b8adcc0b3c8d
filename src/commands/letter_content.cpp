#include "commands/letter_content.h"

#include <algorithm>
#include <array>
#include <set>

#include "commands/letter_sentences.h"
#include "commands/named.h"
#include "domain/text.h"
#include "engine/evidence_list.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

// Which reason says how the board came to be, rather than what an answer rests on.
constexpr std::array<std::string_view, 6> trail_keys{"step-glue", "step-coat", "step-fit",
                                                     "mixed",     "received",  "of-batch"};

bool is_trail(const engine::Because& reason) {
  return std::find(trail_keys.begin(), trail_keys.end(), reason.key) != trail_keys.end();
}

template <typename Item>
bool holds(const std::vector<Item>& items, const Item& wanted) {
  return std::find(items.begin(), items.end(), wanted) != items.end();
}

// The order of the notes: what is withdrawn, what the answers speak of, the timber, whose law, the
// doctor last.
int rank_of(const engine::Sentence& note) {
  if (note.key == "withdrawn") return -1;
  if (note.key == "ask-doctor") return 3;
  if (note.key.starts_with("law-")) return 2;
  return note.key.starts_with("timber") ? 1 : 0;
}

class Composer {
 public:
  Composer(Call& call, std::string woods, std::string_view language)
      : language_(language),
        sentences_(
            [&call](std::int64_t number) { return book::effective_entry(call.book(), number); },
            std::move(woods), language) {}

  paper::LetterGroup group(const AnsweredBoards& boards) {
    paper::LetterGroup out;
    out.codes = boards.codes;
    std::vector<engine::Because> trail;
    std::vector<engine::Sentence> missing;
    for (const engine::Answer& answer : boards.answers) {
      std::vector<engine::Because> own;
      for (const engine::Because& reason : answer.because)
        (is_trail(reason) ? trail : own).push_back(reason);
      out.topics.push_back(
          {topic_in_words(answer.about, language_), result_of(answer), sentences_.reasons(own)});
      missing.insert(missing.end(), answer.missing.begin(), answer.missing.end());
    }
    lift_common(boards, out);
    out.missing = sentences_.once(missing);
    std::stable_sort(trail.begin(), trail.end(),
                     [](const auto& a, const auto& b) { return a.entry < b.entry; });
    out.trail = sentences_.reasons(trail);
    return out;
  }

  std::vector<paper::LetterSentence> notes(const std::vector<AnsweredBoards>& boards) {
    return sentences_.once(notes_of(boards));
  }

  std::vector<paper::LetterSentence> corrected(const std::vector<AnsweredBoards>& boards) {
    std::set<std::int64_t> entries;
    for (const AnsweredBoards& group : boards)
      for (const engine::Answer& answer : group.answers)
        for (const engine::Because& reason : answer.because) entries.insert(reason.entry);
    for (const AnsweredBoards& group : boards)
      for (const Mended& mended : group.mended) entries.insert(mended.entry);
    std::vector<paper::LetterSentence> out;
    for (const std::int64_t number : entries)
      if (auto sentence = sentences_.correction_of(number); sentence && !holds(out, *sentence))
        out.push_back(std::move(*sentence));
    return out;
  }

 private:
  static std::string result_of(const engine::Answer& answer) {
    if (answer.result == engine::contains)
      return engine::is_list_topic(answer.about) ? "listed" : "contains";
    return answer.result == engine::none_recorded ? "none-recorded" : "not-known";
  }

  // Takes out of the topics what each of them gives as a reason, and says it once. Of what is on a
  // list the reasons are the list itself.
  static void lift_common(const AnsweredBoards& boards, paper::LetterGroup& group) {
    std::vector<paper::LetterTopic*> topics;
    for (std::size_t i = 0; i < group.topics.size(); ++i)
      if (!engine::is_list_topic(boards.answers[i].about)) topics.push_back(&group.topics[i]);
    if (topics.size() < 2) return;
    for (const paper::LetterSentence& sentence : topics.front()->because)
      if (std::all_of(topics.begin(), topics.end(),
                      [&](const auto* topic) { return holds(topic->because, sentence); }))
        group.for_all.push_back(sentence);
    for (paper::LetterTopic* topic : topics)
      std::erase_if(topic->because, [&](const auto& s) { return holds(group.for_all, s); });
  }

  std::string language_;
  LetterSentences sentences_;
};

bool same_answers(const AnsweredBoards& a, const AnsweredBoards& b) {
  return std::equal(
      a.answers.begin(), a.answers.end(), b.answers.begin(), b.answers.end(),
      [](const engine::Answer& x, const engine::Answer& y) {
        const auto same = [](const auto& p, const auto& q) { return p.text == q.text; };
        const auto all = [&](const auto& p, const auto& q) {
          return std::equal(p.begin(), p.end(), q.begin(), q.end(), same);
        };
        return x.about == y.about && x.result == y.result && all(x.because, y.because) &&
               all(x.missing, y.missing) && all(x.notes, y.notes) &&
               std::equal(x.because.begin(), x.because.end(), y.because.begin(),
                          [](const auto& p, const auto& q) { return p.entry == q.entry; });
      });
}

// The day of the last coat on any of the boards.
std::string finished_on(const BatchView& view, const std::vector<AnsweredBoards>& boards,
                        const paper::Language& language) {
  std::string out;
  for (const Step& step : view.facts.work.steps) {
    const bool theirs = std::any_of(boards.begin(), boards.end(), [&](const AnsweredBoards& some) {
      return some.pieces.empty() ||
             std::any_of(some.pieces.begin(), some.pieces.end(),
                         [&](int piece) { return names_piece(step.pieces, piece); });
    });
    if (step.kind == "coat" && theirs) out = language.long_date(local_day(step.at));
  }
  return out;
}

}  // namespace

std::string woods_in_words(const BatchView& view, const paper::Language& language) {
  std::vector<std::string> woods;
  for (const WoodLot& lot : view.facts.wood) {
    std::string name =
        wood_in_words(lot.species, lot.common_name, lot.botanical_name, language.id());
    if (!holds(woods, name)) woods.push_back(std::move(name));
  }
  return language.all_of(woods);
}

std::vector<engine::Sentence> notes_of(const std::vector<AnsweredBoards>& boards) {
  std::vector<engine::Sentence> out;
  bool nut = false;
  for (const AnsweredBoards& group : boards)
    for (const engine::Answer& answer : group.answers)
      for (const engine::Sentence& note : answer.notes) {
        nut = nut || note.key == "timber-of-nut";
        const bool said = std::any_of(out.begin(), out.end(), [&](const engine::Sentence& other) {
          return other.text == note.text;
        });
        if (!said && note.key != "reservation") out.push_back(note);
      }
  if (nut) std::erase_if(out, [](const engine::Sentence& note) { return note.key == "timber"; });
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& a, const auto& b) { return rank_of(a) < rank_of(b); });
  return out;
}

std::vector<AnsweredBoards> together(std::vector<AnsweredBoards> boards) {
  std::vector<AnsweredBoards> out;
  for (AnsweredBoards& some : boards) {
    const auto same = std::find_if(out.begin(), out.end(),
                                   [&](const auto& other) { return same_answers(other, some); });
    if (same == out.end()) {
      out.push_back(std::move(some));
      continue;
    }
    same->codes.insert(same->codes.end(), some.codes.begin(), some.codes.end());
    same->pieces.insert(same->pieces.end(), some.pieces.begin(), some.pieces.end());
  }
  return out;
}

paper::LetterContent letter_content(Call& call, const BatchView& view,
                                    const std::vector<AnsweredBoards>& boards,
                                    std::string_view language) {
  const paper::Language words(language);
  paper::LetterContent out;
  out.language = words.id();
  out.use = use_in_words(view.batch().use, language);
  out.size = show(view.batch().size, call.units());
  out.woods = woods_in_words(view, words);
  out.finished_on = finished_on(view, boards, words);
  Composer composer(call, out.woods, language);
  for (const AnsweredBoards& some : boards) out.groups.push_back(composer.group(some));
  out.notes = composer.notes(boards);
  out.corrected = composer.corrected(boards);
  out.maker = call.settings().maker;
  out.address = call.settings().address;
  out.contact = call.settings().contact;
  out.date = words.long_date(local_day(call.zone().moment(call.now())));
  out.position = call.book().entry_count();
  out.last_hash = call.book().last_hash();
  return out;
}

std::string board_in_words(Call& call, const BatchView& view, std::string_view language) {
  const paper::Language words(language);
  std::vector<std::string> parts{use_in_words(view.batch().use, language),
                                 show(view.batch().size, call.units()),
                                 woods_in_words(view, words)};
  std::erase(parts, "");
  return join(parts, ", ");
}

}  // namespace trencher::commands
