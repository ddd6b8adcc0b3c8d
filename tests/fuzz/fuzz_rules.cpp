// A maker's file of rules: refused by file and line, or kept in the book and read back as it was.
#include "domain/json.h"
#include "domain/records.h"
#include "domain/text.h"
#include "fuzz.h"
#include "reference/tables.h"

using namespace trencher;

namespace {

void see_rules(std::string_view text) {
  std::string why;
  auto rules = fuzz::accepted([&] { return reference::read_rules(text, "own.toml"); }, &why);
  if (!rules)
    return fuzz::demand(why.starts_with("own.toml, line "), "a refusal names the line", why);
  fuzz::demand(!rules->empty(), "a file of rules has one");
  OwnRules own{.entry = 0, .at = {}, .file_name = "own.toml", .rules = std::move(*rules)};
  for (const Rule& rule : own.rules)
    for (const std::string* said : {&rule.key, &rule.cite, &rule.asks, &rule.when, &rule.ask})
      fuzz::demand(checked_text(*said, "A text") == *said, "its texts can be printed", *said);
  const std::string kept = own.body().canonical();
  fuzz::demand(OwnRules::read(Json::parse(kept)).body().canonical() == kept, "rules are kept",
               kept);
}

void see_schedule(std::string_view text) {
  std::string why;
  const auto way = fuzz::accepted([&] { return reference::read_schedule(text, "own.toml"); }, &why);
  if (!way)
    return fuzz::demand(why.starts_with("own.toml, line "), "a refusal names the line", why);
  const std::string kept = to_json(*way).canonical();
  fuzz::demand(to_json(schedule_from_json(Json::parse(kept))).canonical() == kept, "a way is kept",
               kept);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  if (text.find("[[step]]") == std::string_view::npos)
    see_rules(text);
  else
    see_schedule(text);
  return 0;
}
