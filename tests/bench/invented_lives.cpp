// What happens to a batch of the invented shop, by the days since it was begun.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "book/kinds.h"
#include "invented_shop.h"
#include "reference/reference.h"

namespace bench {
namespace {

Amount millilitres(std::int64_t amount) { return {Amount::Measure::volume, amount * 1000}; }

}  // namespace

void Shop::begin_batch(std::int64_t number) {
  receive_for(number);
  Life& life = lives_[std::size_t(number)];
  life.day = start_day(number);
  const std::chrono::year_month_day today{std::chrono::floor<std::chrono::days>(now_)};
  if (int(today.year()) != year_) in_year_ = 0;
  year_ = int(today.year());
  life.code = fmt::format("{:02}-{:03}", year_ % 100, ++in_year_);
  life.finish = finish_of(number);
  life.glue = fmt::format("G{}", 1 + (number - 1) / batches_a_glue);
  life.drying = dries(std::strtoll(life.finish.c_str() + 1, nullptr, 10));
  for (int piece = 1; piece <= pieces_a_batch; ++piece) life.here.push_back(piece);

  Batch out;
  out.code = life.code;
  out.wood = {fmt::format("W{}", 1 + (number - 1) / batches_a_lot)};
  if (number % 2 && number > batches_a_lot)
    out.wood.push_back(fmt::format("W{}", (number - 1) / batches_a_lot));
  out.glue = {life.glue};
  out.finish = {life.finish};
  out.schedule = *reference::find_schedule(life.drying ? "hardening-oil" : "oil");
  out.pieces = pieces_a_batch;
  out.size = {{400'000}, {250'000 + 10'000 * chance(5)}, {22'000}};
  out.use = number % 3 ? "cutting-board" : "serving-board";
  out.place = life.place = number % 4 ? "house" : "garage";
  if (chance(30) == 0) {
    const book::Person by = person(fmt::format("Customer {}", customers_.size() + 1));
    customers_.push_back(by);
    out.person = by.id;
    out.seal = seal(by);
    out.promised = std::chrono::floor<std::chrono::days>(now_) + std::chrono::days(60);
  }
  write("batch", out.body());
}

Step Shop::step(const char* kind, const Life& life) {
  Step out;
  out.kind = kind;
  out.batch = life.code;
  return out;
}

void Shop::coat(Life& life) {
  Step out = step("coat", life);
  out.drawn = {{life.finish, millilitres(40 + chance(80)), false}};
  out.place = life.place;
  out.temp = Celsius{17'000 + 500 * chance(8)};
  out.rh = Percent{450 + 10 * chance(15)};
  out.rags = life.drying;
  life.coats.push_back(write(out));
}

void Shop::age(std::int64_t batch, Life& life, std::int64_t age) {
  const int cured = life.drying ? 36 : 10;
  if (age == 1) {
    Step out = step("glue-up", life);
    out.drawn = {{life.glue, millilitres(90 + chance(60)), false}};
    out.place = life.place;
    out.temp = Celsius{19'000};
    out.rh = Percent{500};
    write(out);
  } else if (age == 2) {
    Step out = step("sand", life);
    out.grits = {100, 150, 220};
    write(out);
  } else if (age == 3) {
    Step out = step("raise-grain", life);
    out.rounds = 2;
    write(out);
  } else if (age == 4 || age == 5 || age == 6) {
    coat(life);
  } else if (age == 7) {
    amend(life, batch);
  } else if (age == cured) {
    Step out = step("inspect", life);
    out.result = "sound";
    out.text = "no smell, a white cloth stays clean, glue lines sound";
    write(out);
    sign_off(batch, life);
  } else if (batch > plan_.batches - plan_.open) {
    return;  // those left open stay
  } else if (age > cured && age <= cured + 10) {
    leave(batch, life);
  } else if (age == cured + 15) {
    later(batch, life);
  }
}

// What goes wrong while it is written: a coat entered twice, an amount read wrong.
void Shop::amend(Life& life, std::int64_t batch) {
  if (life.drying) write("rags-done", RagsDone{life.code, life.coats}.body());
  if (chance(50) == 0) {
    Step right = step("coat", life);
    right.drawn = {{life.finish, millilitres(40), false}};
    right.rags = life.drying;
    write("correction", Json::object()
                            .set("entry", life.coats.back())
                            .set("why", "the mark on the bottle was read wrong")
                            .set("version", book::version_written("coat"))
                            .set("body", right.body()));
  }
  if (chance(100) == 0) {
    Step again = step("sand", life);
    again.grits = {220};
    const std::int64_t twice = write(again);
    write("strike", Json::object().set("entry", twice).set("why", "entered twice"));
  }
  if (chance(100) == 0)
    write("note", Json::object().set("about", life.code).set("text", "a knot in piece 3"));
  if (chance(50) == 0) {
    write("scrap", Scrap{.batch = life.code, .pieces = {10}, .why = "split at the end"}.body());
    std::erase(life.here, 10);
  }
  if (batch % 10 == 0) {
    Step moved = step("move", life);
    moved.place = "house";
    write(moved);
  }
}

void Shop::sign_off(std::int64_t, Life& life) {
  SignOff out;
  out.batch = life.code;
  out.pieces = life.here;
  out.food_contact = now_ - std::chrono::days(1);
  out.guessed = true;
  write("sign-off", out.body());
  PrintedCard card;
  card.batch = life.code;
  card.pieces = life.here;
  card.language = "en";
  card.food_contact = std::chrono::floor<std::chrono::days>(now_);
  card.words = {{"finish", life.finish + " Invented oil"},
                {"glue", life.glue + " Invented bond D3"},
                {"wood", "Hard maple (Acer saccharum)"},
                {"size", "400 x 250 x 22 mm"},
                {"use", "cutting board"}};
  card.none_recorded = {"milk", "fish", "tree-nut", "animal-derived"};
  card.market = "uk";
  write("card", card.body());
}

void Shop::give(const Life& life, std::vector<int> pieces) {
  Gift out;
  out.batch = life.code;
  out.pieces = std::move(pieces);
  out.as = chance(5) ? "sale" : "gift";
  out.market = chance(3) ? "uk" : "eu";
  if (chance(5) < 2) {
    out.event = "Eastwold market";
  } else {
    const bool is_new = customers_.empty() || chance(10) < 7;
    if (is_new) customers_.push_back(person(fmt::format("Customer {}", customers_.size() + 1)));
    const book::Person& taker =
        is_new ? customers_.back() : customers_[std::size_t(chance(int(customers_.size())))];
    out.person = taker.id;
    out.seal = seal(taker);
  }
  write("give", out.body());
}

// Two or three at a time over some days, until all are gone.
void Shop::leave(std::int64_t, Life& life) {
  if (life.here.empty()) return;
  const auto count = std::min<std::size_t>(life.here.size(), std::size_t(2 + chance(2)));
  const std::vector<int> going(life.here.begin(), life.here.begin() + std::ptrdiff_t(count));
  life.here.erase(life.here.begin(), life.here.begin() + std::ptrdiff_t(count));
  give(life, going);
}

void Shop::later(std::int64_t batch, Life& life) {
  if (chance(500) == 0)
    write("complaint", Complaint{.batch = life.code,
                                 .pieces = {2},
                                 .what = "a foot squeaks",
                                 .severity = "flaw",
                                 .where = "GB"}
                           .body());
  if (chance(200) == 0) {
    KeptAnswer answer{.batch = life.code, .pieces = {1}, .position = number_};
    answer.words = {{"wood", "Hard maple"}};
    answer.none_recorded = {"milk"};
    answer.not_known = {"egg"};
    answer.rests_on = {life.coats.front()};
    write("answer", answer.body());
  }
  if (batch % 400 == 1) {
    Turn back;
    back.kind = Turn::Kind::take_back;
    back.batch = life.code;
    back.pieces = {1};
    back.place = "house";
    back.owner_applied = "mineral-oil";
    write("take-back", back.body());
    give(life, {1});
  }
}

}  // namespace bench
