#include "commands/complete.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <ostream>
#include <regex>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/topics.h"
#include "domain/country.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

// What a word is completed by.
struct Wanted {
  std::string command;  // "receive finish"
  std::string option;   // "--kind"; of a word of its own: its name, "BATCH"
  std::string value;    // "ID"; of a word: the same as `option`
  std::string help;
};

const std::vector<Choice> files{{":files", ""}};  // the shell's own

std::vector<Choice> plain(const std::vector<std::string>& ids) {
  std::vector<Choice> out;
  for (const std::string& id : ids) out.push_back({id, ""});
  return out;
}

void add(std::vector<Choice>& to, std::vector<Choice> more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

// "gift, sale, private-gift" of a help text: its longest list of single words.
std::vector<std::string> listed_in(const std::string& help) {
  static const std::regex list("[A-Za-z0-9-]+(, [A-Za-z0-9-]+)+|[a-z]+ or [a-z]+");
  std::string longest;
  for (std::sregex_iterator it(help.begin(), help.end(), list), end; it != end; ++it)
    if (it->str().size() > longest.size()) longest = it->str();
  std::string commas = std::regex_replace(longest, std::regex(" or "), ",");
  std::vector<std::string> out = split(commas, ',');
  std::erase(out, "");
  return out;
}

std::vector<Choice> tins(Call& call) {
  std::vector<Choice> out;
  for (const char* stock : {"finish", "glue", "other"}) add(out, tins_to_choose(call, stock));
  return out;
}

std::vector<Choice> pieces(Call& call) {
  std::vector<Choice> out = batches_to_choose(call);
  for (const std::string& batch : book::open_batches(call.book()))
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch))
      if (piece.here()) out.push_back({piece.code, fmt::format("board {}", piece.number)});
  return out;
}

std::vector<Choice> names(Call& call) {
  std::vector<Choice> out;
  call.book().each_person([&](const book::Person& person) { out.push_back({person.name, ""}); });
  return out;
}

std::vector<Choice> places(Call& call) {
  std::vector<Choice> out;
  for (const Place& place : book::places(call.book())) out.push_back({place.id, place.name});
  return out;
}

std::vector<Choice> workers(Call& call) {
  std::vector<Choice> out;
  for (const Worker& worker : book::workers(call.book()))
    if (const auto person = call.book().person(worker.person))
      out.push_back({std::to_string(worker.id), person->name});
  return out;
}

std::vector<Choice> allergens_to_choose() { return kinds_to_choose(reference::allergens()); }

// An ID, by the option that takes it.
std::vector<Choice> ids(Call& call, const Wanted& of) {
  if (of.option == "--wood") return lots_to_choose(call);
  if (of.option == "--glue") return tins_to_choose(call, "glue");
  if (of.option == "--finish") return tins_to_choose(call, "finish");
  if (of.option == "--product") return products_to_choose(call);
  if (of.option == "--species" || of.command == "species") return species_to_choose(call);
  if (of.option == "--schedule" || of.command == "schedules")
    return kinds_to_choose(reference::schedules());
  if (of.option == "--kind") {
    for (const char* stock : {"glue", "other"})
      if (of.command.ends_with(stock)) return tin_kinds_to_choose(stock);
    return tin_kinds_to_choose("finish");
  }
  if (of.command == "finishes") return tin_kinds_to_choose("finish");
  if (of.command == "glues") return tin_kinds_to_choose("glue");
  if (of.command == "others") return tin_kinds_to_choose("other");
  if (of.option == "--about") return plain(topic_ids());
  if (of.command == "allergens" || of.option.starts_with("--contains") ||
      of.option == "--declares-none" || of.option == "--cross-contact")
    return allergens_to_choose();
  std::vector<Choice> out = tins(call);
  if (of.option != "--from") add(out, lots_to_choose(call));
  if (of.command.starts_with("statement") || of.command.starts_with("product"))
    add(out, products_to_choose(call));
  return out;
}

