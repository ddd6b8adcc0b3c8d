#include "paper/offer.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/contents.h"
#include "commands/leaving.h"
#include "commands/letter_content.h"
#include "commands/markets.h"
#include "commands/named.h"
#include "commands/output_file.h"
#include "commands/papers.h"
#include "commands/printed_text.h"
#include "commands/rulebook.h"
#include "commands/shop.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/market.h"
#include "paper/language.h"
#include "paper/picture.h"
#include "reference/names.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr int most_pixels = 1600;  // of the picture's longer side: enough for a page of the web

void add_once(std::vector<std::string>& list, const std::string& value) {
  if (!value.empty() && std::find(list.begin(), list.end(), value) == list.end())
    list.push_back(value);
}

// What was put on and fitted, by its kinds.
void lay_materials(const engine::PieceContents& contents, const paper::Language& language,
                   paper::OfferContent& out) {
  std::vector<std::string> finish, glue, others;
  for (const Tin& tin : contents.tins) {
    const std::string words = tin_in_words("", tin.kind, language.id());
    add_once(tin.stock == "glue"     ? glue
             : tin.stock == "finish" ? finish
                                     : others,
             words.empty() ? tin.name : words);
    const FinishKind* kind = reference::find_finish(tin.kind);
    out.self_heating = out.self_heating || (kind && kind->self_heating_rags);
  }
  for (const Step& step : contents.fitted) add_once(others, step.text);
  out.finish = language.all_of(finish);
  out.glue = language.all_of(glue);
  out.others = language.all_of(others);
}

// The three answers, of the market's list and of animal materials, which where they are contained
// are told by what they are.
void lay_answers(const engine::PieceContents& contents, const std::string& language,
                 paper::OfferContent& out) {
  ListAnswers answers = list_answers(all_answers(contents), contents.topic_market);
  if (answers.animal_material != engine::contains)
    (answers.animal_material == engine::none_recorded ? answers.none_recorded : answers.not_known)
        .emplace_back("animal-material");
  out.contains = things_in_words(answers.contains, language);
  out.none_recorded = things_in_words(answers.none_recorded, language);
  out.not_known = things_in_words(answers.not_known, language);
  out.shared = things_in_words(contents.cross_contact, language);
}

paper::OfferContent offer_content(Call& call, const BatchView& view, const std::string& market,
                                  const std::string& language_id) {
  const paper::Language language(language_id);
  const Batch& batch = view.batch();
  paper::OfferContent out;
  out.language = language_id;
  out.maker = call.settings().maker;
  out.address = call.settings().address;
  out.contact = call.settings().contact;
  // Where the country is not said, the maker counts as outside the Union.
  if (wider_market(market) == "eu" && !engine::is_in_union(call.settings().country))
    out.responsible = call.settings().responsible;
  out.batch = batch.code;
  out.use = paper::capitalised(use_in_words(batch.use, language_id));
  out.size = show(batch.size, call.units());
  out.woods = woods_in_words(view, language);
  out.for_cutting = batch.use == "cutting-board";
  out.for_food = batch.use != "toy";
  engine::PieceContents contents = contents_of(call, view, 0, batch.code);
  contents.topic_market = allergen_list_of(market);
  lay_materials(contents, language, out);
  lay_answers(contents, language_id, out);
  out.list = reference::name_of(reference::Names::lists, contents.topic_market, language_id)
                 .value_or(market_name(market));
  bool guessed = false;
  if (const auto day = food_contact_day(call, dates_of(view, {}, call.now()), guessed)) {
    out.first_contact = guessed ? paper::OfferContact::guessed : paper::OfferContact::from_date;
    out.first_contact_on = language.long_date(*day);
  }
  return out;
}

std::vector<int> need_boards_here(Call& call, const std::string& batch) {
  std::vector<int> here;
  for (const book::PieceState& piece : book::pieces_of(call.book(), batch))
    if (piece.here()) here.push_back(piece.number);
  if (here.empty())
    throw Error::request(
        fmt::format("No board of {} is here any more, so there is none to offer.", batch));
  return here;
}

// What is withdrawn must not be offered.
std::vector<engine::Finding> withdrawn_findings(const BatchView& view,
                                                const std::vector<int>& here) {
  const auto found = withdrawn_on(view, here);
  if (!found) return {};
  return {{found->piece ? "tin-withdrawn" : "wood-withdrawn", "suitability", engine::Result::stop,
           view.batch().code,
           fmt::format("{} is on boards of {} and is withdrawn (entry {}): {}. Do not offer them.",
                       found->id, view.batch().code, found->word.entry, found->word.why),
           fmt::format("entry {}", found->word.entry)}};
}

