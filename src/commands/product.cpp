#include <fmt/format.h>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/label_options.h"
#include "commands/tin_kind.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

int list_products(Call& call) {
  call.parse();
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const std::string& id : book::ids_of_class(call.book(), "product")) {
    const Product product = *book::find_product(call.book(), id);
    Json row = product.body();
    row.set("label", product.label.json());
    out.push(std::move(row));
    rows.push_back({id, product.stock, product.kind, product.name});
  }
  if (call.json()) return call.done(out);
  if (rows.empty())
    call.say("No product yet; 'trencher product add' enters one.");
  else
    call.table({"Id", "Of", "Kind", "Name"}, rows);
  return 0;
}

}  // namespace

int product(Call& call) {
  if (call.choose_if({"add"}).empty()) return list_products(call);
  const std::string stock = call.choose("WHAT", {"glue", "finish"});
  std::string kind, name, supplier;
  LabelOptions label;
  call.option("--kind", "ID", kind, "kind, see 'trencher finishes' and 'trencher glues'");
  call.option("--name", "TEXT", name, "name on the label");
  call.option("--supplier", "TEXT", supplier, "who sells it");
  stock == "glue" ? label.declare_glue(call) : label.declare_finish(call);
  call.parse();
  Product product;
  product.stock = stock;
  call.need(kind, "--kind", "Kind of " + stock);
  const TinKind of = need_tin_kind(stock, kind);
  call.need(name, "--name", "Name on the label");
  product.kind = kind;
  product.name = checked_text(name, "--name");
  if (!supplier.empty()) product.supplier = checked_text(supplier, "--supplier");
  product.label = of.label;
  label.apply(product.label);
  product.contains = of.contains;
  product.animal_origin = of.animal_origin;
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  product.id = fmt::format("P{}", book::next_number(call.book(), "P"));
  Json body = product.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("product", body, stamp);
  writing.commit();
  return call.wrote(
      entry, product.id, {},
      fmt::format("{}: {} ({}), entry {}.", product.id, product.name, of.name, entry));
}

}  // namespace trencher::commands