std::vector<Choice> values(Call& call, const Wanted& of) {
  const std::string& value = of.value;
  for (const char* path : {"FILE", "FOLDER", "NEW", "DAMAGED"})
    if (value.starts_with(path)) return files;
  if (value == "MARKET|KEY") {
    std::vector<Choice> out = plain(markets());
    for (const Rule& rule : reference::rules()) out.push_back({rule.key, rule.cite});
    return out;
  }
  if (value.find('|') != std::string::npos && value.find('=') == std::string::npos)
    return plain(split(value, '|'));
  for (const char* few : {"M", "USE", "HOW", "GROUP", "PORE", "LANGUAGE", "REMEDY", "TOPIC", "MARK",
                          "UNITS", "ORDER", "SHEET", "SIZE"})
    if (value == few) return plain(listed_in(of.help));
  if (value == "BATCH") return batches_to_choose(call);
  if (value == "PIECE" || value == "CODE") {
    std::vector<Choice> out = pieces(call);
    if (of.command == "trace") {
      add(out, tins(call));
      add(out, lots_to_choose(call));
    }
    return out;
  }
  if (value == "TIN") return tins(call);
  if (value == "ENTRY") return entries_to_choose(call);
  if (value == "WORKER") return workers(call);
  if (value == "PLACE" || of.option == "--place") return places(call);
  if (value == "PERSON" || of.option == "--to" || of.option == "--for") return names(call);
  if (value == "CC") return plain({country_codes.begin(), country_codes.end()});
  if (value.starts_with("ID")) return ids(call, of);
  return {};
}

// What is typed already, in front of the word to be completed.
struct Typed {
  std::vector<std::string> book;   // "--book", "x.db"
  std::vector<std::string> words;  // of the command and behind it
};

Typed typed_of(const std::vector<std::string>& before) {
  Typed out;
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (before[i] == "--book" && i + 1 < before.size()) {
      out.book = {before[i], before[i + 1]};
      ++i;
    } else if (before[i].starts_with("--book=")) {
      out.book = {before[i]};
    } else if (before[i] != "--json") {
      out.words.push_back(before[i]);
    }
  }
  return out;
}

const Declaration::Line* option_of(const Declaration& declaration, const std::string& name) {
  for (const Declaration::Line& line : declaration.options)
    if (line.name == name) return &line;
  return nullptr;
}

std::vector<Choice> options_of(const Declaration& declaration) {
  std::vector<Choice> out;
  for (const Declaration::Line& line : declaration.options)
    out.push_back({line.name.substr(0, line.name.find(',')), line.help});
  return out;
}

std::vector<Choice> commands_to_choose() {
  std::vector<Choice> out;
  for (const Command& command : commands())
    out.push_back({std::string(command.name), std::string(command.summary)});
  return out;
}

std::vector<Choice> candidates(Call& call, const Typed& typed, const std::string& current) {
  if (typed.words.empty())
    return current.starts_with('-') ? plain({"--book", "--json", "--help", "--version"})
                                    : commands_to_choose();
  const std::vector<Choice> known = commands_to_choose();
  if (std::none_of(known.begin(), known.end(),
                   [&](const Choice& choice) { return choice.id == typed.words.front(); }))
    return {};
  std::vector<std::string> rest(typed.words.begin() + 1, typed.words.end()), parts;
  Declaration of = declared(typed.words.front(), parts);
  while (!rest.empty() &&
         std::find(of.parts.begin(), of.parts.end(), rest.front()) != of.parts.end()) {
    parts.push_back(rest.front());
    rest.erase(rest.begin());
    of = declared(typed.words.front(), parts);
  }
  const Declaration::Line* taking = nullptr;  // an option that the word to come may belong to
  std::size_t words = 0;
  for (const std::string& word : rest) {
    if (word.starts_with("-")) {
      taking = option_of(of, word);
      if (taking && taking->value.empty()) taking = nullptr;
    } else if (!taking) {
      ++words;
    } else if (!taking->value.ends_with("…")) {
      taking = nullptr;
    }
  }
  if (current.starts_with('-')) return options_of(of);
  if (taking) return values(call, {of.command, taking->name, taking->value, taking->help});
  std::vector<Choice> out;
  if (words == 0) out = plain(of.parts);
  if (of.positionals.empty()) return out;
  const Declaration::Line& last = of.positionals.back();
  if (words >= of.positionals.size() && !last.several) return out;
  const Declaration::Line& next = of.positionals[std::min(words, of.positionals.size() - 1)];
  add(out, values(call, {of.command, next.name, next.name, next.help}));
  return out;
}

}  // namespace

void complete(const std::vector<std::string>& words, const Surroundings& surroundings) {
  if (words.empty()) return;
  const std::string& current = words.back();
  try {
    const Typed typed = typed_of({words.begin(), words.end() - 1});
    Call call("complete", "", Access::none, typed.book, surroundings);
    call.parse();
    const std::string begins = lower_ascii(current);
    for (const Choice& choice : candidates(call, typed, current))
      if (choice.id == ":files" || lower_ascii(choice.id).starts_with(begins))
        surroundings.out << shown(choice.id) << '\t' << shown(choice.words) << '\n';
  } catch (const Error&) {
    // Without a book, or with a damaged one, its ids are not offered; the command will say why.
  }
}

}  // namespace trencher::commands
