#include "commands/trace_tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/contents.h"
#include "commands/people.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string from_words(const std::string& supplier, const std::string& lot) {
  std::string out;
  if (!supplier.empty()) out += ", from " + supplier;
  if (!lot.empty()) out += ", lot " + lot;
  return out;
}

// A paper about a tin, thing or lot.
void add_papers(Call& call, const std::vector<std::string>& subjects, const auto& about,
                std::vector<Node>& out) {
  for (const Statement& paper : book::statements_on(call.book(), subjects))
    if (about(paper))
      out.push_back({paper.subject,
                     "statement",
                     fmt::format("statement about {}{}", paper.about,
                                 paper.dated ? ", dated " + show(*paper.dated) : ""),
                     {paper.entry}});
}

// The step back from a tin or lot: whom it came from.
Node received(const std::string& name, const auto& of) {
  if (of.entry == 0) return {"", "received", name, {}};  // lost
  return {fmt::format("entry {}", of.entry),
          "received",
          fmt::format("received: {}{}, {}", name, from_words(of.supplier, of.lot), show(of.at)),
          {of.entry}};
}

Node wood_node(Call& call, const WoodLot& lot) {
  Node out{lot.id, "wood", lot.common_name + from_words(lot.supplier, lot.lot), {lot.entry}};
  add_papers(
      call, {lot.id}, [](const Statement&) { return true; }, out.nodes);
  return out;
}

// A tin with what it was mixed from, its product and its papers; `put_on`: the steps that used it.
Node tin_node(Call& call, const engine::Tins& tins, const std::string& id,
              const std::vector<std::int64_t>& put_on) {
  const Tin& tin = tins.at(id);
  Node out{id, tin.mixed_from.empty() ? tin.stock : mix_kind,
           tin.name + from_words(tin.supplier, tin.lot), put_on};
  out.entries.push_back(tin.entry);
  std::sort(out.entries.begin(), out.entries.end());
  for (const Drawn& part : tin.mixed_from)
    if (tins.contains(part.tin)) out.nodes.push_back(tin_node(call, tins, part.tin, {}));
  for (const Product& product : book::product_versions(call.book(), tin.product))
    if (product.version == tin.product_version)
      out.nodes.push_back({product.id,
                           "product",
                           fmt::format("{}, version {}", product.name, product.version),
                           {product.entry}});
  add_papers(
      call, {tin.id, tin.product}, [&](const Statement& paper) { return is_about(paper, tin); },
      out.nodes);
  return out;
}

// What went into the pieces of a batch (0: into any).
std::vector<Node> before_piece(Call& call, const BatchView& view, int piece) {
  std::vector<Node> out;
  for (const WoodLot& lot : view.facts.wood) out.push_back(wood_node(call, lot));
  std::vector<std::string> order;
  std::map<std::string, std::vector<std::int64_t>> steps;
  for (const Step& step : view.facts.work.steps) {
    if (!names_piece(step.pieces, piece)) continue;
    if (step.kind == "fit" && step.drawn.empty())
      out.push_back({"", "fitted", step.text, {step.entry}});
    for (const Drawn& part : step.drawn) {
      if (!steps.contains(part.tin)) order.push_back(part.tin);
      steps[part.tin].push_back(step.entry);
    }
  }
  for (const std::string& id : order)
    out.push_back(tin_node(call, view.facts.work.tins, id, steps[id]));
  return out;
}

// What became of pieces of a batch.
struct Event {
  std::vector<int> pieces;  // none: all
  Node node;
};

// In the order in which it happened.
std::vector<Event> events_of(Call& call, const std::string& batch) {
  const book::Fate fate = book::fate_of(call.book(), batch);
  std::vector<Event> out;
  const auto add = [&](const auto& of, const std::string& class_name, const std::string& what) {
    out.push_back({of.pieces,
                   {fmt::format("entry {}", of.entry),
                    class_name,
                    what + ", " + show(of.at),
                    {of.entry},
                    {},
                    {of.at}}});
  };
  for (const Gift& gift : fate.gifts)
    add(gift, gift.as,
        fmt::format("{} to {}{}, market {}", gift.as, recipient_name(call.book(), gift),
                    gift.event.empty() || gift.is_to_stranger() ? "" : ", at " + gift.event,
                    gift.market));
  for (const Scrap& scrap : fate.scraps) add(scrap, "scrap", "scrapped: " + scrap.why);
  for (const Turn& turn : fate.turns)
    turn.kind == Turn::Kind::split ? add(turn, "split", "own way: " + turn.schedule->name)
                                   : add(turn, "take-back", "came back");
  for (const SignOff& sign_off : fate.sign_offs) add(sign_off, "sign-off", "signed off");
  for (const PrintedCard& card : fate.cards) add(card, "card", "care card printed");
  std::sort(out.begin(), out.end(), [](const Event& a, const Event& b) {
    const auto key = [](const Event& of) {
      return std::pair(of.node.at.front().at, of.node.entries.front());
    };
    return key(a) < key(b);
  });
  return out;
}

