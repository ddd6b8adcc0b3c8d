#include "commands/help_text.h"

#include <map>

namespace trencher::commands {

const HelpText& help_text(std::string_view command) {
  static const std::map<std::string_view, HelpText> all{
      {"start",
       {"Makes the book: one file that holds everything. On a terminal it asks for what is left "
        "out, with an answer that mostly fits. It does not touch a book that is there already.",
        {"start",
         "start --maker 'Harrow Yard Boards' --address '3 Harrow Yard, Eastwold' --contact "
         "hello@harrowyard.example --market uk --zone Europe/London --units metric"}}},
      {"tour",
       {"Plays seven weeks of an invented workshop in a book of its own, so that your own stays "
        "untouched: what comes in, two batches, a cold garage, a market, a question about nuts, "
        "a tin that the supplier takes back. Nothing in it is real.",
        {"tour"}}},
      {"workshop",
       {"Without options it shows what the book knows of the workshop. The first words hours, "
        "days-off, market-days, rack and attended say when somebody is in the shop and how many "
        "boards dry at once, by which 'plan' reckons.",
        {"workshop", "workshop --cross-contact tree-nut-walnut",
         "workshop hours mon-fri 19:00-21:30, sat 9:00-17:00", "workshop rack 24",
         "workshop market-days 2026-12-12 --name 'Advent market'"}}},
      {"worker",
       {"With one worker nobody has to say who writes; with several, --by does.",
        {"worker", "worker add 'Robin Tallis' --may-sign-off"}}},
      {"place",
       {"The usual conditions of a place stand in for readings that are missing; dates that rest "
        "on them are marked as guessed.",
        {"place", "place add 'Drying cupboard' --temp 22C --rh 45"}}},
      {"product",
       {"A product holds what a label says, once; tins of it are received with --product. A "
        "changed label is a further version: tins that came before keep theirs.",
        {"product",
         "product add finish --kind pure-tung-oil --name 'Plain Tung' --supplier "
         "'Wold Finishes' --recoat-after 24h --food-contact-after 30d",
         "product change finish P1 --food-contact-after 45d"}}},
      {"receive",
       {"Enter what the label says, all of it: the dates go by it, and are never earlier. What "
        "is left out stays not known, or goes by the usual figure of its kind, marked as guessed.",
        {"receive wood --species hard-maple --supplier 'Eastwold Timber' --lot 311 --moisture 7.5 "
         "--treated no",
         "receive glue --kind pva-d3 --name 'Shop Bond' --supplier 'Wold Finishes' --lot B04 "
         "--full-cure 24h",
         "receive finish --kind pure-tung-oil --name 'Plain Tung' --supplier 'Wold Finishes' "
         "--lot T90 --amount 500ml --recoat-after 24h --food-contact-after 30d",
         "receive other --kind rubber-feet --name Feet --supplier 'Fold Fittings' --lot R2"}}},
      {"mix",
       {"The mix is a tin of its own. It holds whatever its parts hold, and goes where they go in "
        "a recall.",
        {"mix --from F1=300ml --from F2=80g --name 'Board butter'"}}},
      {"open", {"From then on the tin's time to be used up counts.", {"open F2"}}},
      {"statement",
       {"What a paper names is contained; what it declares absent is none recorded once every "
        "other part says so too; what no paper "
        "says stays not known. The paper itself can be kept with --file and had back with 'show'.",
        {"statement F1 --about ingredients --complete --ingredient 'white mineral oil'",
         "statement F1 --about allergens --declares-none milk fish --dated 2026-01-05",
         "statement show F1"}}},
      {"batch",
       {"Boards that are glued, sanded and finished alike. With --wood and the rest it makes one "
        "and gives each board a code with two check digits; alone it lists them.",
        {"batch",
         "batch --wood W1 --wood W2 --glue G1 --finish F1 --schedule oil --pieces 4 --size "
         "400x250x22mm --use cutting-board --place garage"}}},
      {"log",
       {"A step, as soon as it is done; --at where it was earlier. With --temp and --rh the air "
        "of that moment counts in the dates. Oily rags can set themselves alight: what oil that "
        "hardens was put on with stays on the due list until 'log rags-done'.",
        {"log glue-up 26-001 --from G1=110ml --temp 18C --rh 55",
         "log sand 26-001 --grit 80,120,180,220", "log coat 26-001 --pieces 1-3 --from F1=60ml",
         "log reading --place garage --temp 11C --rh 70", "log move 26-001 --to house",
         "log inspect 26-001 --sound --what 'no smell, glue lines sound'", "log rags-done 26-001",
         "log note 26-001 'the knot in board 4 is filled'"}}},
      {"readings",
       {"Takes a table of times and temperatures, perhaps with humidity, as loggers write it: "
        "comma, semicolon or tab, Celsius or Fahrenheit. What is in the book already is not taken "
        "twice.",
        {"readings logger.csv --place garage"}}},
      {"due", {"What to do now and next, over all batches, the soonest first.", {"due"}}},
      {"when",
       {"When the clamps come off, the next coat is due, a board may be handled, packed, and used "
        "with food. A date is never earlier than the label says; cold and damp make it later.",
        {"when 26-001", "when 26-001 --explain"}}},
      {"findings",
       {"Without --market: wood, glue, finish and steps against what published sources say. With "
        "it: what the record holds of what a market asks. Whether a board is lawful, the "
        "authority says.",
        {"findings 26-001", "findings 26-001 --market uk"}}},
      {"sign-off",
       {"Somebody who may decide it says that boards may leave. A later reading or correction "
        "that makes it wrong opens it again.",
        {"sign-off 26-001 --pieces 3", "sign-off 26-001 --note 'looked over by daylight'"}}},
      {"give",
       {"The name and contact are kept apart from the journal, so that they can be forgotten; "
        "without them a recall reaches a board by the public notice alone.",
        {"give 26-001-02-47 --to 'Ada Winterbourne' --as gift --market uk",
         "give 26-001 --pieces 2 --to-stranger --event 'Eastwold market' --as sale"}}},
      {"photograph",
       {"Where a picture was taken goes out with no paper.", {"photograph 26-001 board.jpg"}}},
      {"stall-sheet",
       {"Print it before the market, tick what goes, enter it afterwards in one line.",
        {"stall-sheet -o sheet.pdf --event 'Eastwold market'",
         "stall-sheet enter --event 'Eastwold market' 26-001-02-47='A Name/a mail'"}}},
      {"offer",
       {"What a market asks to stand in an offer by post or in a shop window on the net.",
        {"offer 26-001 --market eu --language de"}}},
      {"scrap", {"", {"scrap 26-001 --pieces 4 --why 'a check opened'"}}},
      {"split",
       {"From then on those boards have dates, findings and answers of their own.",
        {"split 26-001 --pieces 4 --schedule oil --finish F1 --why 'the wax ran out'"}}},
      {"take-back",
       {"A board that came back needs a coat, a sign-off and a card of its own before it leaves "
        "again, unless it is unused.",
        {"take-back 26-001-01-50 --place house", "take-back 26-001-01-50 --place house --unused"}}},
      {"card",
       {"Which lines a card carries follows from market, use, finish and how the board leaves. "
        "What does not fit goes to the back, or on the next larger card; nothing is cut off.",
        {"card 26-001 -o cards.pdf --card a7",
         "card 26-001-01-50 -o card.pdf --market ca --language en,fr"}}},
      {"record",
       {"The whole history with conditions, corrections and the chain's last hash.",
        {"record 26-001 -o record.pdf"}}},
      {"answer",
       {"Three answers exist: contains, none recorded, not known. None recorded does not mean "
        "free from. Each names the entries that it rests on.",
        {"answer 26-001-01-50 --about tree-nut milk finish",
         "answer 26-001-01-50 --ingredient beeswax",
         "answer 26-001-01-50 --about tree-nut -o reply.pdf --language de --keep"}}},
      {"answers", {"", {"answers", "answers --outdated"}}},
      {"trace", {"", {"trace F1", "trace 26-001-01-50", "trace F1 --csv -o boards.csv"}}},
      {"plan",
       {"Backwards from promises and market days, by the hours and the rack that 'workshop' "
        "names. It proves that no plan is better, or says by how much one could be.",
        {"plan", "plan 26-001 --ready-by 2026-12-12",
         "plan --ready-by 2026-12-12 --draft 'schedule=oil finish=F1 glue=G1 pieces=8 count=2 "
         "place=house'"}}},
      {"calendar",
       {"A file by RFC 5545, which any phone takes; a newer one updates it.",
        {"calendar -o dates.ics"}}},
      {"chart", {"", {"chart -o wall.pdf"}}},
      {"withdraw",
       {"From then on it goes on no board, and no board that it is on is signed off or leaves; no "
        "reason overrides that.",
        {"withdraw F1 --why \"the supplier's notice\"",
         "withdraw --supplier 'Wold Finishes' --lot M22 --why 'a wrong label'"}}},
      {"recall",
       {"Without a first word it writes a folder of drafts: the boards, the people, a notice for "
        "each and one for the stall. Sending them is your decision; they hold customers' names.",
        {"recall F1 --practice", "recall status"}}},
      {"complaint",
       {"Write what is wrong with the board, nothing of who was hurt, or how.",
        {"complaint 26-001-01-50 --what 'a splinter' --severity flaw", "complaint"}}},
      {"people", {"", {"people", "people 'Ada Winterbourne'"}}},
      {"forget",
       {"What was made and given stays traceable; who has it, nobody can tell afterwards. Older "
        "backups, exports and printed papers still hold the name.",
        {"forget 'Ada Winterbourne'"}}},
      {"correct",
       {"'trencher trace' and 'record' show the entries of a batch with their numbers. What the "
        "correction makes wrong is listed: sign-offs, cards, gifts.",
        {"correct 12 --set temp=9C --why 'read the wrong dial'"}}},
      {"strike", {"", {"strike 12 --why 'entered twice'"}}},
      {"dealt", {"", {"dealt 12 --how 'told by phone'"}}},
      {"climate", {"Works without a book.", {"climate --temp 20C --rh 70"}}},
      {"species",
       {"What published sources say of a wood, each with its source. A wood that no list names is "
        "not listed, nothing worse.",
        {"species", "species hard-maple",
         "species add river-red-gum --common 'River red gum' --botanical 'Eucalyptus "
         "camaldulensis' --group hardwood --source 'a supplier'"}}},
      {"finishes", {"", {"finishes", "finishes pure-tung-oil"}}},
      {"glues", {"", {"glues", "glues pva-d3"}}},
      {"others", {"", {"others", "others rubber-feet"}}},
      {"allergens",
       {"The name of an allergen differs by law; each list is named.",
        {"allergens", "allergens tree-nut"}}},
      {"schedules", {"", {"schedules", "schedules oil-then-wax"}}},
      {"rules", {"Rules are listed, not judged.", {"rules uk"}}},
      {"rule", {"The form of the file is in docs/rules.md.", {"rule add market-rules.toml"}}},
      {"verify",
       {"Unaltered does not mean correct. Where it is not unaltered, the answer says from which "
        "entry on, and what can still be trusted.",
        {"verify", "verify --against book-march.db"}}},
      {"backup",
       {"Whole or not at all, also while somebody writes. Keep it elsewhere, and for nobody else's "
        "eyes: it holds names.",
        {"backup book-march.db"}}},
      {"rescue",
       {"What could not be read is lost and is said to be not known; the damaged file stays as it "
        "is.",
        {"rescue book.db -o rescued.db"}}},
      {"export",
       {"One line an entry; 'import' makes the same book of it.",
        {"export book.jsonl", "export --papers papers"}}},
      {"import", {"", {"import book.jsonl --book new.db"}}},
  };
  static const HelpText none;
  const auto found = all.find(command);
  return found == all.end() ? none : found->second;
}

}  // namespace trencher::commands
