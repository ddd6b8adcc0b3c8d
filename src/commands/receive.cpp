#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/cautions.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/label_options.h"
#include "commands/shop.h"
#include "commands/supply.h"
#include "commands/tin_kind.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr const char* unknown_species = "unknown";

std::string one_of(const std::string& value, const std::string& name,
                   const std::vector<std::string>& choices) {
  if (!value.empty()) Call::check_known(value, name, choices);
  return value;
}

// The usual amount left of a date: a tin that comes in out of date is worth a word at once.
std::vector<engine::Finding> date_findings(const Tin& tin, const book::Stamp& stamp) {
  if (!tin.best_before || *tin.best_before >= local_day(stamp.happened)) return {};
  return {{"tin-out-of-date", "suitability", engine::Result::caution, tin.id,
           fmt::format("{} was out of date when it came in: best before {}.", tin.name,
                       show(*tin.best_before)),
           "the label"}};
}

bool is_from_customer(Call& call, const std::string& id) {
  const auto lot = book::find_wood(call.book(), id);
  return lot && lot->from_customer;
}

// What comes in of a supplier and lot that is withdrawn already is not withdrawn by that.
std::vector<engine::Finding> withdrawn_findings(Call& call, const Supply& supply) {
  std::vector<engine::Finding> out;
  for (const Withdrawal& word : book::withdrawals(call.book())) {
    std::vector<Supply> withdrawn;
    if (!word.supplier.empty()) withdrawn.push_back({"", "", word.supplier, word.lot});
    for (Supply& known : supplies(call))
      if (std::find(word.ids.begin(), word.ids.end(), known.id) != word.ids.end() &&
          !is_from_customer(call, known.id))
        withdrawn.push_back(std::move(known));
    if (std::none_of(withdrawn.begin(), withdrawn.end(),
                     [&](const Supply& of) { return same_supply(of, supply); }))
      continue;
    out.push_back(
        {"lot-withdrawn", "suitability", engine::Result::stop, supply.id,
         fmt::format("Lot {1} of {2} is withdrawn (entry {3}): {4}. Do not use {0}; if it "
                     "is the same, enter it with 'trencher withdraw {0}'.",
                     supply.id, supply.lot, supply.supplier, word.entry, word.why),
         fmt::format("entry {}", word.entry)});
  }
  return out;
}

// The version that is typed, else the latest that is valid on that day.
Product version_of(Call& call, const std::string& id, const std::string& typed, Day day) {
  const std::vector<Product> versions = book::product_versions(call.book(), id);
  if (versions.empty())
    Call::check_known(id, "Product", book::ids_of_class(call.book(), "product"), from_product);
  std::optional<Product> out;
  const auto since = [](const Product& version) {
    return std::chrono::sys_days(version.valid_from.value_or(local_day(version.at)));
  };
  for (const Product& version : versions) {
    if (!typed.empty()) {
      if (std::to_string(version.version) == typed) out = version;
    } else if (!out ||
               (since(version) <= std::chrono::sys_days(day) && since(version) >= since(*out))) {
      out = version;
    }
  }
  if (!out)
    throw Error::request(
        fmt::format("{} has no version '{}'; the last is {}.", id, typed, versions.back().version));
  return *out;
}

int receive_wood(Call& call) {
  std::string species, supplier, lot, dried, moisture, origin, treated;
  bool reclaimed = false;
  call.option("--species", "ID", species,
              "wood, see 'trencher species'; 'unknown' where nobody knows");
  call.option("--supplier", "TEXT", supplier, "whom it came from");
  call.option("--lot", "TEXT", lot, "the supplier's lot or invoice");
  call.option("--dried", "kiln|air", dried, "how it was dried");
  call.option("--moisture", "PERCENT", moisture, "measured moisture, % of dry mass");
  call.option("--origin", "CC", origin, "country where it grew, two letters");
  call.flag("--reclaimed", reclaimed, "taken from old furniture, pallets, floors");
  call.option("--treated", "yes|no", treated, "treated with preservative; left out: not known");
  WoodLot wood;
  call.option("--mark", "MARK", wood.mark,
              join(ispm_marks(), ", ") +
                  ": the mark of ISPM 15 on reclaimed packaging; left out: not known");
  call.flag("--from-customer", wood.from_customer,
            "a customer brought it; supplier, lot and species may be left out");
  call.parse();
  if (wood.from_customer) {
    if (species.empty()) species = unknown_species;
    if (supplier.empty()) supplier = "the customer";
    if (lot.empty()) lot = "not known";
  }
  call.need(species, "--species", {"Species", [&] { return species_to_choose(call); }});
  call.need(supplier, "--supplier", "Whom it came from");
  call.need(lot, "--lot", "The supplier's lot or invoice");
  wood.species = species;
  wood.supplier = checked_text(supplier, "--supplier", longest_name);
  wood.lot = checked_text(lot, "--lot", longest_name);
  wood.dried = one_of(dried, "--dried", {"kiln", "air"});
  if (!moisture.empty()) wood.moisture = parse_moisture(moisture, "--moisture");
  if (!origin.empty()) wood.origin = country_code(origin, "--origin");
  if (!wood.mark.empty()) Call::check_known(wood.mark, "--mark", ispm_marks());
  if (!wood.mark.empty() && !reclaimed)
    throw Error::request(
        fmt::format("--mark '{}' goes with --reclaimed: it is a pallet's or crate's.", wood.mark));
  wood.reclaimed = reclaimed;
  if (!one_of(treated, "--treated", {"yes", "no"}).empty()) wood.treated = treated == "yes";
  if (const auto found = find_species(call.book(), species)) {
    wood.common_name = found->common_name;
    wood.botanical_name = found->botanical_name;
  } else if (species == unknown_species) {
    wood.common_name = "species not known";
  } else {
    std::vector<std::string> known;
    for (const Species& shipped : reference::species()) known.push_back(shipped.id);
    for (const Species& own : book::own_species(call.book())) known.push_back(own.id);
    Call::check_known(species, "Species", known, from_species);
  }
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  wood.id = fmt::format("W{}", book::next_number(call.book(), "W"));
  Json body = wood.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("wood", body, stamp);
  const auto found =
      wood.from_customer
          ? std::vector<engine::Finding>{}
          : withdrawn_findings(call, {wood.id, wood.common_name, wood.supplier, wood.lot});
  writing.commit();
  return call.wrote(entry, wood.id, found,
                    fmt::format("{}: {}, from {}, lot {}; entry {}.", wood.id, wood.common_name,
                                wood.supplier, wood.lot, entry));
}

