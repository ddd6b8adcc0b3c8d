#include "paper/record.h"

#include <algorithm>

#include "domain/error.h"
#include "paper/chart.h"
#include "paper/document.h"
#include "paper/flow.h"
#include "paper/phrases.h"
#include "paper/picture.h"
#include "paper/strips.h"
#include "paper/table.h"

namespace trencher::paper {
namespace {

constexpr Style body{{Face::regular, 8}, 1.3, 0};
constexpr Font small{Face::regular, 7};

class Record {
 public:
  Record(Document& document, const RecordContent& record, const Words& words)
      : flow_(document, {}), record_(record), words_(words) {}

  void draw() {
    draw_title();
    draw_facts(words_("summary"), record_.summary);
    draw_photograph();
    draw_pieces();
    draw_materials();
    draw_dates();
    draw_conditions();
    draw_cautions();
    draw_findings();
    draw_rules();
    draw_history();
    draw_book();
    draw_signatures();
    for (int page = 0; page < document().pages(); ++page) draw_frame(page);
  }

 private:
  Document& document() { return flow_.document(); }

  CellText shown(const std::string& text) const { return {text.empty() ? words_("empty") : text}; }

  // The word for what the program calls so: "result-" and "not held" give "result-not-held".
  std::string named(const std::string& group, std::string id) const {
    std::replace(id.begin(), id.end(), ' ', '-');
    return words_(group + id);
  }

  void draw_title() {
    const auto woods = std::count_if(record_.materials.begin(), record_.materials.end(),
                                     [](const RecordMaterial& m) { return m.kind == "wood"; });
    const Rect band = flow_.take(4, "The band of the record");
    draw_strips(document(), band, static_cast<int>(woods));
    flow_.skip(3);
    flow_.paragraph(words_("title", {{"batch", record_.batch}}), {{Face::bold, 18}, 1.25, 0});
    for (const std::string* line : {&record_.workshop, &record_.address, &record_.contact})
      flow_.paragraph(*line, body);
  }

  // A section that may hold nothing says so.
  void draw_section(std::string_view name, const std::vector<Column>& columns,
                    const std::vector<Row>& rows) {
    flow_.heading(words_(name));
    if (rows.empty())
      flow_.paragraph(words_("none"), body);
    else
      draw_table(flow_, columns, rows);
  }

  Column column(std::string_view part, double share) const { return {words_(part), share}; }

  void draw_facts(const std::string& heading, const std::vector<RecordFact>& facts) {
    std::vector<Row> rows;
    for (const RecordFact& fact : facts)
      rows.push_back({{{fact.label, Face::bold}}, {shown(fact.value)}});
    flow_.heading(heading);
    draw_table(flow_, {{"", 22}, {"", 78}}, rows);
  }

  void draw_photograph() {
    if (record_.photograph.empty()) return;
    constexpr double height = 70;
    constexpr int most_pixels = 1000;  // 300 to the inch over 85 mm
    flow_.heading(words_("photograph"), height);
    document().picture(flow_.take(height, "The photograph"),
                       plain_picture(record_.photograph, most_pixels));
  }

  void draw_pieces() {
    std::vector<Row> rows;
    for (const RecordPiece& piece : record_.pieces)
      rows.push_back({{{piece.code, Face::bold}},
                      {{named("state-", piece.state)}},
                      {shown(piece.date)},
                      {shown(piece.market)},
                      {shown(piece.note)}});
    draw_section("pieces",
                 {column("piece", 18), column("state", 24), column("date", 24),
                  column("market", 10), column("note", 24)},
                 rows);
  }

  void draw_materials() {
    std::vector<Row> rows;
    for (const RecordMaterial& material : record_.materials) {
      Cell held;
      if (!material.detail.empty()) held.push_back({material.detail});
      for (const std::string& statement : material.statements)
        held.push_back({words_("statement", {{"text", statement}})});
      if (held.empty()) held.push_back(shown(""));
      rows.push_back({{{material.id, Face::bold}},
                      {{named("kind-", material.kind)}},
                      {shown(material.name)},
                      {shown(material.supplier)},
                      {shown(material.lot)},
                      {shown(material.best_before)},
                      held});
    }
    draw_section("materials",
                 {column("id", 6), column("kind", 12), column("name", 19), column("supplier", 13),
                  column("lot", 11), column("best-before", 13), column("held", 31)},
                 rows);
  }

  void draw_dates() {
    std::vector<Row> rows;
    for (const RecordDate& date : record_.dates) {
      Cell when = {shown(date.at)};
      if (date.guessed) when.push_back({words_("guessed"), Face::bold});
      rows.push_back({{{date.name, Face::bold}}, when, {shown(date.why)}});
    }
    draw_section("dates", {column("which", 18), column("when", 24), column("why", 58)}, rows);
  }

  void draw_conditions() {
    if (!record_.chart) return;
    const double height = chart_height(document(), *record_.chart, words_, flow_.width());
    flow_.heading(words_("chart"), height);
    const Rect place = flow_.take(height, "The chart of batch " + record_.batch);
    draw_chart(document(), *record_.chart, words_, {place.x, place.y}, place.width);
  }

  void draw_findings() {
    std::vector<Row> rows;
    for (const RecordFinding& finding : record_.findings) {
      Cell check = {{finding.check}};
      if (!finding.about.empty()) check.push_back({words_("about", {{"about", finding.about}})});
      Cell reason = {shown(finding.reason)};
      if (!finding.source.empty()) reason.push_back({words_("source", {{"text", finding.source}})});
      const Face face = finding.open ? Face::bold : Face::regular;
      rows.push_back({check, {{named("result-", finding.result), face}}, reason});
    }
    draw_section("findings", {column("check", 26), column("result", 14), column("reason", 60)},
                 rows);
  }

