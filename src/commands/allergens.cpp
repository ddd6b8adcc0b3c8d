#include "commands/command.h"
#include "commands/lookup.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

struct List {
  const char* market;
  const char* name;
  bool Allergen::*on;
};

constexpr List lists[] = {{"us", "US", &Allergen::us},
                          {"eu", "EU", &Allergen::eu},
                          {"uk", "UK", &Allergen::uk},
                          {"ca", "Canada", &Allergen::ca},
                          {"anz", "Australia and New Zealand", &Allergen::anz}};

std::vector<std::string> listed_in(const Allergen& thing, const char* List::*name) {
  std::vector<std::string> out;
  for (const List& list : lists)
    if (thing.*(list.on)) out.emplace_back(list.*name);
  return out;
}

Sheet sheet_of(const Allergen& thing) {
  const std::vector<std::string> on = listed_in(thing, &List::name);
  Sheet out{thing.id, thing.name};
  if (on.size() == std::size(lists))
    out.second = "every list";
  else
    out.second = on.empty() ? "none" : join(listed_in(thing, &List::market), ", ");
  out.json.set("id", thing.id).set("name", thing.name).set("group", thing.group);
  out.json.set("listed", Json::list(listed_in(thing, &List::market))).set("parent", thing.parent);
  const std::string source = reference::source_titles(thing.source_keys);
  out.json.set("animal", thing.animal).set("notes", thing.notes).set("source", source);
  out.json.set("standing", thing.standing);
  out.line("Is", thing.group == "allergen" ? "an allergen, on some market's list now or once"
                                           : "a substance that customers ask about");
  out.line("On the list of",
           on.empty() ? "none of the markets that this program knows, now" : join(on, ", "));
  if (!thing.parent.empty()) {
    const Allergen* family = reference::find_allergen(thing.parent);
    out.line("Belongs to", family ? family->name : thing.parent);
  }
  out.line("From animals", yes_no(thing.animal)).line("Notes", thing.notes);
  return out.line("Source", source).line("Standing", standing_text(thing.standing));
}

}  // namespace

int allergens(Call& call) {
  const std::string id = parse_lookup(call, "allergen or substance, as tree-nut-walnut");
  std::vector<Sheet> sheets;
  for (const Allergen& thing : reference::allergens()) sheets.push_back(sheet_of(thing));
  return look_up(call, {"Allergen or substance", {"Id", "On the list of", "Name"}}, sheets, id);
}

}  // namespace trencher::commands
