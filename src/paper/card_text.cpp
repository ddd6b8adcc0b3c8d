#include "paper/card_text.h"

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::paper {
namespace {

using kainjow::mustache::data;

// "a, b, c", with a flag beside it that says whether there is anything.
void set_list(data& values, const std::string& name, const std::vector<std::string>& list) {
  values.set("has_" + name, !list.empty());
  values.set(name, plain(join(list, ", ")));
}

data wood_list(const std::vector<CardWood>& woods) {
  data list{data::type::list};
  for (const CardWood& wood : woods) {
    data item;
    item.set("common", plain(wood.common));
    if (!wood.botanical.empty()) item.set("botanical", plain(wood.botanical));
    list.push_back(item);
  }
  return list;
}

// A text that is absent when empty, so that {{#name}} and {{^name}} tell.
void set_text(data& values, const std::string& name, const std::string& text) {
  if (!text.empty()) values.set(name, plain(text));
}

}  // namespace

std::vector<Phrase> card_phrases(const CardContent& card, std::string_view language) {
  if (card.code.empty()) throw Error::request("A care card needs the code of its piece.");
  if (card.maker.empty())
    throw Error::request("The care card of " + card.code + " needs the name of the maker.");

  data values;
  set_text(values, "code", card.code);
  set_text(values, "use", card.use);
  set_text(values, "size", card.size);
  values.set("for_cutting", card.for_cutting);
  values.set("glued", card.glued);
  values.set("has_woods", !card.woods.empty());
  values.set("woods", wood_list(card.woods));
  set_list(values, "glues", card.glues);
  set_list(values, "others", card.others);
  set_list(values, "finishes", card.finishes);
  set_list(values, "contains", card.contains);
  set_list(values, "none_recorded", card.none_recorded);
  set_list(values, "not_known", card.not_known);
  values.set("any_answer",
             !card.contains.empty() || !card.none_recorded.empty() || !card.not_known.empty());
  values.set("used_before", card.used_before);
  set_text(values, "allergen_list", card.allergen_list);
  set_text(values, "finished_on", card.finished_on);

  // A date that is not there is a date that is not known.
  const FirstContact contact =
      card.first_contact_on.empty() ? FirstContact::not_known : card.first_contact;
  values.set("food_contact", card.for_food_contact);
  values.set("from_date", contact == FirstContact::from_date);
  values.set("guessed", contact == FirstContact::guessed);
  values.set("unknown", contact == FirstContact::not_known);
  set_text(values, "first_contact_on", card.first_contact_on);

  if (card.reoil_months > 0) values.set("reoil_months", std::to_string(card.reoil_months));
  values.set("one_month", card.reoil_months == 1);
  set_text(values, "reoil_with", card.reoil_with);
  values.set("self_heating", card.self_heating);
  set_text(values, "maker", card.maker);
  set_text(values, "address", card.address);
  set_text(values, "maker_contact", card.contact);
  return phrases(fill_in(template_text("care-card", language), values));
}

}  // namespace trencher::paper
