// The rows of the state that a fold reads and changes: in the book itself, for one entry more, or
// in memory, for a whole journal.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/records.h"

namespace trencher::book {

// What is known of a piece beside its code.
struct PieceRow {
  struct SignOff {
    std::int64_t entry = 0;
    Instant at;
    bool operator==(const SignOff&) const = default;
  };
  std::optional<SignOff> signed_off;  // in force
  std::optional<std::int64_t> given, scrapped, turn;
  bool operator==(const PieceRow&) const = default;
};

// What was taken out of a tin, and when it was first opened or taken from.
struct TinRow {
  std::int64_t drawn_ul = 0, drawn_mg = 0;
  Moment first;
};

class Tables {
 public:
  virtual ~Tables() = default;

  virtual void mention(const std::string& id, std::int64_t entry, std::string_view kind,
                       bool struck) = 0;
  // The latest entry counts; the class stays.
  virtual void thing(const std::string& id, const std::string& class_name, std::int64_t entry) = 0;
  // Of the numbers given out for a prefix the highest.
  virtual void count(const std::string& prefix, std::int64_t number) = 0;
  virtual void reach(const std::string& id, const std::string& reached) = 0;

  virtual void add_batch(const std::string& batch, int pieces) = 0;
  // `change` for the named pieces (none: all) of a batch, where they are there.
  virtual void change_pieces(const std::string& batch, const std::vector<int>& numbers,
                             const std::function<void(PieceRow&)>& change) = 0;
  // Whether the batch has such a piece.
  virtual bool has_piece(const std::string& batch, int number) = 0;

  // `change` for the row of a tin, which is made where there is none.
  virtual void change_tin(const std::string& tin,
                          const std::function<void(std::optional<TinRow>&)>& change) = 0;

  virtual void add_rags(std::int64_t coat, const std::string& batch) = 0;
  virtual void take_rags(std::int64_t coat) = 0;
  virtual void add_span(const std::string& place, std::int64_t first_s, std::int64_t entry,
                        std::int64_t last_s) = 0;

  // A temperature noted with a step.
  virtual void add_air(const std::string& place, const Reading& noted) = 0;

  virtual void add_wrong(std::int64_t entry, const std::string& piece, const char* what) = 0;
  virtual void take_wrong(std::int64_t entry, const std::string& piece) = 0;
  virtual void settle(const std::string& piece, std::string_view what) = 0;
  // What was wrong about its card is now for its owner to be told.
  virtual void card_has_left(const std::string& piece) = 0;
};

}  // namespace trencher::book
