#include "commands/manual.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "commands/declaration.h"
#include "commands/help_text.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::string_view mind =
    "The program keeps a record. Local food-contact and market rules, a doctor's word and the "
    "product's own label come first. None recorded does not mean free from, and not known is no "
    "no.";
constexpr std::string_view book_place =
    "The book is what --book names, else what the variable TRENCHER_BOOK names, else "
    "trencher/book.db in XDG_DATA_HOME, else .local/share/trencher/book.db in the home folder.";

struct Status {
  int value;
  std::string_view meaning;
};
constexpr Status statuses[]{
    {0, "Done."},
    {1,
     "Done, and a stop stands: something speaks against going on. Or a check found the book "
     "altered."},
    {2, "The request will not do; nothing was written."},
    {3, "The book, the disk or a file failed; nothing was written."}};

// A command and its parts, each as it is declared.
void gather(std::string_view command, const std::vector<std::string>& words,
            std::vector<Declaration>& into) {
  Declaration of = declared(command, words);
  const std::vector<std::string> parts = of.parts;
  if (of.part_name.empty()) into.push_back(std::move(of));
  for (const std::string& part : parts) {
    std::vector<std::string> longer = words;
    longer.push_back(part);
    gather(command, longer, into);
  }
}

std::vector<Declaration> all_of(const Command& command) {
  std::vector<Declaration> out;
  gather(command.name, {}, out);
  return out;
}

std::vector<Declaration::Line> common_of(const std::vector<Declaration>& all) {
  std::vector<Declaration::Line> out;
  for (const Declaration::Line& line : all.front().options)
    if (line.common) out.push_back(line);
  return out;
}

std::string sentence(std::string_view summary) {
  std::string out(summary);
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - 32);
  return out + ".";
}

// man(7): a backslash and a hyphen that is to be typed are escaped, and no line of text may begin
// with a point or an apostrophe.
std::string roff(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out.starts_with('.') || out.starts_with('\'') ? "\\&" + out : out;
}

std::string roff_lines(const std::vector<Declaration::Line>& lines) {
  std::string out;
  for (const Declaration::Line& line : lines) {
    out += fmt::format(".TP\n\\fB{}\\fP", roff(line.name));
    if (!line.value.empty()) out += fmt::format(" \\fI{}\\fP", roff(line.value));
    if (line.value.empty() && line.several) out += "…";
    out += fmt::format("\n{}\n", roff(sentence(line.help)));
  }
  return out;
}

std::string page_head(std::string_view name, std::string_view version, std::string_view summary) {
  return fmt::format(".TH {} 1 \"\" \"trencher {}\" \"Trencher\"\n.SH NAME\n{} \\- {}\n",
                     roff(name), version, roff(name), roff(summary));
}

std::string page_foot() { return fmt::format(".SH NOTES\n{}\n", roff(mind)); }

std::string examples_of(const HelpText& text, std::string_view before, std::string_view after,
                        bool escaped) {
  std::string out;
  for (const std::string_view example : text.examples)
    out += fmt::format("{}trencher {}{}", before, escaped ? roff(example) : std::string(example),
                       after);
  return out;
}

}  // namespace

std::string manual_page(std::string_view version) {
  std::string out =
      page_head("trencher", version, "logbook of a workshop that makes cutting and serving boards");
  out += ".SH SYNOPSIS\n.B trencher\n.I command\n[options]\n";
  out += ".SH DESCRIPTION\n";
  out +=
      "Trencher keeps the finishing and food\\-contact logbook of a small workshop: what came in, "
      "what was made of it, every coat, and the air that it dried in. It works out when the next "
      "coat is due and when food may first touch a board, prints cards and records, and answers "
      "what is on a board.\n.PP\nAlone it says what the book holds and what comes next.\n";
  out += ".SH COMMANDS\n";
  for (const Command& command : commands())
    out += fmt::format(".TP\n\\fBtrencher\\-{}\\fP(1)\n{}\n", roff(command.name),
                       roff(sentence(command.summary)));
  out += ".SH FILES\n" + roff(book_place) + "\n";
  out +=
      ".SH ENVIRONMENT\n.TP\n.B TRENCHER_BOOK\nThe book.\n.TP\n.B NO_COLOR\nNothing is "
      "coloured.\n";
  out += ".SH EXIT STATUS\n";
  for (const Status& status : statuses)
    out += fmt::format(".TP\n{}\n{}\n", status.value, roff(status.meaning));
  return out + page_foot();
}

