// The shop of make_book: who works there, what comes in, and what happens to each batch.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "book/book.h"
#include "domain/records.h"

namespace bench {

using namespace trencher;

inline constexpr int pieces_a_batch = 10;
inline constexpr int batches_a_day = 27;  // a million pieces in ten years

struct Plan {
  std::int64_t batches = 1000;
  std::int64_t open = 20;  // of these: the last ones, at every stage of their making
  std::uint32_t seed = 1;
  std::chrono::sys_days end;  // the day after the last entry
};

// Tins and lots, counted from 1; each serves so many batches.
inline constexpr int batches_a_finish = 5, batches_a_glue = 20, batches_a_lot = 4;
// One finish tin, F1, is on every twentieth batch: at a million pieces on 50,000.
inline constexpr int batches_to_one_of_f1 = 20;

class Shop {
 public:
  Shop(book::Book& book, const Plan& plan);
  void live();
  void finish();  // state and commit
  std::int64_t entries() const { return number_; }

 private:
  struct Life {
    std::string code, finish, glue, place;
    bool drying = false, gone_wrong = false;
    std::vector<std::int64_t> coats;
    std::vector<int> here;  // pieces not yet given or scrapped
    std::int64_t day = 0;   // of its beginning, from begin_
  };

  std::int64_t write(std::string_view kind, const Json& body);
  std::int64_t write(const Step& step) { return write(step.kind, step.body()); }
  void at(std::int64_t day, int minute) {
    now_ = begin_ + std::chrono::days(day) + std::chrono::minutes(minute);
  }
  std::int64_t start_day(std::int64_t batch) const;
  int chance(int of) { return int(random_() % unsigned(of)); }
  std::string hex(int digits);
  book::Person person(std::string name);

  void found();
  void products();
  void readings(std::int64_t day);
  void receive_for(std::int64_t batch);
  void receive_finish(std::int64_t tin);
  void receive_glue(std::int64_t tin);
  void receive_wood(std::int64_t lot);
  void say_of(const std::string& subject, const std::string& kind, bool product);

  void begin_batch(std::int64_t batch);
  void age(std::int64_t batch, Life& life, std::int64_t age);
  void coat(Life& life);
  void amend(Life& life, std::int64_t batch);
  void sign_off(std::int64_t batch, Life& life);
  void leave(std::int64_t batch, Life& life);
  void later(std::int64_t batch, Life& life);
  Step step(const char* kind, const Life& life);
  void give(const Life& life, std::vector<int> pieces);

  book::Writing writing_;
  const Plan plan_;
  std::mt19937 random_;
  std::chrono::sys_days begin_;
  std::int64_t days_ = 0, number_ = 0;
  std::string last_hash_;
  Instant now_;
  std::vector<Life> lives_;
  std::vector<book::Person> customers_;
  std::int64_t finishes_ = 0, glues_ = 0, lots_ = 0;
  int year_ = 0, in_year_ = 0;  // batches are numbered by the year
};

std::string finish_of(std::int64_t batch);
bool dries(std::int64_t finish_number);

}  // namespace bench
