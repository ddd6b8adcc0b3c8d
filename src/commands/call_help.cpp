#include <fmt/format.h>

#include <ostream>

#include "commands/call.h"
#include "commands/help_text.h"
#include "domain/text.h"

namespace trencher::commands {

std::string shown_name(const Declaration::Line& line) {
  if (!line.value.empty()) return line.name + " " + line.value;
  return line.several ? line.name + "…" : line.name;
}

std::string usage(const Declaration& declaration) {
  std::string out = "trencher " + declaration.command;
  if (!declaration.part_name.empty()) out += " " + declaration.part_name;
  for (const Declaration::Line& word : declaration.positionals) out += " " + shown_name(word);
  return declaration.options.empty() ? out : out + " [options]";
}

void Call::help() {
  if (surroundings_.declared)
    *surroundings_.declared = declaration_;
  else
    print_help();
  throw HelpAsked{};
}

void Call::print_help() const {
  std::ostream& out = surroundings_.out;
  const HelpText& text = help_text(name_);
  out << usage(declaration_) << "\n\n";
  const auto paragraph = [&](const std::string& words) {
    for (const std::string& line : wrap(words, surroundings_.width)) out << line << '\n';
  };
  paragraph(fmt::format("{}.{}{}", summary_, text.about.empty() ? "" : " ", text.about));
  const auto lines = [&](const std::vector<Declaration::Line>& of) {
    for (const Declaration::Line& item : of) {
      out << "  " << shown_name(item) << '\n';
      for (const std::string& line : wrap(item.help, surroundings_.width - 8))
        out << "        " << line << '\n';
    }
  };
  if (!declaration_.parts.empty()) {
    out << '\n';
    paragraph(fmt::format(
        "{} {}. Each has its own --help.",
        !declaration_.part_name.empty() ? "The first word is one of:" : "Or, as the first word:",
        join(declaration_.parts, ", ")));
  }
  if (!declaration_.positionals.empty()) out << '\n';
  lines(declaration_.positionals);
  if (!declaration_.options.empty()) out << "\nOptions:\n";
  lines(declaration_.options);
  std::string examples;
  for (const std::string_view example : text.examples)
    if (fmt::format("{} ", example).starts_with(declaration_.command + " "))
      examples += fmt::format("  trencher {}\n", example);
  if (!examples.empty()) out << "\nFor example:\n" << examples;
}

}  // namespace trencher::commands