int receive_tin(Call& call, const std::string& stock) {
  std::string product_id, version, kind, name, supplier, lot, best_before, amount;
  LabelOptions label;
  call.option("--product", "ID", product_id,
              "a product of the book, in place of --kind and --name");
  call.option("--kind", "ID", kind,
              fmt::format("kind, see 'trencher {}'", stock == "glue"     ? "glues"
                                                     : stock == "finish" ? "finishes"
                                                                         : "others"));
  call.option("--name", "TEXT", name, "name on the label");
  call.option("--supplier", "TEXT", supplier, "whom it came from");
  call.option("--lot", "TEXT", lot, "lot number on the tin");
  call.option("--best-before", "DATE", best_before, "as 2027-05-31");
  call.option("--amount", "AMOUNT", amount, "what is in it, as 500ml, 1l, 8floz or 400g");
  call.option("--version", "N", version,
              "of the product, where the tin carries another than the latest label");
  label.declare(call, stock);
  call.parse();
  const book::Stamp stamp = call.stamp();
  Tin tin;
  tin.stock = stock;
  TinKind of;
  if (!version.empty() && product_id.empty())
    throw Error::request("--version goes with --product: it names one of its labels.");
  if (product_id.empty()) {
    call.need(kind, "--kind", {"Kind of " + stock, [&] { return tin_kinds_to_choose(stock); }});
    of = need_tin_kind(stock, kind);
    call.need(name, "--name", "Name on the label");
    tin.label = of.label;
  } else {
    const std::optional<Product> product =
        version_of(call, product_id, version, local_day(stamp.happened));
    if (product->stock != stock)
      throw Error::request(
          fmt::format("{} is a product of {}, not of {}.", product_id, product->stock, stock));
    if (!kind.empty() && kind != product->kind)
      throw Error::request(
          fmt::format("--kind '{}' contradicts {}, which is {}.", kind, product_id, product->kind));
    kind = product->kind;
    of = need_tin_kind(stock, kind);
    if (name.empty()) name = product->name;
    if (supplier.empty()) supplier = product->supplier;
    tin.product = product_id;
    tin.product_version = product->version;
    tin.label.mechanism = product->label.mechanism;
    Label whole = product->label;
    label.apply(whole);  // what the tin states must not contradict the product's waits
  }
  call.need(supplier, "--supplier", "Whom it came from");
  call.need(lot, "--lot", "Lot number on the tin");
  tin.kind = kind;
  tin.name = checked_text(name, "--name", longest_name);
  tin.supplier = checked_text(supplier, "--supplier", longest_name);
  tin.lot = checked_text(lot, "--lot", longest_name);
  if (!best_before.empty()) tin.best_before = parse_day(best_before, "--best-before");
  if (!amount.empty()) tin.amount = parse_amount(amount, "--amount");
  label.apply(tin.label);
  tin.contains = of.contains;
  tin.animal_origin = of.animal_origin;
  book::Writing writing(call.book());
  const std::string prefix = id_prefix(stock);
  tin.id = fmt::format("{}{}", prefix, book::next_number(call.book(), prefix));
  Json body = tin.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("tin", body, stamp);
  std::vector<engine::Finding> found =
      withdrawn_findings(call, {tin.id, tin.name, tin.supplier, tin.lot});
  for (engine::Finding& finding : date_findings(tin, stamp)) found.push_back(std::move(finding));
  writing.commit();
  const int status = call.wrote(entry, tin.id, found,
                                fmt::format("{}: {} ({}), from {}, lot {}; entry {}.", tin.id,
                                            tin.name, of.name, tin.supplier, tin.lot, entry));
  if (!call.json()) {
    call.say(label_first().text);
    for (const Caution& caution : of.cautions) call.say_list("Mind:", caution.text);
  }
  return status;
}

}  // namespace

int receive(Call& call) {
  const std::string what = call.choose("WHAT", {"wood", "glue", "finish", "other"});
  return what == "wood" ? receive_wood(call) : receive_tin(call, what);
}

}  // namespace trencher::commands
