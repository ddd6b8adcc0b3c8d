#include "commands/printed_text.h"

#include <fmt/format.h>

#include "engine/never_said.h"
#include "reference/reference.h"

namespace trencher::commands {

std::vector<engine::Finding> claims_in_print(const std::vector<PrintedText>& texts, bool stop) {
  std::vector<engine::Finding> out;
  for (const auto& [about, text] : texts)
    for (engine::Finding& finding :
         engine::claim_findings(text, about, stop ? engine::Result::stop : engine::Result::caution,
                                reference::never_said()))
      out.push_back(std::move(finding));
  return out;
}

std::vector<PrintedText> card_texts(Call& call, const BatchView& view) {
  const Workshop& shop = call.settings();
  std::vector<PrintedText> out{{"the maker's name", shop.maker},
                               {"the maker's address", shop.address},
                               {"the maker's contact", shop.contact}};
  if (!shop.responsible.empty()) out.emplace_back("the responsible person", shop.responsible);
  for (const WoodLot& lot : view.facts.wood)
    if (!reference::find_species(lot.species)) out.emplace_back(lot.id, lot.common_name);
  for (const Step& step : view.facts.work.steps)
    if (step.kind == "fit" && !step.text.empty())
      out.emplace_back(fmt::format("entry {}", step.entry), step.text);
  for (const auto& [id, tin] : view.facts.work.tins)
    for (const Statement& statement : view.facts.statements)
      if (statement.about == "ingredients" && is_about(statement, tin))
        for (const std::string& ingredient : statement.ingredients)
          out.emplace_back(fmt::format("the ingredients of {} (entry {})", id, statement.entry),
                           ingredient);
  return out;
}

std::vector<PrintedText> stock_texts(const BatchView& view) {
  std::vector<PrintedText> out;
  for (const auto& [id, tin] : view.facts.work.tins) {
    out.emplace_back(id, tin.name);
    if (!tin.supplier.empty()) out.emplace_back("the supplier of " + id, tin.supplier);
  }
  for (const WoodLot& lot : view.facts.wood)
    if (!lot.supplier.empty()) out.emplace_back("the supplier of " + lot.id, lot.supplier);
  return out;
}

}  // namespace trencher::commands
