#include "commands/stall_entry.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "commands/choices.h"
#include "commands/leaving.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

const std::vector<std::string> stall_ways{"sale", "gift"};

// A line of the sheet, as typed: CODE, CODE='Name' or CODE='Name/contact'.
struct Line {
  std::string code;  // as the book writes it
  std::string batch;
  int piece = 0;
  Recipient to;
};

Recipient recipient_of(const std::string& typed, const std::string& code) {
  const auto slash = typed.find('/');
  const std::string name = typed.substr(0, slash);
  if (name.find_first_not_of(' ') == std::string::npos)
    throw Error::request(fmt::format(
        "'{}=' names nobody; the code alone is a piece that went to a stranger.", code));
  Recipient out{checked_text(name, "The name of " + code, longest_name), ""};
  if (slash != std::string::npos)
    out.contact = checked_text(typed.substr(slash + 1), "The contact of " + code, longest_name);
  return out;
}

Line line_of(Call& call, const std::string& word) {
  const auto equals = word.find('=');
  const std::string code = word.substr(0, equals);
  const Pieces named = need_pieces(call, code);
  if (named.whole_batch)
    throw Error::request(
        fmt::format("'{}' is a batch; the sheet has the code of each piece.", code));
  Line out;
  out.batch = named.batch;
  out.piece = named.numbers.front();
  out.code = PieceCode{*parse_batch_code(named.batch), out.piece}.text();
  if (equals != std::string::npos) out.to = recipient_of(word.substr(equals + 1), out.code);
  return out;
}

std::vector<Line> lines_of(Call& call, const std::vector<std::string>& words) {
  std::vector<Line> out;
  std::set<std::string> seen;
  for (const std::string& word : words) {
    out.push_back(line_of(call, word));
    if (!seen.insert(out.back().code).second)
      throw Error::request(fmt::format("Piece {} is there twice.", out.back().code));
  }
  return out;
}

// What `give` looks at, of every piece of the sheet.
void demand_may_leave(Call& call, const std::vector<Line>& lines, Instant at) {
  std::map<std::string, std::vector<int>> batches;
  for (const Line& line : lines) {
    need_leaving(call, need_pieces(call, line.code), "", at);
    batches[line.batch].push_back(line.piece);
  }
  std::vector<engine::Finding> found;
  for (auto& [batch, pieces] : batches) {
    std::sort(pieces.begin(), pieces.end());
    const BatchView view = view_batch(call, batch);
    demand_not_withdrawn(view, pieces);
    for (engine::Finding& finding : card_findings(call, view, pieces))
      found.push_back(std::move(finding));
  }
  call.demand_because(found);
}

// One entry for a person and batch, in the order of the sheet.
struct Leave {
  Recipient to;
  std::string batch;
  std::vector<int> pieces;
};
std::vector<Leave> together(const std::vector<Line>& lines) {
  std::vector<Leave> out;
  for (const Line& line : lines) {
    auto same = std::find_if(out.begin(), out.end(), [&](const Leave& leave) {
      return leave.to == line.to && leave.batch == line.batch;
    });
    if (same == out.end()) same = out.insert(out.end(), {line.to, line.batch, {}});
    same->pieces.push_back(line.piece);
  }
  for (Leave& leave : out) std::sort(leave.pieces.begin(), leave.pieces.end());
  return out;
}

// "2 to Ann Example, 3 to strangers"; the contact too where two people have one name
std::string numbers_of(const std::vector<Line>& lines) {
  std::vector<std::pair<Recipient, int>> people;
  int strangers = 0;
  for (const Line& line : lines) {
    if (line.to.name.empty()) {
      ++strangers;
      continue;
    }
    auto known = std::find_if(people.begin(), people.end(),
                              [&](const auto& person) { return person.first == line.to; });
    if (known == people.end()) known = people.insert(people.end(), {line.to, 0});
    ++known->second;
  }
  std::vector<std::string> parts;
  for (const auto& [person, count] : people) {
    const bool shared =
        std::count_if(people.begin(), people.end(), [&, &to = person](const auto& other) {
          return other.first.name == to.name;
        }) > 1;
    parts.push_back(fmt::format("{} to {}{}", count, person.name,
                                !shared                  ? ""
                                : person.contact.empty() ? " (no contact)"
                                                         : " (" + person.contact + ")"));
  }
  if (strangers)
    parts.push_back(strangers == 1 ? "1 to a stranger" : fmt::format("{} to strangers", strangers));
  return join_words(parts);
}

std::int64_t strangers_in(const std::vector<Line>& lines) {
  return std::count_if(lines.begin(), lines.end(),
                       [](const Line& line) { return line.to.name.empty(); });
}

Json json_of(const std::vector<Line>& lines, const std::vector<std::int64_t>& entries) {
  Json pieces = Json::array();
  for (const Line& line : lines) pieces.push(line.code);
  const std::int64_t strangers = strangers_in(lines);
  Json out = Json::object().set("entries", Json::list(entries)).set("pieces", std::move(pieces));
  out.set("to_people", static_cast<std::int64_t>(lines.size()) - strangers);
  return out.set("to_strangers", strangers);
}

}  // namespace

int enter_stall_sheet(Call& call) {
  std::vector<std::string> words;
  Gift gift;
  call.words("CODE", words,
             "what left: a code alone went to a stranger; CODE='Name' or CODE='Name/contact' where "
             "the buyer agreed to be told of a recall");
  call.option("--event", "NAME", gift.event,
              "where, as \"Eastwold market\"; no person's name, it stays in the journal");
  call.option("--as", "HOW", gift.as, join(stall_ways, " or ") + "; sale if left out");
  call.option("--market", "M", gift.market, "where they go: " + join(markets(), ", "));
  call.parse();
  call.need(words, "CODE", "What left");
  call.need(gift.event, "--event", "Where it left, as \"Eastwold market\"");
  gift.event = checked_text(gift.event, "--event", longest_name);
  if (gift.as.empty()) gift.as = stall_ways.front();
  Call::check_known(gift.as, "Way", stall_ways);
  gift.market = need_market(call, gift.market);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const std::vector<Line> lines = lines_of(call, words);
  demand_may_leave(call, lines, stamp.happened.at);
  std::vector<std::int64_t> entries;
  for (Leave& leave : together(lines)) {
    gift.batch = leave.batch;
    gift.pieces = std::move(leave.pieces);
    entries.push_back(enter_leaving(call, writing, gift, leave.to, stamp));
  }
  writing.commit();
  const bool strangers = strangers_in(lines) > 0;
  const bool people = strangers_in(lines) < static_cast<std::int64_t>(lines.size());
  return call.wrote(
      entries.front(), gift.event, {},
      fmt::format(
          "Left as {} at {} on {}: {}, {}; {}.{}{}", gift.as, gift.event, show(stamp.happened),
          count_of(static_cast<std::int64_t>(lines.size()), "piece"), numbers_of(lines),
          entries.size() == 1 ? fmt::format("entry {}", entries.front())
                              : fmt::format("entries {} to {}", entries.front(), entries.back()),
          people ? " The names stay in the book's vault, not in its journal." : "",
          strangers ? fmt::format(" {}", mind_stranger) : ""),
      json_of(lines, entries));
}

}  // namespace trencher::commands
