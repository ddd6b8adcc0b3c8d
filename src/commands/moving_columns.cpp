#include "commands/moving_columns.h"

namespace trencher::commands {
namespace {

using Columns = std::vector<MovingColumn>;

Columns with_common(Columns columns) {
  columns.insert(columns.begin(), {"when", Takes::when, true});
  for (const char* name : {"note", "because", "by"}) columns.push_back({name});
  return columns;
}

Columns with_options(Columns columns, std::initializer_list<const char*> options) {
  for (const char* name : options) columns.push_back({name});
  return with_common(columns);
}

Columns tin_columns(const char* kind, std::initializer_list<const char*> label) {
  Columns out{{"label", Takes::label, true},
              {"kind", Takes::option, false, kind},
              {"supplier", Takes::option, false, "S"},
              {"lot", Takes::option, false, "L"}};
  for (const char* name : {"name", "product", "version", "best-before", "amount", "opened-life",
                           "pot-life", "label-temp", "label-rh", "lowest-temp"})
    out.push_back({name});
  return with_options(std::move(out), label);
}

}  // namespace

const std::vector<MovingFile>& moving_files() {
  static const std::vector<MovingFile> all{
      {"wood.csv", "receive", "wood",
       with_options({{"label", Takes::label, true},
                     {"reclaimed", Takes::flag},
                     {"from-customer", Takes::flag},
                     {"species", Takes::option, false, "unknown"},
                     {"supplier", Takes::option, false, "S"},
                     {"lot", Takes::option, false, "L"}},
                    {"dried", "moisture", "origin", "mark", "treated"}),
       true},
      {"glue.csv", "receive", "glue", tin_columns("pva-d3", {"clamp", "full-cure"}), true},
      {"finish.csv", "receive", "finish",
       tin_columns("mineral-oil", {"coats", "recoat-after", "recoat-before", "handle-after",
                                   "pack-after", "food-contact-after", "coverage", "highest-rh"}),
       true},
      {"other.csv", "receive", "other", tin_columns("rubber-feet", {"full-cure"}), true},
      {"mixes.csv", "mix", "",
       with_options({{"label", Takes::label, true}, {"from", Takes::tins, true}},
                    {"name", "amount"}),
       true},
      {"batches.csv", "batch", "",
       with_options({{"label", Takes::label, true},
                     {"wood", Takes::labels, true},
                     {"glue", Takes::labels},
                     {"finish", Takes::labels, true},
                     {"schedule", Takes::option, true, "oil"},
                     {"pieces", Takes::option, true, "1"},
                     {"size", Takes::option, true, "300x200x20mm"},
                     {"use", Takes::option, true, "cutting-board"}},
                    {"place", "for", "contact", "promised"}),
       true},
      {"steps.csv", "log", "",
       with_options({{"step", Takes::own, true},
                     {"batch", Takes::batch, true},
                     {"from", Takes::tins},
                     {"amount", Takes::own},
                     {"result", Takes::own}},
                    {"pieces", "temp", "rh", "surface-temp", "wood-temp", "tin-temp", "grit",
                     "rounds", "strips", "to", "what"})},
      {"given.csv", "give", "",
       with_options({{"batch", Takes::batch, true},
                     {"signed-off", Takes::own},
                     {"as", Takes::option, true, "gift"},
                     {"food-business", Takes::flag}},
                    {"pieces", "to", "contact", "event", "market"})}};
  return all;
}

std::vector<std::string> names_of_columns(const MovingFile& file) {
  std::vector<std::string> out;
  for (const MovingColumn& column : file.columns) out.emplace_back(column.name);
  return out;
}

}  // namespace trencher::commands
