#include "commands/contents.h"

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "commands/markets.h"

namespace trencher::commands {

bool is_divided(const BatchView& view) {
  return std::any_of(view.facts.work.steps.begin(), view.facts.work.steps.end(),
                     [](const Step& step) { return !step.pieces.empty(); });
}

engine::PieceContents contents_of(Call& call, const BatchView& view, int piece,
                                  const std::string& code) {
  const Batch& batch = view.batch();
  const Workshop& workshop = call.settings();
  engine::PieceContents out;
  out.piece = code;
  out.batch_entry = batch.entry;
  out.wood = view.facts.wood;
  out.glue_logged = batch.glue.empty();
  std::vector<std::string> glue, finish;
  for (const Step& step : view.facts.work.steps) {
    if (!names_piece(step.pieces, piece)) continue;
    if (step.kind == "fit") out.fitted.push_back(step);
    out.glue_logged = out.glue_logged || step.kind == "glue-up";
    for (const Drawn& part : step.drawn) {
      std::vector<std::string>& ids = step.kind == "glue-up" ? glue : finish;
      if (std::find(ids.begin(), ids.end(), part.tin) == ids.end()) ids.push_back(part.tin);
      out.steps[part.tin].push_back(step.entry);
    }
  }
  glue.insert(glue.end(), finish.begin(), finish.end());
  std::set<std::string> subjects;
  for (const std::string& id : glue)
    if (const auto tin = view.facts.work.tins.find(id); tin != view.facts.work.tins.end()) {
      out.tins.push_back(tin->second);
      subjects.insert(id);
      if (!tin->second.product.empty()) subjects.insert(tin->second.product);
    }
  for (const Statement& statement : view.facts.statements)
    if (subjects.contains(statement.subject)) out.statements.push_back(statement);
  out.cross_contact_declared = workshop.cross_contact_declared;
  out.cross_contact = workshop.cross_contact;
  out.cross_contact_entry = book::workshop_entry(call.book());
  out.topic_market = workshop.markets.empty() ? "us" : allergen_list_of(workshop.markets.front());
  return out;
}

}  // namespace trencher::commands
