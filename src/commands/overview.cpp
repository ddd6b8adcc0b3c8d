#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/due_lines.h"
#include "commands/losses.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_due = 6;

struct Held {
  std::int64_t wood = 0, glue = 0, finish = 0, other = 0, batches = 0, open = 0, entries = 0;
};

Held held_by(Call& call) {
  const auto count = [&](const char* of) {
    return static_cast<std::int64_t>(book::ids_of_class(call.book(), of).size());
  };
  return {count("wood"),
          count("glue"),
          count("finish"),
          count("other"),
          count("batch"),
          static_cast<std::int64_t>(book::open_batches(call.book()).size()),
          entries_held(call.book())};
}

// What would help most next, three at most.
std::vector<std::string> advice(Call& call, const Held& held) {
  std::vector<std::string> out;
  if (held.wood == 0) out.emplace_back("'trencher receive wood' enters what boards are made of.");
  if (held.finish == 0)
    out.emplace_back("'trencher receive finish' enters a tin of oil, wax or film, with its label.");
  if (held.wood > 0 && held.finish > 0 && held.batches == 0)
    out.emplace_back("'trencher batch --pieces N' begins boards and asks for the rest.");
  if (!call.settings().cross_contact_declared)
    out.emplace_back(
        "'trencher workshop --cross-contact' says what shared rags, brushes and bench also touch; "
        "until then answers about allergens stay 'not known'.");
  const std::vector<Place> places = book::places(call.book());
  if (std::none_of(places.begin(), places.end(), [](const Place& at) { return at.temp; }))
    out.push_back(
        fmt::format("'trencher place add {} --temp 18C --rh 55' says what is usual there; without "
                    "it and without readings dates cannot be told.",
                    places.front().name.find(' ') == std::string::npos ? places.front().name
                                                                       : places.front().id));
  if (held.open > 0) out.emplace_back("'trencher due' is the whole page for the morning.");
  if (out.size() > 3) out.resize(3);
  return out;
}

void print(Call& call, const std::string& maker, const Held& held,
           const std::vector<DueLine>& due) {
  call.say(fmt::format("{}: {} in {}", maker, count_of(held.entries, "entry", "entries"),
                       call.book_path().string()));
  call.say(fmt::format(
      "{}, {} in work; {}, {}, {}{}.", count_of(held.batches, "batch", "batches"), held.open,
      count_of(held.wood, "wood lot"), count_of(held.glue, "tin of glue", "tins of glue"),
      count_of(held.finish, "tin of finish", "tins of finish"),
      held.other > 0 ? fmt::format(", {}", count_of(held.other, "other thing")) : ""));
  if (!due.empty()) {
    call.out() << '\n';
    print_due(call, due, most_due);
    if (due.size() > most_due) call.say(fmt::format("and {} more.", due.size() - most_due));
  }
  call.out() << '\n';
}

}  // namespace

int overview(Call& call) {
  call.parse();
  const std::filesystem::path path = call.book_path();
  std::error_code none;
  const bool there = std::filesystem::exists(path, none);
  const Held held = there ? held_by(call) : Held{};
  const std::vector<DueLine> due = there ? due_lines(call) : std::vector<DueLine>{};
  const std::string maker = there ? call.settings().maker : "";
  const std::vector<std::string> next =
      there ? advice(call, held)
            : std::vector<std::string>{
                  "'trencher start' begins one, and asks what it needs to know.",
                  "'trencher tour' plays an invented workshop in a book of its own."};
  if (call.json())
    return call.done(Json::object()
                         .set("book", path.string())
                         .set_or_null("maker", there ? Json(maker) : Json())
                         .set("entries", held.entries)
                         .set("wood", held.wood)
                         .set("glue", held.glue)
                         .set("finish", held.finish)
                         .set("other", held.other)
                         .set("batches", held.batches)
                         .set("open_batches", held.open)
                         .set("due", static_cast<std::int64_t>(due.size()))
                         .set("next", Json::list(next)));
  if (there)
    print(call, maker, held, due);
  else
    call.say(fmt::format("There is no book at {} yet.", path.string()));
  for (std::size_t i = 0; i < next.size(); ++i) call.say_list(i == 0 ? "Next:" : "     ", next[i]);
  call.say_list(next.empty() ? "Next:" : "     ", "'trencher --help' lists every command.");
  return 0;
}

}  // namespace trencher::commands
