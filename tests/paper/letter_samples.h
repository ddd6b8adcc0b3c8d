// An invented letter and an invented notice, as the commands would make them.
#pragma once

#include <string>

#include "paper/letter.h"
#include "paper/notice.h"

namespace trencher::paper {

// poppler gives a no-break space as a blank.
inline std::string blanks(std::string text) {
  for (std::size_t at = 0; (at = text.find("\u00a0", at)) != std::string::npos;)
    text.replace(at, 2, " ");
  return text;
}

inline LetterContent sample_letter() {
  LetterContent out;
  out.use = "cutting board";
  out.size = "400 × 250 × 22 mm";
  out.woods = "hard maple (Acer saccharum) and black walnut (Juglans nigra)";
  out.finished_on = "3 December 2026";
  LetterGroup group;
  group.codes = {"26-014-03-24"};
  const LetterSentence paper{"paper-complete",
                             {{"paper", "The ingredient list"},
                              {"tin", "Bench glue (water resistant PVA wood glue)"},
                              {"dated", "3 May 2026"},
                              {"topic", "milk"}}};
  group.topics = {
      {"walnut", "contains", {{"nature", {{"tin", "Walnut oil"}, {"things", "walnut"}}}}},
      {"milk", "none-recorded", {paper}},
      {"peanut", "not-known", {{"no-paper", {{"tin", "Walnut oil"}, {"topic", "peanut"}}}}}};
  group.for_all = {{"shop-clear", {{"topic", "peanut"}}}};
  group.trail = {
      {"received",
       {{"tin", "Walnut oil"}, {"supplier", "Mill & Co"}, {"lot", "77"}, {"on", "2 May 2026"}}},
      {"of-batch", {{"batch", "26-014"}, {"on", "1 December 2026"}}},
      {"step-coat", {{"tin", "Walnut oil"}, {"on", "2 December 2026 and 3 December 2026"}}}};
  group.missing = {
      {"want-paper", {{"tin", "Walnut oil"}, {"topic", "peanut"}, {"supplier", "Mill & Co"}}}};
  out.groups = {group};
  out.notes = {
      {"timber-of-nut", {{"woods", out.woods}}},
      {"law-all", {{"topic", "Walnut"}, {"listed", "the United States, the European Union"}}},
      {"ask-doctor", {}}};
  out.corrected = {{"corrected", {{"on", "2 May 2026"}, {"corrected_on", "9 May 2026"}}}};
  out.maker = "Old Mill Boards";
  out.address = "4 Mill Lane, Hartwell";
  out.contact = "boards@oldmill.example";
  out.date = "5 December 2026";
  out.position = 41;
  out.last_hash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";
  return out;
}

inline NoticeContent sample_notice() {
  NoticeContent out;
  out.to = "Ada Example";
  out.to_contact = "ada@home.example";
  out.boards = {
      {"26-014-03-24", "Cutting board, 400 × 250 × 22 mm, hard maple (Acer saccharum)",
       "5 December 2026"},
      {"26-014-04-21", "Cutting board, 400 × 250 × 22 mm, hard maple (Acer saccharum)", ""}};
  out.product = "Kitchen oil (walnut oil), lot 77, from Mill & Co";
  out.supplier_says = "lot 77 was filled into tins that had held another product";
  out.risk = "It can make somebody ill who is allergic to peanut.";
  out.to_do = "Bring or send the board back; we pay the postage.";
  out.remedies = {"replacement", "refund"};
  out.maker = "Old Mill Boards";
  out.address = "4 Mill Lane, Hartwell";
  out.contact = "boards@oldmill.example";
  out.made_on = "12 December 2026";
  return out;
}

}  // namespace trencher::paper