// What the offer lacks, by the rule of that market.
std::vector<engine::Finding> findings_on(Call& call, const BatchView& view,
                                         const std::vector<int>& here,
                                         const paper::OfferContent& content,
                                         const std::string& market) {
  const std::vector<Rule> rules = reference::rules_of(market, "offer-text");
  engine::Finding finding{"offer-text", "market", engine::Result::not_held, content.batch};
  if (rules.empty()) {
    finding.source = "ours, after Regulation (EU) 2023/988 art 19";  // not of this market
  } else {
    finding.source = rules.front().cite;
    finding.rule = rules.front().key;
  }
  std::vector<engine::Finding> out = withdrawn_findings(view, here);
  for (std::string& lacking : engine::missing_from_offer(offer_facts(call, view), market)) {
    finding.reason = std::move(lacking);
    out.push_back(finding);
  }
  std::vector<PrintedText> texts = card_texts(call, view);
  if (content.responsible.empty())  // not printed
    std::erase_if(
        texts, [&](const PrintedText& text) { return text.second == call.settings().responsible; });
  texts.emplace_back("the name of the picture", content.picture);
  for (engine::Finding& claim : claims_in_print(texts, true)) out.push_back(std::move(claim));
  return out;
}

// Neither is to be there where the other could not be written.
void write_offer(const std::string& output, const std::string& text, const std::string& picture,
                 const std::string& plain) {
  if (!picture.empty()) write_file_whole(picture, plain);
  if (output.empty()) return;
  try {
    write_file_whole(output, text);
  } catch (...) {
    if (std::error_code ignored; !picture.empty()) std::filesystem::remove(picture, ignored);
    throw;
  }
}

void refuse_same(const std::string& output, const std::string& picture) {
  if (output.empty() || picture.empty()) return;
  std::error_code ignored;
  const auto whole = [&](const std::string& file) {
    return std::filesystem::weakly_canonical(std::filesystem::absolute(file), ignored);
  };
  if (whole(output) == whole(picture))
    throw Error::request(
        fmt::format("-o and --picture both name {}; give each a file of its own.", picture));
}

}  // namespace

int offer(Call& call) {
  std::string code, market, language_id = "en", output, picture;
  call.word("BATCH", code, "code of the batch, or of a piece of it");
  call.option("--market", "M", market, "where it is offered: " + join(markets(), ", "));
  call.option("--language", "LANGUAGE", language_id, join(paper::languages(), ", "));
  call.option("-o", "FILE", output, "write the text to this file; left out: to the output");
  call.option("--picture", "FILE", picture,
              "write the batch's photograph there as a plain JPEG: small, upright, without what a "
              "phone wrote into it");
  call.parse();
  call.need(code, "BATCH",
            Question("Which batch", [&] { return batches_to_choose(call); }).others());
  market = need_market(call, market);
  Call::check_known(language_id, "Language", paper::languages());
  const std::string batch = need_pieces(call, code).batch;
  const BatchView view = view_batch(call, batch);
  const std::vector<int> here = need_boards_here(call, batch);
  const auto photograph = book::photograph_of(call.book(), batch);
  paper::OfferContent content = offer_content(call, view, market, language_id);
  if (!picture.empty() && !photograph)
    throw Error::request(
        fmt::format("No photograph of {} is in the book; 'trencher photograph' keeps one.", batch));
  for (std::string* file : {&output, &picture})
    if (!file->empty()) {
      *file = checked_text(*file, file == &output ? "-o" : "--picture");
      refuse_there(*file);
    }
  if (std::filesystem::path(output).extension() == ".pdf")
    throw Error::request(
        fmt::format("-o '{}' would hold plain text: name it FILE.txt instead.", output));
  refuse_same(output, picture);
  std::string plain;
  if (!picture.empty()) {
    plain = paper::plain_picture(need_kept(call, photograph->entry, photograph->file_sha256),
                                 most_pixels);
    content.picture = std::filesystem::path(picture).filename().string();
  } else if (photograph) {
    content.picture = photograph->file_name;
  }
  const std::string text = paper::offer_text(content);
  write_offer(output, text, picture, plain);
  const std::vector<engine::Finding> found = findings_on(call, view, here, content, market);
  const int status = engine::has_stop(found) ? 1 : 0;
  if (call.json()) {
    Json out = Json::object().set("batch", batch).set("market", market);
    out.set("language", language_id);
    if (!output.empty()) out.set("file", output);
    if (!picture.empty()) out.set("picture", picture);
    if (output.empty()) out.set("text", text);
    call.done(out.set("findings", to_json(found)));
    return status;
  }
  if (output.empty())
    call.out() << text << '\n';
  else
    call.say(fmt::format("The text of the offer is in {}.", output));
  if (!picture.empty()) call.say(fmt::format("Its picture is in {}.", picture));
  for (const engine::Finding& finding : found)
    call.say_list(fmt::format("  {}:", engine::to_string(finding.result)),
                  finding.kind == "market" ? fmt::format("{} [{}]", finding.reason, finding.source)
                                           : finding.reason);
  call.say_list("Mind:", "whether an offer carries enough is yours and the office's to say.");
  return status;
}

}  // namespace trencher::commands
