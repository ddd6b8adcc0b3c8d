#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/papers.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

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
  if (said.about == "origin" && said.reference.empty() && said.file_name.empty())
    throw Error::request("The statement about origin says nothing: give --reference or --file.");
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

}  // namespace

int statement(Call& call) {
  if (!call.choose_if({"show"}).empty()) return show_statements(call);
  std::string dated, valid_until, file, version;
  Statement said;
  call.word("ID", said.subject,
            "tin, thing, wood lot or product that the paper is about, as F1; or first: show");
  call.option("--about", "TOPIC", said.about,
              join(paper_topics(), ", ") +
                  "; origin is of a wood lot alone: permits, invoices, due diligence");
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
  call.option("--valid-until", "DATE", valid_until, "the last day on which the paper holds");
  call.option("--reference", "TEXT", said.reference,
              "what it cites, as '21 CFR 172.878', or its own number, as of a permit");
  call.option("--version", "N", version,
              "of the product, where the paper is about another label than the latest");
  call.parse();
  call.need(said.subject, "ID", "Tin, wood lot or product, as F1");
  need_paper_subject(call, said.subject);
  call.need(said.about, "--about", {"What the paper is about", paper_topics()});
  Call::check_known(said.about, "Topic", paper_topics());
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
  if (!valid_until.empty()) said.valid_until = parse_day(valid_until, "--valid-until");
  if (!said.reference.empty()) said.reference = checked_text(said.reference, "--reference");
  demand_consistent(call, said);
  InputFile paper;
  if (!file.empty()) {
    paper = read_input(file, most_paper_megabytes);
    said.file_name = paper.name;
  }
  refuse_contradiction(said);
  refuse_saying_too_little(said);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  need_paper_subject(call, said.subject);
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
    if (said.valid_until) call.say_list("  Valid until:", show(*said.valid_until) + ".");
    if (!said.reference.empty()) call.say_list("  Reference:", said.reference + ".");
    if (!said.file_name.empty()) say_file(call, "  Kept:", said.file_name, ".");
    say_said(call, said);
    reach.say(call, entry);
  }
  return status;
}

}  // namespace trencher::commands
