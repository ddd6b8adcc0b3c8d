#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/label_options.h"
#include "commands/tin_kind.h"
#include "commands/unchanged.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

int list_products(Call& call) {
  call.parse();
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const std::string& id : book::ids_of_class(call.book(), "product"))
    for (const Product& product : book::product_versions(call.book(), id)) {
      Json row = product.body();
      row.set("label", product.label.json());
      row.set("version", product.version).set("entry", product.entry);
      out.push(std::move(row));
      rows.push_back({fmt::format("{} version {}", id, product.version),
                      product.valid_from ? show(*product.valid_from) : show(local_day(product.at)),
                      product.kind, product.name});
    }
  if (call.json()) return call.done(out);
  if (rows.empty())
    call.say("No product yet; 'trencher product add' enters one.");
  else
    call.table({"Product", "From", "Kind", "Name"}, rows);
  return 0;
}

// What a product's papers and label say, as typed.
struct Typed {
  std::string kind, name, supplier, from;
  LabelOptions label;

  void declare(Call& call, const std::string& stock) {
    call.option("--kind", "ID", kind, "kind, see 'trencher finishes', 'glues' and 'others'");
    call.option("--name", "TEXT", name, "name on the label");
    call.option("--supplier", "TEXT", supplier, "who sells it");
    call.option("--from", "DATE", from, "the label is valid from then on, as 2026-03-01");
    label.declare(call, stock);
  }

  void lay(Product& product) {
    if (!kind.empty() && kind != product.kind) {
      const TinKind of = need_tin_kind(product.stock, kind);
      product.kind = kind;
      product.label = of.label;
      product.contains = of.contains;
      product.animal_origin = of.animal_origin;
    }
    if (!name.empty()) product.name = checked_text(name, "--name", longest_name);
    if (!supplier.empty()) product.supplier = checked_text(supplier, "--supplier", longest_name);
    if (!from.empty()) product.valid_from = parse_day(from, "--from");
    label.apply(product.label);
  }
};

int write(Call& call, book::Writing& writing, const Product& product, const book::Stamp& stamp,
          const std::string& also) {
  Json body = product.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("product", body, stamp);
  writing.commit();
  return call.wrote(entry, product.id, {},
                    fmt::format("{} version {}: {} ({}), entry {}.{}", product.id, product.version,
                                product.name, product.kind, entry, also),
                    Json::object().set("version", product.version));
}

int add(Call& call) {
  Product product;
  product.stock = call.choose("WHAT", {"glue", "finish", "other"});
  Typed typed;
  typed.declare(call, product.stock);
  call.parse();
  call.need(typed.kind, "--kind",
            {"Kind of " + product.stock, [&] { return tin_kinds_to_choose(product.stock); }});
  call.need(typed.name, "--name", "Name on the label");
  typed.lay(product);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  product.id = fmt::format("P{}", book::next_number(call.book(), "P"));
  return write(call, writing, product, stamp, "");
}

// A changed label is a further version; tins that came before keep theirs.
int change(Call& call) {
  const std::string stock = call.choose("WHAT", {"glue", "finish", "other"});
  std::string id;
  Typed typed;
  call.word("ID", id, "the product, as P1");
  typed.declare(call, stock);
  call.parse();
  call.need(id, "ID", {"Which product", [&] { return products_to_choose(call); }});
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const auto before = book::find_product(call.book(), id);
  if (!before)
    Call::check_known(id, "Product", book::ids_of_class(call.book(), "product"), from_product);
  if (before->stock != stock)
    throw Error::request(
        fmt::format("{} is a product of {}, not of {}.", id, before->stock, stock));
  Product product = *before;
  typed.lay(product);
  if (product.body() == before->body())
    return unchanged(call, id, "The label says so already; nothing was written.");
  product.version = book::product_versions(call.book(), id).back().version + 1;
  if (typed.from.empty()) product.valid_from.reset();
  return write(call, writing, product, stamp,
               " Tins received from now on go by it; statements on the product so far are of the "
               "version before.");
}

}  // namespace

int product(Call& call) {
  const std::string what = call.choose_if({"add", "change"});
  return what.empty() ? list_products(call) : what == "add" ? add(call) : change(call);
}

}  // namespace trencher::commands
