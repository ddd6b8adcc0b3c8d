#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

const std::vector<std::string> topics{"ingredients", "allergens", "food-contact", "safety"};

bool holds(const std::vector<std::string>& ids, std::string_view wanted) {
  return std::find(ids.begin(), ids.end(), wanted) != ids.end();
}

// The same thing both ways; a family declared absent takes its members along, and 'animal-derived'
// whatever comes from an animal.
void refuse_contradiction(const Statement& said) {
  for (const std::string& id : said.contains) {
    const Allergen& thing = *reference::find_allergen(id);
    std::string against;
    if (holds(said.declares_none, id))
      against = id;
    else if (holds(said.declares_none, thing.parent))
      against = thing.parent;
    else if (thing.animal && holds(said.declares_none, "animal-derived"))
      against = "animal-derived";
    if (against.empty()) continue;
    throw Error::request(
        fmt::format("--contains '{}' contradicts --declares-none '{}'; ask the supplier "
                    "which holds, and enter it then.",
                    id, against));
  }
}

void refuse_saying_too_little(const Statement& said) {
  const bool lists = said.about == "ingredients" || said.about == "allergens";
  if (said.complete && !lists)
    throw Error::request(fmt::format(
        "--complete goes with --about ingredients or allergens, not with '{}'.", said.about));
  const bool names = !said.contains.empty() || !said.ingredients.empty();
  if (said.complete && said.about == "ingredients" && !names)
    throw Error::request(
        "--complete with no --ingredient or --contains would say that the product is "
        "made of nothing; enter what the list names.");
  if (lists && !names && said.declares_none.empty() && !said.complete && said.file_name.empty())
    throw Error::request(
        fmt::format("The statement about {} says nothing: give --contains, "
                    "--declares-none, --ingredient, --complete or --file.",
                    said.about));
}

void need_subject(const book::Book& book, const std::string& id) {
  const std::vector<std::string> classes{"product", "finish", "glue", "other", "wood"};
  if (holds(classes, book::class_of(book, id))) {
    if (const auto tin = book::find_tin(book, id); tin && !tin->mixed_from.empty())
      throw Error::request(
          fmt::format("{} was mixed here; papers belong to the tins that it was mixed from.", id));
    return;
  }
  std::vector<std::string> known;
  for (const std::string& class_name : classes)
    for (std::string& of_class : book::ids_of_class(book, class_name))
      known.push_back(std::move(of_class));
  Call::check_known(id, "Tin, wood lot or product", known);
}

// Of a product: the version that is typed, else the latest. 0 for what has no versions.
int version_spoken_of(const book::Book& book, const std::string& id, const std::string& typed) {
  const auto versions = book::product_versions(book, id);
  if (versions.empty() && !typed.empty())
    throw Error::request(fmt::format("--version '{}' goes with a product; {} is none.", typed, id));
  if (versions.empty() || typed.empty()) return versions.empty() ? 0 : versions.back().version;
  for (const Product& version : versions)
    if (std::to_string(version.version) == typed) return version.version;
  throw Error::request(
      fmt::format("{} has no version '{}'; the last is {}.", id, typed, versions.back().version));
}

std::string names(const std::vector<std::string>& ids) {
  std::vector<std::string> out;
  for (const std::string& id : ids) out.push_back(allergen_name(id));
  return join(out, "; ");
}

void say_statement(Call& call, const Statement& said) {
  if (!said.contains.empty()) call.say_list("  Contains:", names(said.contains) + ".");
  if (!said.declares_none.empty())
    call.say_list("  Declares none of:", names(said.declares_none) + ".");
  if (!said.ingredients.empty())
    call.say_list("  Ingredients:", join(said.ingredients, "; ") + ".");
  if (!said.file_name.empty()) call.say_list("  Kept:", said.file_name + ".");
  if (said.about != "ingredients" && said.about != "allergens") return;
  call.say_list("  List:",
                said.complete
                    ? "complete, as the paper says."
                    : "not marked complete, so that it says of nothing else that it is absent.");
}

}  // namespace

int statement(Call& call) {
  std::string dated, file, version;
  Statement said;
  call.word("ID", said.subject, "tin, thing, wood lot or product that the paper is about, as F1");
  call.option("--about", "TOPIC", said.about, join(topics, ", "));
  call.option("--market", "M", said.market,
              "where the paper is for one market only: " + join(markets(), ", "));
  call.id_list("--contains", said.contains, "named as contained, see 'trencher allergens'");
  call.id_list("--declares-none", said.declares_none, "declared absent");
  call.list("--ingredient", "TEXT", said.ingredients, "an ingredient, as the paper names it");
  call.flag("--complete", said.complete, "the paper's list is complete");
  call.option(
      "--file", "PATH", file,
      fmt::format("the paper itself, kept in the book; at most {} MB", most_paper_megabytes));
  call.option("--dated", "DATE", dated, "on the paper, as 2026-01-31");
  call.option("--version", "N", version,
              "of the product, where the paper is about another label than the latest");
  call.parse();
  call.need(said.subject, "ID", "Tin, wood lot or product, as F1");
  need_subject(call.book(), said.subject);
  call.need(said.about, "--about", "What the paper is about", topics);
  Call::check_known(said.about, "Topic", topics);
  if (!said.market.empty()) Call::check_known(said.market, "Market", markets());
  said.contains = known_allergens(said.contains);
  said.declares_none = known_allergens(said.declares_none);
  for (std::string& text : said.ingredients) text = checked_text(text, "--ingredient");
  if (!dated.empty()) {
    said.dated = parse_day(dated, "--dated");
    if (*said.dated > local_day(call.zone().moment(call.now())))
      throw Error::request(
          fmt::format("--dated '{}' lies ahead; a paper in hand is dated today or before.", dated));
  }
  InputFile paper;
  if (!file.empty()) {
    paper = read_input(file, most_paper_megabytes);
    said.file_name = paper.name;
  }
  refuse_contradiction(said);
  refuse_saying_too_little(said);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  need_subject(call.book(), said.subject);
  said.version = version_spoken_of(call.book(), said.subject, version);
  if (!file.empty()) said.file_sha256 = writing.keep_file(paper.bytes);
  Json body = said.body();
  call.annotate(body);
  Reach reach(call, book::batches_touched(call.book(), {said.subject}));
  const std::int64_t entry = reach.append(call, writing, "statement", body, stamp);
  const Json affected = reach.affected(call);
  writing.commit();
  const int status =
      call.wrote(entry, said.subject, {},
                 fmt::format("Statement on {} about {}{}; entry {}.", said.subject, said.about,
                             said.dated ? ", dated " + show(*said.dated) : "", entry),
                 Json::object().set("affected", affected));
  if (!call.json()) {
    say_statement(call, said);
    reach.say(call, entry);
  }
  return status;
}

}  // namespace trencher::commands