  void draw_cautions() {
    std::vector<Row> rows;
    for (const RecordCaution& caution : record_.cautions)
      rows.push_back({{{caution.text}}, {shown(caution.source)}});
    if (rows.empty()) return;
    draw_section("cautions", {column("caution", 62), column("caution-source", 38)}, rows);
  }

  void draw_rules() {
    if (record_.rules.empty()) return;
    std::vector<Row> rows;
    for (const RecordRule& rule : record_.rules) rows.push_back(rule_row(rule));
    flow_.heading(words_("rules"));
    flow_.paragraph(words_("rules-note"), body);
    flow_.skip(1.5);
    draw_table(flow_, {column("rule", 24), column("asks", 36), column("holds", 40)}, rows);
  }

  Row rule_row(const RecordRule& rule) const {
    Cell held;
    for (const RecordRule::Held& one : rule.held) {
      held.push_back({named("result-", one.result), one.open ? Face::bold : Face::regular});
      if (!one.about.empty()) held.push_back({words_("about", {{"about", one.about}})});
      if (!one.reason.empty()) held.push_back({one.reason});
    }
    if (held.empty()) held.push_back(shown(""));
    Cell asks = {shown(rule.asks)};
    if (!rule.ask.empty()) asks.push_back({words_("ask", {{"ask", rule.ask}})});
    if (!rule.reviewed.empty()) asks.push_back({words_("reviewed", {{"reviewed", rule.reviewed}})});
    return {{{rule.key, Face::bold},
             {words_("rule-market", {{"market", rule.market}, {"cite", rule.cite}})}},
            asks,
            held};
  }

  void draw_history() {
    std::vector<Row> rows;
    for (const RecordEntry& entry : record_.entries) rows.push_back(history_row(entry));
    draw_section("history",
                 {column("entry", 8), column("happened", 23), column("by", 16), column("what", 58)},
                 rows);
  }

  Row history_row(const RecordEntry& entry) const {
    const bool gone = entry.state != EntryState::standing;
    Cell happened = {shown(entry.happened)};
    if (!entry.written.empty())
      happened.push_back(
          {words_(entry.clock_back ? "clock-back" : "late", {{"written", entry.written}})});
    const CellText by =
        entry.apprentice ? CellText{words_("apprentice", {{"worker", entry.by}})} : shown(entry.by);
    Cell what = {shown(entry.what)};
    what.front().struck = gone;
    happened.front().struck = gone;
    if (gone) {
      const std::string number = std::to_string(entry.superseded_by);
      what.push_back(
          {words_(entry.state == EntryState::struck ? "struck" : "corrected",
                  {{"number", entry.superseded_by > 0 ? number : ""}, {"why", entry.why}}),
           Face::bold});
    }
    return {{{std::to_string(entry.number)}}, happened, {by}, what};
  }

  void draw_book() {
    draw_facts(words_("book"), {{words_("entries"), std::to_string(record_.book_entries)},
                                {words_("hash"), record_.last_hash}});
    flow_.skip(1);
    flow_.paragraph(words_("hash-note"), body);
  }

  // Three people may sign.
  void draw_signatures() {
    constexpr double line_height = 12;
    constexpr int lines = 3;
    constexpr double height = 4 + lines * line_height;
    flow_.heading(words_("sign"), height + 3 + 2 * body.line_height());
    const Rect place = flow_.take(height, "The signatures");
    const double starts[] = {0, 0.42, 0.62, 1};
    const char* names[] = {"signer", "signed-on", "signature"};
    for (int i = 0; i < 3; ++i) {
      const double left = place.x + starts[i] * place.width;
      const double right = place.x + starts[i + 1] * place.width - (i < 2 ? 4 : 0);
      document().text({left, place.y + 3}, words_(names[i]), small);
      for (int line = 1; line <= lines; ++line)
        document().line({left, place.y + 4 + line * line_height},
                        {right, place.y + 4 + line * line_height}, {0.2, 0, {}});
    }
    flow_.skip(3);
    flow_.paragraph(words_("law"), body);
  }

  // What every page carries; drawn last, when the number of pages is known.
  void draw_frame(int page) {
    document().select_page(page);
    const double left = flow_.left();
    const double right = left + flow_.width();
    const double head = 13;
    const double foot = document().sheet().height - 11;
    const std::string number = words_("page", {{"number", std::to_string(page + 1)},
                                               {"count", std::to_string(document().pages())}});
    const std::string batch = words_("title", {{"batch", record_.batch}}) + ", " + number;
    draw_right(document(), {right, head}, batch, small);
    draw_fitting(document(), {left, head}, record_.workshop, small,
                 flow_.width() - document().width(batch, small) - 4,
                 "The workshop's name at the head of the record");
    document().line({left, head + 1.8}, {right, head + 1.8}, {0.2, 0, {}});
    document().line({left, foot - 4}, {right, foot - 4}, {0.2, 0, {}});
    draw_fitting(document(), {left, foot}, words_("foot", {{"made_on", record_.made_on}}), small,
                 flow_.width(), "The foot of the record");
  }

  Flow flow_;
  const RecordContent& record_;
  const Words& words_;
};

}  // namespace

void write_record(const RecordContent& record, const RecordOptions& options,
                  const std::filesystem::path& path) {
  const Words words("record", options.language);
  Document document(options.sheet, words("document", {{"batch", record.batch}}), options.made_at);
  Record(document, record, words).draw();
  document.save(path);
}

}  // namespace trencher::paper
