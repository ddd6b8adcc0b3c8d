#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "commands/papers.h"
#include "commands/recall_papers.h"
#include "commands/supply.h"
#include "domain/text.h"
#include "paper/language.h"
#include "paper/notice.h"
#include "paper/picture.h"
#include "reference/names.h"

namespace trencher::commands {
namespace {

// "Cutting board, 400 × 250 × 22 mm, hard maple (Acer saccharum)"; what the language has no name
// for is left out or stands by its botanical name.
std::string description_of(Call& call, const Batch& batch, const std::string& language) {
  std::vector<std::string> parts;
  if (const auto use = reference::name_of(reference::Names::uses, batch.use, language))
    parts.push_back(paper::capitalised(*use));
  if (std::string size = show(batch.size, call.units()); !size.empty())
    parts.push_back(std::move(size));
  for (const std::string& id : batch.wood) {
    const auto lot = book::find_wood(call.book(), id);
    if (!lot) continue;
    const auto name = reference::name_of(reference::Names::species, lot->species, language);
    const std::string wood = name && !lot->botanical_name.empty()
                                 ? fmt::format("{} ({})", *name, lot->botanical_name)
                             : name                         ? *name
                             : !lot->botanical_name.empty() ? lot->botanical_name
                                                            : lot->common_name;
    if (std::find(parts.begin(), parts.end(), wood) == parts.end()) parts.push_back(wood);
  }
  return join(parts, ", ");
}

// When that person had it: the last time, where more than once.
std::optional<Holding> held_by(const RecalledPiece& piece, const RecalledPerson& person) {
  std::optional<Holding> out;
  for (const Holding& holding : piece.before)
    if (holding.gift.person == person.id) out = holding;
  if (piece.now && piece.now->gift.person == person.id) out = piece.now;
  return out;
}

std::string supplier_says(const RecallScope& scope) {
  std::vector<std::string> out;
  for (const Withdrawal& word : scope.words)
    if (std::find(out.begin(), out.end(), word.why) == out.end()) out.push_back(word.why);
  return join(out, "; ");
}

// What its kind is called in the language; as the table names it where nobody wrote that.
std::string kind_words(const Tin& tin, const std::string& language) {
  using reference::Names;
  const Names table = tin.stock == "glue"     ? Names::glues
                      : tin.stock == "finish" ? Names::finishes
                                              : Names::others;
  return reference::name_of(table, tin.kind, language).value_or(tin.kind);
}

// Without its id, which says nothing outside the workshop.
std::string product_words(Call& call, const std::string& id, const std::string& language) {
  const paper::Words words("notice", language);
  if (const auto tin = book::find_tin(call.book(), id)) {
    if (tin->kind == mix_kind) return words("mixed", {{"name", tin->name}});
    return words("thing", {{"name", tin->name},
                           {"kind", kind_words(*tin, language)},
                           {"supplier", tin->supplier},
                           {"lot", tin->lot}});
  }
  const auto wood = book::find_wood(call.book(), id);
  if (!wood) return id;
  const auto name = reference::name_of(reference::Names::species, wood->species, language);
  return words("thing",
               {{"name", name ? paper::capitalised(*name) : wood->common_name},
                {"kind", wood->botanical_name.empty() ? wood->species : wood->botanical_name},
                {"supplier", wood->supplier},
                {"lot", wood->lot}});
}

paper::NoticeContent plain_notice(Call& call, const RecallCase& of, const RecallWords& words,
                                  const std::string& language) {
  paper::NoticeContent out;
  out.language = language;
  std::vector<std::string> products;
  for (const std::string& id : of.scope.ids) products.push_back(product_words(call, id, language));
  out.product = (words.practice ? "PRACTICE: " : "") + join(products, "; ");
  out.supplier_says = supplier_says(of.scope);
  out.risk = words.risk;
  out.to_do = words.to_do;
  out.remedies = words.remedies;
  out.maker = call.settings().maker;
  out.address = call.settings().address;
  out.contact = call.settings().contact;
  out.made_on = paper::Language(language).long_date(local_day(call.zone().moment(call.now())));
  if (words.practice) out.made_on = "PRACTICE, " + out.made_on;
  return out;
}

// The photographs of the batches, in the order of their codes.
void lay_pictures(Call& call, const std::set<std::string>& batches, paper::NoticeContent& out) {
  constexpr int most_pixels = 900;  // some 280 to the inch as it is printed
  for (const std::string& batch : batches)
    if (const auto photograph = book::photograph_of(call.book(), batch))
      out.pictures.push_back(
          {batch, paper::plain_picture(need_kept(call, photograph->entry, photograph->file_sha256),
                                       most_pixels)});
  out.pictures_whole = out.pictures.size() == batches.size();
}

void write(Call& call, const std::vector<paper::NoticeContent>& notices, const RecallWords& words,
           const std::filesystem::path& path) {
  paper::write_notice(notices, {words.sheet, call.now()}, path);
}

void write_for(Call& call, const RecallCase& of, const RecalledPerson& person,
               const RecallWords& words, const std::filesystem::path& path) {
  std::vector<const RecalledPiece*> pieces = person.now;
  pieces.insert(pieces.end(), person.before.begin(), person.before.end());
  std::set<std::string> batches;
  for (const RecalledPiece* piece : pieces) batches.insert(piece->piece.batch);
  std::vector<paper::NoticeContent> notices;
  for (const std::string& language : words.languages) {
    paper::NoticeContent notice = plain_notice(call, of, words, language);
    notice.to = (words.practice ? "PRACTICE: " : "") + person.person->name;
    notice.to_contact = person.person->contact;
    for (const RecalledPiece* piece : pieces) {
      const auto held = held_by(*piece, person);
      const auto day = [&](const std::optional<Moment>& at) {
        return at ? paper::Language(language).long_date(local_day(*at)) : "";
      };
      notice.boards.push_back({piece->piece.code, description_of(call, piece->batch, language),
                               held ? day(held->gift.at) : "", held ? day(held->until) : ""});
    }
    lay_pictures(call, batches, notice);
    notices.push_back(std::move(notice));
  }
  write(call, notices, words, path);
}

}  // namespace

std::vector<std::string> withdrawn_in_words(Call& call, const std::vector<std::string>& ids) {
  std::vector<std::string> out;
  for (const std::string& id : ids) {
    if (const auto tin = book::find_tin(call.book(), id); tin && tin->kind == mix_kind)
      out.push_back(fmt::format("{} {}, mixed here", id, tin->name));
    else if (tin)
      out.push_back(supply_words({id, tin->name, tin->supplier, tin->lot}));
    else if (const auto wood = book::find_wood(call.book(), id))
      out.push_back(supply_words({id, wood->common_name, wood->supplier, wood->lot}));
  }
  return out;
}

void write_notices(Call& call, const RecallCase& of, const RecallWords& words,
                   RecallFolder& folder) {
  if (of.pieces.empty()) return;
  std::size_t number = 0;
  Progress progress = call.progress("writing the notices");
  for (const RecalledPerson& person : of.people) {
    progress.at(number, of.people.size());
    if (person.person)
      write_for(call, of, person, words, folder.add(notice_name(++number, person.person->name)));
  }
  std::vector<paper::NoticeContent> notices;
  for (const std::string& language : words.languages) {
    paper::NoticeContent notice = plain_notice(call, of, words, language);
    std::set<std::string> batches;
    for (const RecalledPiece& piece : of.pieces) {
      if (!piece.now || piece.state == "scrapped" || piece.state == "destroyed") continue;
      batches.insert(piece.piece.batch);
      notice.boards.push_back({piece.piece.code, description_of(call, piece.batch, language),
                               paper::Language(language).long_date(local_day(piece.now->gift.at)),
                               ""});
    }
    lay_pictures(call, batches, notice);
    if (!notice.boards.empty()) notices.push_back(std::move(notice));
  }
  if (!notices.empty()) write(call, notices, words, folder.add("shop-notice.pdf"));
}

}  // namespace trencher::commands
