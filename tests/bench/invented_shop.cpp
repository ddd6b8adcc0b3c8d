#include "invented_shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "book/kinds.h"
#include "reference/reference.h"

namespace bench {
namespace {

constexpr std::array woods{"hard-maple", "black-walnut", "black-cherry", "european-oak"};
constexpr int longest_life = 60;  // days; batches left open began within the last 35
constexpr int open_within = 35;

}  // namespace

// The batches of one tin follow one another, but for every twentieth, which is F1's.
std::string finish_of(std::int64_t batch) {
  return fmt::format("F{}",
                     batch % batches_to_one_of_f1 == 1 ? 1 : 2 + (batch - 1) / batches_a_finish);
}

bool dries(std::int64_t finish_number) { return finish_number % 2 == 0; }

Shop::Shop(book::Book& book, const Plan& plan)
    : writing_(book), plan_(plan), random_(plan.seed), last_hash_(book.last_hash()) {
  days_ = (plan.batches - plan.open) / batches_a_day + 1 + longest_life;
  begin_ = plan.end - std::chrono::days(days_);
  lives_.resize(std::size_t(plan.batches) + 1);
}

// What Writing::append does, but for the state, which finish() makes once.
std::int64_t Shop::write(std::string_view kind, const Json& body) {
  book::Entry entry{.number = ++number_,
                    .happened = {now_, 0},
                    .written_at = now_,
                    .written_by = 1 + chance(2),
                    .kind = std::string(kind),
                    .kind_version = book::version_written(kind),
                    .body = body.canonical(),
                    .hash = {}};
  entry.hash = book::entry_hash(last_hash_, entry);
  writing_.take_over(entry);
  last_hash_ = entry.hash;
  now_ += std::chrono::seconds(20);
  return number_;
}

void Shop::finish() {
  writing_.rebuild_state();
  writing_.commit();
}

std::string Shop::hex(int digits) {
  std::string out;
  for (int i = 0; i < digits; ++i) out += "0123456789abcdef"[chance(16)];
  return out;
}

book::Person Shop::person(std::string name) {
  book::Person out{hex(32), hex(64), name, fmt::format("{}@example.org", hex(6))};
  writing_.keep(out);
  return out;
}

// From 1; those left open at the end come behind the others, evenly over the last days.
std::int64_t Shop::start_day(std::int64_t batch) const {
  const std::int64_t closed = plan_.batches - plan_.open;
  if (batch <= closed) return (batch - 1) / batches_a_day + 1;
  return days_ - open_within + (batch - closed - 1) * (open_within - 1) / plan_.open;
}

void Shop::live() {
  at(0, 8 * 60);
  found();
  std::int64_t next = 1, first = 1;  // batches not begun; the first that still lives
  for (std::int64_t day = 1; day < days_; ++day) {
    if (day % 7 == 1) readings(day);
    at(day, 9 * 60);
    for (std::int64_t batch = first; batch < next; ++batch)
      age(batch, lives_[std::size_t(batch)], day - lives_[std::size_t(batch)].day);
    while (first < next && day - lives_[std::size_t(first)].day >= longest_life) ++first;
    at(day, 15 * 60);
    for (; next <= plan_.batches && start_day(next) <= day; ++next) begin_batch(next);
  }
}

void Shop::found() {
  Workshop shop{"Invented Bench",
                "1 Invented Lane, Eastwold",
                "bench@example.org",
                {"uk", "eu"},
                "Europe/London"};
  shop.cross_contact_declared = true;
  shop.cross_contact = {"tree-nut-walnut"};
  shop.country = "GB";
  shop.responsible = "Invented Agents, 2 Quay Lane, Oldhaven, Ireland, mail@agents.example";
  write("workshop", shop.body());
  for (std::int64_t id = 1; id <= 2; ++id) {
    const book::Person worker = person(fmt::format("Worker {}", id));
    write("worker", Worker{id, worker.id, seal(worker), true}.body());
  }
  write("place", Place{"house", "House", Celsius{19'000}, Percent{500}}.body());
  write("place", Place{"garage", "Garage", Celsius{12'000}, Percent{650}}.body());
  products();
}

void Shop::products() {
  for (int i = 1; i <= 8; ++i) {
    const bool glue = i > 6;
    const std::string kind = glue ? "pva-d3" : i % 2 ? "mineral-oil" : "pure-tung-oil";
    Product out{.id = fmt::format("P{}", i), .stock = glue ? "glue" : "finish", .kind = kind};
    out.name = fmt::format("Invented {} no. {}", glue ? "bond" : "oil", i);
    out.supplier = "Invented Supply";
    out.label = glue ? usual_label(*reference::find_glue(kind))
                     : usual_label(*reference::find_finish(kind));
    out.contains =
        glue ? reference::find_glue(kind)->contains : reference::find_finish(kind)->contains;
    out.animal_origin = glue ? reference::find_glue(kind)->animal_origin
                             : reference::find_finish(kind)->animal_origin;
    out.label.coats = Figure{3, false};
    write("product", out.body());
    say_of(out.id, kind, true);
  }
}

// A daily wave, a sample every three hours, a week an entry and place.
void Shop::readings(std::int64_t day) {
  for (const auto& [place, mean, wave, wet] :
       {std::tuple{"house", 19'000.0, 1'000.0, 500.0}, {"garage", 11'500.0, 2'500.0, 650.0}}) {
    Readings out{place, {}, fmt::format("{}.csv", place)};
    for (int hour = 0; hour < 7 * 24; hour += 3) {
      const double swing = std::sin((hour % 24) / 24.0 * 6.283185 - 2.1);
      out.samples.push_back({0,
                             begin_ + std::chrono::days(day - 7) + std::chrono::hours(hour),
                             {std::int64_t(mean + wave * swing) / 100 * 100 + 100 * chance(5)},
                             Percent{std::int64_t(wet - 30 * swing)}});
    }
    at(day, 7 * 60);
    write("readings", out.body());
  }
}

void Shop::receive_for(std::int64_t batch) {
  const std::int64_t finish = std::strtoll(finish_of(batch).c_str() + 1, nullptr, 10);
  if (finishes_ == 0) receive_finish(++finishes_);
  while (finishes_ < finish) receive_finish(++finishes_);
  while (glues_ < 1 + (batch - 1) / batches_a_glue) receive_glue(++glues_);
  while (lots_ < 1 + (batch - 1) / batches_a_lot) receive_wood(++lots_);
}

void Shop::receive_finish(std::int64_t number) {
  const std::string kind = dries(number) ? "pure-tung-oil" : "mineral-oil";
  const FinishKind& of = *reference::find_finish(kind);
  Tin out;
  out.id = fmt::format("F{}", number);
  out.stock = "finish";
  if (number % 3) {  // a third were bought without a product of the book
    out.product = fmt::format("P{}", (dries(number) ? 2 : 1) + 2 * (number % 3));
    out.product_version = 1;
  }
  out.kind = kind;
  out.name = fmt::format("Invented oil {}", number % 7);
  out.supplier = fmt::format("Invented Supply {}", number % 5);
  out.lot = fmt::format("L{}", number);
  if (number > 1) {
    out.best_before = std::chrono::floor<std::chrono::days>(now_) + std::chrono::days(700);
    out.amount = Amount{Amount::Measure::volume, 1'000'000};
  }
  out.label = usual_label(of);
  out.label.coats = Figure{3, false};
  for (auto* wait :
       {&out.label.recoat_min, &out.label.handle, &out.label.pack, &out.label.food_contact})
    if (*wait && number % 4) (*wait)->usual = false;  // most labels say it
  out.contains = of.contains;
  out.animal_origin = of.animal_origin;
  write("tin", out.body());
  if (out.product.empty() || number % 10 == 1) say_of(out.id, kind, false);
  write("open", Json::object().set("tin", out.id));
}

void Shop::receive_glue(std::int64_t number) {
  const GlueKind& of = *reference::find_glue("pva-d3");
  Tin out;
  out.id = fmt::format("G{}", number);
  out.stock = "glue";
  out.product = fmt::format("P{}", 7 + number % 2);
  out.product_version = 1;
  out.kind = of.id;
  out.name = "Invented bond D3";
  out.supplier = "Invented Supply";
  out.lot = fmt::format("B{}", number);
  out.best_before = std::chrono::floor<std::chrono::days>(now_) + std::chrono::days(300);
  out.amount = Amount{Amount::Measure::volume, 3'000'000};
  out.label = usual_label(of);
  out.contains = of.contains;
  out.animal_origin = of.animal_origin;
  write("tin", out.body());
}

void Shop::receive_wood(std::int64_t number) {
  WoodLot out;
  out.id = fmt::format("W{}", number);
  const Species& of = *reference::find_species(woods[std::size_t(number) % woods.size()]);
  out.species = of.id;
  out.common_name = of.common_name;
  out.botanical_name = of.botanical_name;
  out.supplier = fmt::format("Invented Timber {}", number % 4);
  out.lot = fmt::format("T{}", number);
  out.dried = "kiln";
  out.moisture = Percent{70 + chance(20)};
  out.origin = number % 2 ? "US" : "GB";
  out.treated = false;
  write("wood", out.body());
}

// Two papers a tin or product; now and then the paper itself is kept.
void Shop::say_of(const std::string& subject, const std::string& kind, bool product) {
  Statement out;
  out.subject = subject;
  out.version = product ? 1 : 0;
  out.dated = std::chrono::floor<std::chrono::days>(now_) - std::chrono::days(30);
  out.about = "allergens";
  out.declares_none = {"milk", "fish", "tree-nut", "animal-derived"};
  write("statement", out.body());
  out.declares_none.clear();
  out.about = "ingredients";
  out.ingredients = {kind == "pure-tung-oil" ? "tung oil" : "white mineral oil"};
  out.complete = true;
  if (chance(20) == 0) {
    out.file_sha256 =
        writing_.keep_file(fmt::format("Invented paper about {}: {}\n", subject, hex(2000)));
    out.file_name = "paper.txt";
  }
  write("statement", out.body());
}

}  // namespace bench