std::string manual_page(const Command& command, std::string_view version) {
  const std::vector<Declaration> all = all_of(command);
  const HelpText& text = help_text(command.name);
  std::string out = page_head(fmt::format("trencher-{}", command.name), version, command.summary);
  out += ".SH SYNOPSIS\n";
  for (std::size_t i = 0; i < all.size(); ++i)
    out += fmt::format("{}{}\n", i > 0 ? ".br\n" : "", roff(usage(all[i])));
  out += fmt::format(".SH DESCRIPTION\n{}\n", roff(sentence(command.summary)));
  if (!text.about.empty()) out += fmt::format(".PP\n{}\n", roff(text.about));
  out += ".SH OPTIONS\n";
  for (const Declaration& one : all) {
    if (all.size() > 1) out += fmt::format(".SS trencher {}\n", roff(one.command));
    std::vector<Declaration::Line> own = one.positionals;
    for (const Declaration::Line& line : one.options)
      if (!line.common) own.push_back(line);
    out += own.empty() && all.size() > 1 ? "It takes the common options alone.\n" : roff_lines(own);
  }
  out += ".SS Common options\n" + roff_lines(common_of(all));
  if (!text.examples.empty())
    out += fmt::format(".SH EXAMPLES\n{}", examples_of(text, ".PP\n.nf\n", "\n.fi\n", true));
  out +=
      ".SH SEE ALSO\n\\fBtrencher\\fP(1), which also tells the exit status and where the book "
      "is.\n";
  return out + page_foot();
}

std::string reference_page() {
  std::string out =
      "# Every command\n\nMade of what the program declares, as its help and its manual pages are "
      "(`trencher_pages --reference`); change\nit there. Each command takes `--help`.\n\n";
  for (const std::string& line : wrap(mind, 116)) out += line + "\n";
  out += "\n| status | meaning |\n| --- | --- |\n";
  for (const Status& status : statuses)
    out += fmt::format("| {} | {} |\n", status.value, status.meaning);
  out += "\n";
  for (const std::string& line : wrap(book_place, 116)) out += line + "\n";
  const auto lines = [&](const std::vector<Declaration::Line>& of) {
    for (const Declaration::Line& line : of)
      out += fmt::format("- `{}`: {}\n", shown_name(line), line.help);
  };
  out +=
      "\n## Options of every command\n\nThose that write take all of these; those that read, "
      "the last three.\n\n";
  lines(common_of(all_of(commands().front())));
  for (const Command& command : commands()) {
    const HelpText& text = help_text(command.name);
    out += fmt::format("\n## trencher {}\n\n", command.name);
    const std::string about =
        fmt::format("{}{}{}", sentence(command.summary), text.about.empty() ? "" : " ", text.about);
    for (const std::string& line : wrap(about, 116)) out += line + "\n";
    for (const Declaration& one : all_of(command)) {
      out += fmt::format("\n`{}`\n\n", usage(one));
      std::vector<Declaration::Line> own = one.positionals;
      for (const Declaration::Line& line : one.options)
        if (!line.common) own.push_back(line);
      lines(own);
      if (own.empty()) out.pop_back();
    }
    if (!text.examples.empty())
      out += fmt::format("\n```\n{}```\n", examples_of(text, "", "\n", false));
  }
  return out;
}

}  // namespace trencher::commands
