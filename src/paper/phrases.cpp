#include "paper/phrases.h"

#include <fmt/format.h>

#include <stdexcept>

#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::paper {

std::string_view template_text(std::string_view paper, std::string_view language) {
  const std::string folder = fmt::format("templates/{}/", paper);
  constexpr std::string_view suffix = ".mustache";
  std::string there;
  for (const EmbeddedFile& file : embedded_paper()) {
    if (!file.path.starts_with(folder) || !file.path.ends_with(suffix)) continue;
    std::string_view name = file.path.substr(folder.size());
    name.remove_suffix(suffix.size());
    if (name == language) return file.text;
    there += (there.empty() ? "" : ", ") + std::string(name);
  }
  throw Error::request(
      fmt::format("There is no {} in the language \"{}\": there is {}.", paper, language, there));
}

std::string fill_in(std::string_view text, const kainjow::mustache::data& values) {
  kainjow::mustache::mustache filled{std::string(text)};
  filled.set_custom_escape([](const std::string& value) { return value; });
  if (!filled.is_valid())
    throw std::logic_error("A template is malformed: " + filled.error_message());
  return filled.render(values);
}

std::vector<Phrase> phrases(std::string_view text) {
  std::vector<Phrase> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (line.empty() || line.starts_with('#')) continue;
    const std::size_t colon = line.find(':');
    if (colon == std::string_view::npos)
      throw std::logic_error("A template line is no \"part: text\": " + std::string(line));
    const std::size_t start = line.find_first_not_of(' ', colon + 1);
    if (start == std::string_view::npos) continue;
    out.push_back({std::string(line.substr(0, colon)), std::string(line.substr(start))});
  }
  return out;
}

Words::Words(std::string_view paper, std::string_view language)
    : phrases_(phrases(template_text(paper, language))) {}

std::string Words::operator()(std::string_view part, std::initializer_list<Value> values) const {
  return (*this)(part, std::span<const Value>(values.begin(), values.size()));
}

std::string Words::operator()(std::string_view part, std::span<const Value> values) const {
  kainjow::mustache::data data;
  for (const auto& [name, value] : values)
    if (!value.empty()) data.set(name, shown(value));  // else {{#name}} would hold
  for (const Phrase& phrase : phrases_)
    if (phrase.part == part) return fill_in(phrase.text, data);
  throw std::logic_error("A template lacks the part " + std::string(part));
}

}  // namespace trencher::paper