std::vector<Node> after_piece(const std::vector<Event>& events, int piece) {
  std::vector<Node> out;
  for (const Event& event : events)
    if (names_piece(event.pieces, piece)) out.push_back(event.node);
  return out;
}

Node piece_node(const std::vector<Event>& events, const book::PieceState& piece) {
  return {piece.code,
          "piece",
          piece.scrapped ? "scrapped"
          : piece.given  ? "has left"
                         : "here",
          {},
          after_piece(events, piece.number)};
}

// With its pieces: all, or those that one of the steps names.
Node batch_node(Call& call, const std::string& code, const std::vector<Step>* steps) {
  const auto is_on = [&](int piece) {
    return !steps || std::any_of(steps->begin(), steps->end(),
                                 [&](const Step& step) { return names_piece(step.pieces, piece); });
  };
  const std::vector<Event> events = events_of(call, code);
  const Batch batch = *book::find_batch(call.book(), code);
  Node out{code,
           "batch",
           fmt::format("{}, {}", count_of(batch.pieces, "piece"), batch.use),
           {batch.entry}};
  for (const book::PieceState& piece : book::pieces_of(call.book(), code))
    if (is_on(piece.number)) out.nodes.push_back(piece_node(events, piece));
  return out;
}

// Mixes that it went into, and the boards that it is on by itself.
std::vector<Node> after_tin(Call& call, const std::string& id) {
  std::vector<Node> out;
  for (const std::string& mix : book::mixes_of(call.book(), id)) {
    const Tin tin = *book::find_tin(call.book(), mix);
    out.push_back({mix, mix_kind, tin.name, {tin.entry}, after_tin(call, mix)});
  }
  std::map<std::string, std::vector<Step>> steps;
  for (Step& step : book::steps_from(call.book(), id)) steps[step.batch].push_back(std::move(step));
  for (const auto& [batch, of_batch] : steps) {
    Node node = batch_node(call, batch, &of_batch);
    node.entries.clear();
    for (const Step& step : of_batch) {
      node.entries.push_back(step.entry);
      node.at.push_back(step.at);
    }
    out.push_back(std::move(node));
  }
  return out;
}

}  // namespace

Trace trace_of(Call& call, const std::string& code) {
  const std::string class_name = book::class_of(call.book(), code);
  if (class_name == "wood") {
    const WoodLot lot = *book::find_wood(call.book(), code);
    Trace out{code, class_name, {received(lot.common_name, lot)}, {}};
    for (Node& node : wood_node(call, lot).nodes) out.before.push_back(std::move(node));
    for (const std::string& batch : book::batches_of_lot(call.book(), code))
      out.after.push_back(batch_node(call, batch, nullptr));
    return out;
  }
  if (class_name == "product") {
    Trace out{code, class_name, {}, {}};
    add_papers(
        call, {code}, [](const Statement&) { return true; }, out.before);
    for (const std::string& id : book::tins_of_product(call.book(), code)) {
      const Tin tin = *book::find_tin(call.book(), id);
      out.after.push_back({id,
                           tin.stock,
                           tin.name + from_words(tin.supplier, tin.lot),
                           {tin.entry},
                           after_tin(call, id)});
    }
    return out;
  }
  if (class_name == "glue" || class_name == "finish" || class_name == "other") {
    const engine::Tins tins = load_mix(call, code);
    Node tin = tin_node(call, tins, code, {});
    if (const Tin& itself = tins.at(code); itself.mixed_from.empty())
      tin.nodes.insert(tin.nodes.begin(), received(itself.name, itself));
    return {code, tin.class_name, std::move(tin.nodes), after_tin(call, code)};
  }
  if (std::isalpha(static_cast<unsigned char>(code.front()))) {
    std::vector<std::string> known;
    for (const char* of : {"finish", "glue", "other", "wood", "product"})
      for (std::string& id : book::ids_of_class(call.book(), of)) known.push_back(std::move(id));
    Call::check_known(code, "Tin, wood lot or product", known, from_receive);
  }
  const Pieces pieces = need_pieces(call, code);
  const BatchView view = view_batch(call, pieces.batch);
  if (pieces.whole_batch)
    return {pieces.batch, "batch", before_piece(call, view, 0),
            batch_node(call, pieces.batch, nullptr).nodes};
  const int piece = pieces.numbers.front();
  const std::string text = PieceCode{*parse_batch_code(pieces.batch), piece}.text();
  Node batch{pieces.batch,
             "batch",
             view.batch().use,
             {view.batch().entry},
             before_piece(call, view, piece)};
  return {text, "piece", {batch}, after_piece(events_of(call, pieces.batch), piece)};
}

}  // namespace trencher::commands
