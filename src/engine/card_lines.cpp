#include "engine/card_lines.h"

#include <algorithm>
#include <array>

#include "domain/kinds.h"

namespace trencher::engine {
namespace {

constexpr std::array<std::string_view, 28> keys{
    "use",         "size",       "for-food-contact", "first-contact", "wood",
    "glue",        "finish",     "others",           "ingredients",   "finished",
    "contains",    "shared",     "allergy",          "wash",          "separate-boards",
    "sanitise",    "dishwasher", "laminated",        "grooves",       "oiling",
    "rags",        "maker",      "address",          "contact",       "electronic-address",
    "responsible", "code",       "local-rules"};

bool in_union_law(const CardCase& card) { return wider_market(card.market) == "eu"; }

// What a private person gives away is not placed on a market, so no rule asks anything of its card:
// (EC) 1935/2004 art 2 and (EU) 2023/988 art 3 speak of business (read in part).
bool is_private(const CardCase& card) { return card.as == "private-gift"; }

bool touches_food(const CardCase& card) { return card.use != "toy"; }

bool carries(std::string_view key, const CardCase& card) {
  // (EC) 1935/2004 art 15(1)(a) (read): the words, or a use, unless the nature makes it plain; we
  // print them always. In Great Britain by SI 2012/2619 (read in part).
  if (key == "for-food-contact")
    return touches_food(card) && !is_private(card) && (in_union_law(card) || card.market == "uk");
  // Of the record, and ours: when the finish has cured.
  if (key == "first-contact") return touches_food(card);
  if (key == "others") return card.has_others;
  // Of shared rags too it is named, in plain words: hazards of a small shop, ours.
  if (key == "shared") return card.has_shared;
  if (key == "ingredients") return card.has_ingredients;
  // USDA FSIS, "Cutting Boards and Food Safety" (read): a second board, what to do where one wants
  // to sanitise, laminated boards in dishwashers. Of wash, dishwasher and grooves see the template.
  if (key == "separate-boards" || key == "sanitise") return card.use == "cutting-board";
  // A knife makes them: the same leaflet, and FDA Food Code 4-501.12 (read as adopted).
  if (key == "grooves") return card.use == "cutting-board" || card.use == "serving-board";
  if (key == "laminated") return card.glued;
  if (key == "rags") return card.self_heating;  // NFPA, rags that heat by themselves (read)
  // (EC) 1935/2004 art 15(1)(c), (EU) 2023/988 art 9(6), SI 2005/1803 reg 7 (the last two memory).
  if (key == "address")
    return card.has_address || (!is_private(card) && (in_union_law(card) || card.market == "uk"));
  if (key == "electronic-address")  // (EU) 2023/988 art 9(6); SI 2005/1803 asks for none
    return card.has_electronic_address || (!is_private(card) && in_union_law(card));
  if (key == "contact") return card.has_contact && !card.has_electronic_address;
  // (EU) 2023/988 art 16 with (EU) 2019/1020 art 4 (read in a digest).
  if (key == "responsible") return card.has_responsible && in_union_law(card) && !is_private(card);
  // Of the code: (EU) 2023/988 art 9(5), (EC) 1935/2004 art 15(1)(d), SI 2005/1803 reg 7.
  return true;
}

}  // namespace

std::span<const std::string_view> card_line_keys() { return keys; }

std::vector<std::string> card_lines(const CardCase& card) {
  std::vector<std::string> out;
  for (const std::string_view key : keys)
    if (carries(key, card)) out.emplace_back(key);
  return out;
}

std::vector<std::string> lines_asked_by(const Rule& rule, const CardCase& card) {
  if (is_private(card)) return {};
  if (rule.check == "batch-code-on-card") return {"code"};
  if (rule.check != "maker-on-card") return {};
  if (rule.key == "eu-gpsr-art9") return {"maker", "address", "electronic-address"};
  return {"maker", "address"};
}

}  // namespace trencher::engine
