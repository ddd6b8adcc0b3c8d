// Whether entries follow from one another: by their hashes, and across gaps by what entries of the
// kind `rescued` say of them.
//
//   Chain chain(first_previous_hash(book.id()), rescues(book.sql()));
//   book.each_entry([&](const Entry& entry) { if (auto how = chain.next(entry)) ... });
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "book/entry.h"
#include "domain/records.h"

namespace trencher::book {

class Sql;

inline constexpr const char* rescued_kind = "rescued";

// What all `rescued` entries of a book say together.
struct Rescues {
  std::map<std::int64_t, Gap> gaps;              // by their first entry
  std::map<std::int64_t, std::string> unproved;  // digests by entry
  std::set<std::string> persons, files;          // missing from the vault
  std::map<std::string, Rescued::Lost> lost;
  std::int64_t last_lost = 0;  // the last entry that is lost; of an open end, the `rescued` one
  std::int64_t entry = 0;      // the latest `rescued` entry; 0: none
  bool open_end = false;
  void take(std::int64_t entry, const Rescued& said);
  // Whether an entry is among those that are known to be lost.
  bool is_lost(std::int64_t number) const;
};
Rescues rescues(Sql& sql);

// SHA-256 over the netstrings of an entry's hash with an empty previous hash.
std::string unproved_digest(const Entry& entry);

class Chain {
 public:
  Chain(std::string first_previous, Rescues rescues);

  // Takes the entry behind those before. Says how it does not follow, in words that go behind its
  // number: "is missing"; the number that they are about is then broken_at().
  // `known`: the entry's hash behind a previous one, where somebody has computed that already.
  struct Hashed {
    std::string_view previous;
    std::string hash;
  };
  std::optional<std::string> next(const Entry& entry, const Hashed& known = {});
  // An entry that cannot be read, whose hash may still be known.
  void skip(std::int64_t number, const std::string& hash);

  std::int64_t broken_at() const { return broken_at_; }  // 0: nowhere
  std::int64_t last() const { return last_; }
  const Rescues& rescues() const { return rescues_; }

 private:
  std::string broken(std::int64_t at, std::string how);

  Rescues rescues_;
  std::int64_t last_ = 0, broken_at_ = 0;
  std::string previous_;                 // hash of the row before
  std::optional<std::string> expected_;  // the previous hash of the next entry; none: not known
};

}  // namespace trencher::book
