#include "engine/mix.h"

#include <fmt/format.h>

#include <chrono>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "commands/step_options.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Finish with glue is neither.
std::string stock_of(Call& call, const std::vector<Drawn>& drawn) {
  std::string glue, finish;
  for (const Drawn& part : drawn) {
    const std::string stock = book::find_tin(call.book(), part.tin)->stock;
    if (stock == "glue") glue = part.tin;
    if (stock == "finish") finish = part.tin;
  }
  if (!glue.empty() && !finish.empty())
    throw Error::request(
        fmt::format("{} is glue and {} is finish; a mix is of one or the other.", glue, finish));
  return !finish.empty() ? "finish" : !glue.empty() ? "glue" : "other";
}

void check_part(Call& call, const Drawn& part, const Moment& when,
                std::vector<engine::Finding>& found) {
  const engine::Tins tins = load_mix(call, part.tin);
  const Tin& tin = tins.at(part.tin);
  if (tin.at.at > when.at)
    throw Error::request(
        fmt::format("{} came in on {}, after it is said to have gone into the mix; give --at, or "
                    "correct entry {}.",
                    tin.id, show(tin.at), tin.entry));
  for (const auto& [id, source] : tins) demand_not_withdrawn(call, id);
  if (const auto until = use_by(tin);
      until && std::chrono::sys_days(*until) < std::chrono::sys_days(local_day(when)))
    found.push_back({"tin-out-of-date", "suitability", engine::Result::stop, tin.id,
                     fmt::format("{} {} was good until {}.", tin.id, tin.name, show(*until)),
                     fmt::format("entry {}", tin.entry)});
  const auto left = amount_left(call, tin);
  if (!left || !part.amount || left->measure != part.amount->measure) return;
  if (part.amount->value > left->value)
    throw Error::request(fmt::format(
        "{} holds {} by the record; {} cannot go into the mix.", tin.id,
        show(Amount{left->measure, std::max<std::int64_t>(0, left->value)}, call.units()),
        show(*part.amount, call.units())));
}

}  // namespace

int mix(Call& call) {
  std::vector<std::string> from;
  std::string name, amount;
  call.list("--from", "ID[=AMOUNT]", from, "tin and what was taken, as F1=400ml");
  call.option("--name", "TEXT", name, "what it is called, as \"Board butter\"");
  call.option("--amount", "AMOUNT", amount,
              "what came of it; the sum of the parts where all are by volume, or all by mass");
  call.parse();
  call.need(from, "--from", "From which tins, as F1=400ml F2=100g");
  call.need(name, "--name", "Name of the mix");
  Mix made;
  made.name = checked_text(name, "--name", longest_name);
  const book::Stamp stamp = call.stamp();
  std::vector<engine::Finding> found;
  const auto decide = [&] {
    found.clear();
    made.drawn = parse_drawn(call, from, {"finish", "glue", "other"});
    made.stock = stock_of(call, made.drawn);
    for (const Drawn& part : made.drawn) check_part(call, part, stamp.happened, found);
    made.amount = amount.empty() ? sum_of(made.drawn) : parse_amount(amount, "--amount");
  };
  decide();
  call.demand_because(found);
  book::Writing writing(call.book());
  decide();
  call.demand_because(found);
  const std::string prefix = id_prefix(made.stock);
  made.id = fmt::format("{}{}", prefix, book::next_number(call.book(), prefix));
  Json body = made.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("mix", body, stamp);
  const auto until = use_by(load_mix(call, made.id).at(made.id));
  writing.commit();
  std::vector<std::string> parts;
  for (const Drawn& part : made.drawn)
    parts.push_back(part.amount
                        ? fmt::format("{} of {}", show(*part.amount, call.units()), part.tin)
                        : part.tin);
  const int status = call.wrote(
      entry, made.id, found,
      fmt::format("{}: {}, mixed from {}{}; entry {}.", made.id, made.name, join_words(parts),
                  until ? fmt::format(", good until {}", show(*until)) : "", entry),
      Json::object().set("best_before", until ? Json(iso(*until)) : Json()));
  if (!call.json())
    call.say_list(
        "Mind:",
        "what it holds, its papers and its waits follow from the tins that it was mixed "
        "from; what one of them does not say stays not known. Warm wax and oil in a water "
        "bath, never over a flame.");
  return status;
}

}  // namespace trencher::commands
