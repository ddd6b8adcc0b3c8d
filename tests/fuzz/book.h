// A book of a small workshop for the targets that need one, made by the program's own commands
// with a stopped clock.
#pragma once

#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "commands/program.h"
#include "fuzz.h"

namespace fuzz {

// Words as a shell splits them, with its two quotes and nothing else of it.
inline std::vector<std::string> words_of(std::string_view line) {
  std::vector<std::string> out;
  bool open = false;
  char quote = 0;
  for (const char c : line) {
    if (quote ? c == quote : c == '\'' || c == '"') {
      quote = quote ? '\0' : c;
      if (!open) out.emplace_back();
      open = true;
    } else if (!quote && c == ' ') {
      open = false;
    } else {
      if (!open) out.emplace_back();
      open = true;
      out.back() += c;
    }
  }
  return out;
}

struct Said {
  int status = 0;
  std::string out, err;
};

inline Said run(std::vector<std::string> words, trencher::Instant now) {
  std::istringstream in;
  std::ostringstream out, err;
  const trencher::commands::Surroundings surroundings{.now = now,
                                                      .in = in,
                                                      .out = out,
                                                      .err = err,
                                                      .terminal = false,
                                                      .width = 80,
                                                      .progress_width = 0,
                                                      .book_variable = "book.db",
                                                      .data_home = {},
                                                      .home = {}};
  Said said;
  said.status = trencher::commands::run_words(std::move(words), surroundings);
  said.out = out.str();
  said.err = err.str();
  return said;
}

inline const trencher::Instant begin = trencher::instant_from_iso("2026-03-02T18:00:00Z");
inline const trencher::Instant present = trencher::instant_from_iso("2026-05-20T18:00:00Z");

// Every kind of thing that the other commands speak of, by the ids that seeds and dictionary use.
inline constexpr const char* scenario = R"(
start --maker 'Example Boards' --address '1 Example Lane' --contact maker@example.org --market uk --market eu --zone Europe/London --units metric --country GB --at '2026-03-02 09:00'
place add House --temp 19C --rh 50
place add Garage --temp 9C --rh 75
workshop --cross-contact tree-nut-walnut
worker add 'Robin Tallis'
receive wood --species hard-maple --supplier Yard --lot ET-311 --dried kiln --moisture 7.5 --origin US --treated no --by 1
receive wood --species european-oak --supplier Yard --lot 77 --dried air --moisture 11 --origin GB --by 1
receive glue --kind pva-d3 --name 'Shop Bond' --supplier Shop --lot B0419 --amount 750ml --clamp 1h --full-cure 24h --lowest-temp 10C --by 1
receive finish --kind mineral-oil --name White --supplier Shop --lot M22 --amount 1l --coats 2 --recoat-after 12h --handle-after 12h --pack-after 1d --food-contact-after 2d --by 1
receive finish --kind walnut-oil --name Walnut --supplier Shop --lot WN3 --amount 250ml --coats 1 --recoat-after 24h --handle-after 2d --pack-after 7d --food-contact-after 21d --label-temp 20C --lowest-temp 6C --by 1
receive other --kind rubber-feet --name 'Small feet' --supplier Fittings --lot RF2 --by 1
product add finish --kind mineral-oil --name 'Board Oil' --by 1
statement G1 --about allergens --declares-none milk --declares-none fish --by 1
statement F1 --about ingredients --complete --ingredient 'white mineral oil' --by 1
mix --from F1=60ml --from F2=15ml --name Blend --by 1
batch --wood W1 --wood W2 --glue G1 --finish F1 --schedule oil --pieces 4 --size 400x250x22mm --use cutting-board --place house --by 1
batch --wood W1 --glue G1 --finish F2 --schedule hardening-oil --pieces 3 --size 350x230x20mm --use serving-board --place garage --by 1
log glue-up 26-001 --from G1=110ml --temp 19C --rh 50 --by 1
log sand 26-001 --grit 80,120,220 --by 1
log raise-grain 26-001 --rounds 1 --by 1
log coat 26-001 --from F1=60ml --temp 19C --rh 50 --by 1
log coat 26-001 --from F1=40ml --temp 19C --rh 50 --by 1
log fit 26-001 --pieces 3-4 --from X1 --by 1
log inspect 26-001 --sound --what fine --by 1
log glue-up 26-002 --from G1=50ml --temp 12C --rh 60 --by 1
log coat 26-002 --from F2=20ml --temp 12C --rh 60 --by 1
readings in.csv --place House --by 1
sign-off 26-001 --by 1
give 26-001 --pieces 1 --to 'Ada Winterbourne' --as gift --market uk --by 1
give 26-001 --pieces 2 --to Bakehouse --contact 'b@example.org' --as sale --market eu --food-business --by 1
take-back 26-001-01-50 --place House --by 1
complaint 26-001-02-47 --severity flaw --what 'a foot squeaks' --by 1
answer 26-001-02-47 --about tree-nut --keep --by 1
withdraw F2 --why 'the supplier says so' --by 1
correct 23 --set from=F1=30ml --why 'read the mark wrong' --by 1
)";

// A book that an earlier command made the same way, with the files that commands may be given.
inline void lay_inputs(const std::filesystem::path& folder) {
  put(folder / "in.csv",
      "time,temperature (C),humidity\n2026-03-03 08:00,18.5,52\n2026-03-03 11:00,19.2,50\n"
      "2026-03-04 08:00,17,55\n");
  put(folder / "more.csv", "Datum;Uhrzeit;Temperatur °C;Feuchte\n05.03.2026;8:00;18,5;55\n");
  put(folder / "rules.toml",
      "market = \"uk\"\n[[rule]]\nkey = \"uk-fair\"\ncite = \"Fair rules, 3\"\nasks = \"A card "
      "with "
      "each board.\"\nwhen = \"always\"\ncheck = \"maker-decides\"\nask = \"the fair\"\n"
      "reviewed = \"2026-01-05\"\nsource = \"the fair's letter\"\nstanding = \"read\"\n");
}

}  // namespace fuzz
